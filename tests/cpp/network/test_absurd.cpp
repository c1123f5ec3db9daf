#include <doctest/doctest.h>

#include <cmath>

#include "network/nets.hpp"
#include "network/random_nets.hpp"
#include "nightbus/network_study.hpp"

using namespace nets;

namespace {

// Whatever went in: a status with a sentence, and numbers that are numbers.
void check_sane(const OperatingPoint& point) {
  CHECK_FALSE(status_sentence(point.status).empty());
  for (const auto* list : {&point.node_v, &point.voltage_v, &point.current_a, &point.power_w,
                           &point.loss_w, &point.temp_c, &point.output_current_a})
    for (const double value : *list) REQUIRE(std::isfinite(value));
  CHECK(std::isfinite(point.balance_w));
}

}  // namespace

TEST_CASE("a source shorted by a run of no length") {
  for (const double ohm : {0.0, 0.01}) {
    CircuitBuilder b;
    const NodeId p = b.add_node(), n = b.add_node();
    b.add_source(p, n, {12.8, ohm});
    const ElementId run = b.add_resistor(p, n, 0.0);
    const Circuit circuit = b.compile();
    const OperatingPoint point = solved(circuit);
    check_sane(point);
    if (ohm == 0.0) {
      CHECK(point.status == SolveStatus::short_circuit);
    } else {
      REQUIRE(point.status == SolveStatus::solved);
      CHECK(point.current_a[index(run)] == doctest::Approx(1280.0).epsilon(1e-9));
    }
  }
}

TEST_CASE("runs of zero ohms carry their current exactly") {
  CircuitBuilder b;
  const NodeId p = b.add_node(), n = b.add_node(), a = b.add_node(), c = b.add_node();
  const ElementId source = b.add_source(p, n, {12.8, 0.0});
  const ElementId first = b.add_resistor(p, a, 0.0);
  const ElementId second = b.add_resistor(a, c, 0.0);
  b.add_load(a, n, {.power_w = 25.6});
  b.add_load(c, n, {.power_w = 12.8});
  const Circuit circuit = b.compile();
  const OperatingPoint point = solved(circuit);
  REQUIRE(point.status == SolveStatus::solved);
  CHECK(point.current_a[index(first)] == doctest::Approx(3.0).epsilon(1e-12));
  CHECK(point.current_a[index(second)] == doctest::Approx(1.0).epsilon(1e-12));
  CHECK(point.current_a[index(source)] == doctest::Approx(-3.0).epsilon(1e-12));
  CHECK(std::abs(point.balance_w) < 1e-10);
}

TEST_CASE("an isolated island is dark, not an error") {
  CircuitBuilder b;
  const NodeId p = b.add_node(), n = b.add_node(), x = b.add_node(), y = b.add_node(),
               z = b.add_node();
  b.add_source(p, n, {12.8, 0.01});
  b.add_load(p, n, {.power_w = 10});
  b.add_resistor(x, y, 0.1);
  const ElementId lost = b.add_load(y, z, {.power_w = 10});
  b.add_node();  // nothing at all
  const Circuit circuit = b.compile();
  const OperatingPoint point = solved(circuit);
  check_sane(point);
  REQUIRE(point.status == SolveStatus::solved);
  CHECK(point.states[index(lost)] == ElementState::dark);
}

TEST_CASE("numbers outside their range are named") {
  const auto with = [](double emf, double ohm, double watts) {
    return two_node_leaf(emf, ohm, {.power_w = watts});
  };
  const double nan = std::nan(""), inf = no_limit;
  for (const auto& net : {with(12, 0.1, -5), with(nan, 0.1, 5), with(12, nan, 5),
                          with(12, 0.1, nan), with(inf, 0.1, 5), with(-12, 0.1, 5),
                          with(12, -0.1, 5), with(12, 0.1, inf), with(12, 0.1, 1e300)}) {
    const OperatingPoint point = solved(net.circuit);
    check_sane(point);
    CHECK(point.status == SolveStatus::invalid);
    CHECK(point.fault_element.has_value());
    CHECK(point.fault_parameter.has_value());
  }
}

TEST_CASE("any resistance from none to open gives a status and numbers") {
  for (int decade = -15; decade <= 15; ++decade) {
    const double ohm = std::pow(10.0, decade);
    CAPTURE(ohm);
    CircuitBuilder b;
    const NodeId p = b.add_node(), n = b.add_node(), d = b.add_node(), e = b.add_node();
    b.add_source(p, n, {12.8, 0.01});
    b.add_resistor(p, d, ohm);
    b.add_resistor(d, e, 0.01);
    const ElementId load = b.add_load(e, n, {.power_w = 20, .minimum_v = 9.0});
    const Circuit circuit = b.compile();
    const OperatingPoint point = solved(circuit);
    check_sane(point);
    REQUIRE(point.status == SolveStatus::solved);
    if (ohm <= 1e-9) CHECK(point.power_w[index(load)] == doctest::Approx(20.0).epsilon(1e-9));
    if (ohm >= 1e9) CHECK(point.states[index(load)] == ElementState::dark);
  }
}

TEST_CASE("a thousand converters in a row end in a status, quickly") {
  for (const double load_w : {0.0, 5.0, 1e5}) {
    CircuitBuilder b;
    NodeId p = b.add_node();
    const NodeId n = b.add_node();
    b.add_source(p, n, {12.8, 0.001});
    for (int k = 0; k < 1000; ++k) {
      const NodeId out = b.add_node();
      ConverterLaw law;
      law.set_point_v = k % 2 == 0 ? 24.0 : 12.0;
      law.output_resistance_ohm = 0.01;
      law.standby_w = 0.01;
      law.loss_fraction = 0.001;
      b.add_converter(p, n, out, n, law);
      p = out;
    }
    b.add_load(p, n, {.power_w = load_w});
    const Circuit circuit = b.compile();
    const OperatingPoint point = solved(circuit);
    check_sane(point);
    if (load_w < 10.0) CHECK(point.status == SolveStatus::solved);
    if (load_w > 1e4) CHECK(point.status != SolveStatus::solved);
  }
}

TEST_CASE("random numbers of any size never give NaN, and studies of them end") {
  for (unsigned seed = 0; seed < 120; ++seed) {
    CAPTURE(seed);
    nets::Options o;
    o.pairs = 4;
    o.ties = 0.3;
    o.converters = seed % 2;
    o.charger = seed % 3 == 0;
    o.diodes = 0.2;
    o.warm = 0.2;
    RandomNet random(seed);
    dense::Sheet sheet = random.make(o);
    const auto wild = [&] { return std::pow(10.0, random.uniform(-12.0, 9.0)); };
    for (dense::Part& p : sheet.parts) {
      if (random.chance(0.3)) p.ohm = random.chance(0.3) ? 0.0 : wild();
      if (random.chance(0.2)) p.emf = wild();
      if (random.chance(0.2)) p.load.power_w = wild();
      if (random.chance(0.2)) p.load.minimum_v = random.chance(0.5) ? 0.0 : 9.0;
      if (p.kind == ElementKind::charger && p.ohm == 0.0) p.ohm = 1e-3;
    }
    const Circuit circuit = sheet.build();
    const OperatingPoint point = solved(circuit);
    check_sane(point);
    if (point.status == SolveStatus::collapsed) CHECK(point.collapse_multiplier <= 1.0);
  }
}
