/// A mean day and its night for each month, then the hardest month in detail.
///
/// Each month starts at local noon of its 15th with the bank's starting charge and runs through the
/// night to the next full bank; without sun and chargers it runs from the charge at sunset until
/// the reserve is reached and until the first device that matters drops.

#include <algorithm>
#include <atomic>
#include <cmath>
#include <thread>

#include "scenario/energy_plan.hpp"

namespace nightbus::scenario_detail {

namespace {

constexpr double day_s = 86400.0;
constexpr int look_ahead_days = 12;
constexpr double longest_autonomy_days = 21.0;

/// What one month's runs give, besides the numbers of the plan.
struct Month {
  MonthPlan plan;
  NightReport night;
  EnergyLedger ledger;
  bool done = false;
  std::string why_not;
};

double charger_day_wh(const System& system) {
  double total = 0.0;
  for (const Charger& charger : system.chargers) {
    double nominal_v = system.banks.empty() ? 12.0 : system.banks.front().nominal_v;
    double seconds = 0.0;
    for (const DayWindow& window : day_windows(charger.schedule)) {
      const double span = window.end_s - window.start_s;
      seconds += span > 0.0 ? span : span + day_s;
    }
    total += charger.current_a * nominal_v * seconds / 3600.0;
  }
  return total;
}

Month run_month(const System& system, const SimulationInput& base, int month,
                const PlanOptions& options) {
  Month out;
  MonthPlan& plan = out.plan;
  plan.month = month;
  const MonthlyAir air = monthly_air(system.site);
  plan.outside_c = air.mean_c[static_cast<std::size_t>(month - 1)];

  SimulationInput input = base;
  const double solar_noon_s =
      utc_seconds(options.year, month, 15, 43200.0) - system.site.longitude_deg * 240.0;
  plan.noon_s = input.clock.noon_of(solar_noon_s);
  ClearSkyYear year;
  year.site = input.site;
  year.peak_sun_wh_m2 = system.site.peak_sun_hours_wh_per_m2;
  year.clearness = system.site.clearness;
  // The month's own mean on every day: a run that crosses into the next month stays in this one.
  year.temp_mean_c.assign(12, plan.outside_c);
  year.temp_swing_k = air.swing_k;
  for (auto* list : {&year.peak_sun_wh_m2, &year.clearness}) {
    if (list->size() == 12) {
      list->assign(12, (*list)[static_cast<std::size_t>(month - 1)]);
    }
  }
  const double span_days = std::max<double>(look_ahead_days, longest_autonomy_days) + 2.0;
  input.weather = clear_sky_weather(year, input.clock, plan.noon_s, options.step_s,
                                    static_cast<std::size_t>(span_days * day_s / options.step_s));
  input.options.start_s = plan.noon_s;
  input.options.steps = static_cast<std::size_t>(day_s / options.step_s);

  const double start = system.banks.empty() ? 1.0 : system.banks.front().charge_start;
  const SimulationResult day = simulate(input);
  if (day.status != SimStatus::done) {
    out.why_not = day.message;
    return out;
  }
  out.ledger = day.ledger;
  out.night = night_report(input, plan.noon_s, start, look_ahead_days);
  const NightReport& night = out.night;
  plan.polar = night.polar;
  plan.sunset_s = night.sunset_s;
  plan.sunrise_s = night.sunrise_s;
  plan.sunset_local = clock_text(input.clock, night.sunset_s);
  plan.sunrise_local = clock_text(input.clock, night.sunrise_s);
  plan.night_h = night.night_h;
  plan.night_wh = night.night_wh;
  plan.night_ah = night.night_ah;
  plan.charge_sunset = night.soc_sunset;
  plan.charge_sunrise = night.soc_sunrise;
  plan.lowest_v = night.lowest_bus_v;
  plan.hours_to_full = night.hours_to_full;
  if (night.hours_to_full) {
    plan.days_to_full = *night.hours_to_full / 24.0;
  }
  plan.never_full = night.never_full;
  const EnergyLedger& ledger = day.ledger;
  plan.load_wh = ledger.delivered_wh() + ledger.converter_loss_wh + ledger.wire_loss_wh +
                 ledger.bank_standby_wh + ledger.controller_standby_wh;
  double efficiency = 1.0;
  for (const SimArray& array : input.arrays) {
    efficiency = std::min(efficiency, array.model.controller.efficiency);
  }
  plan.sun_wh = ledger.array_wh * efficiency;
  const bool turns = std::any_of(input.arrays.begin(), input.arrays.end(), [](const SimArray& a) {
    return a.model.heading_unknown && a.model.plane.tilt_deg != 0.0;
  });
  if (turns) {
    const HeadingReport headings = heading_report(input);
    plan.sun_worst_wh = headings.worst_wh * efficiency;
    plan.worst_heading_deg = headings.worst_heading_deg;
  }
  plan.charger_wh = charger_day_wh(system);
  if (!system.banks.empty()) {
    const double reserve = system.banks.front().reserve;
    const AutonomyReport report =
        autonomy(input, night.sunset_s, night.soc_sunset, reserve, longest_autonomy_days);
    if (report.until_empty_h) {
      plan.days_to_reserve = *report.until_empty_h / 24.0;
    }
    if (report.until_first_drop_h) {
      plan.days_to_dark = *report.until_first_drop_h / 24.0;
    }
  }
  out.done = true;
  return out;
}

/// Months are independent of each other, so threads change nothing but the time.
std::vector<Month> run_year(const System& system, const SimulationInput& base,
                            const PlanOptions& options) {
  std::vector<Month> months(12);
  std::atomic<int> next{0};
  const auto work = [&] {
    for (int k = next++; k < 12; k = next++) {
      months[static_cast<std::size_t>(k)] = run_month(system, base, k + 1, options);
    }
  };
  std::vector<std::thread> threads;
  for (unsigned k = 1; k < std::min(4u, std::max(1u, std::thread::hardware_concurrency())); ++k) {
    threads.emplace_back(work);
  }
  work();
  for (std::thread& each : threads) {
    each.join();
  }
  return months;
}

}  // namespace

EnergyPlan energy_plan(const CompiledSystem& compiled, const Plan& plan, const PlanOptions& options,
                       std::vector<Finding>& findings) {
  const System& system = compiled.system();
  EnergyPlan energy;
  if (system.banks.empty()) {
    energy.why_not = "there is no bank";
    return energy;
  }
  const LocalClock clock = clock_of(system, options, findings);
  std::vector<std::string> assumptions;
  const EnergyModel model = energy_model(compiled, clock, options, assumptions);
  for (const std::string& words : assumptions) {
    Finding finding = make_finding("assumed-choice", "bank", system.banks.front().name);
    finding.detail = as_sentence(words);
    finding.where = system.banks.front().written.where;
    findings.push_back(std::move(finding));
  }
  const std::vector<Month> months = run_year(system, model.input, options);
  for (const Month& month : months) {
    if (!month.done) {
      energy.why_not = month.why_not;
      return energy;
    }
    energy.months.push_back(month.plan);
    if (month.plan.surplus_wh() < energy.months[energy.hardest].surplus_wh()) {
      energy.hardest = energy.months.size() - 1;
    }
  }
  const Month& hardest = months[energy.hardest];
  energy.ledger = hardest.ledger;
  for (const Bank& bank : system.banks) {
    const double share = std::max(0.0, 1.0 - bank.reserve) * bank.ageing;
    const double ah = bank.capacity_ah * std::max(bank.strings, 1) * share;
    energy.usable_ah += ah;
    energy.usable_wh += ah * bank.nominal_v;
  }
  energy.converter_loss_wh = hardest.ledger.converter_loss_wh;
  energy.cable_loss_wh = hardest.ledger.wire_loss_wh;
  std::vector<double> day_wh = hardest.ledger.load_wh, night_wh = hardest.night.load_wh;
  day_wh.resize(model.consumers.size());
  night_wh.resize(model.consumers.size());
  for (std::size_t k = 0; k < model.consumers.size(); ++k) {
    const PointKind kind = model.consumers[k].kind;
    const bool standby = kind == PointKind::bank || kind == PointKind::array;
    (standby ? energy.standby_wh : energy.devices_wh) += day_wh[k];
  }
  share_energy(compiled, plan.conditions, model.consumers, day_wh, night_wh, hardest.plan.load_wh,
               hardest.plan.night_wh, energy);
  energy.done = true;
  return energy;
}

}  // namespace nightbus::scenario_detail
