#pragma once
/// The small systems of simulated_system.hpp as circuits.

#include "energy/simulated_system.hpp"
#include "nightbus/network.hpp"

namespace simulated {

/// The lumped system of sunny() as a circuit: every path resistance a resistor of its own.
inline SimulationInput as_circuit(SimulationInput in) {
  CircuitBuilder builder;
  const NodeId plus = builder.add_node();
  const NodeId minus = builder.add_node();
  builder.set_reference(minus);
  const auto behind = [&](NodeId from, double ohm) {
    if (ohm <= 0.0) return from;
    const NodeId node = builder.add_node();
    builder.add_resistor(from, node, ohm);
    return node;
  };
  for (SimBank& bank : in.banks) {
    bank.element = static_cast<int>(
        index(builder.add_source(behind(plus, bank.path_resistance_ohm), minus, {12.0, 0.01})));
  }
  for (SimArray& array : in.arrays) {
    array.element = static_cast<int>(
        index(builder.add_charger(behind(plus, array.model.controller.path_resistance_ohm), minus,
                                  {.ceiling_v = 14.0,
                                   .current_limit_a = 1.0,
                                   .power_limit_w = 1.0,
                                   .resistance_ohm = 1e-5})));
  }
  for (SimCharger& charger : in.chargers) {
    charger.element = static_cast<int>(index(
        builder.add_charger(behind(plus, charger.path_resistance_ohm), minus,
                            {.ceiling_v = 14.0, .current_limit_a = 1.0, .resistance_ohm = 1e-5})));
  }
  std::vector<NodeId> out_p;
  std::vector<NodeId> out_n;
  for (SimConverter& c : in.converters) {
    const NodeId p = builder.add_node();
    const NodeId n = builder.add_node();
    const NodeId from = c.feed < 0 ? plus : out_p[static_cast<std::size_t>(c.feed)];
    const NodeId back = c.feed < 0 ? minus : out_n[static_cast<std::size_t>(c.feed)];
    c.element = static_cast<int>(
        index(builder.add_converter(behind(from, c.path_resistance_ohm), back, p, n,
                                    {.set_point_v = c.output_v,
                                     .output_resistance_ohm = 1e-6,
                                     .standby_w = c.standby_w,
                                     .loss_fraction = c.a,
                                     .loss_per_watt = c.b})));
    out_p.push_back(p);
    out_n.push_back(n);
  }
  for (SimLoad& load : in.loads) {
    const NodeId from = load.feed < 0 ? plus : out_p[static_cast<std::size_t>(load.feed)];
    const NodeId back = load.feed < 0 ? minus : out_n[static_cast<std::size_t>(load.feed)];
    load.element =
        static_cast<int>(index(builder.add_load(behind(from, load.path_resistance_ohm), back, {})));
  }
  const ElementId standby = builder.add_load(plus, minus, {});
  in.network = SimNetwork{builder.compile(), plus, minus, {}, static_cast<int>(index(standby))};
  return in;
}

}  // namespace simulated
