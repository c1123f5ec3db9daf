#pragma once
// Small networks used by several suites.

#include <cmath>
#include <vector>

#include "nightbus/network.hpp"

namespace nets {

using namespace nightbus;

// EMF behind a resistance feeding one load; the closed forms of the nose live here.
struct TwoNode {
  Circuit circuit;
  ElementId source{}, load{};
};
inline TwoNode two_node(double emf_v, double resistance_ohm, const LoadLaw& law) {
  CircuitBuilder b;
  const NodeId p = b.add_node(), n = b.add_node();
  const ElementId source = b.add_source(p, n, {.emf_v = emf_v, .resistance_ohm = resistance_ohm});
  const ElementId load = b.add_load(p, n, law);
  return {b.compile(), source, load};
}

// The same with the resistance in a conductor, so that the load hangs at a leaf.
inline TwoNode two_node_leaf(double emf_v, double resistance_ohm, const LoadLaw& law) {
  CircuitBuilder b;
  const NodeId p = b.add_node(), n = b.add_node(), d = b.add_node();
  const ElementId source = b.add_source(p, n, {.emf_v = emf_v, .resistance_ohm = 0.0});
  b.add_resistor(p, d, resistance_ohm);
  const ElementId load = b.add_load(d, n, law);
  return {b.compile(), source, load};
}

// 12.8 V, two feeders and a tie, two constant-power loads.
struct Mesh {
  Circuit circuit;
  ElementId source{}, feed_a{}, feed_b{}, tie{}, load_a{}, load_b{};
};
inline Mesh mesh() {
  CircuitBuilder b;
  const NodeId s = b.add_node(), n = b.add_node(), a = b.add_node(), c = b.add_node();
  Mesh m{b.compile()};
  m.source = b.add_source(s, n, {.emf_v = 12.8, .resistance_ohm = 0.0});
  m.feed_a = b.add_resistor(s, a, 0.05);
  m.feed_b = b.add_resistor(s, c, 0.08);
  m.tie = b.add_resistor(a, c, 0.04);
  m.load_a = b.add_load(a, n, {.power_w = 60});
  m.load_b = b.add_load(c, n, {.power_w = 90});
  m.circuit = b.compile();
  return m;
}

inline double upper_root(double emf_v, double resistance_ohm, double power_w) {
  return 0.5 * (emf_v + std::sqrt(emf_v * emf_v - 4.0 * resistance_ohm * power_w));
}

inline OperatingPoint solved(const Circuit& circuit) {
  Workspace workspace(circuit);
  return solve(circuit, workspace);
}

}  // namespace nets
