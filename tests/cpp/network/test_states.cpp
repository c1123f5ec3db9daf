#include <doctest/doctest.h>

#include <algorithm>

#include "network/nets.hpp"
#include "nightbus/network_study.hpp"

using namespace nets;

namespace {

LoadLaw with_lock_out(double power_w, double off_v, double on_v) {
  LoadLaw law;
  law.power_w = power_w;
  law.minimum_v = 1.0;
  law.lock_out = LockOut{off_v, on_v};
  return law;
}

}  // namespace

TEST_CASE("a lock-out with enough hysteresis stays on, or stays off, as it came") {
  // 25 W behind 0.5 Ω on 12.0 V: at rest V = 10.848 V (upper root); off 10.5 V, on 11.5 V.
  const TwoNode net = two_node(12.0, 0.5, with_lock_out(25.0, 10.5, 11.5));
  Workspace w(net.circuit);
  const OperatingPoint on = solve(net.circuit, w);
  REQUIRE(on.status == SolveStatus::solved);
  CHECK(std::abs(on.voltage_v[index(net.load)] - 10.848) < 0.5e-3);
  CHECK(on.on[index(net.load)] == 1);
  // Coming from off at 12.0 V it restarts (12.0 > 11.5) and then holds.
  const std::vector<std::uint8_t> off{1, 0};
  SolveOptions options;
  options.previous_on = off;
  const OperatingPoint restarted = solve(net.circuit, net.circuit.parameters(), w, options);
  CHECK(restarted.status == SolveStatus::solved);
  CHECK(restarted.on[index(net.load)] == 1);
  CHECK(restarted.state_changes == 1);
}

TEST_CASE("too little hysteresis for the drop is chatter, told with its numbers") {
  // The drop at cut-off is R P / V_off = 1.190 V; with 11.6 V at rest and restart at 11.5 V the
  // load trips (its root lies below 10.5 V) and restarts (11.6 > 11.5): neither state holds.
  const TwoNode net = two_node(11.6, 0.5, with_lock_out(25.0, 10.5, 11.5));
  Workspace w(net.circuit);
  const OperatingPoint point = solve(net.circuit, w);
  REQUIRE(point.status == SolveStatus::no_consistent_state);
  REQUIRE(point.loop.size() == 2);
  CHECK_FALSE(point.other_state_exists);
  const StateChange& trip = point.loop[0].turned_on ? point.loop[1] : point.loop[0];
  const StateChange& restart = point.loop[0].turned_on ? point.loop[0] : point.loop[1];
  CHECK(trip.element == net.load);
  CHECK(trip.threshold_v == 10.5);
  CHECK(trip.voltage_v == doctest::Approx(upper_root(11.6, 0.5, 25.0)).epsilon(1e-9));
  CHECK(restart.threshold_v == 11.5);
  CHECK(restart.voltage_v == doctest::Approx(11.6).epsilon(1e-9));
}

TEST_CASE("the criterion for chatter: hysteresis above R P / V_off never chatters") {
  // Sweep the source: with V_on - V_off > R P / V_off every EMF has a state that holds.
  for (double emf = 8.0; emf < 14.0; emf += 0.01) {
    const TwoNode net = two_node(emf, 0.5, with_lock_out(25.0, 10.5, 10.5 + 1.191));
    Workspace w(net.circuit);
    CHECK(solve(net.circuit, w).status == SolveStatus::solved);
  }
}

TEST_CASE("loads that trip give way to those that can stay") {
  // Two equal loads: together they sag below the cut-off of the first, one alone does not.
  CircuitBuilder b;
  const NodeId p = b.add_node(), n = b.add_node();
  b.add_source(p, n, {12.0, 0.25});
  const ElementId weak = b.add_load(p, n, with_lock_out(25.0, 11.0, 11.9));
  const ElementId tough = b.add_load(p, n, with_lock_out(25.0, 9.0, 9.5));
  const Circuit circuit = b.compile();
  const OperatingPoint point = solved(circuit);
  REQUIRE(point.status == SolveStatus::solved);
  CHECK(point.on[index(weak)] == 0);
  CHECK(point.on[index(tough)] == 1);
  CHECK(point.states[index(weak)] == ElementState::locked_out);
}

TEST_CASE("a disconnect relay opens on a low bank and everything behind it goes dark") {
  for (const double emf : {12.6, 11.0}) {
    CircuitBuilder b;
    const NodeId p = b.add_node(), n = b.add_node(), bus = b.add_node();
    b.add_source(p, n, {emf, 0.01});
    RelayLaw law;
    law.resistance_ohm = 0.001;
    law.open_below_v = 11.4;
    law.close_above_v = 12.2;
    const ElementId relay = b.add_relay(p, bus, p, n, law);
    const ElementId load = b.add_load(bus, n, {.power_w = 40.0});
    const Circuit circuit = b.compile();
    const OperatingPoint point = solved(circuit);
    REQUIRE(point.status == SolveStatus::solved);
    if (emf > 12.0) {
      CHECK(point.states[index(relay)] == ElementState::normal);
      CHECK(point.power_w[index(load)] == doctest::Approx(40.0).epsilon(1e-9));
    } else {
      CHECK(point.states[index(relay)] == ElementState::open);
      CHECK(point.states[index(load)] == ElementState::dark);
      CHECK(point.current_a[index(load)] == doctest::Approx(0.0));
    }
  }
}

TEST_CASE("a charger holds its ceiling, then its current, then its power, and never takes back") {
  const auto charged = [](double load_w, ChargerLaw law) {
    CircuitBuilder b;
    const NodeId p = b.add_node(), n = b.add_node();
    b.add_source(p, n, {12.8, 0.02});
    const ElementId charger = b.add_charger(p, n, law);
    b.add_load(p, n, {.power_w = load_w});
    const Circuit circuit = b.compile();
    const OperatingPoint point = solved(circuit);
    REQUIRE(point.status == SolveStatus::solved);
    return std::pair(point, charger);
  };
  const auto [held, a] = charged(5.0, {.ceiling_v = 13.0, .current_limit_a = 40.0});
  CHECK(held.states[index(a)] == ElementState::normal);
  CHECK(held.voltage_v[index(a)] == doctest::Approx(13.0).epsilon(2e-3));
  const auto [limited, c] = charged(200.0, {.ceiling_v = 14.4, .current_limit_a = 10.0});
  CHECK(limited.states[index(c)] == ElementState::constant_current);
  CHECK(limited.current_a[index(c)] == doctest::Approx(-10.0).epsilon(1e-12));
  const auto [powered, d] =
      charged(200.0, {.ceiling_v = 14.4, .current_limit_a = 40.0, .power_limit_w = 120.0});
  CHECK(powered.states[index(d)] == ElementState::constant_power);
  CHECK(powered.power_w[index(d)] == doctest::Approx(-120.0).epsilon(1e-12));
  const auto [idle, f] = charged(0.0, {.ceiling_v = 12.0, .current_limit_a = 40.0});
  CHECK(idle.states[index(f)] == ElementState::blocking);
  CHECK(idle.current_a[index(f)] == 0.0);
}

TEST_CASE("two converters share one output through their diodes") {
  CircuitBuilder b;
  const NodeId p = b.add_node(), n = b.add_node(), o = b.add_node();
  b.add_source(p, n, {25.6, 0.02});
  ConverterLaw law;
  law.kind = ConverterTopology::buck;
  law.set_point_v = 12.0;
  law.output_resistance_ohm = 0.05;
  law.current_limit_a = 5.0;
  const ElementId first = b.add_converter(p, n, o, n, law);
  law.set_point_v = 11.8;
  const ElementId second = b.add_converter(p, n, o, n, law);
  const ElementId load = b.add_load(o, n, {.power_w = 30.0});
  Circuit circuit = b.compile();
  OperatingPoint point = solved(circuit);
  REQUIRE(point.status == SolveStatus::solved);
  CHECK(point.output_current_a[index(second)] == 0.0);
  CHECK(point.states[index(second)] == ElementState::blocking);
  Parameters more = circuit.parameters();
  more.set(load, ParameterKind::power_w, 90.0);
  Workspace w(circuit);
  point = solve(circuit, more, w);
  REQUIRE(point.status == SolveStatus::solved);
  CHECK(point.output_current_a[index(first)] == doctest::Approx(5.0));
  CHECK(point.states[index(first)] == ElementState::constant_current);
  CHECK(point.output_current_a[index(second)] > 2.0);
}

TEST_CASE("start-up from dark brings loads up in their order and tells who stays down") {
  CircuitBuilder b;
  const NodeId p = b.add_node(), n = b.add_node();
  b.add_source(p, n, {12.3, 0.2});
  const ElementId router = b.add_load(p, n, with_lock_out(12.0, 9.0, 10.0));
  const ElementId camera = b.add_load(p, n, with_lock_out(20.0, 10.5, 11.0));
  const ElementId fussy = b.add_load(p, n, with_lock_out(15.0, 11.0, 12.2));
  const Circuit circuit = b.compile();
  Workspace w(circuit);
  const std::vector<StartStep> steps{{router, 0.0}, {camera, 5.0}, {fussy, 10.0}};
  const StartUp start = start_up(circuit, circuit.parameters(), w, steps);
  REQUIRE(start.status == SolveStatus::solved);
  REQUIRE(start.events.size() == 3);
  CHECK(start.events[1].time_s == 5.0);
  CHECK(std::find(start.came_up.begin(), start.came_up.end(), router) != start.came_up.end());
  CHECK(std::find(start.came_up.begin(), start.came_up.end(), camera) != start.came_up.end());
  REQUIRE(start.stayed_down.size() == 1);
  CHECK(start.stayed_down[0] == fussy);
}
