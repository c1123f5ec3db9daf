#pragma once
// One scenario's topology, ready for nodal equations: which nodes are one, which are known, which
// rows are unknown, and every element on rows instead of nodes.
//
// Vector x holds the unknown node voltages in rows 0 .. unknowns-1 and the known ones after them:
// row `unknowns` is 0 V (the reference of every island: islands meet in one point only, so no
// current can flow between them), further known rows sit behind ideal sources.

#include <cstdint>
#include <span>
#include <utility>
#include <vector>

#include "network/description.hpp"
#include "network/ordering.hpp"

namespace nightbus::network_detail {

// How an element takes part in the topology.
enum class Mode : std::uint8_t {
  normal,
  ideal,    // resistor or source without resistance
  removed,  // open, switched off
};

// The mode of every element; `on` may be empty (all on) and matters for relays only.
void find_modes(const Description& description, std::span<const double> values,
                std::span<const std::uint8_t> on, std::vector<Mode>& modes);

struct Row2 {  // an element on two rows
  std::uint32_t element = 0, u = 0, w = 0;
};
struct Row4 {
  std::uint32_t element = 0, u = 0, w = 0, s = 0, t = 0;
};
struct KnownRow {  // x[row] = x[from] + sign · emf(source)
  std::uint32_t row = 0, from = 0, source = 0;
  double sign = 1.0;
};
struct IdealEdge {  // between a node and its parent in a tree of ideal elements, deepest first
  std::uint32_t element = 0, node = 0, parent = 0;
};

struct Net {
  std::uint32_t unknowns = 0;
  std::uint32_t rows = 0;                // unknown and known
  std::vector<std::uint32_t> row;        // of each node
  std::vector<std::uint32_t> reference;  // of each node: the node of its island that reads 0 V
  std::vector<KnownRow> known;           // in an order that can be filled front to back
  std::vector<Mode> modes;

  std::vector<Row2> resistors, sources, chargers, loads, diodes;
  std::vector<Row4> converters;
  std::vector<std::pair<std::uint32_t, std::uint32_t>> leak_nodes;  // the same, by node
  std::vector<Row2> leaks;  // `element` unused: a picosiemens that keeps a loose part in place

  std::vector<IdealEdge> ideal_tree;
  std::vector<std::uint32_t> ideal_loops;  // ideal elements that close a loop: carry no current

  Elimination elimination;
};

inline constexpr double leak_s = 1e-12;
// An ideal source that cannot be tied to its island's reference by other ideal sources gets this.
inline constexpr double floating_source_ohm = 1e-7;

Net build_net(const Description& description, std::span<const Mode> modes);

}  // namespace nightbus::network_detail
