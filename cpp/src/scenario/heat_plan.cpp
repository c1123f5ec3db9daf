/// What the settled cases say about each compartment.

#include <algorithm>
#include <cmath>

#include "scenario/heat.hpp"

namespace nightbus::scenario_detail {

namespace {

double outside_of(const CompiledSystem& compiled, const Case& which) {
  return case_inputs(compiled, which).outside_c;
}

/// Figures of one compartment in its hottest case: every fan elsewhere as it settled.
void look_at_fans(const CompiledSystem& compiled, const Case& which, const HeatModel& model,
                  const CaseHeat& heat, std::size_t space, CompartmentPlan& plan) {
  const System& system = compiled.system();
  std::vector<double> watts;
  for (const HeatSources& each : heat.sources) {
    watts.push_back(each.total_w() - each.fans_w - each.sun_w);
  }
  ThermalDrive drive;
  drive.outside_c = outside_of(compiled, which);
  drive.sun_wm2 = case_sun_wm2(which);
  drive.heat_w = watts;
  std::vector<int> steps;
  for (const double step : heat.steady.fan_step) {
    steps.push_back(static_cast<int>(std::ceil(step - 1e-6)));
  }
  int top = 0;
  for (std::size_t f = 0; f < model.fan_of.size(); ++f) {
    const Fan& fan = system.fans[model.fan_of[f]];
    if (space_of(system, fan.cools) == static_cast<int>(space)) {
      top = std::max(top, static_cast<int>(fan.step_w.size()));
      if (!fan.step_flow_m3s.empty()) {
        plan.flow_m3s += fan.step_flow_m3s.back() * fan.installed_share * fan.count;
      }
    }
  }
  for (int step = 0; step <= top; ++step) {
    std::vector<int> forced = steps;
    for (std::size_t f = 0; f < model.fan_of.size(); ++f) {
      const Fan& fan = system.fans[model.fan_of[f]];
      if (space_of(system, fan.cools) == static_cast<int>(space)) {
        forced[f] = std::min(step, static_cast<int>(fan.step_w.size()));
      }
    }
    const double temp = model.network.steady(drive, forced).temp_c[space];
    plan.temp_at_step_c.push_back(temp);
    if (!plan.smallest_step && temp <= plan.limit_c) {
      plan.smallest_step = step;
    }
  }
  plan.fans_off_c = plan.temp_at_step_c.front();
  plan.needed_flow_m3s = model.network.airflow_for_limit(drive, space, plan.limit_c);
}

}  // namespace

HeatPlan heat_plan(const CompiledSystem& compiled, const std::vector<Case>& cases,
                   const HeatModel& model, const std::vector<CaseHeat>& heats) {
  const System& system = compiled.system();
  HeatPlan plan;
  for (std::size_t space = 0; space < system.compartments.size(); ++space) {
    const Compartment& compartment = system.compartments[space];
    CompartmentPlan each;
    each.name = compartment.name;
    each.limit_c = compartment.temp_max_c;
    each.held = compartment.held_c.has_value();
    for (std::size_t c = 0; c < cases.size(); ++c) {
      CompartmentCase in;
      in.case_name = cases[c].name;
      in.outside_c = outside_of(compiled, cases[c]);
      in.heat = heats[c].sources[space];
      in.temp_c = heats[c].steady.temp_c[space];
      for (std::size_t f = 0; f < model.fan_of.size(); ++f) {
        if (space_of(system, system.fans[model.fan_of[f]].cools) == static_cast<int>(space)) {
          in.fan_step = std::max(in.fan_step, heats[c].steady.fan_step[f]);
          in.fan_alternates =
              in.fan_alternates || std::abs(in.fan_step - std::round(in.fan_step)) > 1e-6;
        }
      }
      each.cases.push_back(std::move(in));
      if (each.cases.back().temp_c > each.cases[each.hottest].temp_c) {
        each.hottest = c;
      }
    }
    look_at_fans(compiled, cases[each.hottest], model, heats[each.hottest], space, each);
    plan.compartments.push_back(std::move(each));
  }
  return plan;
}

}  // namespace nightbus::scenario_detail
