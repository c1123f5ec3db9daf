/// A converter whose output shares a row with its input, as almost every one on a common negative.

#include <doctest/doctest.h>

#include <cmath>

#include "nightbus/network.hpp"

using namespace nightbus;

TEST_CASE("converters on a common return are solved by the folded programme, in few steps") {
  for (const double return_ohm : {0.002, 0.02, 0.2}) {
    CAPTURE(return_ohm);
    CircuitBuilder builder;
    const NodeId p = builder.add_node(), n = builder.add_node();
    const NodeId bus = builder.add_node(), back = builder.add_node(), out = builder.add_node();
    builder.set_reference(n);
    builder.add_source(p, n, {12.8, 0.01});
    builder.add_resistor(p, bus, 0.01);
    builder.add_resistor(back, n, return_ohm);
    const ElementId stage = builder.add_converter(bus, back, out, back,
                                                  {.set_point_v = 24.0,
                                                   .output_resistance_ohm = 0.05,
                                                   .standby_w = 1.0,
                                                   .loss_fraction = 0.06,
                                                   .loss_per_watt = 0.0004});
    const ElementId load = builder.add_load(out, back, {.power_w = 40.0});
    const ElementId lamp = builder.add_load(bus, back, {.power_w = 15.0});
    const Circuit circuit = builder.compile();
    Parameters parameters = circuit.parameters();
    Workspace workspace(circuit);
    for (const double watts : {0.5, 5.0, 40.0, 80.0}) {
      CAPTURE(watts);
      parameters.set(load, ParameterKind::power_w, watts);
      parameters.set(lamp, ParameterKind::power_w, 0.5 * watts);
      const OperatingPoint point = solve(circuit, parameters, workspace);
      REQUIRE(point.status == SolveStatus::solved);
      CHECK_FALSE(point.careful);
      CHECK(point.iterations <= 8);
      // By hand: the stage is a constant power at its input, so is the lamp, behind one resistance.
      const double v_out = 12.0 + std::sqrt(144.0 - 0.05 * watts);
      const double given = v_out * (24.0 - v_out) / 0.05;
      const double taken = 1.0 + 1.06 * given + 0.0004 * given * given + 0.5 * watts;
      const double r = 0.02 + return_ohm;
      const double v = 6.4 + std::sqrt(6.4 * 6.4 - r * taken);
      CHECK(point.voltage_v[index(stage)] == doctest::Approx(v).epsilon(1e-9));
      CHECK(std::abs(point.balance_w) < 1e-9 * point.supplied_w);
    }
  }
}
