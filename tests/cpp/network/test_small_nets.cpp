#include <doctest/doctest.h>

#include <array>

#include "network/nets.hpp"

using namespace nets;

TEST_CASE("three resistors in parallel on 9 V") {
  // Lessons in Electric Circuits, volume I, chapter 5: 10 kΩ, 2 kΩ, 1 kΩ on 9 V give 0.9, 4.5, 9 mA
  // and 625 Ω together.
  CircuitBuilder b;
  const NodeId p = b.add_node(), n = b.add_node();
  b.add_source(p, n, {.emf_v = 9.0});
  const std::array ids{b.add_resistor(p, n, 10e3), b.add_resistor(p, n, 2e3),
                       b.add_resistor(p, n, 1e3)};
  const Circuit circuit = b.compile();
  const OperatingPoint point = solved(circuit);
  REQUIRE(point.status == SolveStatus::solved);
  CHECK(point.current_a[index(ids[0])] == doctest::Approx(0.9e-3).epsilon(1e-12));
  CHECK(point.current_a[index(ids[1])] == doctest::Approx(4.5e-3).epsilon(1e-12));
  CHECK(point.current_a[index(ids[2])] == doctest::Approx(9e-3).epsilon(1e-12));
  CHECK(-9.0 / point.current_a[0] == doctest::Approx(625.0).epsilon(1e-12));
}

TEST_CASE("two unequal sources on one bus: the weaker is charged by the stronger") {
  // Lessons in Electric Circuits, volume I, chapter 10 (results printed there): 28 V behind 4 Ω and
  // 7 V behind 1 Ω on a 2 Ω load: 8 V on the bus, 5 A from the first, 4 A in the load, 1 A into the
  // second.
  CircuitBuilder b;
  const NodeId p = b.add_node(), n = b.add_node();
  const ElementId first = b.add_source(p, n, {.emf_v = 28.0, .resistance_ohm = 4.0});
  const ElementId second = b.add_source(p, n, {.emf_v = 7.0, .resistance_ohm = 1.0});
  const ElementId load = b.add_resistor(p, n, 2.0);
  const Circuit circuit = b.compile();
  const OperatingPoint point = solved(circuit);
  REQUIRE(point.status == SolveStatus::solved);
  CHECK(point.node_v[0] == doctest::Approx(8.0).epsilon(1e-12));
  CHECK(point.current_a[index(first)] == doctest::Approx(-5.0).epsilon(1e-12));
  CHECK(point.current_a[index(load)] == doctest::Approx(4.0).epsilon(1e-12));
  CHECK(point.current_a[index(second)] == doctest::Approx(1.0).epsilon(1e-12));
  CHECK(point.states[index(second)] == ElementState::absorbing);
}

TEST_CASE("a long pair shorted at its far end") {
  // Lessons in Electric Circuits, volume I, chapter 12: 14 AWG, 2300 ft, 5.651 Ω one way, 11.301 Ω
  // around; 230 V drive 20.352 A. Tolerance: the printed digits.
  CircuitBuilder b;
  const NodeId p = b.add_node(), n = b.add_node(), far = b.add_node();
  b.add_source(p, n, {.emf_v = 230.0});
  const double one_way_ohm = 10.09 * 2300.0 / 4107.0;
  const ElementId out = b.add_resistor(p, far, one_way_ohm);
  b.add_resistor(far, n, one_way_ohm);
  const Circuit circuit = b.compile();
  const OperatingPoint point = solved(circuit);
  REQUIRE(point.status == SolveStatus::solved);
  CHECK(std::abs(point.current_a[index(out)] - 20.352) <= 0.001);
}

TEST_CASE("a mesh of two feeders and a tie") {
  // Computed independently from the stated inputs; half a unit of the last digit.
  const Mesh m = mesh();
  const OperatingPoint point = solved(m.circuit);
  REQUIRE(point.status == SolveStatus::solved);
  CHECK(std::abs(point.voltage_v[index(m.load_a)] - 12.458959) <= 0.5e-6);
  CHECK(std::abs(point.voltage_v[index(m.load_b)] - 12.378759) <= 0.5e-6);
  CHECK(std::abs(point.current_a[index(m.feed_a)] - 6.820817) <= 0.5e-6);
  CHECK(std::abs(point.current_a[index(m.feed_b)] - 5.265513) <= 0.5e-6);
  CHECK(std::abs(point.current_a[index(m.tie)] - 2.005005) <= 0.5e-6);
  CHECK(std::abs(point.total_loss_w - 4.705030) <= 0.5e-6);
  CHECK(std::abs(point.supplied_w - 154.705030) <= 0.5e-6);
}

TEST_CASE("powered devices at the limits of IEEE 802.3 types see the table's volts") {
  struct Row {
    double port_v, loop_ohm, device_w, device_v, loss_w;
  };
  // IEEE 802.3 clauses 33 and 145, table of types: port power and voltage, pair-set loop
  // resistance, device power and voltage. Losses: arithmetic.
  for (const Row& row : {Row{44.0, 20.0, 12.95, 37.0, 2.45}, Row{50.0, 12.5, 25.5, 42.5, 4.5},
                         Row{57.0, 12.5, 25.5, 50.715, 3.160}, Row{48.0, 12.5, 25.5, 40.039, 5.070},
                         Row{50.0, 6.25, 51.0, 42.5, 9.0}, Row{52.0, 6.25, 71.3, 41.178, 18.738},
                         Row{24.0, 9.38, 8.0, 20.304, 1.456}}) {
    CircuitBuilder b;
    const NodeId p = b.add_node(), n = b.add_node();
    b.add_source(p, n, {.emf_v = row.port_v});
    const auto link = b.add_poe_link(
        p, n, {.loop_resistance_ohm = row.loop_ohm, .power_w = row.device_w, .minimum_v = 15.0});
    const Circuit circuit = b.compile();
    const OperatingPoint point = solved(circuit);
    REQUIRE(point.status == SolveStatus::solved);
    CHECK(std::abs(point.voltage_v[index(link.device)] - row.device_v) <= 0.5e-3 + 0.5e-3);
    CHECK(std::abs(point.total_loss_w - row.loss_w) <= 0.5e-3 + 0.5e-3);
  }
}

TEST_CASE("the cable is solved from the device's side, not from the port's volts") {
  // Type 3, class 6: 60 W at a 50 V port, 6.25 Ω: 1.2 A (IEEE 802.3 table).
  CircuitBuilder b;
  const NodeId p = b.add_node(), n = b.add_node();
  const ElementId port = b.add_source(p, n, {.emf_v = 50.0});
  b.add_poe_link(p, n, {.loop_resistance_ohm = 6.25, .power_w = 51.0});
  const Circuit circuit = b.compile();
  const OperatingPoint point = solved(circuit);
  CHECK(point.current_a[index(port)] == doctest::Approx(-1.2).epsilon(1e-9));
  CHECK(point.power_w[index(port)] == doctest::Approx(-60.0).epsilon(1e-9));
}
