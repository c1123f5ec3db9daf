// Numbers of the unknowns that folding left, their order of elimination and the places of matrix
// entries.
#include <algorithm>
#include <array>

#include "network/fold_plan.hpp"

namespace nightbus::network_detail {

Program Planner::plan() {
  number_unknowns();
  order();
  place_links();
  place_ports();
  place_loads();
  place_sources();
  place_branches();
  place_converters();
  place_rows();
  give_to_columns();
  set_tolerances();
  return std::move(p_);
}

// Before ordering: pair k is unknown k, rows follow.
void Planner::number_unknowns() {
  const auto pair_count = static_cast<Index>(folder_.pairs.size());
  raw_of_row_.assign(net_.rows, none);
  Index next = pair_count;
  for (Index row = 0; row < net_.unknowns; ++row)
    if (!folder_.gone(row)) raw_of_row_[row] = next++;
  p_.unknowns = next;
  p_.folded = pair_count;
  p_.rows = net_.rows;
  p_.total = next + (net_.rows - net_.unknowns);
  for (Index row = net_.unknowns; row < net_.rows; ++row)
    raw_of_row_[row] = next + (row - net_.unknowns);
  for (const KnownRow& k : net_.known) {
    KnownRow moved = k;
    moved.row = raw_of_row_[k.row];
    moved.from = raw_of_row_[k.from];
    p_.known.push_back(moved);
  }
  // Which way round an edge lies across its pair.
  for (Index id = 0; id < folder_.pairs.size(); ++id) {
    pair_of_row_[folder_.pairs[id].p] = {id, true};
    pair_of_row_[folder_.pairs[id].n] = {id, false};
  }
}

Planner::Place Planner::raw_place(Index pair, Index a, Index b) const {
  if (pair == none) return {raw_of_row_[a], raw_of_row_[b]};
  const bool forward = folder_.pairs[pair].p == a;
  return forward ? Place{pair, p_.unknowns} : Place{p_.unknowns, pair};
}

Planner::Place Planner::place(Index pair, Index a, Index b) const {
  const Place raw = raw_place(pair, a, b);
  return {x_of(raw.u), x_of(raw.w)};
}

// Ports of converters keep no edge id: find them by rows.
Planner::Place Planner::converter_place(Index a, Index b) const {
  if (a == b) return {p_.unknowns, p_.unknowns};
  const auto at = pair_of_row_.find(a);
  if (at != pair_of_row_.end()) return place(at->second.first, a, b);
  return place(none, a, b);
}

Planner::Place Planner::raw_converter_place(Index a, Index b) const {
  if (a == b) return {p_.unknowns, p_.unknowns};
  const auto at = pair_of_row_.find(a);
  if (at != pair_of_row_.end()) return raw_place(at->second.first, a, b);
  return raw_place(none, a, b);
}

void Planner::order() {
  std::vector<std::pair<Index, Index>> near;
  const auto add = [&](Index u, Index w) {
    if (u < p_.unknowns && w < p_.unknowns && u != w) near.push_back({u, w});
  };
  for (const Edge& edge : folder_.edges) {
    if (!edge.alive && edge.pair == none) continue;
    if (edge.a == edge.b) continue;
    const Place at = raw_place(edge.pair, edge.a, edge.b);
    if (edge.kind == EdgeKind::child) {
      add(edge.element, at.u);
      add(edge.element, at.w);
    }
    add(at.u, at.w);
  }
  for (const Row4& c : net_.converters) {
    const Place in = raw_converter_place(c.u, c.w);
    const Place out = raw_converter_place(c.s, c.t);
    const std::array ends{in.u, in.w, out.u, out.w};
    for (std::size_t i = 0; i < 4; ++i)
      for (std::size_t j = i + 1; j < 4; ++j) add(ends[i], ends[j]);
  }
  elimination_ = minimum_degree(p_.unknowns, near);
  if (elimination_.starts.empty()) elimination_.starts.assign(1, 0);
  mark_unsymmetric();
}

// A converter couples input and output rows one way; what its elimination touches loses symmetry.
void Planner::mark_unsymmetric() {
  const auto& starts = elimination_.starts;
  const auto& rows = elimination_.rows;
  std::vector<std::uint8_t> one_way(rows.size(), 0);
  for (const Row4& c : net_.converters) {
    const Place in = converter_place(c.u, c.w);
    const Place out = converter_place(c.s, c.t);
    for (const Index i : {in.u, in.w})
      for (const Index j : {out.u, out.w})
        if (entry(i, j) != none) one_way[entry(i, j)] = 1;
  }
  p_.entry_row = rows;
  p_.columns.resize(p_.unknowns);
  for (Index k = 0; k < p_.unknowns; ++k) {
    ColumnPlan& column = p_.columns[k];
    column.entries = {starts[k], starts[k + 1]};
    p_.max_degree = std::max(p_.max_degree, starts[k + 1] - starts[k]);
    column.targets = static_cast<Index>(p_.targets.size());
    for (Index a = starts[k]; a < starts[k + 1]; ++a) {
      if (one_way[a]) column.symmetric = false;
      for (Index b = starts[k]; b < a; ++b) {
        const Index target = entry(rows[a], rows[b]);
        p_.targets.push_back(target);
        if (one_way[a] || one_way[b]) one_way[target] = 1;
      }
    }
  }
  Index next = static_cast<Index>(rows.size());
  p_.entry_upper.resize(rows.size());
  for (Index e = 0; e < rows.size(); ++e) p_.entry_upper[e] = one_way[e] ? next++ : e;
  // A column that updates a one-way entry must serve both of its halves.
  for (Index k = 0; k < p_.unknowns; ++k) {
    const Index last =
        k + 1 < p_.unknowns ? p_.columns[k + 1].targets : static_cast<Index>(p_.targets.size());
    for (Index t = p_.columns[k].targets; t < last; ++t)
      if (one_way[p_.targets[t]]) p_.columns[k].symmetric = false;
  }
  for (Index e = 0; e < rows.size(); ++e)
    if (one_way[e]) p_.one_way.push_back(e);
  p_.off_count = next;
}

// Which links and ports each column of the elimination meets first, and which columns no step
// changes.
void Planner::give_to_columns() {
  std::vector<std::vector<SweepLink>> of_column(p_.unknowns);
  for (Index k = 0; k < p_.two_terminal_links; ++k) {
    const LinkPlan& link = p_.links[k];
    const Index first = first_column({link.u, link.w});
    if (first < p_.unknowns && link.u != link.w)
      of_column[first].push_back({k, link.u == first ? link.w : link.u});
  }
  Index port = 0;
  for (Index k = 0; k < p_.unknowns; ++k) {
    ColumnPlan& column = p_.columns[k];
    column.links.first = static_cast<Index>(p_.sweep_links.size());
    p_.sweep_links.insert(p_.sweep_links.end(), of_column[k].begin(), of_column[k].end());
    column.links.last = static_cast<Index>(p_.sweep_links.size());
    column.ports.first = port;
    while (port < p_.ports.size() && first_column({p_.ports[port].u, p_.ports[port].w}) == k)
      ++port;
    column.ports.last = port;
  }
  std::vector<std::uint8_t> moves(p_.off_count + std::size_t{1}, 0);
  for (const Index e : p_.targets) moves[e] = 1;
  for (const Index e : p_.one_way) moves[e] = 1;
  for (const PortPlan& at : p_.ports) moves[at.uw] = 1;
  for (const auto* list : {&p_.chargers, &p_.diodes, &p_.conductors})
    for (const BranchPlan& at : *list) moves[at.uw] = 1;
  for (const ConverterPlan& at : p_.converters) moves[at.uw] = moves[at.st] = 1;
  for (ColumnPlan& column : p_.columns) {
    const Index count = column.entries.last - column.entries.first;
    column.still = count == 0 || (count == 1 && moves[column.entries.first] == 0);
    p_.all_still = p_.all_still && column.still;
  }
}

// Index in `off` of matrix entry (row i, column j) of x positions.
Index Planner::off(Index i, Index j) const {
  const Index e = entry(i, j);
  if (e == none) return p_.off_count;
  return i > j ? e : p_.entry_upper[e];
}

}  // namespace nightbus::network_detail
