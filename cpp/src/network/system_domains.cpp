/// Which points share a source. Each point has two sides (the same but for converters); a run joins
/// the starting side of `from` to the receiving side of `to`, a PoE link joins its device to the
/// output of its converter.

#include <numeric>

#include "network/system_impl.hpp"

namespace nightbus::compile_detail {

namespace {

class Sides {
 public:
  explicit Sides(std::size_t count) : parent_(count) {
    std::iota(parent_.begin(), parent_.end(), std::size_t{0});
  }
  std::size_t root(std::size_t side) {
    while (parent_[side] != side) {
      parent_[side] = parent_[parent_[side]];
      side = parent_[side];
    }
    return side;
  }
  void join(std::size_t a, std::size_t b) { parent_[root(b)] = root(a); }

 private:
  std::vector<std::size_t> parent_;
};

}  // namespace

void find_domains(Layout& layout) {
  const System& system = layout.system;
  Sides sides(2 * layout.points.size());
  const auto in_side = [](std::size_t point) { return 2 * point; };
  const auto out_side = [&](std::size_t point) {
    return 2 * point + (layout.points[point].kind == PointKind::converter ? 1 : 0);
  };
  for (std::size_t k = 0; k < system.runs.size(); ++k) {
    if (!system.runs[k].spare) {
      sides.join(out_side(layout.ends[k].from), in_side(layout.ends[k].to));
    }
  }
  for (std::size_t k = 0; k < system.poe_links.size(); ++k) {
    const std::size_t port = layout.by_name.find(system.poe_links[k].from)->second;
    sides.join(out_side(port), in_side(layout.point_of(PointKind::poe_link, k)));
  }

  std::map<std::size_t, int> domain_of;
  const auto domain = [&](std::size_t side) {
    const auto [place, fresh] =
        domain_of.emplace(sides.root(side), static_cast<int>(layout.domains.size()));
    if (fresh) {
      layout.domains.emplace_back();
    }
    return place->second;
  };
  for (std::size_t k = 0; k < layout.points.size(); ++k) {
    PointNodes& point = layout.points[k];
    point.domain = domain(in_side(k));
    point.out_domain = domain(out_side(k));
    auto& fed = layout.domains[static_cast<std::size_t>(point.out_domain)];
    if (point.kind == PointKind::bank) {
      fed.banks.push_back(point.index);
      fed.nominal_v = std::max(fed.nominal_v, system.banks[point.index].nominal_v);
    } else if (point.kind == PointKind::converter) {
      fed.converters.push_back(point.index);
    }
  }
  for (Domain& each : layout.domains) {
    if (each.banks.empty()) {
      for (const std::size_t converter : each.converters) {
        each.nominal_v = std::max(each.nominal_v, system.converters[converter].output_v);
      }
    }
  }
}

}  // namespace nightbus::compile_detail
