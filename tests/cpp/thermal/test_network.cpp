// Thermal networks: steady state, time, thermostats.

#include <doctest/doctest.h>

#include <cmath>
#include <random>

#include "nightbus/source.hpp"
#include "nightbus/thermal.hpp"

using namespace nightbus;

namespace {

double from_f(double fahrenheit) {
  return (fahrenheit - 32.0) / 1.8;
}

AirSpace box(double ua, double capacity = 20000.0) {
  AirSpace space;
  space.outside_w_per_k = ua;
  space.heat_capacity_j_per_k = capacity;
  return space;
}

SpaceFan fan(std::vector<FanStep> steps, StagedThermostat control,
             std::vector<AirInlet> inlets = {}) {
  SpaceFan f;
  f.steps = std::move(steps);
  f.control = control;
  f.inlets = std::move(inlets);
  return f;
}

/// A random network with a way out for every space.
ThermalModel random_model(std::mt19937& random, std::size_t spaces) {
  std::uniform_real_distribution<double> u(0.0, 1.0);
  ThermalModel model;
  model.altitude_m = 2000.0 * u(random);
  for (std::size_t k = 0; k < spaces; ++k) {
    AirSpace space = box(0.5 + 5.0 * u(random), 5000.0 + 50000.0 * u(random));
    space.sun_gain_m2 = 0.3 * u(random);
    if (k > 0) {
      space.fans.push_back(
          fan({{0, 0}, {0.01 * u(random), 1.0}, {0.03, 3.0}},
              {.set_point_c = 28.0, .step_k = 4.0, .lowest = 0, .hysteresis_k = 2.0},
              {{static_cast<int>(k) - 1, u(random)}}));
      model.links.push_back({static_cast<int>(k) - 1, static_cast<int>(k), 3.0 * u(random)});
    }
    model.spaces.push_back(space);
  }
  return model;
}

}  // namespace

TEST_CASE("one box: rise is heat over (UA + m cp), with the density of its own air") {
  ThermalModel model;
  model.altitude_m = 1000.0;
  AirSpace space = box(4.95);
  space.fans.push_back(fan({{0.0, 0.0}, {20.0 / 3600.0, 2.0}}, {.lowest = 1}));
  model.spaces.push_back(space);
  const ThermalNetwork network(model);
  const double heat = 118.0;
  const ThermalDrive drive{.outside_c = 30.0, .heat_w = {&heat, 1}};
  const SteadyHeat s = network.steady(drive);
  const double density = air_density_kg_per_m3(s.temp_c[0], air_pressure_ratio(1000.0));
  CHECK(s.status == SteadyStatus::settled);
  CHECK(s.temp_c[0] - 30.0 ==
        doctest::Approx(temperature_rise_k(120.0, 4.95, 20.0 / 3600.0, density)).epsilon(1e-10));
}

TEST_CASE("in steady state every space's heat balance is zero") {
  std::mt19937 random(7);
  for (std::size_t round = 0; round < 50; ++round) {
    const ThermalNetwork network(random_model(random, 1 + round % 5));
    std::vector<double> heat(network.model().spaces.size());
    for (double& h : heat) h = std::uniform_real_distribution<double>(0.0, 150.0)(random);
    const ThermalDrive drive{.outside_c = 25.0, .sun_wm2 = 400.0, .heat_w = heat};
    const SteadyHeat s = network.steady(drive);
    if (s.status != SteadyStatus::settled) continue;
    ThermalState state = network.start(25.0);
    state.temp_c = s.temp_c;
    for (std::size_t f = 0; f < state.fans.size(); ++f) {
      state.fans[f].step = static_cast<int>(s.fan_step[f]);
    }
    for (std::size_t k = 0; k < heat.size(); ++k) {
      const HeatBalance h = network.balance(state, drive, k);
      CHECK(std::abs(h.gear_w + h.sun_w + h.fan_motor_w + h.walls_w + h.air_w) < 1e-6);
    }
    // Time does not move it, and the thermostats agree.
    CHECK_FALSE(network.switch_fans(state));
    network.advance(state, drive, 3600.0);
    for (std::size_t k = 0; k < heat.size(); ++k) {
      CHECK(state.temp_c[k] == doctest::Approx(s.temp_c[k]).epsilon(1e-9));
    }
  }
}

TEST_CASE("the transient follows the exponential of one box, with second order") {
  ThermalModel model;
  model.spaces.push_back(box(5.0, 30000.0));
  const ThermalNetwork network(model);
  const double heat = 100.0;
  const ThermalDrive drive{.outside_c = 10.0, .heat_w = {&heat, 1}};
  const double span = 6000.0;
  const double exact = 30.0 - 20.0 * std::exp(-span * 5.0 / 30000.0);
  double last = 0.0;
  for (const int steps : {4, 8, 16, 32}) {
    ThermalState state = network.start(10.0);
    for (int k = 0; k < steps; ++k) network.advance(state, drive, span / steps);
    const double error = std::abs(state.temp_c[0] - exact);
    if (last > 0.0) CHECK(last / error == doctest::Approx(4.0).epsilon(0.1));
    last = error;
  }
}

TEST_CASE("a step far longer than the time constant neither rings nor overshoots") {
  ThermalModel model;
  model.spaces.push_back(box(50.0, 1000.0));  // 20 s
  const ThermalNetwork network(model);
  const double heat = 500.0;
  ThermalState state = network.start(0.0);
  for (int k = 0; k < 5; ++k)
    network.advance(state, {.outside_c = 20.0, .heat_w = {&heat, 1}}, 3600.0);
  CHECK(state.temp_c[0] == doctest::Approx(30.0).epsilon(1e-6));
}

TEST_CASE(
    "with air moving the transient is still of second order (density at the middle of the step)") {
  ThermalModel model;
  AirSpace space = box(2.0, 30000.0);
  space.fans.push_back(fan({{0.02, 3.0}}, {}));
  model.spaces.push_back(space);
  const ThermalNetwork network(model);
  const double heat = 400.0;
  const ThermalDrive drive{.outside_c = -10.0, .heat_w = {&heat, 1}};
  const auto run = [&](int steps) {
    ThermalState state = network.start(60.0);
    for (int k = 0; k < steps; ++k) network.advance(state, drive, 2000.0 / steps);
    return state.temp_c[0];
  };
  const double fine = run(4096);
  CHECK(std::abs(run(16) - fine) / std::abs(run(32) - fine) == doctest::Approx(4.0).epsilon(0.1));
}

TEST_CASE("C dT/dt equals the heat balance") {
  std::mt19937 random(11);
  const ThermalNetwork network(random_model(random, 3));
  const std::vector<double> heat{40.0, 90.0, 10.0};
  const ThermalDrive drive{.outside_c = 5.0, .sun_wm2 = 100.0, .heat_w = heat};
  ThermalState state = network.start(33.0);
  network.switch_fans(state);
  for (std::size_t k = 0; k < 3; ++k) {
    const HeatBalance h = network.balance(state, drive, k);
    ThermalState later = state;
    network.advance(later, drive, 1e-3);
    const double rate = (later.temp_c[k] - state.temp_c[k]) / 1e-3;
    CHECK(rate * network.model().spaces[k].heat_capacity_j_per_k ==
          doctest::Approx(h.gear_w + h.sun_w + h.fan_motor_w + h.walls_w + h.air_w).epsilon(1e-4));
  }
}

TEST_CASE("a held space keeps its temperature and still warms its neighbour") {
  ThermalModel model;
  model.spaces = {box(1.0), box(0.0)};
  model.spaces[1].held_c = 22.0;
  model.links = {{0, 1, 1.0}};
  const ThermalNetwork network(model);
  CHECK(network.steady({.outside_c = 0.0}).temp_c[0] == doctest::Approx(11.0));
  ThermalState state = network.start(0.0);
  for (int k = 0; k < 100; ++k) network.advance(state, {.outside_c = 0.0}, 3600.0);
  CHECK(state.temp_c[0] == doctest::Approx(11.0));
  CHECK(state.temp_c[1] == 22.0);
}

TEST_CASE("a space that cannot lose its heat is called unbounded, not comfortable") {
  ThermalModel model;
  model.spaces = {box(0.0), box(0.0)};
  const std::vector<double> heat{10.0, 0.0};
  const ThermalDrive drive{.outside_c = 20.0, .heat_w = heat};
  CHECK(ThermalNetwork(model).steady(drive).status == SteadyStatus::unbounded);
  model.links = {{0, 1, 2.0}};  // to each other only
  CHECK(ThermalNetwork(model).steady(drive).status == SteadyStatus::unbounded);
  // In time it simply warms: 10 W for an hour into 40 kJ/K.
  const ThermalNetwork network(model);
  ThermalState state = network.start(20.0);
  for (int k = 0; k < 60; ++k) network.advance(state, drive, 60.0);
  CHECK(state.temp_c[0] + state.temp_c[1] == doctest::Approx(40.0 + 36000.0 / 20000.0));
}

TEST_CASE(
    "the staircase: first step above the set point, one more each step width, never below the "
    "lowest") {
  const StagedThermostat t{.set_point_c = 20.0, .step_k = 2.0, .lowest = 0, .hysteresis_k = 1.0};
  CHECK(t.wanted(19.9, 0, 5) == 0);
  CHECK(t.wanted(20.0, 0, 5) == 1);
  CHECK(t.wanted(21.9, 0, 5) == 1);
  CHECK(t.wanted(22.0, 0, 5) == 2);
  CHECK(t.wanted(99.0, 0, 5) == 5);
  CHECK(t.wanted(21.5, 2, 5) == 2);  // kept: less than the hysteresis below 22
  CHECK(t.wanted(20.9, 2, 5) == 1);
  const StagedThermostat floor{
      .set_point_c = 20.0, .step_k = 2.0, .lowest = 2, .hysteresis_k = 1.0};
  CHECK(floor.wanted(-30.0, 2, 5) == 2);
  CHECK(floor.wanted(24.0, 2, 5) == 3);
}

TEST_CASE(
    "with no landing a thermostat between two steps is told to be cycling, with the mean step") {
  ThermalModel model;
  AirSpace space = box(2.0);
  space.fans.push_back(fan({{0, 0}, {0.05, 0}}, {.set_point_c = 35.0, .hysteresis_k = 0.5}));
  model.spaces.push_back(space);
  const ThermalNetwork network(model);
  const double heat = 60.0;  // 50 °C without, 21 °C with the fan
  const SteadyHeat s = network.steady({.outside_c = 20.0, .heat_w = {&heat, 1}});
  CHECK(s.status == SteadyStatus::cycling);
  CHECK(s.fan_step[0] > 0.0);
  CHECK(s.fan_step[0] < 1.0);
  CHECK(s.temp_c[0] == doctest::Approx(34.75).epsilon(1e-6));
}

TEST_CASE(
    "more air never warms a space whose inlet is cooler, and no air helps when it is warmer") {
  ThermalModel model;
  AirSpace space = box(3.0);
  space.fans.push_back(
      fan({{0, 0}, {0.01, 0}, {0.02, 0}, {0.05, 0}, {0.1, 0}}, {.set_point_c = 99.0}));
  model.spaces.push_back(space);
  const ThermalNetwork network(model);
  const double heat = 80.0;
  const ThermalDrive drive{.outside_c = 30.0, .heat_w = {&heat, 1}};
  const FanAdvice advice = fan_advice(network, drive, 0, 40.0);
  for (std::size_t k = 1; k < advice.temp_at_step_c.size(); ++k) {
    CHECK(advice.temp_at_step_c[k] < advice.temp_at_step_c[k - 1]);
  }
  REQUIRE(advice.needed_flow_m3s);
  REQUIRE(advice.smallest_step);
  const double density = air_density_kg_per_m3(40.0);
  CHECK(temperature_rise_k(80.0, 3.0, *advice.needed_flow_m3s, density) ==
        doctest::Approx(10.0).epsilon(1e-6));
  CHECK(advice.temp_at_step_c[static_cast<std::size_t>(*advice.smallest_step)] <= 40.0);
  CHECK(advice.temp_at_step_c[static_cast<std::size_t>(*advice.smallest_step) - 1] > 40.0);
  CHECK_FALSE(network.airflow_for_limit(drive, 0, 29.0));  // cooler than the air that comes in
}

TEST_CASE("impossible models are refused with a reason") {
  ThermalModel model;
  model.spaces = {box(1.0)};
  model.links = {{0, 1, 1.0}};
  CHECK_THROWS_AS(ThermalNetwork{model}, Error);
  model.links.clear();
  model.spaces[0].fans.push_back(fan({{0, 0}}, {}, {{outside_air, 0.7}, {0, 0.7}}));
  CHECK_THROWS_AS(ThermalNetwork{model}, Error);
  model.spaces[0].fans[0].inlets.clear();
  model.spaces[0].heat_capacity_j_per_k = 0.0;
  CHECK_THROWS_AS(ThermalNetwork{model}, Error);
}

// Common practice, no source: a closed compartment of always-on gear beside a conditioned room
// stands near 98 °F on a 102 °F day without a fan and near 80 °F with one whose inlet air comes
// mostly from that room; a stepped controller (68 °F, a step for each 4 °F, never below its second
// step, day and night) settles without hunting. The figures of the box are ours, chosen as
// plausible.
namespace {

ThermalModel equipment_bay(bool with_fan) {
  ThermalModel model;
  AirSpace bay = box(11.0, 60000.0);
  std::vector<FanStep> steps{{0.0, 0.0}};
  for (int n = 1; n <= 10; ++n) {
    // A 250 mm fan: 1100 m³/h in free air at full speed, 55 % of it installed; power by the cube.
    const double speed = n / 10.0;
    steps.push_back({0.55 * 1100.0 / 3600.0 * speed, 0.4 + 30.0 * speed * speed * speed});
  }
  StagedThermostat control{
      .set_point_c = from_f(68.0), .step_k = 4.0 / 1.8, .lowest = 2, .hysteresis_k = 2.0 / 1.8};
  if (!with_fan) {
    steps = {{0.0, 0.0}};
    control.lowest = 0;
  }
  bay.fans.push_back(fan(steps, control, {{1, 0.95}}));
  AirSpace room = box(0.0, 1e6);
  room.held_c = from_f(75.0);
  model.spaces = {bay, room};
  model.links = {{0, 1, 6.0}};
  return model;
}

}  // namespace

TEST_CASE("closed bay on a hot day: near 98 °F without a fan, near 80 °F with one") {
  const std::vector<double> heat{52.0, 0.0};
  const ThermalDrive hot{.outside_c = from_f(102.0), .heat_w = heat};
  const double without = ThermalNetwork(equipment_bay(false)).steady(hot).temp_c[0];
  const SteadyHeat with = ThermalNetwork(equipment_bay(true)).steady(hot);
  CHECK(std::abs(without - from_f(98.0)) < 1.0);
  CHECK(std::abs(with.temp_c[0] - from_f(80.0)) < 1.0);
  MESSAGE("without ", without * 1.8 + 32, " F, with ", with.temp_c[0] * 1.8 + 32, " F at step ",
          with.fan_step[0]);
}

TEST_CASE("the stepped controller settles without hunting, day and night") {
  const ThermalNetwork network(equipment_bay(true));
  const std::vector<double> heat{52.0, 0.0};
  ThermalState state = network.start(from_f(75.0));
  int changes = 0;
  int lowest = 99;
  for (int minute = 0; minute < 4 * 1440; ++minute) {
    const double outside =
        from_f(87.0) + 15.0 / 1.8 * std::cos((minute - 15 * 60) / 1440.0 * 2.0 * 3.141592653589793);
    network.advance(state, {.outside_c = outside, .heat_w = heat}, 60.0);
    if (network.switch_fans(state) && minute > 1440) ++changes;
    lowest = std::min(lowest, state.fans[0].step);
  }
  CHECK(lowest == 2);
  // Three days: up in the morning, down at night, a few steps each; not a change every few minutes.
  CHECK(changes > 0);
  CHECK(changes <= 3 * 12);
  MESSAGE("fan changes in three days: ", changes);
}

TEST_CASE("several steps of a 250 mm fan: each gives less than the one before") {
  const ThermalNetwork network(equipment_bay(true));
  const std::vector<double> heat{52.0, 0.0};
  const FanAdvice advice =
      fan_advice(network, {.outside_c = from_f(102.0), .heat_w = heat}, 0, from_f(95.0));
  REQUIRE(advice.temp_at_step_c.size() == 11);
  double last_gain = 1e9;
  for (std::size_t k = 1; k < 8; ++k) {
    const double gain = advice.temp_at_step_c[k - 1] - advice.temp_at_step_c[k];
    CHECK(gain > 0.0);
    CHECK(gain < last_gain);
    last_gain = gain;
  }
  // The motor's own watts grow with the cube: the last steps buy next to nothing.
  CHECK(advice.temp_at_step_c[8] - advice.temp_at_step_c[10] < 0.5);
}
