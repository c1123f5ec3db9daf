// Bank, path and heat as one ordinary differential equation, integrated here by a classical
// Runge-Kutta method of fourth order with steps of two seconds, beside the simulation's own steps.
//
//   i  = (E - sqrt(E² - 4 P R)) / 2R,   E = n (U(s) + h W),   R = Rb(T) + paths       (drawn)
//   ds/dt = -i / Q      dh/dt = -(1 + h) i / (w Q)
//   C dT/dt = P + i² (Rb + load path) - n h W i - G (T - Ta)
//
// The step is of second order: halving it must divide the error by four.

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "energy/simulated_system.hpp"

using namespace nightbus;
using namespace simulated;

namespace {

constexpr double power_w = 90.0;
constexpr double load_ohm = 0.03, bank_ohm = 0.01;
constexpr double capacity_ah = 100.0;
constexpr double wall_w_per_k = 4.0, mass_j_per_k = 90000.0, air_c = -5.0;
constexpr double swing_v = 0.02;

/// One straight piece in every table, so that no corner cuts a step.
BankModel straight() {
  BankModel bank;
  bank.cells = 4;
  bank.capacity_ah = capacity_ah;
  bank.mean_v = {{0.0, 1.0}, {3.0, 3.5}};
  bank.swing_v = PiecewiseLinear::constant(swing_v);
  bank.hysteresis_charge = 0.2;
  bank.resistance_ohm = 0.02;
  bank.resistance_by_temp = {{-40.0, 60.0}, {3.0, 0.5}};
  bank.discharge_low_c = -60.0;
  return bank;
}

struct State {
  double s = 0.95, h = 0.6, temp_c = 10.0;
};
State operator+(const State& a, const State& b) {
  return {a.s + b.s, a.h + b.h, a.temp_c + b.temp_c};
}
State operator*(double k, const State& a) {
  return {k * a.s, k * a.h, k * a.temp_c};
}

State rate(const State& x) {
  const double swing = 4.0 * swing_v * x.h;
  const double emf = 4.0 * (3.0 + 0.5 * x.s) + swing;
  const double inner = 0.02 * (3.0 - 2.5 * (x.temp_c + 40.0) / 100.0);
  const double ohm = inner + bank_ohm + load_ohm;
  const double i = (emf - std::sqrt(emf * emf - 4.0 * power_w * ohm)) / (2.0 * ohm);
  const double per_s = i / 3600.0 / capacity_ah;
  const double heat = power_w + i * i * (inner + load_ohm) - swing * i;
  return {-per_s, -(1.0 + x.h) * per_s / 0.2,
          (heat - wall_w_per_k * (x.temp_c - air_c)) / mass_j_per_k};
}

State integrated(double span_s) {
  State x;
  constexpr double dt = 2.0;
  for (double t = 0.0; t < span_s - 0.5 * dt; t += dt) {
    const State a = rate(x);
    const State b = rate(x + 0.5 * dt * a);
    const State c = rate(x + 0.5 * dt * b);
    const State d = rate(x + dt * c);
    x = x + (dt / 6.0) * (a + 2.0 * b + 2.0 * c + d);
  }
  return x;
}

SimulationInput system(double step_s, double span_s) {
  SimulationInput in = bare(straight(), 0.95, 0.0, span_s / 86400.0, step_s);
  in.weather = still_weather(in.options.start_s, 2.0, air_c);
  in.banks[0].hysteresis = 0.6;
  in.banks[0].path_resistance_ohm = bank_ohm;
  in.banks[0].space = 0;
  in.thermal.spaces.push_back(
      {.heat_capacity_j_per_k = mass_j_per_k, .outside_w_per_k = wall_w_per_k});
  in.start_space_c = {10.0};
  in.loads.push_back({.draw = SteadyDraw{power_w}, .path_resistance_ohm = load_ohm, .space = 0});
  return in;
}

/// The same as a circuit of its own resistances.
SimulationInput circuit(SimulationInput in) {
  CircuitBuilder builder;
  const auto node = builder.add_nodes(4);
  in.banks[0].element = static_cast<int>(index(builder.add_source(node[0], node[3], {12.0, 0.02})));
  builder.add_resistor(node[0], node[1], bank_ohm);
  const ElementId wire = builder.add_resistor(node[1], node[2], load_ohm);
  in.loads[0].element =
      static_cast<int>(index(builder.add_load(node[2], node[3], {.power_w = 1.0})));
  SimNetwork network{builder.compile(), node[1], node[3], {}, -1};
  network.space_of_element.assign(network.circuit.element_count(), -1);
  network.space_of_element[index(wire)] = 0;
  in.network = std::move(network);
  return in;
}

}  // namespace

TEST_CASE("bank, path and heat follow an independent integration, with second order in the step") {
  constexpr double span_s = 6.0 * 3600.0;
  const State truth = integrated(span_s);
  REQUIRE(truth.s < 0.6);
  REQUIRE(truth.temp_c > 11.0);
  for (const bool solved : {false, true}) {
    std::array<double, 3> charge{}, heat{}, swing{};
    std::size_t k = 0;
    for (const double step_s : {3600.0, 1800.0, 900.0}) {
      const SimulationInput in = solved ? circuit(system(step_s, span_s)) : system(step_s, span_s);
      const SimulationResult run = simulate(in);
      INFO(run.message);
      REQUIRE(run.status == SimStatus::done);
      REQUIRE(run.sub_steps == run.steps);
      CHECK(run.ledger.relative_gap() < 1e-12);
      charge[k] = std::abs(run.banks[0].final_soc - truth.s);
      swing[k] = std::abs(run.banks[0].final_hysteresis - truth.h);
      heat[k] = std::abs(run.final_space_c[0] - truth.temp_c);
      ++k;
    }
    INFO("circuit ", solved, " charge ", charge[0], " ", charge[1], " ", charge[2], " swing ",
         swing[0], " ", swing[1], " ", swing[2], " heat ", heat[0], " ", heat[1], " ", heat[2]);
    CHECK(charge[2] < 2e-4);
    CHECK(heat[2] < 0.02);
    for (const auto& error : {charge, heat}) {
      CHECK(error[0] / error[1] > 3.0);
      CHECK(error[1] / error[2] > 3.0);
      CHECK(error[1] / error[2] < 5.5);
    }
  }
}
