/// Heat of a solved case, and who pays for the losses.

#include <doctest/doctest.h>

#include <cmath>
#include <numeric>

#include "scenario/energy_plan.hpp"
#include "scenario/heat.hpp"
#include "systems.hpp"

using namespace nightbus;
using namespace nightbus::scenario_detail;
using namespace systems;

namespace {

const Catalogue& tables() {
  return Catalogue::builtin();
}
CompiledSystem compiled_of(const System& system) {
  return compile_system(system, tables(), starting_choices(system, tables()));
}

/// small(), both loads and all but the feed's near end in one box without a fan.
System boxed() {
  System system = small();
  Compartment box;
  box.name = "box";
  box.conductance_w_per_k = 4.0;
  box.solar_gain_w = 20.0;
  system.compartments.push_back(box);
  for (Load& each : system.loads) {
    each.compartment = "box";
  }
  system.buses[0].compartment = "box";
  return system;
}

Case hot_case() {
  Case made = low_case("hot");
  made.ambient = Ambient::hot;
  return made;
}

}  // namespace

TEST_CASE("air in a box without a fan rises by its heat over its conductance") {
  const System system = boxed();
  const CompiledSystem wired = compiled_of(system);
  const HeatModel model = heat_model(system);
  Workspace workspace(wired.circuit());
  const CaseHeat heat = settle_case(wired, hot_case(), model, workspace, {});
  const double watts = heat.sources[0].total_w();
  CHECK(heat.air.compartment_c[0] == doctest::Approx(40.0 + watts / 4.0).epsilon(1e-6));
  CHECK(heat.sources[0].sun_w == doctest::Approx(20.0));
  CHECK(heat.sources[0].devices_w == doctest::Approx(84.0));
  // The solution rests on the air it makes: once more changes nothing.
  const CaseHeat again = settle_case(wired, hot_case(), model, workspace, heat.air);
  CHECK(again.air.compartment_c[0] == doctest::Approx(heat.air.compartment_c[0]).epsilon(1e-4));
  CHECK(again.rounds == 1);
}

TEST_CASE("every watt the bank gives is a load, a loss, or heat somewhere") {
  System system = boxed();
  system.banks[0].compartment = "box";
  for (Run& each : system.runs) {
    each.compartment = "box";
  }
  const CompiledSystem wired = compiled_of(system);
  const CaseResult result = solve_case(wired, low_case());
  const std::vector<HeatSources> sources = heat_sources(wired, result);
  CHECK(sources[0].total_w() == doctest::Approx(result.balance.supplied_w).epsilon(1e-9));
}

TEST_CASE("a fan's step follows the air, and the air the step") {
  System system = boxed();
  Fan fan;
  fan.name = "fan";
  fan.cools = "box";
  fan.step_w = {1.0, 3.0, 8.0};
  fan.step_flow_m3s = {0.005, 0.012, 0.025};
  fan.installed_share = 1.0;
  fan.set_point_c = 42.0;
  fan.step_width_k = 2.0;
  system.fans.push_back(fan);
  system.runs.push_back(run("fan feed", "block", "fan", 0.5, "18 AWG"));
  const CompiledSystem wired = compiled_of(system);
  const HeatModel model = heat_model(system);
  Workspace workspace(wired.circuit());
  const CaseHeat heat = settle_case(wired, hot_case(), model, workspace, {});
  const double temp = heat.air.compartment_c[0];
  CHECK(temp < 40.0 + 104.0 / 4.0);  // cooler than without a fan
  const double wanted = std::floor((temp - 42.0) / 2.0) + 1.0;
  CHECK(std::abs(heat.steady.fan_step[0] - std::clamp(wanted, 0.0, 3.0)) <= 1.0);
  const std::vector<CaseHeat> heats{heat};
  const HeatPlan plan = heat_plan(wired, {hot_case()}, model, heats);
  REQUIRE(plan.compartments[0].temp_at_step_c.size() == 4);
  for (std::size_t step = 1; step < 4; ++step) {
    CHECK(plan.compartments[0].temp_at_step_c[step] <
          plan.compartments[0].temp_at_step_c[step - 1]);
  }
  CHECK(plan.compartments[0].fans_off_c == plan.compartments[0].temp_at_step_c[0]);
  CHECK(plan.compartments[0].flow_m3s == doctest::Approx(0.025));
}

TEST_CASE("the shares of all consumers add up to what the bank gives") {
  System system = small();
  Converter stage;
  stage.name = "stage";
  stage.output_v = 5.0;
  stage.power_w = 30.0;
  stage.efficiency = {{0.2, 0.85}, {1.0, 0.9}};
  stage.window_v = Range{9.0, 16.0};
  system.converters.push_back(stage);
  system.loads.push_back(load("shelf", 9.0));
  system.loads.back().window_v = Range{4.5, 5.5};
  system.runs.push_back(run("stage feed", "block", "stage", 2.0, "16 AWG"));
  system.runs.push_back(run("shelf feed", "stage", "shelf", 3.0, "18 AWG"));
  const CompiledSystem wired = compiled_of(system);
  const CaseResult result = solve_case(wired, low_case());
  REQUIRE(result.ok());
  const LossShares shares = loss_shares(wired, result);
  double total = 0.0;
  for (std::size_t k = 0; k < system.loads.size(); ++k) {
    const std::size_t at = wired.find_point(system.loads[k].name).value();
    CHECK(shares.factor[at] > 1.0);
    total += result.loads[k].power_w * shares.factor[at];
  }
  const double given = result.banks[0].voltage_v * result.banks[0].current_a;
  CHECK(total == doctest::Approx(given).epsilon(1e-9));
  // And whoever sits behind the converter pays for it.
  CHECK(shares.factor[wired.find_point("shelf").value()] >
        shares.factor[wired.find_point("switch").value()] * 1.1);
  CHECK(shares.parent[wired.find_point("shelf").value()] ==
        static_cast<int>(wired.find_point("stage").value()));
}
