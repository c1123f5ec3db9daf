#include "network/net.hpp"

#include <algorithm>
#include <array>

#include "network/union_find.hpp"

namespace nightbus::network_detail {

void find_modes(const Description& description, std::span<const double> values,
                std::span<const std::uint8_t> on, std::vector<Mode>& modes) {
  modes.resize(description.elements.size());
  for (std::size_t e = 0; e < modes.size(); ++e) {
    const Element& element = description.elements[e];
    Mode mode = Mode::normal;
    if (element.kind == ElementKind::resistor || element.kind == ElementKind::source) {
      const double* block = &values[element.parameters];
      const double resistance_ohm = block[slot::resistance];
      const bool heated = element.kind == ElementKind::resistor &&
                          description.resistors[element.fixed].kelvin_per_watt > 0.0;
      const bool locked_out = element.has_lock_out && !on.empty() && on[e] == 0;
      if (block[slot::enabled] == 0.0 || resistance_ohm >= open_resistance_ohm || locked_out)
        mode = Mode::removed;
      else if (resistance_ohm <= ideal_resistance_ohm && !(heated && resistance_ohm > 0.0))
        mode = Mode::ideal;
    }
    modes[e] = mode;
  }
}

namespace {

bool is_carrier(ElementKind kind) {
  return kind == ElementKind::resistor || kind == ElementKind::source || kind == ElementKind::diode;
}

class Builder {
 public:
  Builder(const Description& description, std::span<const Mode> modes)
      : description_(description), merged_(description.nodes), islands_(description.nodes) {
    net_.modes.assign(modes.begin(), modes.end());
  }

  Net build() {
    merge_ideal_resistors();
    join_islands();
    choose_references();
    number_rows();
    place_elements();
    order();
    return std::move(net_);
  }

 private:
  bool active(std::uint32_t e) const { return net_.modes[e] != Mode::removed; }

  void merge_ideal_resistors() {
    for_each([&](std::uint32_t e, const Element& element) {
      if (element.kind == ElementKind::resistor && net_.modes[e] == Mode::ideal)
        merged_.join(element.a, element.b);
    });
  }

  // Parts held together by resistors, sources and diodes; loads, chargers and converter ports may
  // carry nothing at all, so a part that only they connect is tied by a leak across them.
  void join_islands() {
    for_each([&](std::uint32_t, const Element& element) {
      if (is_carrier(element.kind)) islands_.join(element.a, element.b);
    });
    for_each([&](std::uint32_t, const Element& element) {
      if (is_carrier(element.kind)) return;
      leak_if_loose(element.a, element.b);
      if (element.kind == ElementKind::converter) leak_if_loose(element.out_p, element.out_n);
    });
  }
  void leak_if_loose(std::uint32_t a, std::uint32_t b) {
    if (islands_.join(a, b)) leaks_.push_back({a, b});
  }

  void choose_references() {
    const std::uint32_t nodes = description_.nodes;
    reference_.assign(nodes, none);  // by island root
    const auto offer = [&](std::uint32_t node) {
      std::uint32_t& chosen = reference_[islands_.root(node)];
      if (chosen == none) chosen = node;
    };
    for (const std::uint32_t node : description_.references) offer(node);
    for_each([&](std::uint32_t e, const Element& element) {
      if (element.kind == ElementKind::source && net_.modes[e] == Mode::ideal) offer(element.b);
    });
    for_each([&](std::uint32_t, const Element& element) {
      if (element.kind == ElementKind::source) offer(element.b);
    });
    for_each([&](std::uint32_t, const Element& element) {
      if (element.kind == ElementKind::charger) offer(element.b);
    });
    for_each([&](std::uint32_t, const Element& element) {
      if (element.kind == ElementKind::converter) offer(element.out_n);
    });
    for (std::uint32_t node = 0; node < nodes; ++node) offer(node);
    net_.reference.resize(nodes);
    for (std::uint32_t node = 0; node < nodes; ++node)
      net_.reference[node] = reference_[islands_.root(node)];
  }

  void number_rows() {
    const std::uint32_t nodes = description_.nodes;
    std::vector<std::uint32_t> cluster_row(nodes, none);
    // Known clusters spread from the references over ideal sources. Their numbers are relative to
    // `unknowns`, which is not yet known: shift afterwards.
    constexpr std::uint32_t known_flag = 0x80000000u;
    std::uint32_t known = 1;
    for (std::uint32_t node = 0; node < nodes; ++node)
      cluster_row[merged_.root(net_.reference[node])] = known_flag;
    for (bool grown = true; grown;) {
      grown = false;
      for_each([&](std::uint32_t e, const Element& element) {
        if (element.kind != ElementKind::source || net_.modes[e] != Mode::ideal) return;
        std::uint32_t& p = cluster_row[merged_.root(element.a)];
        std::uint32_t& n = cluster_row[merged_.root(element.b)];
        if ((p == none) == (n == none)) return;
        const bool upwards = p == none;
        std::uint32_t& fresh = upwards ? p : n;
        const std::uint32_t from = (upwards ? n : p) & ~known_flag;
        fresh = known_flag | known;
        net_.known.push_back({known++, from, e, upwards ? 1.0 : -1.0});
        grown = true;
      });
    }
    for (std::uint32_t node = 0; node < nodes; ++node) {
      std::uint32_t& row = cluster_row[merged_.root(node)];
      if (row == none) row = net_.unknowns++;
    }
    net_.rows = net_.unknowns + known;
    net_.row.resize(nodes);
    for (std::uint32_t node = 0; node < nodes; ++node) {
      const std::uint32_t row = cluster_row[merged_.root(node)];
      net_.row[node] = (row & known_flag) != 0 ? net_.unknowns + (row & ~known_flag) : row;
    }
    for (KnownRow& k : net_.known) {
      k.row += net_.unknowns;
      k.from += net_.unknowns;
    }
    // An ideal source away from every reference keeps a token resistance.
    for_each([&](std::uint32_t e, const Element& element) {
      if (element.kind == ElementKind::source && net_.modes[e] == Mode::ideal &&
          net_.row[element.a] < net_.unknowns)
        net_.modes[e] = Mode::normal;
    });
  }

  void place_elements() {
    for_each([&](std::uint32_t e, const Element& element) {
      const Row2 place{e, net_.row[element.a], net_.row[element.b]};
      switch (element.kind) {
        case ElementKind::resistor:
          if (net_.modes[e] == Mode::normal) net_.resistors.push_back(place);
          break;
        case ElementKind::source:
          if (net_.modes[e] == Mode::normal) net_.sources.push_back(place);
          break;
        case ElementKind::charger:
          net_.chargers.push_back(place);
          break;
        case ElementKind::load:
          net_.loads.push_back(place);
          break;
        case ElementKind::diode:
          net_.diodes.push_back(place);
          break;
        case ElementKind::converter:
          net_.converters.push_back(
              {e, place.u, place.w, net_.row[element.out_p], net_.row[element.out_n]});
          break;
      }
    });
    for (const auto& [a, b] : leaks_) net_.leaks.push_back({none, net_.row[a], net_.row[b]});
    net_.leak_nodes = leaks_;
    grow_ideal_trees();
  }

  // Currents in ideal elements follow from the balance of the nodes they join: a spanning tree,
  // walked from its leaves; an ideal element that closes a loop is left without current.
  void grow_ideal_trees() {
    const std::uint32_t nodes = description_.nodes;
    std::vector<std::vector<std::uint32_t>> at(nodes);
    for_each([&](std::uint32_t e, const Element& element) {
      if (net_.modes[e] != Mode::ideal) return;
      at[element.a].push_back(e);
      at[element.b].push_back(e);
    });
    std::vector<std::uint8_t> seen(nodes, 0), used(description_.elements.size(), 0);
    std::vector<std::uint32_t> queue;
    const auto grow = [&](std::uint32_t root) {
      if (seen[root] || at[root].empty()) return;
      seen[root] = 1;
      queue.assign(1, root);
      for (std::size_t i = 0; i < queue.size(); ++i)
        for (const std::uint32_t e : at[queue[i]]) {
          if (used[e]) continue;
          used[e] = 1;
          const Element& element = description_.elements[e];
          const std::uint32_t other = element.a == queue[i] ? element.b : element.a;
          if (seen[other]) {
            net_.ideal_loops.push_back(e);
            continue;
          }
          seen[other] = 1;
          net_.ideal_tree.push_back({e, other, queue[i]});
          queue.push_back(other);
        }
    };
    for (std::uint32_t node = 0; node < nodes; ++node) grow(net_.reference[node]);
    for (std::uint32_t node = 0; node < nodes; ++node) grow(node);
    std::reverse(net_.ideal_tree.begin(), net_.ideal_tree.end());
  }

  void order() {
    std::vector<std::pair<std::uint32_t, std::uint32_t>> edges;
    const auto add = [&](std::uint32_t u, std::uint32_t w) {
      if (u < net_.unknowns && w < net_.unknowns && u != w) edges.push_back({u, w});
    };
    for (const auto* list :
         {&net_.resistors, &net_.sources, &net_.chargers, &net_.loads, &net_.diodes, &net_.leaks})
      for (const Row2& place : *list) add(place.u, place.w);
    for (const Row4& c : net_.converters) {
      const std::array rows{c.u, c.w, c.s, c.t};
      for (std::size_t i = 0; i < 4; ++i)
        for (std::size_t j = i + 1; j < 4; ++j) add(rows[i], rows[j]);
    }
    net_.elimination = minimum_degree(net_.unknowns, edges);
  }

  template <class Action>
  void for_each(Action action) {
    for (std::uint32_t e = 0; e < description_.elements.size(); ++e)
      if (active(e)) action(e, description_.elements[e]);
  }

  const Description& description_;
  UnionFind merged_;   // nodes that ideal resistors make one
  UnionFind islands_;  // nodes that are tied galvanically
  std::vector<std::pair<std::uint32_t, std::uint32_t>> leaks_;
  std::vector<std::uint32_t> reference_;
  Net net_;
};

}  // namespace

Net build_net(const Description& description, std::span<const Mode> modes) {
  return Builder(description, modes).build();
}

}  // namespace nightbus::network_detail
