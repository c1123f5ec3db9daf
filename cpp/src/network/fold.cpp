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
//
// Each rule may open the way for another; a queue of touched rows runs until none applies. The
// folds are kept in order: run backwards they give every potential from the unknowns that are left.
#include <algorithm>
#include <array>
#include <map>

#include "network/equations.hpp"
#include "network/program.hpp"

namespace nightbus::network_detail {

namespace {

struct Chain {  // from an outer row inwards: slots[i] leads to rows[i] (the last row may be
                // missing)
  std::vector<ChainPart> parts;
  std::vector<Index> rows;
};

enum class EdgeKind : std::uint8_t { link, load, source, branch, port, child };

struct Edge {
  EdgeKind kind{};
  bool alive = true;
  Index a = 0, b = 0;    // outer rows now
  Index element = none;  // or pair of a child edge
  Chain chain;           // link: a to b without the ends; load, source: from a inwards
  Chain back;            // load, source: from b inwards
  Index pair = none;     // pair that swallowed it
};

struct Pair {
  Index p = 0, n = 0, up = 0, un = 0;
  Chain plus, minus;   // from up to p, from un to n
  Index owner = none;  // pair its child edge was swallowed by
};

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

class Folder {
 public:
  Folder(const Description& d, const Net& net, std::span<const double> values)
      : d_(d), net_(net), values_(values), at_(net.rows), gone_(net.rows, 0) {}

  void run() {
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

  std::vector<Edge> edges;
  std::vector<Pair> pairs;
  std::vector<RowCopy> dangling;
  bool gone(Index row) const { return gone_[row] != 0; }

 private:
  Edge& add(EdgeKind kind, Index a, Index b, Index element) {
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

  void collect() {
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

  bool unknown(Index row) const { return row < net_.unknowns; }
  Index other(Index e, Index row) const { return edges[e].a == row ? edges[e].b : edges[e].a; }
  std::vector<Index>& live(Index row) {
    std::erase_if(at_[row], [&](Index e) { return !edges[e].alive; });
    return at_[row];
  }
  void again(Index row) {
    if (unknown(row)) queue_.push_back(row);
  }

  // True when a simple rule took the row away.
  bool touch(Index row) {
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

  void drop_dangling(Index row, Index link) {
    const Index from = other(link, row);
    const Chain& chain = edges[link].chain;
    for (const Index inside : chain.rows) dangling.push_back({inside, from});
    dangling.push_back({row, from});
    edges[link].alive = false;
    gone_[row] = 1;
    again(from);
  }

  void join_series(Index row, Index e, Index f) {
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

  bool absorbs(Index e) const {
    const Edge& edge = edges[e];
    if (edge.kind == EdgeKind::source || edge.kind == EdgeKind::child) return true;
    if (edge.kind != EdgeKind::load) return false;
    return values_[d_.elements[edge.element].parameters + slot::fan] == 0.0;
  }

  void absorb(Index row, Index link, Index e) {
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
  Index way_out(Index row, Index mate) {
    Index out = none;
    for (const Index e : live(row)) {
      if (other(e, row) == mate) continue;
      if (out != none || edges[e].kind != EdgeKind::link) return none;
      out = e;
    }
    return out;
  }

  void try_pair(Index p) {
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

  bool fold_pair(Index p, Index n) {
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

  bool fold_pair_oriented(Index p, Index n, Index plus, Index minus, Index up, Index un) {
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

  const Description& d_;
  const Net& net_;
  std::span<const double> values_;
  std::vector<std::vector<Index>> at_;
  std::vector<std::uint8_t> gone_;
  std::vector<Index> queue_, pair_queue_;
};

// Turns what the folder left into index lists.
class Planner {
 public:
  Planner(const Description& d, const Net& net, std::span<const double> values,
          std::span<const double> node_v, Folder& folder)
      : d_(d), net_(net), values_(values), node_v_(node_v), folder_(folder) {}

  Program plan() {
    number_unknowns();
    order();
    place_links();
    place_loads();
    place_sources();
    place_branches();
    place_converters();
    place_rows();
    set_tolerances();
    return std::move(p_);
  }

 private:
  // Before ordering: pair k is unknown k, rows follow.
  void number_unknowns() {
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

  struct Place {
    Index u = 0, w = 0;
  };
  Place raw_place(Index pair, Index a, Index b) const {
    if (pair == none) return {raw_of_row_[a], raw_of_row_[b]};
    const bool forward = folder_.pairs[pair].p == a;
    return forward ? Place{pair, p_.unknowns} : Place{p_.unknowns, pair};
  }

  Index x_of(Index raw) const { return raw < p_.unknowns ? elimination_.position[raw] : raw; }
  Place place(Index pair, Index a, Index b) const {
    const Place raw = raw_place(pair, a, b);
    return {x_of(raw.u), x_of(raw.w)};
  }

  // Ports of converters keep no edge id: find them by rows.
  Place converter_place(Index a, Index b) const {
    if (a == b) return {p_.unknowns, p_.unknowns};
    const auto at = pair_of_row_.find(a);
    if (at != pair_of_row_.end()) return place(at->second.first, a, b);
    return place(none, a, b);
  }
  Place raw_converter_place(Index a, Index b) const {
    if (a == b) return {p_.unknowns, p_.unknowns};
    const auto at = pair_of_row_.find(a);
    if (at != pair_of_row_.end()) return raw_place(at->second.first, a, b);
    return raw_place(none, a, b);
  }

  void order() {
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

  Index entry(Index i, Index j) const {  // lower entry of x positions; none when known or equal
    if (i >= p_.unknowns || j >= p_.unknowns || i == j) return none;
    const Index column = std::min(i, j);
    const Index row = std::max(i, j);
    const auto first = elimination_.rows.begin() + elimination_.starts[column];
    const auto last = elimination_.rows.begin() + elimination_.starts[column + 1];
    return static_cast<Index>(std::lower_bound(first, last, row) - elimination_.rows.begin());
  }

  // A converter couples input and output rows one way; what its elimination touches loses symmetry.
  void mark_unsymmetric() {
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

  // Index in `off` of matrix entry (row i, column j) of x positions.
  Index off(Index i, Index j) const {
    const Index e = entry(i, j);
    if (e == none) return p_.off_count;
    return i > j ? e : p_.entry_upper[e];
  }
  Index shared_off(Index i, Index j) const { return off(std::max(i, j), std::min(i, j)); }

  Range pool(const Chain& chain) {
    Range range{static_cast<Index>(p_.chains.size()), 0};
    p_.chains.insert(p_.chains.end(), chain.parts.begin(), chain.parts.end());
    range.last = static_cast<Index>(p_.chains.size());
    return range;
  }
  Range pool_both(const Chain& chain, const Chain& back) {
    Range range = pool(chain);
    range.last = pool(back).last;
    return range;
  }
  Range pool_rows(const std::vector<Index>& rows) {
    const auto first = static_cast<Index>(p_.chain_rows.size());
    p_.chain_rows.insert(p_.chain_rows.end(), rows.begin(), rows.end());
    return {first, static_cast<Index>(p_.chain_rows.size())};
  }

  void place_links() {
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

  Index port_at(Place at) {
    const auto [found, fresh] =
        port_index_.try_emplace({at.u, at.w}, static_cast<Index>(p_.ports.size()));
    if (fresh) {
      PortPlan port;
      port.u = at.u;
      port.w = at.w;
      port.uw = shared_off(at.u, at.w);
      p_.ports.push_back(port);
    }
    return found->second;
  }

  LoadClass class_of(const Edge& edge) const {
    const Element& element = d_.elements[edge.element];
    const double* block = &values_[element.parameters];
    if (edge.chain.parts.empty() && edge.back.parts.empty()) return LoadClass::direct;
    const bool cut_leaks = element.has_lock_out && d_.loads[element.fixed].off_conductance_s > 0.0;
    const bool power = block[slot::power] > 0.0;
    const bool other = block[slot::current] > 0.0 || block[slot::conductance] > 0.0;
    if (!power && other) return LoadClass::linear;
    return other || cut_leaks ? LoadClass::mixed : LoadClass::pure;
  }

  void leaf_rows(const Edge& edge, Index load, Index source, Range chain) {
    const auto side = [&](const Chain& part, Index from, Index first, double sign) {
      if (part.rows.empty()) return;
      RowChain rows;
      rows.from = from;
      rows.load = load;
      rows.source = source;
      rows.sign = sign;
      rows.chain = {first, first + static_cast<Index>(part.rows.size())};
      rows.rows = pool_rows(part.rows);
      p_.row_chains.push_back(rows);
    };
    side(edge.chain, edge.a, chain.first, 1.0);
    side(edge.back, edge.b, chain.first + static_cast<Index>(edge.chain.parts.size()), -1.0);
  }

  void place_loads() {
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
      leaf_rows(edge, k, none, item.plan.chain);
      p_.loads.push_back(item.plan);
      PortPlan& port = p_.ports[item.plan.port];
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
          widen(port.mixed, p_.mixed, p_.pure);
          break;
        case LoadClass::direct:
          widen(port.direct, p_.direct, p_.pure + p_.mixed);
          break;
        case LoadClass::linear:
          break;
      }
    }
  }

  void place_sources() {
    for (const Edge& edge : folder_.edges) {
      if (edge.kind != EdgeKind::source || (!edge.alive && edge.pair == none)) continue;
      SourcePlan plan;
      plan.element = edge.element;
      plan.port = port_at(place(edge.pair, edge.a, edge.b));
      plan.chain = pool_both(edge.chain, edge.back);
      leaf_rows(edge, none, static_cast<Index>(p_.sources.size()), plan.chain);
      p_.sources.push_back(plan);
    }
    for (const Row2& leak : net_.leaks) {
      if (leak.u == leak.w) continue;
      p_.leak_ports.push_back(port_at(converter_place(leak.u, leak.w)));
    }
  }

  void place_branches() {
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

  void place_converters() {
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

  void place_rows() {
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
  void set_tolerances() {
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

  const Description& d_;
  const Net& net_;
  std::span<const double> values_, node_v_;
  Folder& folder_;
  Program p_;
  Elimination elimination_;
  std::vector<Index> raw_of_row_, link_of_pair_;
  std::map<Index, std::pair<Index, bool>> pair_of_row_;
  std::map<std::pair<Index, Index>, Index> port_index_;
};

}  // namespace

Program fold(const Description& description, const Net& net, std::span<const double> values,
             std::span<const double> node_v) {
  Folder folder(description, net, values);
  folder.run();
  return Planner(description, net, values, node_v, folder).plan();
}

}  // namespace nightbus::network_detail
