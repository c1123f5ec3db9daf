// Folding: what can be eliminated exactly, once and for all, before any numbers are known.
//
//   dangling row     one link only: carries nothing, has its neighbour's potential.
//   series row       two links only: the two become one link, R = R1 + R2.
//   leaf             a load or source and one link only: the link joins the element's own series
//                    resistance; a load of power, current and conductance behind R stays a
//                    quadratic.
//   paired rows      rows p and n with one link each to the outside (to p' and n') and everything
//   else
//                    between the two: the current out equals the current back, so only the
//                    difference x = v_p - v_n matters, fed through R_p + R_n from v_p' - v_n'.
//                    A tree with paired returns folds up to its root, one unknown for each pair.
#include <algorithm>
#include <array>

#include "network/fold_plan.hpp"
#include "network/folder.hpp"

namespace nightbus::network_detail {

namespace {

Chain reversed(const Chain& link) {
  Chain r = link;
  std::reverse(r.parts.begin(), r.parts.end());
  std::reverse(r.rows.begin(), r.rows.end());
  return r;
}

// Seen from its end `row`, outwards.
Chain from_row(const Edge& link, Index row) {
  return link.a == row ? link.chain : reversed(link.chain);
}

void extend(Chain& outer, Index middle, const Chain& inner) {
  outer.rows.push_back(middle);
  outer.parts.insert(outer.parts.end(), inner.parts.begin(), inner.parts.end());
  outer.rows.insert(outer.rows.end(), inner.rows.begin(), inner.rows.end());
}

}  // namespace

void Folder::run() {
  collect();
  for (Index row = 0; row < net_.unknowns; ++row) queue_.push_back(row);
  // Pairs last: a chain must be one link before it can lead to a pair.
  for (std::size_t k = 0, pair_k = 0; k < queue_.size() || pair_k < pair_queue_.size();) {
    if (k < queue_.size()) {
      const Index row = queue_[k++];
      if (!gone_[row] && !touch(row)) pair_queue_.push_back(row);
    } else {
      const Index row = pair_queue_[pair_k++];
      if (!gone_[row]) try_pair(row);
    }
  }
}

Edge& Folder::add(EdgeKind kind, Index a, Index b, Index element) {
  Edge edge;
  edge.kind = kind;
  edge.a = a;
  edge.b = b;
  edge.element = element;
  const auto id = static_cast<Index>(edges.size());
  edges.push_back(std::move(edge));
  if (a != b) {
    at_[a].push_back(id);
    at_[b].push_back(id);
  }
  return edges.back();
}

void Folder::collect() {
  for (const Row2& place : net_.resistors) {
    if (place.u == place.w) continue;
    const Element& element = d_.elements[place.element];
    if (d_.resistors[element.fixed].kelvin_per_watt > 0.0) {
      add(EdgeKind::branch, place.u, place.w, place.element);
    } else {
      Edge& edge = add(EdgeKind::link, place.u, place.w, place.element);
      const ResistorFixed& fixed = d_.resistors[element.fixed];
      edge.chain.parts.push_back(
          {element.parameters, fixed.temperature_coefficient, fixed.reference_c});
    }
  }
  const auto each = [&](const std::vector<Row2>& list, EdgeKind kind) {
    for (const Row2& place : list)
      if (place.u != place.w) add(kind, place.u, place.w, place.element);
  };
  each(net_.sources, EdgeKind::source);
  each(net_.loads, EdgeKind::load);
  each(net_.chargers, EdgeKind::branch);
  each(net_.diodes, EdgeKind::branch);
  each(net_.leaks, EdgeKind::port);
  for (const Row4& c : net_.converters) {
    add(EdgeKind::port, c.u, c.w, none);
    add(EdgeKind::port, c.s, c.t, none);
  }
}

std::vector<Index>& Folder::live(Index row) {
  std::erase_if(at_[row], [&](Index e) { return !edges[e].alive; });
  return at_[row];
}

void Folder::again(Index row) {
  if (unknown(row)) queue_.push_back(row);
}

// True when a simple rule took the row away.
bool Folder::touch(Index row) {
  const std::vector<Index>& at = live(row);
  if (at.size() == 1 && edges[at[0]].kind == EdgeKind::link) {
    drop_dangling(row, at[0]);
    return true;
  }
  if (at.size() == 2) {
    const Index e = at[0];
    const Index f = at[1];
    const bool link_e = edges[e].kind == EdgeKind::link;
    const bool link_f = edges[f].kind == EdgeKind::link;
    if (other(e, row) != other(f, row)) {
      if (link_e && link_f) {
        join_series(row, e, f);
        return true;
      }
      if (link_e && absorbs(f)) {
        absorb(row, e, f);
        return true;
      }
      if (link_f && absorbs(e)) {
        absorb(row, f, e);
        return true;
      }
    }
  }
  return false;
}

void Folder::drop_dangling(Index row, Index link) {
  const Index from = other(link, row);
  const Chain& chain = edges[link].chain;
  for (const Index inside : chain.rows) dangling.push_back({inside, from});
  dangling.push_back({row, from});
  edges[link].alive = false;
  gone_[row] = 1;
  again(from);
}

void Folder::join_series(Index row, Index e, Index f) {
  const Index a = other(e, row);
  const Index b = other(f, row);
  Chain chain = from_row(edges[e], a);
  extend(chain, row, from_row(edges[f], row));
  edges[e].alive = edges[f].alive = false;
  gone_[row] = 1;
  add(EdgeKind::link, a, b, none).chain = std::move(chain);
  again(a);
  again(b);
}

bool Folder::absorbs(Index e) const {
  const Edge& edge = edges[e];
  if (edge.kind == EdgeKind::source || edge.kind == EdgeKind::child) return true;
  if (edge.kind != EdgeKind::load) return false;
  return values_[d_.elements[edge.element].parameters + slot::fan] == 0.0;
}

void Folder::absorb(Index row, Index link, Index e) {
  const Index outer = other(link, row);
  Chain chain = from_row(edges[link], outer);
  Edge& edge = edges[e];
  const bool at_a = edge.a == row;
  if (edge.kind == EdgeKind::child) {
    Pair& pair = pairs[edge.element];
    Chain& side = at_a ? pair.plus : pair.minus;
    extend(chain, row, side);
    side = std::move(chain);
    (at_a ? pair.up : pair.un) = outer;
  } else {
    Chain& side = at_a ? edge.chain : edge.back;
    extend(chain, row, side);
    side = std::move(chain);
  }
  (at_a ? edge.a : edge.b) = outer;
  edges[link].alive = false;
  gone_[row] = 1;
  at_[outer].push_back(e);
  again(outer);
  again(other(e, outer));
}

// The link that leaves the pair (row, mate) from `row`, if everything else goes to mate.
Index Folder::way_out(Index row, Index mate) {
  Index out = none;
  for (const Index e : live(row)) {
    if (other(e, row) == mate) continue;
    if (out != none || edges[e].kind != EdgeKind::link) return none;
    out = e;
  }
  return out;
}

void Folder::try_pair(Index p) {
  // At most two neighbours can lead to a pair; look no further on a busy bus.
  std::array<Index, 2> near{none, none};
  for (const Index e : live(p)) {
    const Index row = other(e, p);
    if (row == near[0] || row == near[1]) continue;
    if (near[0] == none)
      near[0] = row;
    else if (near[1] == none)
      near[1] = row;
    else
      return;
  }
  for (const Index n : near)
    if (n != none && unknown(n) && fold_pair(p, n)) return;
}

bool Folder::fold_pair(Index p, Index n) {
  const Index plus = way_out(p, n);
  const Index minus = plus == none ? none : way_out(n, p);
  if (minus == none) return false;
  const Index up = other(plus, p);
  const Index un = other(minus, n);
  if (up == un || at_[p].size() < 2) return false;
  // Children must sit the same way round as the pair.
  for (const Index e : at_[p])
    if (e != plus && edges[e].kind == EdgeKind::child && edges[e].a != p) {
      if (edges[e].a != n) return false;
      for (const Index other_child : at_[p])
        if (other_child != plus && edges[other_child].kind == EdgeKind::child &&
            edges[other_child].a == p)
          return false;
      return fold_pair_oriented(n, p, minus, plus, un, up);
    }
  return fold_pair_oriented(p, n, plus, minus, up, un);
}

bool Folder::fold_pair_oriented(Index p, Index n, Index plus, Index minus, Index up, Index un) {
  const auto id = static_cast<Index>(pairs.size());
  Pair pair;
  pair.p = p;
  pair.n = n;
  pair.up = up;
  pair.un = un;
  pair.plus = from_row(edges[plus], up);
  pair.minus = from_row(edges[minus], un);
  for (const Index e : at_[p])
    if (e != plus) {
      edges[e].pair = id;
      edges[e].alive = false;
      if (edges[e].kind == EdgeKind::child) pairs[edges[e].element].owner = id;
    }
  edges[plus].alive = edges[minus].alive = false;
  gone_[p] = gone_[n] = 1;
  pairs.push_back(std::move(pair));
  add(EdgeKind::child, up, un, id);
  again(up);
  again(un);
  return true;
}

Program fold(const Description& description, const Net& net, std::span<const double> values,
             std::span<const double> node_v) {
  Folder folder(description, net, values);
  folder.run();
  return Planner(description, net, values, node_v, folder).plan();
}

}  // namespace nightbus::network_detail
