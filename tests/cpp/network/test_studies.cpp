#include <doctest/doctest.h>

#include "network/nets.hpp"
#include "network/random_nets.hpp"
#include "nightbus/network_study.hpp"

using namespace nets;

TEST_CASE("the multiplier to collapse is E² / (4 R P), wherever the case stands") {
  for (const double emf : {12.0, 24.0, 54.0})
    for (const double ohm : {0.01, 0.1, 0.5})
      for (const double share : {0.02, 0.3, 0.9, 0.999, 1.2}) {
        const double power = share * emf * emf / (4.0 * ohm);
        for (const TwoNode& net : {two_node(emf, ohm, {.power_w = power}),
                                   two_node_leaf(emf, ohm, {.power_w = power})}) {
          Workspace w(net.circuit);
          const Margins m = margins(net.circuit, net.circuit.parameters(), w, {});
          REQUIRE(m.collapse.has_value());
          CHECK(m.collapse->multiplier == doctest::Approx(1.0 / share).epsilon(1e-7));
          CHECK(m.collapse->element == net.load);
          CHECK(m.collapse->value == doctest::Approx(0.5 * emf).epsilon(1e-2));
        }
      }
}

TEST_CASE("the multiplier to a cut-off voltage has its closed form") {
  // P = V_u (E - V_u) / R: 12.8 V, 0.10 Ω, cut-off 10.5 V carry 241.5 W (arithmetic).
  const TwoNode net = two_node(12.8, 0.10, {.power_w = 60.0});
  Workspace w(net.circuit);
  const std::vector<VoltageWindow> windows{{net.load, 10.5, no_limit}};
  const std::vector<CurrentLimit> limits{{net.load, 15.0}};
  MarginRequest request;
  request.windows = windows;
  request.limits = limits;
  const Margins m = margins(net.circuit, net.circuit.parameters(), w, request);
  REQUIRE(m.first_window.has_value());
  CHECK(m.first_window->multiplier == doctest::Approx(241.5 / 60.0).epsilon(1e-5));
  CHECK(m.first_window->element == net.load);
  REQUIRE(m.first_current.has_value());
  // 15 A: V = 12.8 - 1.5 = 11.3 V, P = 169.5 W.
  CHECK(m.first_current->multiplier == doctest::Approx(169.5 / 60.0).epsilon(1e-5));
  REQUIRE(m.collapse.has_value());
  CHECK(m.collapse->multiplier == doctest::Approx(409.6 / 60.0).epsilon(1e-7));
}

TEST_CASE("collapse in a network is where a slightly larger demand has no answer") {
  int checked = 0;
  for (unsigned seed = 0; seed < 40; ++seed) {
    CAPTURE(seed);
    nets::Options o;
    o.pairs = 6;
    o.ties = seed % 2 == 0 ? 0.4 : 0.0;
    o.banks = 1 + seed % 3;
    o.all_laws = false;
    dense::Sheet sheet = RandomNet(seed + 9000).make(o);
    for (dense::Part& p : sheet.parts) p.load.minimum_v = 0.0;
    const Circuit circuit = sheet.build();
    Workspace w(circuit);
    MarginRequest request;
    request.largest = 1e4;
    const Margins m = margins(circuit, circuit.parameters(), w, request);
    REQUIRE(m.collapse.has_value());
    const auto at = [&](double multiplier) {
      Parameters p = circuit.parameters();
      for (std::uint32_t e = 0; e < circuit.element_count(); ++e)
        if (circuit.kind(ElementId{e}) == ElementKind::load)
          p.set(ElementId{e}, ParameterKind::scale,
                multiplier * p.get(ElementId{e}, ParameterKind::scale));
      return solve(circuit, p, w).status;
    };
    CHECK(at(m.collapse->multiplier * (1.0 - 1e-4)) == SolveStatus::solved);
    CHECK(at(m.collapse->multiplier * (1.0 + 1e-4)) == SolveStatus::collapsed);
    ++checked;
  }
  CHECK(checked == 40);
}

TEST_CASE("sensitivities agree with central differences of whole solves") {
  for (unsigned seed = 0; seed < 12; ++seed) {
    CAPTURE(seed);
    nets::Options o;
    o.pairs = 4;
    o.ties = 0.3;
    o.banks = 2;
    o.converters = seed % 3;
    o.warm = 0.3;
    o.shared_return = 0.2;
    const Circuit circuit = RandomNet(seed + 500).make(o).build();
    Workspace w(circuit);
    const Parameters base = circuit.parameters();
    std::vector<Parameter> ps;
    std::vector<Quantity> qs;
    for (std::uint32_t e = 0; e < circuit.element_count(); ++e) {
      const ElementId id{e};
      if (circuit.kind(id) == ElementKind::resistor)
        ps.push_back({id, ParameterKind::resistance_ohm});
      if (circuit.kind(id) == ElementKind::source) ps.push_back({id, ParameterKind::emf_v});
      if (circuit.kind(id) == ElementKind::converter)
        ps.push_back({id, ParameterKind::set_point_v});
      if (circuit.kind(id) == ElementKind::load) {
        ps.push_back({id, ParameterKind::scale});
        qs.push_back({QuantityKind::voltage_v, e});
        qs.push_back({QuantityKind::current_a, e});
      }
    }
    const Sensitivities s = sensitivities(circuit, base, w, qs, ps);
    REQUIRE(s.status == SolveStatus::solved);
    for (std::size_t k = 0; k < ps.size(); k += 3) {
      const double h = 1e-4 * std::max(base.get(ps[k]), 1e-3);
      Parameters up = base, down = base;
      up.set(ps[k], base.get(ps[k]) + h);
      down.set(ps[k], base.get(ps[k]) - h);
      const OperatingPoint a = solve(circuit, up, w), b = solve(circuit, down, w);
      for (std::size_t q = 0; q < qs.size(); ++q) {
        const auto& list_a = qs[q].kind == QuantityKind::voltage_v ? a.voltage_v : a.current_a;
        const auto& list_b = qs[q].kind == QuantityKind::voltage_v ? b.voltage_v : b.current_a;
        const double expected = (list_a[qs[q].index] - list_b[qs[q].index]) / (2.0 * h);
        // Differences: truncation h², rounding 1e-13 / h.
        CHECK(std::abs(s.at(q, k) - expected) <= 1e-5 * std::abs(expected) + 1e-11 / h);
      }
    }
  }
}

TEST_CASE("fault currents: the bank's own, through cable, and at the far end") {
  // 13.3 V behind 1 mΩ; copper 0.017241 Ω mm²/m at 20 °C; 16 mm² 3 m one way; 2.5 mm² 8 m one way:
  // 1781.6 A and 119.45 A (arithmetic from the stated inputs).
  struct Row {
    double area_mm2, length_m, amperes, half_digit;
  };
  for (const Row& row : {Row{16.0, 3.0, 1781.6, 0.05}, Row{2.5, 8.0, 119.45, 0.005}}) {
    const double one_way_ohm = 0.017241 * row.length_m / row.area_mm2;
    CircuitBuilder b;
    const NodeId p = b.add_node(), n = b.add_node(), fp = b.add_node(), fn = b.add_node();
    b.add_source(p, n, {13.3, 0.001});
    const ElementId out = b.add_resistor(p, fp, one_way_ohm);
    b.add_resistor(fn, n, one_way_ohm);
    b.add_load(fp, fn, {.power_w = 20.0});
    const Circuit circuit = b.compile();
    const std::vector<FaultPoint> points{{p, n}, {fp, fn}};
    const auto faults = fault_currents(circuit, circuit.parameters(), points);
    CHECK(faults[0].current_a == doctest::Approx(13300.0).epsilon(1e-9));
    CHECK(std::abs(faults[1].current_a - row.amperes) <= row.half_digit);
    CHECK(fault_current_through(circuit, circuit.parameters(), points[1], out) ==
          doctest::Approx(faults[1].current_a).epsilon(1e-9));
  }
}

TEST_CASE("an ideal source has no limit to its fault current, and says so") {
  CircuitBuilder b;
  const NodeId p = b.add_node(), n = b.add_node();
  b.add_source(p, n, {12.0, 0.0});
  const Circuit circuit = b.compile();
  const std::vector<FaultPoint> points{{p, n}};
  CHECK(fault_currents(circuit, circuit.parameters(), points)[0].unlimited);
}

TEST_CASE("a capacitor through a resistance: peak, time constant and I²t") {
  // 1000 µF, 13.6 V, 0.10 Ω: 136 A, 0.1 ms, 0.9248 A²s (arithmetic).
  const Inrush pulse = inrush(13.6, 0.10, 1000e-6);
  CHECK(pulse.peak_a == doctest::Approx(136.0));
  CHECK(pulse.time_constant_s == doctest::Approx(1e-4));
  CHECK(pulse.i2t_a2s == doctest::Approx(0.9248));
  CHECK(pulse.energy_j == doctest::Approx(0.5e-3 * 13.6 * 13.6));
}

TEST_CASE("several capacitors behind one switch: charge, heat and I²t of the common pulse") {
  CircuitBuilder b;
  const NodeId p = b.add_node(), n = b.add_node(), bus = b.add_node(), d1 = b.add_node(),
               d2 = b.add_node();
  b.add_source(p, n, {12.8, 0.01});
  const ElementId fuse = b.add_resistor(p, bus, 0.02);
  b.add_resistor(bus, d1, 0.05);
  b.add_resistor(bus, d2, 0.20);
  const Circuit circuit = b.compile();
  const std::vector<InrushPart> parts{{{d1, n}, 2e-3, 0.0}, {{d2, n}, 1e-3, 0.05}};
  const Inrush pulse = inrush_together(circuit, circuit.parameters(), parts, fuse);
  // Independent: explicit steps of the two charging equations.
  double v1 = 0.0, v2 = 0.0, i2t = 0.0, peak = 0.0;
  const double h = 1e-9;
  for (long k = 0; k < 4000000; ++k) {
    // Bus voltage from the balance (E - u)/0.03 = (u - v1)/0.05 + (u - v2)/0.25.
    const double u = (12.8 / 0.03 + v1 / 0.05 + v2 / 0.25) / (1 / 0.03 + 1 / 0.05 + 1 / 0.25);
    const double i = (12.8 - u) / 0.03;
    peak = std::max(peak, i);
    i2t += i * i * h;
    v1 += h * (u - v1) / 0.05 / 2e-3;
    v2 += h * (u - v2) / 0.25 / 1e-3;
  }
  CHECK(pulse.peak_a == doctest::Approx(peak).epsilon(1e-4));
  CHECK(pulse.i2t_a2s == doctest::Approx(i2t).epsilon(1e-4));
  CHECK(pulse.energy_j == doctest::Approx(0.5 * 3e-3 * 12.8 * 12.8));
}
