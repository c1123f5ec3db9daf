/// Converters that hold their output well: the stiffer the output, the less the answer may change.

#include <doctest/doctest.h>

#include <cmath>

#include "nightbus/network.hpp"

using namespace nightbus;

TEST_CASE("a 54 V stage with a stiff output is solved at every output resistance") {
  for (const double output_ohm : {0.05, 0.01, 0.001, 1e-4}) {
    for (const double a : {0.0, 0.1}) {
      for (const double b : {0.0, 0.0015}) {
        CAPTURE(output_ohm);
        CAPTURE(a);
        CAPTURE(b);
        CircuitBuilder builder;
        const NodeId p = builder.add_node(), n = builder.add_node(), out = builder.add_node();
        builder.add_source(p, n, {12.2, 0.03});
        ConverterLaw law;
        law.set_point_v = 54.0;
        law.output_resistance_ohm = output_ohm;
        law.standby_w = 2.0;
        law.loss_fraction = a;
        law.loss_per_watt = b;
        const ElementId stage = builder.add_converter(p, n, out, n, law);
        PoeLinkLaw link;
        link.loop_resistance_ohm = 3.75;
        link.power_w = 12.0;
        link.minimum_v = 0.0;
        const auto made = builder.add_poe_link(out, n, link);
        const Circuit circuit = builder.compile();
        Workspace workspace(circuit);
        const OperatingPoint point = solve(circuit, workspace);
        REQUIRE(point.status == SolveStatus::solved);
        // Device behind output and loop resistance, then the loss law at the input.
        const double r = output_ohm + 3.75;
        const double v = 27.0 + std::sqrt(27.0 * 27.0 - 12.0 * r);
        CHECK(point.voltage_v[index(made.device)] == doctest::Approx(v).epsilon(1e-9));
        const double i = 12.0 / v, out_w = (54.0 - i * output_ohm) * i;
        CHECK(point.power_w[index(stage)] ==
              doctest::Approx(2.0 + (1.0 + a) * out_w + b * out_w * out_w).epsilon(1e-9));
        CHECK(point.iterations < 60);
        // Whatever keeps the output from floating must be counted where it goes.
        CHECK(std::abs(point.balance_w) < 1e-9 * point.supplied_w);
      }
    }
  }
}
