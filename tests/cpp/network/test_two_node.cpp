#include <doctest/doctest.h>

#include "network/nets.hpp"

using namespace nets;

TEST_CASE("one constant-power load sits on the upper root of its quadratic") {
  // V = (E + sqrt(E² - 4 R P)) / 2, textbook algebra.
  for (const double emf : {5.0, 12.0, 12.8, 24.0, 54.0})
    for (const double ohm : {0.001, 0.01, 0.1, 0.5, 4.0})
      for (const double share : {1e-6, 0.01, 0.3, 0.7, 0.9, 0.99, 0.9999}) {
        const double power = share * emf * emf / (4.0 * ohm);
        for (const TwoNode& net : {two_node(emf, ohm, {.power_w = power}),
                                   two_node_leaf(emf, ohm, {.power_w = power})}) {
          const OperatingPoint point = solved(net.circuit);
          REQUIRE(point.status == SolveStatus::solved);
          CHECK(point.voltage_v[index(net.load)] ==
                doctest::Approx(upper_root(emf, ohm, power)).epsilon(1e-9));
          CHECK(point.power_w[index(net.load)] == doctest::Approx(power).epsilon(1e-9));
          // The current is a difference of potentials over R: it carries eps E / R of rounding.
          CHECK(std::abs(point.balance_w) <= 1e-12 * point.supplied_w + 4.5e-16 * emf * emf / ohm);
        }
      }
}

TEST_CASE("worked constant-power cases come out to the printed digits") {
  struct Row {
    double emf_v, ohm, power_w, volts, amperes;
  };
  // Arithmetic from the stated inputs; half a unit of the last printed digit.
  for (const Row& row :
       {Row{12.0, 0.5, 60.0, 8.4495, 7.1010}, Row{12.8, 0.10, 60.0, 12.3127, 4.8730},
        Row{12.0, 0.2, 120.0, 9.4641, 12.6795}}) {
    const TwoNode net = two_node(row.emf_v, row.ohm, {.power_w = row.power_w});
    const OperatingPoint point = solved(net.circuit);
    REQUIRE(point.status == SolveStatus::solved);
    CHECK(std::abs(point.voltage_v[index(net.load)] - row.volts) <= 0.5e-4);
    CHECK(std::abs(point.current_a[index(net.load)] - row.amperes) <= 0.5e-4);
  }
}

TEST_CASE("beyond the nose the network has collapsed, with the multiplier it could carry") {
  for (const double emf : {12.0, 12.8, 48.0})
    for (const double ohm : {0.01, 0.2, 0.5})
      for (const double beyond : {1.0001, 1.01, 1.5, 10.0, 1e4}) {
        const double power = beyond * emf * emf / (4.0 * ohm);
        for (const TwoNode& net : {two_node(emf, ohm, {.power_w = power}),
                                   two_node_leaf(emf, ohm, {.power_w = power})}) {
          const OperatingPoint point = solved(net.circuit);
          REQUIRE(point.status == SolveStatus::collapsed);
          CHECK(point.collapse_multiplier == doctest::Approx(1.0 / beyond).epsilon(1e-6));
          REQUIRE(point.fault_element.has_value());
          CHECK(*point.fault_element == net.load);
          CHECK(point.node_v[0] == 0.0);
        }
      }
}

TEST_CASE("below its window a load is the resistance that takes the same current at the limit") {
  // E = 12.8 V, R = 0.1 Ω, 600 W with a window from 9 V: r = 81/600 Ω, V = E r / (R + r).
  const TwoNode net = two_node(12.8, 0.1, {.power_w = 600, .minimum_v = 9.0});
  const OperatingPoint point = solved(net.circuit);
  REQUIRE(point.status == SolveStatus::solved);
  const double r = 81.0 / 600.0;
  CHECK(point.voltage_v[index(net.load)] == doctest::Approx(12.8 * r / (0.1 + r)).epsilon(1e-12));
  CHECK(point.states[index(net.load)] == ElementState::starved);
}

TEST_CASE("power, current, conductance and fan add up at the terminals") {
  // E - v = R (P/v + I + G v + Q v²): chosen v, EMF computed from it.
  const LoadLaw law{.power_w = 20, .current_a = 1.5, .conductance_s = 0.2, .fan_a_per_v2 = 0.01};
  for (const double v : {10.0, 11.5, 13.2})
    for (const double scale : {0.25, 1.0, 1.4}) {
      LoadLaw scaled = law;
      scaled.scale = scale;
      const double i = scale * (20.0 / v + 1.5 + 0.2 * v + 0.01 * v * v);
      const TwoNode net = two_node(v + 0.05 * i, 0.05, scaled);
      const OperatingPoint point = solved(net.circuit);
      REQUIRE(point.status == SolveStatus::solved);
      CHECK(point.voltage_v[index(net.load)] == doctest::Approx(v).epsilon(1e-11));
      CHECK(point.current_a[index(net.load)] == doctest::Approx(i).epsilon(1e-10));
    }
}

TEST_CASE("a fan that follows its voltage takes power by the cube of speed and of voltage") {
  const LoadLaw fan = fan_law(12.0, 12.0, 0.8, false);
  CHECK(fan.fan_a_per_v2 * 12.0 * 12.0 * 12.0 == doctest::Approx(12.0 * 0.512));
  CHECK(fan_law(12.0, 12.0, 0.8, true).power_w == doctest::Approx(6.144));
}
