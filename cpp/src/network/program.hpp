#pragma once
// The folded elimination programme of a circuit: index lists only, the same for every scenario. It
// is made once by fold.cpp and run by lane_kernel.hpp for one scenario or for a pack of them.
//
// Vector x has the unknowns in order of elimination, then the known rows: x[unknowns] is 0 V. An
// unknown is the potential of a row or, for a folded pair of rows, their difference. A port is a
// place (u, w) with voltage x_u - x_w where elements draw current; a pair's own port is (k, zero).

#include <cstdint>
#include <memory>
#include <vector>

#include "network/net.hpp"

namespace nightbus::network_detail {

using Index = std::uint32_t;

struct Range {
  Index first = 0, last = 0;
};

struct ChainPart {          // one constant resistance of a chain, at its ambient temperature
  std::uint32_t block = 0;  // of its parameters
  double alpha = 0.0, reference_c = 20.0;
};
struct LinkPlan {  // current g (x_u - x_w + x_t); two-terminal links have t = zero
  Index u = 0, w = 0, t = 0;
  Index uw = 0, ut = 0, wt = 0;  // their entries in `off`; the unread one where there is none
  Range chain;
};
struct PortPlan {
  Index u = 0, w = 0, uw = 0;
  Range pure, mixed, direct;  // loads at this port
};
enum class LoadClass : std::uint8_t {
  pure,    // constant power behind R > 0
  mixed,   // power, current and conductance behind R > 0
  linear,  // no power: a conductance and a current
  direct,  // no resistance before it, or a fan: its own port voltage is the terminal voltage
};
struct LoadPlan {
  Index element = 0, port = 0;
  Range chain;
  LoadClass kind = LoadClass::direct;
};
struct SourcePlan {
  Index element = 0, port = 0;
  Range chain;
};
struct BranchPlan {  // charger, diode, heated conductor
  Index element = 0, u = 0, w = 0, uw = 0;
};
struct ConverterPlan {
  Index element = 0, u = 0, w = 0, s = 0, t = 0;
  Index uw = 0, st = 0;
  Index us = 0, ut = 0, ws = 0, wt = 0;  // lower or upper entry (row, column)
  Index su = 0, sw = 0, tu = 0, tw = 0;
};
struct SweepLink {  // a two-terminal link from its first eliminated end to `far`
  Index link = 0, far = 0;
};
struct ColumnPlan {
  Range entries;       // of the column, below the diagonal
  Index targets = 0;   // first of its updates
  Range links, ports;  // that no earlier column has; in sweep_links and ports
  bool symmetric = true;
  bool still = false;  // at most one entry, the same in every step: that of a tree
};

// How row potentials come back after the unknowns are known, in this order.
struct RowFromX {
  Index row = 0, x = 0;
};
struct RowPair {  // rows p, n of pair x behind rows up, un
  Index p = 0, n = 0, up = 0, un = 0, x = 0;
  Index link = 0;
  Range plus, minus;
};
struct RowChain {  // rows inside a link, from row `from` on; its current is
  Index from = 0;
  Index to = none;    // (v_from - v_to) g of a plain link
  Index link = none;  // without `to`: that of a pair
  double sign = 1.0;  // of the current as it leaves `from`
  Range chain, rows;  // chain[i] leads to rows[i]
};
struct LeafRows {  // rows between a port and the leaf folded into it, on either side
  Index item = 0;  // load or source
  Index u = 0, w = 0;
  Index from_a = 0, chain_a = 0, parts_a = 0;  // current flows in from a ...
  Index from_b = 0, chain_b = 0, parts_b = 0;  // ... and out to b
  Index rows = 0;                              // first in the pool: a's, then b's
};
struct RowCopy {
  Index row = 0, from = 0;
};

struct Program {
  Index unknowns = 0;
  Index total = 0;      // with known rows; x[unknowns] = 0
  Index off_count = 0;  // entries of `off` incl. separate upper ones; off[off_count] is never read
  Index rows = 0;       // of the net

  std::vector<KnownRow> known;    // rows as in x
  std::vector<ChainPart> chains;  // pool
  std::vector<LinkPlan> links;    // two-terminal ones first
  Index two_terminal_links = 0;
  std::vector<SweepLink> sweep_links;
  std::vector<PortPlan> ports;  // by column; those between known rows last
  std::vector<Index> leak_ports;
  std::vector<LoadPlan> loads;  // pure, then mixed, then direct (each by port), then linear
  Index pure = 0, mixed = 0, direct = 0;  // counts
  std::vector<SourcePlan> sources;
  std::vector<BranchPlan> chargers, diodes, conductors;
  std::vector<ConverterPlan> converters;
  std::vector<ColumnPlan> columns;
  bool all_still = true;
  std::vector<Index> entry_row, entry_upper;  // by lower entry; upper == lower: symmetric
  std::vector<Index> one_way;                 // lower entries that have an upper half of their own
  std::vector<Index> targets;                 // lower entries, in the order of elimination

  std::vector<RowFromX> from_x;
  std::vector<RowPair> pairs;
  std::vector<RowChain> row_chains;
  std::vector<LeafRows> leaf_rows, linear_rows, source_rows;  // pure and mixed, linear, sources
  std::vector<Index> chain_rows;                              // pool
  std::vector<RowCopy> copies;
  Index folded = 0;

  Index max_degree = 0;
  std::vector<double> inverse_tolerance;  // of each unknown's balance, 1/A, at the values as built
};

// node_v: an operating point, to judge rounding by.
Program fold(const Description& description, const Net& net, std::span<const double> values,
             std::span<const double> node_v);

}  // namespace nightbus::network_detail
