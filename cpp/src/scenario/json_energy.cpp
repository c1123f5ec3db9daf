#include "scenario/json.hpp"

namespace nightbus::scenario_detail {

namespace {

Json share_json(const EnergyShare& share) {
  return {{"kind", share.kind},
          {"name", share.name},
          {"day_wh", share.day_wh},
          {"night_wh", share.night_wh},
          {"day_at_bank_wh", share.day_at_bank_wh},
          {"night_at_bank_wh", share.night_at_bank_wh},
          {"day_ah", share.day_ah},
          {"night_ah", share.night_ah}};
}

Json month_json(const MonthPlan& month) {
  Json json;
  json["month"] = month.month;
  json["outside_c"] = month.outside_c;
  json["polar"] = month.polar;
  json["sunset"] = month.sunset_local;
  json["sunrise"] = month.sunrise_local;
  json["sunset_utc_s"] = month.sunset_s;
  json["sunrise_utc_s"] = month.sunrise_s;
  json["night_h"] = month.night_h;
  json["night_wh"] = month.night_wh;
  json["night_ah"] = month.night_ah;
  json["charge_sunset"] = month.charge_sunset;
  json["charge_sunrise"] = month.charge_sunrise;
  json["lowest_v"] = month.lowest_v;
  json["hours_to_full"] = optional_json(month.hours_to_full);
  json["days_to_full"] = optional_json(month.days_to_full);
  json["never_full"] = month.never_full;
  json["load_wh"] = month.load_wh;
  json["sun_wh"] = month.sun_wh;
  json["charger_wh"] = month.charger_wh;
  json["surplus_wh"] = month.surplus_wh();
  json["days_to_reserve"] = optional_json(month.days_to_reserve);
  json["days_to_dark"] = optional_json(month.days_to_dark);
  return json;
}

Json sources_json(const HeatSources& heat) {
  return {{"devices_w", heat.devices_w}, {"converters_w", heat.converters_w},
          {"cables_w", heat.cables_w},   {"banks_w", heat.banks_w},
          {"fans_w", heat.fans_w},       {"sun_w", heat.sun_w},
          {"total_w", heat.total_w()}};
}

}  // namespace

Json heat_json(const HeatPlan& plan) {
  Json json;
  json["rounds"] = plan.rounds;
  json["settled"] = plan.settled;
  json["last_change_k"] = plan.last_change_k;
  json["compartments"] = Json::array();
  for (const CompartmentPlan& each : plan.compartments) {
    Json out;
    out["name"] = each.name;
    out["limit_c"] = each.limit_c;
    out["held"] = each.held;
    out["hottest_case"] = each.cases[each.hottest].case_name;
    out["hottest_c"] = each.cases[each.hottest].temp_c;
    out["margin_k"] = each.margin_k();
    out["temp_at_step_c"] = each.temp_at_step_c;
    out["smallest_step"] = optional_json(each.smallest_step);
    out["needed_flow_m3s"] = optional_json(each.needed_flow_m3s);
    out["flow_m3s"] = each.flow_m3s;
    out["fans_off_c"] = each.fans_off_c;
    out["cases"] = Json::array();
    for (const CompartmentCase& in : each.cases) {
      out["cases"].push_back({{"case", in.case_name},
                              {"outside_c", in.outside_c},
                              {"temp_c", in.temp_c},
                              {"fan_step", in.fan_step},
                              {"fan_alternates", in.fan_alternates},
                              {"heat", sources_json(in.heat)}});
    }
    json["compartments"].push_back(std::move(out));
  }
  return json;
}

Json energy_json(const EnergyPlan& plan) {
  Json json;
  json["done"] = plan.done;
  json["why_not"] = plan.why_not;
  if (!plan.done) {
    return json;
  }
  json["hardest_month"] = plan.months[plan.hardest].month;
  json["usable_wh"] = plan.usable_wh;
  json["usable_ah"] = plan.usable_ah;
  json["months"] = Json::array();
  for (const MonthPlan& month : plan.months) {
    json["months"].push_back(month_json(month));
  }
  json["loads"] = Json::array();
  for (const EnergyShare& share : plan.loads) {
    json["loads"].push_back(share_json(share));
  }
  json["buses"] = Json::array();
  for (const EnergyShare& share : plan.buses) {
    json["buses"].push_back(share_json(share));
  }
  json["day"] = {{"devices_wh", plan.devices_wh},
                 {"converter_loss_wh", plan.converter_loss_wh},
                 {"cable_loss_wh", plan.cable_loss_wh},
                 {"standby_wh", plan.standby_wh}};
  const EnergyLedger& ledger = plan.ledger;
  json["ledger"] = {{"array_wh", ledger.array_wh},
                    {"curtailed_wh", ledger.curtailed_wh},
                    {"charger_wh", ledger.charger_wh},
                    {"delivered_wh", ledger.delivered_wh()},
                    {"controller_loss_wh", ledger.controller_loss_wh},
                    {"controller_standby_wh", ledger.controller_standby_wh},
                    {"converter_loss_wh", ledger.converter_loss_wh},
                    {"wire_loss_wh", ledger.wire_loss_wh},
                    {"bank_standby_wh", ledger.bank_standby_wh},
                    {"bank_resistance_wh", ledger.bank_resistance_wh},
                    {"bank_charge_loss_wh", ledger.bank_charge_loss_wh},
                    {"self_discharge_wh", ledger.self_discharge_wh},
                    {"stored_change_wh", ledger.stored_change_wh},
                    {"unmet_wh", ledger.unmet_wh},
                    {"gap_wh", ledger.gap_wh()}};
  return json;
}

}  // namespace nightbus::scenario_detail
