// Sources, branches and converters of the folded network, the way back to every row, and what
// rounding leaves of a balance.
#include <algorithm>
#include <array>

#include "network/fold_plan.hpp"

namespace nightbus::network_detail {

void Planner::place_sources() {
  for (const Edge& edge : folder_.edges) {
    if (edge.kind != EdgeKind::source || (!edge.alive && edge.pair == none)) continue;
    SourcePlan plan;
    plan.element = edge.element;
    plan.port = port_at(place(edge.pair, edge.a, edge.b));
    plan.chain = pool_both(edge.chain, edge.back);
    leaf_rows(edge, static_cast<Index>(p_.sources.size()),
              {p_.ports[plan.port].u, p_.ports[plan.port].w}, plan.chain, p_.source_rows);
    p_.sources.push_back(plan);
  }
  for (const Row2& leak : net_.leaks) {
    if (leak.u == leak.w) continue;
    p_.leak_ports.push_back(port_at(converter_place(leak.u, leak.w)));
  }
}

void Planner::place_branches() {
  for (const Edge& edge : folder_.edges) {
    if (edge.kind != EdgeKind::branch || (!edge.alive && edge.pair == none)) continue;
    const Place at = place(edge.pair, edge.a, edge.b);
    const BranchPlan plan{edge.element, at.u, at.w, shared_off(at.u, at.w)};
    switch (d_.elements[edge.element].kind) {
      case ElementKind::charger:
        p_.chargers.push_back(plan);
        break;
      case ElementKind::diode:
        p_.diodes.push_back(plan);
        break;
      default:
        p_.conductors.push_back(plan);
        break;
    }
  }
}

void Planner::place_converters() {
  for (const Row4& c : net_.converters) {
    const Place in = converter_place(c.u, c.w);
    const Place out = converter_place(c.s, c.t);
    ConverterPlan plan;
    plan.element = c.element;
    plan.u = in.u;
    plan.w = in.w;
    plan.s = out.u;
    plan.t = out.w;
    plan.uw = shared_off(in.u, in.w);
    plan.st = shared_off(out.u, out.w);
    plan.us = off(in.u, out.u);
    plan.ut = off(in.u, out.w);
    plan.ws = off(in.w, out.u);
    plan.wt = off(in.w, out.w);
    plan.su = off(out.u, in.u);
    plan.sw = off(out.u, in.w);
    plan.tu = off(out.w, in.u);
    plan.tw = off(out.w, in.w);
    p_.converters.push_back(plan);
  }
}

void Planner::place_rows() {
  for (Index row = 0; row < net_.rows; ++row)
    if (row >= net_.unknowns || !folder_.gone(row))
      p_.from_x.push_back({row, x_of(raw_of_row_[row])});
  for (Index id = static_cast<Index>(folder_.pairs.size()); id-- > 0;) {
    const Pair& pair = folder_.pairs[id];
    RowPair rows;
    rows.p = pair.p;
    rows.n = pair.n;
    rows.up = pair.up;
    rows.un = pair.un;
    rows.x = x_of(id);
    rows.link = link_of_pair_[id];
    const Range both = p_.links[rows.link].chain;
    const Index middle = both.first + static_cast<Index>(pair.plus.parts.size());
    rows.plus = {both.first, middle};
    rows.minus = {middle, both.last};
    p_.pairs.push_back(rows);
    const auto inside = [&](const Chain& chain, Index from, Index first, double sign) {
      if (chain.rows.empty()) return;
      RowChain interior;
      interior.from = from;
      interior.link = rows.link;
      interior.sign = sign;
      interior.chain = {first, first + static_cast<Index>(chain.rows.size())};
      interior.rows = pool_rows(chain.rows);
      p_.row_chains.push_back(interior);
    };
    inside(pair.plus, pair.up, rows.plus.first, 1.0);
    inside(pair.minus, pair.un, rows.minus.first, -1.0);
  }
  p_.copies.assign(folder_.dangling.rbegin(), folder_.dangling.rend());
}

// What rounding leaves of a balance with the conductances as built; see Equations::tolerance.
void Planner::set_tolerances() {
  std::vector<double> stiffness(p_.total, leak_s);
  for (const LinkPlan& link : p_.links) {
    double ohm = 0.0;
    for (Index c = link.chain.first; c < link.chain.last; ++c)
      ohm += values_[p_.chains[c].block + slot::resistance];
    for (const Index x : {link.u, link.w, link.t})
      if (ohm > 0.0) stiffness[x] += 1.0 / ohm;
  }
  for (const SourcePlan& source : p_.sources) {
    double ohm = std::max(values_[d_.elements[source.element].parameters + slot::resistance],
                          floating_source_ohm);
    for (Index c = source.chain.first; c < source.chain.last; ++c)
      ohm += values_[p_.chains[c].block + slot::resistance];
    stiffness[p_.ports[source.port].u] += 1.0 / ohm;
    stiffness[p_.ports[source.port].w] += 1.0 / ohm;
  }
  const auto stiffen = [&](Index element, Index u, Index w) {
    const double ohm = values_[d_.elements[element].parameters + slot::resistance];
    stiffness[u] += 1.0 / std::max(ohm, 1e-12);
    stiffness[w] += 1.0 / std::max(ohm, 1e-12);
  };
  for (const ConverterPlan& c : p_.converters) {
    stiffen(c.element, c.s, c.t);
    // The rounding of the output current comes back at the input, times the ratio of voltages.
    const Element& element = d_.elements[c.element];
    const double* block = &values_[element.parameters];
    const double in_v =
        std::max(0.1 * block[slot::set_point], node_v_[element.a] - node_v_[element.b]);
    const double passed_on = 1.5 * block[slot::set_point] / in_v / block[slot::resistance];
    stiffness[c.u] += passed_on;
    stiffness[c.w] += passed_on;
  }
  for (const auto* list : {&p_.chargers, &p_.diodes, &p_.conductors})
    for (const BranchPlan& b : *list) stiffen(b.element, b.u, b.w);
  for (const LoadPlan& load : p_.loads) {
    double ohm = 0.0;
    for (Index c = load.chain.first; c < load.chain.last; ++c)
      ohm += values_[p_.chains[c].block + slot::resistance];
    if (ohm == 0.0) continue;
    stiffness[p_.ports[load.port].u] += 1.0 / ohm;
    stiffness[p_.ports[load.port].w] += 1.0 / ohm;
  }
  const double scale_v = voltage_scale(d_, values_);
  p_.inverse_tolerance.resize(p_.unknowns);
  for (Index k = 0; k < p_.unknowns; ++k)
    p_.inverse_tolerance[k] = 1.0 / (1e-12 + 2e-15 * stiffness[k] * scale_v);
}

}  // namespace nightbus::network_detail
