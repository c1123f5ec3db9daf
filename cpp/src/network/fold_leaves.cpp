// Links and loads of the folded network, with the rows that lie inside them.
#include <algorithm>
#include <array>

#include "network/fold_plan.hpp"

namespace nightbus::network_detail {

Range Planner::pool(const Chain& chain) {
  Range range{static_cast<Index>(p_.chains.size()), 0};
  p_.chains.insert(p_.chains.end(), chain.parts.begin(), chain.parts.end());
  range.last = static_cast<Index>(p_.chains.size());
  return range;
}

Range Planner::pool_both(const Chain& chain, const Chain& back) {
  Range range = pool(chain);
  range.last = pool(back).last;
  return range;
}

Range Planner::pool_rows(const std::vector<Index>& rows) {
  const auto first = static_cast<Index>(p_.chain_rows.size());
  p_.chain_rows.insert(p_.chain_rows.end(), rows.begin(), rows.end());
  return {first, static_cast<Index>(p_.chain_rows.size())};
}

void Planner::place_links() {
  for (Index e = 0; e < folder_.edges.size(); ++e) {
    const Edge& edge = folder_.edges[e];
    if (edge.kind != EdgeKind::link || (!edge.alive && edge.pair == none)) continue;
    const Place at = place(edge.pair, edge.a, edge.b);
    LinkPlan link;
    link.u = at.u;
    link.w = at.w;
    link.t = p_.unknowns;
    link.uw = shared_off(at.u, at.w);
    link.ut = link.wt = p_.off_count;
    link.chain = pool(edge.chain);
    if (!edge.chain.rows.empty()) {
      RowChain rows;
      rows.from = edge.a;
      rows.to = edge.b;
      rows.link = static_cast<Index>(p_.links.size());
      rows.chain = {link.chain.first,
                    link.chain.first + static_cast<Index>(edge.chain.rows.size())};
      rows.rows = pool_rows(edge.chain.rows);
      p_.row_chains.push_back(rows);
    }
    p_.links.push_back(link);
  }
  const auto pair_link = [&](Index id) {
    const Pair& pair = folder_.pairs[id];
    LinkPlan link;
    link.u = x_of(id);
    const Place up =
        pair.owner == none ? place(none, pair.up, pair.un) : Place{x_of(pair.owner), p_.unknowns};
    link.w = up.u;
    link.t = pair.owner == none ? up.w : p_.unknowns;
    link.uw = shared_off(link.u, link.w);
    link.ut = shared_off(link.u, link.t);
    link.wt = shared_off(link.w, link.t);
    link.chain = pool_both(pair.plus, pair.minus);
    p_.links.push_back(link);
  };
  link_of_pair_.assign(folder_.pairs.size(), none);
  for (const bool three : {false, true}) {
    if (three) p_.two_terminal_links = static_cast<Index>(p_.links.size());
    for (Index id = 0; id < folder_.pairs.size(); ++id) {
      const Pair& pair = folder_.pairs[id];
      const bool is_three = pair.owner == none && x_of(raw_of_row_[pair.un]) != p_.unknowns;
      if (is_three != three) continue;
      link_of_pair_[id] = static_cast<Index>(p_.links.size());
      pair_link(id);
    }
  }
}

Index Planner::first_column(Place at) const {
  return std::min(std::min(at.u, at.w), p_.unknowns);
}

// All ports, in the order of the columns that own them.
void Planner::place_ports() {
  std::vector<Place> places;
  for (const Edge& edge : folder_.edges)
    if ((edge.kind == EdgeKind::load || edge.kind == EdgeKind::source) &&
        (edge.alive || edge.pair != none))
      places.push_back(place(edge.pair, edge.a, edge.b));
  for (const Row2& leak : net_.leaks)
    if (leak.u != leak.w) places.push_back(converter_place(leak.u, leak.w));
  std::stable_sort(places.begin(), places.end(), [&](const Place& a, const Place& b) {
    return first_column(a) < first_column(b);
  });
  for (const Place& at : places) {
    const auto [found, fresh] =
        port_index_.try_emplace({at.u, at.w}, static_cast<Index>(p_.ports.size()));
    if (!fresh) continue;
    PortPlan port;
    port.u = at.u;
    port.w = at.w;
    port.uw = shared_off(at.u, at.w);
    p_.ports.push_back(port);
  }
}

Index Planner::port_at(Place at) const {
  return port_index_.at({at.u, at.w});
}

LoadClass Planner::class_of(const Edge& edge) const {
  const Element& element = d_.elements[edge.element];
  const double* block = &values_[element.parameters];
  if (edge.chain.parts.empty() && edge.back.parts.empty()) return LoadClass::direct;
  const bool cut_leaks = element.has_lock_out && d_.loads[element.fixed].off_conductance_s > 0.0;
  const bool power = block[slot::power] > 0.0;
  const bool other = block[slot::current] > 0.0 || block[slot::conductance] > 0.0;
  if (!power && other) return LoadClass::linear;
  return other || cut_leaks ? LoadClass::mixed : LoadClass::pure;
}

void Planner::leaf_rows(const Edge& edge, Index item, Place at, Range chain,
                        std::vector<LeafRows>& list) {
  if (edge.chain.rows.empty() && edge.back.rows.empty()) return;
  LeafRows leaf;
  leaf.item = item;
  leaf.u = at.u;
  leaf.w = at.w;
  leaf.from_a = edge.a;
  leaf.from_b = edge.b;
  leaf.chain_a = chain.first;
  leaf.chain_b = chain.first + static_cast<Index>(edge.chain.parts.size());
  leaf.parts_a = static_cast<Index>(edge.chain.rows.size());
  leaf.parts_b = static_cast<Index>(edge.back.rows.size());
  leaf.rows = pool_rows(edge.chain.rows).first;
  pool_rows(edge.back.rows);
  list.push_back(leaf);
}

void Planner::place_loads() {
  struct Found {
    LoadPlan plan;
    Index edge;
  };
  std::vector<Found> found;
  for (Index e = 0; e < folder_.edges.size(); ++e) {
    const Edge& edge = folder_.edges[e];
    if (edge.kind != EdgeKind::load || (!edge.alive && edge.pair == none)) continue;
    LoadPlan plan;
    plan.element = edge.element;
    plan.port = port_at(place(edge.pair, edge.a, edge.b));
    plan.kind = class_of(edge);
    found.push_back({plan, e});
  }
  const auto rank = [](LoadClass kind) {
    switch (kind) {
      case LoadClass::pure:
        return 0;
      case LoadClass::mixed:
        return 1;
      case LoadClass::direct:
        return 2;
      case LoadClass::linear:
        return 3;
    }
    return 3;
  };
  std::stable_sort(found.begin(), found.end(), [&](const Found& a, const Found& b) {
    return std::pair(rank(a.plan.kind), a.plan.port) < std::pair(rank(b.plan.kind), b.plan.port);
  });
  for (Found& item : found) {
    const Edge& edge = folder_.edges[item.edge];
    item.plan.chain = pool_both(edge.chain, edge.back);
    const auto k = static_cast<Index>(p_.loads.size());
    PortPlan& port = p_.ports[item.plan.port];
    leaf_rows(edge, k, {port.u, port.w}, item.plan.chain,
              item.plan.kind == LoadClass::linear ? p_.linear_rows : p_.leaf_rows);
    p_.loads.push_back(item.plan);
    const auto widen = [&](Range& range, Index& count, Index base) {
      if (range.first == range.last) range = {k - base, k - base};
      ++range.last;
      ++count;
    };
    switch (item.plan.kind) {
      case LoadClass::pure:
        widen(port.pure, p_.pure, 0);
        break;
      case LoadClass::mixed:
        widen(port.mixed, p_.mixed, 0);
        break;
      case LoadClass::direct:
        widen(port.direct, p_.direct, p_.pure + p_.mixed);
        break;
      case LoadClass::linear:
        break;
    }
  }
}

}  // namespace nightbus::network_detail
