#include "scenario/json.hpp"

namespace nightbus::scenario_detail {

namespace {

Json load_json(const std::string& name, const LoadResult& load, bool on) {
  Json json;
  json["name"] = name;
  json["on"] = on;
  json["state"] = state_name(load.state);
  json["voltage_v"] = load.voltage_v;
  json["current_a"] = load.current_a;
  json["power_w"] = load.power_w;
  json["drop_v"] = load.drop_v;
  json["drop_ratio"] = load.drop_ratio;
  json["above_low_v"] = optional_json(load.above_low_v);
  json["below_high_v"] = optional_json(load.below_high_v);
  return json;
}

void add_runs(const System& system, const CaseResult& result, Json& json) {
  json["runs"] = Json::array();
  for (std::size_t k = 0; k < result.runs.size(); ++k) {
    const RunResult& run = result.runs[k];
    json["runs"].push_back({{"name", system.runs[k].name},
                            {"current_a", run.current_a},
                            {"return_current_a", run.return_current_a},
                            {"drop_v", run.drop_v},
                            {"drop_ratio", run.drop_ratio},
                            {"loss_w", run.loss_w},
                            {"conductor_c", run.conductor_c},
                            {"ambient_c", run.ambient_c}});
  }
}

void add_sources(const System& system, const CaseResult& result, Json& json) {
  json["banks"] = Json::array();
  for (std::size_t k = 0; k < result.banks.size(); ++k) {
    const BankInputs& in = result.inputs.banks[k];
    const BankResult& bank = result.banks[k];
    json["banks"].push_back({{"name", system.banks[k].name},
                             {"charge", in.charge},
                             {"temp_c", in.temp_c},
                             {"emf_v", in.emf_v},
                             {"resistance_ohm", in.resistance_ohm},
                             {"basis", in.basis},
                             {"voltage_v", bank.voltage_v},
                             {"current_a", bank.current_a},
                             {"loss_w", bank.loss_w}});
  }
  const auto charger = [](const std::string& name, const ChargerResult& each) {
    return Json{{"name", name},
                {"state", state_name(each.state)},
                {"voltage_v", each.voltage_v},
                {"current_a", each.current_a},
                {"power_w", each.power_w}};
  };
  json["chargers"] = Json::array();
  for (std::size_t k = 0; k < result.chargers.size(); ++k) {
    json["chargers"].push_back(charger(system.chargers[k].name, result.chargers[k]));
  }
  json["arrays"] = Json::array();
  for (std::size_t k = 0; k < result.arrays.size(); ++k) {
    json["arrays"].push_back(charger(system.arrays[k].name, result.arrays[k]));
  }
}

void add_draws(const System& system, const CaseResult& result, Json& json) {
  json["loads"] = Json::array();
  for (std::size_t k = 0; k < result.loads.size(); ++k) {
    json["loads"].push_back(
        load_json(system.loads[k].name, result.loads[k], result.inputs.loads[k].on));
  }
  json["fans"] = Json::array();
  for (std::size_t k = 0; k < result.fans.size(); ++k) {
    Json fan = load_json(system.fans[k].name, result.fans[k], result.inputs.fans[k].on);
    fan["step"] = result.inputs.fan_step[k];
    json["fans"].push_back(std::move(fan));
  }
  json["converters"] = Json::array();
  for (std::size_t k = 0; k < result.converters.size(); ++k) {
    const ConverterResult& each = result.converters[k];
    json["converters"].push_back({{"name", system.converters[k].name},
                                  {"state", state_name(each.state)},
                                  {"input_v", each.input_v},
                                  {"input_a", each.input_a},
                                  {"input_w", each.input_w},
                                  {"output_v", each.output_v},
                                  {"output_a", each.output_a},
                                  {"output_w", each.output_w},
                                  {"loss_w", each.loss_w},
                                  {"load_ratio", each.load_ratio},
                                  {"drop_v", each.drop_v},
                                  {"drop_ratio", each.drop_ratio},
                                  {"above_low_v", optional_json(each.above_low_v)},
                                  {"below_high_v", optional_json(each.below_high_v)}});
  }
  json["poe_links"] = Json::array();
  for (std::size_t k = 0; k < result.poe_links.size(); ++k) {
    const PoeResult& link = result.poe_links[k];
    Json device = load_json(system.poe_links[k].name, link.device, result.inputs.poe_links[k].on);
    device["port_v"] = link.port_v;
    device["port_a"] = link.port_a;
    device["port_w"] = link.port_w;
    device["cable_loss_w"] = link.cable_loss_w;
    device["loop_ohm"] = link.loop_ohm;
    json["poe_links"].push_back(std::move(device));
  }
}

}  // namespace

Json case_json(const Plan& plan, const CaseResult& result) {
  const System& system = plan.system;
  Json json;
  json["name"] = result.name;
  json["status"] = status_name(result.status);
  json["sentence"] = status_sentence(result.status);
  json["softened"] = result.softened;
  json["outside_c"] = result.inputs.outside_c;
  json["charging"] = result.inputs.charging;
  json["off"] = result.inputs.off;
  json["compartments"] = Json::array();
  for (std::size_t k = 0; k < result.inputs.compartment_c.size(); ++k) {
    json["compartments"].push_back(
        {{"name", system.compartments[k].name}, {"temp_c", result.inputs.compartment_c[k]}});
  }
  json["points"] = Json::array();
  for (std::size_t k = 0; k < result.points.size(); ++k) {
    const PointNodes& point = plan.points[k];
    json["points"].push_back({{"name", point.name},
                              {"kind", point_kind_name(point.kind)},
                              {"voltage_v", result.points[k].voltage_v},
                              {"positive_v", result.points[k].positive_v},
                              {"negative_v", result.points[k].negative_v},
                              {"out_voltage_v", result.points[k].out_voltage_v}});
  }
  add_runs(system, result, json);
  add_draws(system, result, json);
  add_sources(system, result, json);
  json["balance"] = {{"supplied_w", result.balance.supplied_w},
                     {"load_w", result.balance.load_w},
                     {"loss_w", result.balance.loss_w},
                     {"gap_w", result.balance.gap_w},
                     {"node_residual_a", result.balance.node_residual_a},
                     {"iterations", result.iterations}};
  if (result.margins) {
    const CaseMargins& margins = *result.margins;
    json["margins"] = {{"collapse_multiplier", optional_json(margins.collapse_multiplier)},
                       {"collapse_device", margins.collapse_device},
                       {"first_window_multiplier", optional_json(margins.first_window_multiplier)},
                       {"first_window_device", margins.first_window_device},
                       {"first_window_v", margins.first_window_v}};
  } else {
    json["margins"] = nullptr;
  }
  json["loop"] = result.loop;
  return json;
}

}  // namespace nightbus::scenario_detail
