/// From watts lost to air temperature and back, for one case:
///
///   air -> conductor resistance, fan step -> operating point -> watts by compartment -> air
///
/// The chain damps itself (a kelvin more air changes the losses by well under one per cent), so the
/// plain repetition settles in a few rounds.

#include <algorithm>
#include <cmath>

#include "scenario/heat.hpp"

namespace nightbus::scenario_detail {

int space_of(const System& system, std::string_view compartment) {
  for (std::size_t k = 0; k < system.compartments.size(); ++k) {
    if (system.compartments[k].name == compartment) {
      return static_cast<int>(k);
    }
  }
  return outside_air;
}

HeatModel heat_model(const System& system) {
  ThermalModel model;
  model.altitude_m = system.site.elevation_m;
  std::vector<std::vector<std::size_t>> fans_in(system.compartments.size());
  for (const Compartment& compartment : system.compartments) {
    AirSpace space;
    space.heat_capacity_j_per_k = compartment.heat_capacity_j_per_k;
    space.outside_w_per_k = compartment.conductance_w_per_k;
    space.sun_gain_m2 = compartment.solar_gain_w / 1000.0;
    space.held_c = compartment.held_c;
    space.limit_c = compartment.temp_max_c;
    model.spaces.push_back(std::move(space));
  }
  for (std::size_t k = 0; k < system.compartments.size(); ++k) {
    const int other = space_of(system, system.compartments[k].neighbour);
    if (other >= 0 && other != static_cast<int>(k) &&
        system.compartments[k].neighbour_w_per_k > 0) {
      model.links.push_back({static_cast<int>(k), other, system.compartments[k].neighbour_w_per_k});
    }
  }
  for (std::size_t k = 0; k < system.fans.size(); ++k) {
    const Fan& fan = system.fans[k];
    const int space = space_of(system, fan.cools);
    if (space < 0) {
      continue;
    }
    SpaceFan made;
    made.steps.push_back({});
    for (std::size_t step = 0; step < fan.step_w.size(); ++step) {
      const double free_flow = step < fan.step_flow_m3s.size() ? fan.step_flow_m3s[step] : 0.0;
      made.steps.push_back({free_flow * fan.installed_share, fan.step_w[step]});
    }
    made.control.set_point_c = fan.set_point_c;
    made.control.step_k = fan.step_width_k;
    made.control.lowest = std::clamp(fan.lowest_step, 0, static_cast<int>(fan.step_w.size()));
    made.count = fan.count;
    const int inlet = space_of(system, fan.inlet);
    if (inlet >= 0) {
      made.inlets.push_back({inlet, fan.inlet_share});
    }
    model.spaces[static_cast<std::size_t>(space)].fans.push_back(std::move(made));
    fans_in[static_cast<std::size_t>(space)].push_back(k);
  }
  std::vector<std::size_t> order;
  for (const auto& fans : fans_in) {
    order.insert(order.end(), fans.begin(), fans.end());
  }
  return {ThermalNetwork(std::move(model)), std::move(order)};
}

double case_sun_wm2(const Case& which) {
  return which.ambient == Ambient::hot ? 1000.0 : 0.0;
}

namespace {

/// Adds watts to the compartment of that name; outside air takes the rest.
class Ledger {
 public:
  explicit Ledger(const System& system) : system_(system), sources_(system.compartments.size()) {}

  void add(std::string_view compartment, double HeatSources::*part, double watts) {
    const int space = space_of(system_, compartment);
    if (space >= 0) {
      sources_[static_cast<std::size_t>(space)].*part += watts;
    }
  }
  std::vector<HeatSources> take() { return std::move(sources_); }

 private:
  const System& system_;
  std::vector<HeatSources> sources_;
};

std::string_view place_of(const System& system, const PointNodes& point) {
  switch (point.kind) {
    case PointKind::bank:
      return system.banks[point.index].compartment;
    case PointKind::bus:
      return system.buses[point.index].compartment;
    case PointKind::load:
      return system.loads[point.index].compartment;
    case PointKind::fan:
      return system.fans[point.index].cools;
    case PointKind::converter:
      return system.converters[point.index].compartment;
    case PointKind::poe_link:
      return system.poe_links[point.index].compartment;
    case PointKind::charger:
      return system.chargers[point.index].compartment;
    case PointKind::array:
      return system.arrays[point.index].compartment;
  }
  return {};
}

}  // namespace

std::vector<HeatSources> heat_sources(const CompiledSystem& compiled, const CaseResult& result) {
  const System& system = compiled.system();
  Ledger ledger(system);
  // Without an operating point devices count with what they ask for: on the safe side, and steady.
  for (std::size_t k = 0; k < system.loads.size(); ++k) {
    const DrawInputs& asked = result.inputs.loads[k];
    ledger.add(system.loads[k].compartment, &HeatSources::devices_w,
               result.ok() ? result.loads[k].power_w
               : asked.on  ? asked.power_w
                           : 0.0);
  }
  for (std::size_t k = 0; k < system.poe_links.size(); ++k) {
    const DrawInputs& asked = result.inputs.poe_links[k];
    ledger.add(system.poe_links[k].compartment, &HeatSources::devices_w,
               result.ok() ? result.poe_links[k].device.power_w
               : asked.on  ? asked.power_w
                           : 0.0);
  }
  if (!result.ok()) {
    return ledger.take();
  }
  for (std::size_t k = 0; k < result.converters.size(); ++k) {
    ledger.add(system.converters[k].compartment, &HeatSources::converters_w,
               result.converters[k].loss_w);
  }
  for (std::size_t k = 0; k < result.runs.size(); ++k) {
    const RunElements& run = compiled.runs()[k];
    const double watts = result.runs[k].loss_w;
    if (!system.runs[k].compartment.empty()) {
      ledger.add(system.runs[k].compartment, &HeatSources::cables_w, watts);
    } else {
      // Half of the cable lies on each end's side, for want of better knowledge.
      for (const std::size_t end : {run.from, run.to}) {
        ledger.add(place_of(system, compiled.points()[end]), &HeatSources::cables_w, watts / 2.0);
      }
    }
  }
  for (std::size_t k = 0; k < result.banks.size(); ++k) {
    ledger.add(system.banks[k].compartment, &HeatSources::banks_w,
               result.banks[k].loss_w + system.banks[k].standby_a * result.banks[k].voltage_v);
  }
  for (std::size_t k = 0; k < result.chargers.size(); ++k) {
    const double efficiency = std::clamp(system.chargers[k].efficiency, 0.01, 1.0);
    ledger.add(system.chargers[k].compartment, &HeatSources::converters_w,
               result.chargers[k].power_w * (1.0 / efficiency - 1.0));
  }
  for (std::size_t k = 0; k < result.arrays.size(); ++k) {
    const double efficiency = std::clamp(system.arrays[k].controller_efficiency, 0.01, 1.0);
    const double standby = result.inputs.charging ? 0.0 : system.arrays[k].controller_standby_w;
    ledger.add(system.arrays[k].compartment, &HeatSources::converters_w,
               result.arrays[k].power_w * (1.0 / efficiency - 1.0) + standby);
  }
  return ledger.take();
}

CaseHeat settle_case(const CompiledSystem& compiled, const Case& which, const HeatModel& model,
                     Workspace& workspace, const CaseAir& start) {
  constexpr double settled_k = 0.01;
  constexpr int most = 20;
  CaseHeat heat;
  heat.air = start;
  const System& system = compiled.system();
  for (heat.rounds = 1; heat.rounds <= most; ++heat.rounds) {
    CaseConditions conditions;
    static_cast<CaseAir&>(conditions) = heat.air;
    const CaseInputs inputs = case_inputs(compiled, which, conditions);
    const CaseResult result = solve_inputs(compiled, inputs, workspace);
    heat.sources = heat_sources(compiled, result);
    std::vector<double> watts;
    for (const HeatSources& each : heat.sources) {
      watts.push_back(each.total_w());
    }
    ThermalDrive drive;
    drive.outside_c = inputs.outside_c;
    drive.sun_wm2 = case_sun_wm2(which);
    drive.heat_w = watts;
    heat.steady = model.network.steady(drive);
    CaseAir next;
    next.compartment_c = heat.steady.temp_c;
    next.fan_step.assign(system.fans.size(), 0);
    for (std::size_t f = 0; f < system.fans.size(); ++f) {
      // A fan that cools no compartment runs at its lowest step.
      next.fan_step[f] =
          std::clamp(system.fans[f].lowest_step, 0, static_cast<int>(system.fans[f].step_w.size()));
    }
    for (std::size_t f = 0; f < model.fan_of.size(); ++f) {
      next.fan_step[model.fan_of[f]] = static_cast<int>(std::ceil(heat.steady.fan_step[f] - 1e-6));
    }
    heat.change_k = 0.0;
    for (std::size_t k = 0; k < next.compartment_c.size(); ++k) {
      const double before =
          k < heat.air.compartment_c.size() ? heat.air.compartment_c[k] : inputs.compartment_c[k];
      heat.change_k = std::max(heat.change_k, std::abs(next.compartment_c[k] - before));
    }
    const bool same = next.fan_step == heat.air.fan_step;
    heat.air = std::move(next);
    if (same && heat.change_k < settled_k) {
      break;
    }
  }
  heat.rounds = std::min(heat.rounds, most);
  for (std::size_t k = 0; k < heat.sources.size(); ++k) {
    heat.sources[k].sun_w = case_sun_wm2(which) * system.compartments[k].solar_gain_w / 1000.0;
  }
  for (std::size_t f = 0; f < model.fan_of.size(); ++f) {
    const int space = space_of(system, system.fans[model.fan_of[f]].cools);
    heat.sources[static_cast<std::size_t>(space)].fans_w += heat.steady.fan_power_w[f];
  }
  return heat;
}

}  // namespace nightbus::scenario_detail
