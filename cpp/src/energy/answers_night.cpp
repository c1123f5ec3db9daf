// The night and the grey days, asked of the simulation.

#include <algorithm>
#include <cmath>

#include "nightbus/energy_answers.hpp"

namespace nightbus {

namespace {
constexpr double day_s = 86400.0;

std::size_t steps_for(double span_s, double step_s) {
  return static_cast<std::size_t>(std::ceil(span_s / step_s - 1e-9));
}
}  // namespace

NightReport night_report(SimulationInput input, double date_s, double soc_noon, int days) {
  NightReport report;
  const double noon = input.clock.noon_of(date_s);
  const SunTimes today = sun_times(noon, input.site);
  const SunTimes tomorrow = sun_times(input.clock.noon_of(noon + day_s), input.site);
  report.polar = !today.set_s || !tomorrow.rise_s;
  report.sunset_s = report.polar ? noon : *today.set_s;
  report.sunrise_s = report.polar ? noon + day_s : *tomorrow.rise_s;
  report.night_h = (report.sunrise_s - report.sunset_s) / 3600.0;

  SimOptions& options = input.options;
  options.start_s = noon;
  options.record_every = 0;
  options.steps = steps_for(std::max(days, 1) * day_s, options.step_s);
  options.marks_s = {std::max(report.sunset_s, noon + 1e-3), report.sunrise_s};
  for (SimBank& bank : input.banks) bank.soc = soc_noon;

  const SimulationResult run = simulate(input, {}, [&](const SimEvent& event) {
    return event.kind == EventKind::bank_full && event.index == 0 &&
           event.time_s > report.sunrise_s;
  });
  if (run.marks.size() < 2) {
    report.never_full = true;
    return report;
  }
  const Mark& set = run.marks[0];
  const Mark& rise = run.marks[1];
  for (std::size_t b = 0; b < set.soc.size(); ++b) {
    report.night_ah += rise.discharged_ah[b] - set.discharged_ah[b];
    report.night_wh += rise.discharged_wh[b] - set.discharged_wh[b];
  }
  for (std::size_t k = 0; k < rise.ledger.load_wh.size(); ++k) {
    report.load_wh.push_back(rise.ledger.load_wh[k] - set.ledger.load_wh[k]);
  }
  if (!set.soc.empty()) {
    report.soc_sunset = set.soc.front();
    report.soc_sunrise = rise.soc.front();
  }
  report.lowest_bus_v = rise.lowest_bus_v;
  report.lowest_bus_v_s = rise.lowest_bus_v_s;
  if (report.soc_sunrise >= 0.995) {
    report.full_s = report.sunrise_s;
  } else {
    for (const SimEvent& event : run.events) {
      const bool full = event.kind == EventKind::bank_full && event.index == 0;
      if (full && event.time_s > report.sunrise_s && !report.full_s) report.full_s = event.time_s;
    }
  }
  if (report.full_s) report.hours_to_full = (*report.full_s - report.sunrise_s) / 3600.0;
  report.never_full = !report.full_s;
  return report;
}

AutonomyReport autonomy(SimulationInput input, double from_s, double soc, double reserve_soc,
                        double longest_days) {
  AutonomyReport report;
  // No sun and no charger: the lists stay, for they name elements of a circuit.
  input.weather.ghi_wm2.clear();
  input.weather.dni_wm2.clear();
  input.weather.dhi_wm2.clear();
  for (SimCharger& charger : input.chargers) {
    charger.always = false;
    charger.windows.clear();
    charger.start_below_soc.reset();
  }
  for (SimBank& bank : input.banks) bank.soc = soc;
  SimOptions& options = input.options;
  options.start_s = from_s;
  options.record_every = 0;
  options.marks_s.clear();
  options.steps = steps_for(longest_days * day_s, options.step_s);
  report.span_h = static_cast<double>(options.steps) * options.step_s / 3600.0;
  // A disconnect that no load listens to tells when the reserve is reached.
  const int watch = static_cast<int>(input.groups.size());
  if (reserve_soc > 0.0) {
    input.groups.push_back({.off_soc = reserve_soc, .on_soc = reserve_soc + 1.0, .delay_s = 0.0});
  }
  bool reserve_seen = false;
  bool dark_seen = false;
  const SimulationResult run = simulate(input, {}, [&](const SimEvent& event) {
    const bool by_reserve = event.kind == EventKind::group_shed && event.index == watch;
    const bool by_empty = event.kind == EventKind::bank_empty && event.index == 0;
    if ((by_reserve || by_empty) && !reserve_seen) {
      reserve_seen = true;
      report.until_empty_h = (event.time_s - from_s) / 3600.0;
    }
    if (by_empty) dark_seen = true;
    return reserve_seen && dark_seen;
  });
  for (std::size_t k = 0; k < run.loads.size(); ++k) {
    const auto& first = run.loads[k].first_drop_s;
    if (!first || !input.loads[k].critical) continue;
    const double hours = (*first - from_s) / 3600.0;
    if (report.until_first_drop_h && *report.until_first_drop_h <= hours) continue;
    report.until_first_drop_h = hours;
    report.first_drop_load = static_cast<int>(k);
  }
  return report;
}

}  // namespace nightbus
