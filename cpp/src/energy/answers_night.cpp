/// The night and the grey days, read off the simulation.
///
/// Night: from sunset to sunrise. What the banks give is the integral of their discharge current
/// and power between the two; a row of the trace that straddles an end counts by its share.

#include <algorithm>
#include <cmath>
#include <optional>

#include "nightbus/energy_answers.hpp"

namespace nightbus {

namespace {

constexpr double day_s = 86400.0;
/// Full again, for a bank that has been charged: its controller has ended absorption or the charge
/// stands this close below the top.
constexpr double full_charge = 0.995;

double charge_of(const SimulationInput& input, const Trace& trace, std::size_t row) {
  double held = 0.0;
  double all = 0.0;
  for (std::size_t b = 0; b < input.banks.size(); ++b) {
    const auto* column = trace.find("bank_charge", static_cast<int>(b));
    const double ah = input.banks[b].model.capacity_ah;
    if (!column) continue;
    held += ah * column->values[row];
    all += ah;
  }
  return all > 0.0 ? held / all : 0.0;
}

/// Charge at an instant: straight between the middles of the two rows that hold it.
double charge_at(const SimulationInput& input, const Trace& trace, double time_s) {
  if (trace.time_s.empty()) return 0.0;
  const double place = (time_s - trace.time_s.front()) / trace.row_s - 0.5;
  const double last = static_cast<double>(trace.time_s.size()) - 1.0;
  const double held = std::clamp(place, 0.0, last);
  const auto row = static_cast<std::size_t>(held);
  const std::size_t next = std::min(row + 1, trace.time_s.size() - 1);
  const double share = held - static_cast<double>(row);
  return (1.0 - share) * charge_of(input, trace, row) + share * charge_of(input, trace, next);
}

struct NightSpan {
  double sunset_s = 0.0, sunrise_s = 0.0;
  bool polar = false;
};
NightSpan night_after(const SimulationInput& input, double noon_s) {
  const SunTimes today = sun_times(noon_s, input.site);
  const SunTimes tomorrow = sun_times(input.clock.noon_of(noon_s + day_s), input.site);
  NightSpan span{noon_s, noon_s + day_s, true};
  if (today.set_s && tomorrow.rise_s && *tomorrow.rise_s > *today.set_s) {
    span = {*today.set_s, *tomorrow.rise_s, false};
  }
  return span;
}

void sum_night(const SimulationInput& input, const Trace& trace, NightReport& report) {
  report.lowest_bus_v = 1e30;
  report.load_wh.assign(input.loads.size(), 0.0);
  const auto* bus = trace.find("bus_voltage");
  for (std::size_t row = 0; row < trace.time_s.size(); ++row) {
    const double from = std::max(trace.time_s[row], report.sunset_s);
    const double to = std::min(trace.time_s[row] + trace.row_s, report.sunrise_s);
    if (to <= from) continue;
    const double hours = (to - from) / 3600.0;
    for (std::size_t b = 0; b < input.banks.size(); ++b) {
      const auto* current = trace.find("bank_current", static_cast<int>(b));
      const auto* voltage = trace.find("bank_voltage", static_cast<int>(b));
      if (!current || !voltage) continue;
      const double out_a = std::max(0.0, -current->values[row]);
      report.night_ah += out_a * hours;
      report.night_wh += out_a * voltage->values[row] * hours;
    }
    for (std::size_t k = 0; k < input.loads.size(); ++k) {
      if (const auto* draw = trace.find("load_draw", static_cast<int>(k))) {
        report.load_wh[k] += draw->values[row] * hours;
      }
    }
    if (bus && bus->values[row] < report.lowest_bus_v) {
      report.lowest_bus_v = bus->values[row];
      report.lowest_bus_v_s = trace.time_s[row];
    }
  }
  if (report.lowest_bus_v > 1e29) report.lowest_bus_v = 0.0;
}

/// First time from `from_s` on at which the bank is full; rows are minutes to an hour long.
std::optional<double> full_after(const SimulationInput& input, const Trace& trace, double from_s) {
  for (std::size_t row = 0; row < trace.time_s.size(); ++row) {
    if (trace.time_s[row] < from_s) continue;
    if (charge_of(input, trace, row) >= full_charge) return trace.time_s[row];
  }
  return std::nullopt;
}

}  // namespace

NightReport night_report(SimulationInput input, double date_s, double soc_noon, int days) {
  NightReport report;
  const double noon_s = input.clock.noon_of(date_s);
  const NightSpan span = night_after(input, noon_s);
  report.sunset_s = span.sunset_s;
  report.sunrise_s = span.sunrise_s;
  report.polar = span.polar;
  report.night_h = (span.sunrise_s - span.sunset_s) / 3600.0;
  for (SimBank& bank : input.banks) bank.soc = soc_noon;
  input.options.start_s = noon_s;
  const double step_s = input.options.step_s;
  const auto steps_for = [step_s](double seconds) {
    return static_cast<std::size_t>(std::ceil(seconds / step_s));
  };

  // The night itself, row by row.
  SimulationInput night = input;
  night.options.steps = steps_for(span.sunrise_s - noon_s) + 1;
  night.options.record_every = 1;
  night.options.record_loads = true;
  const SimulationResult dark = simulate(night);
  report.soc_sunset = charge_at(input, dark.trace, report.sunset_s);
  report.soc_sunrise = charge_at(input, dark.trace, report.sunrise_s);
  sum_night(input, dark.trace, report);

  // The days after it, in rows of about a quarter of an hour.
  SimulationInput after = std::move(input);
  after.options.steps = steps_for(span.sunrise_s - noon_s + std::max(days, 1) * day_s);
  after.options.record_every = std::max<std::size_t>(1, static_cast<std::size_t>(900.0 / step_s));
  after.options.record_loads = false;
  const SimulationResult light = simulate(after);
  report.full_s = full_after(after, light.trace, report.sunrise_s);
  if (report.full_s) report.hours_to_full = (*report.full_s - report.sunrise_s) / 3600.0;
  report.never_full = !report.full_s;
  return report;
}

AutonomyReport autonomy(SimulationInput input, double from_s, double soc, double reserve_soc,
                        double longest_days) {
  AutonomyReport report;
  for (SimBank& bank : input.banks) bank.soc = soc;
  for (SimCharger& charger : input.chargers) {
    charger.windows.clear();
    charger.always = false;
    charger.start_below_soc.reset();
    charger.stop_above_soc.reset();
  }
  input.weather.ghi_wm2.clear();
  input.weather.dni_wm2.clear();
  input.weather.dhi_wm2.clear();
  input.options.start_s = from_s;
  input.options.steps =
      static_cast<std::size_t>(std::ceil(longest_days * day_s / input.options.step_s));
  input.options.record_every =
      std::max<std::size_t>(1, static_cast<std::size_t>(900.0 / input.options.step_s));
  input.options.record_loads = false;
  report.span_h = longest_days * 24.0;
  const SimulationResult result = simulate(input);
  for (std::size_t k = 0; k < result.loads.size(); ++k) {
    const auto& drop = result.loads[k].first_drop_s;
    if (!drop || !input.loads[k].critical) continue;
    const double hours = (*drop - from_s) / 3600.0;
    if (!report.until_first_drop_h || hours < *report.until_first_drop_h) {
      report.until_first_drop_h = hours;
      report.first_drop_load = static_cast<int>(k);
    }
  }
  const double floor = std::max(reserve_soc, 1e-6);
  for (std::size_t row = 0; row < result.trace.time_s.size(); ++row) {
    if (charge_of(input, result.trace, row) > floor) continue;
    report.until_empty_h = (result.trace.time_s[row] - from_s) / 3600.0;
    break;
  }
  return report;
}

}  // namespace nightbus
