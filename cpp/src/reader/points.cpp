#include "reader/points.hpp"

#include <numeric>

namespace nightbus::reader_detail {

std::string Point::label() const {
  return std::string(point_kind_name(kind)) + " \"" + name + "\"";
}

Points::Points(const System& system) {
  const auto add = [this](PointKind kind, const auto& list) {
    for (std::size_t i = 0; i < list.size(); ++i) {
      Point point;
      point.kind = kind;
      point.index = i;
      point.name = list[i].name;
      point.written = &list[i].written;
      point.node = nodes_++;
      point.output = kind == PointKind::converter ? nodes_++ : point.node;
      by_name_.emplace(point.name, points_.size());
      points_.push_back(std::move(point));
    }
  };
  add(PointKind::bank, system.banks);
  add(PointKind::bus, system.buses);
  add(PointKind::load, system.loads);
  add(PointKind::fan, system.fans);
  add(PointKind::converter, system.converters);
  add(PointKind::poe_link, system.poe_links);
  add(PointKind::charger, system.chargers);
  add(PointKind::array, system.arrays);
}

const Point* Points::find(const std::string& name) const {
  const auto found = by_name_.find(name);
  return found == by_name_.end() ? nullptr : &points_[found->second];
}

std::vector<std::string> Points::names() const {
  std::vector<std::string> names;
  for (const auto& point : points_) {
    if (!point.name.empty()) names.push_back(point.name);
  }
  return names;
}

Groups::Groups(const System& system, const Points& points) : group_(points.node_count()) {
  std::iota(group_.begin(), group_.end(), std::size_t{0});
  const auto root = [this](std::size_t node) {
    while (group_[node] != node) node = group_[node] = group_[group_[node]];
    return node;
  };
  const auto join = [&](std::size_t a, std::size_t b) { group_[root(a)] = root(b); };
  for (const auto& run : system.runs) {
    const auto* from = points.find(run.from);
    const auto* to = points.find(run.to);
    if (from != nullptr && to != nullptr) join(from->output, to->node);
  }
  for (const auto& link : system.poe_links) {
    const auto* from = points.find(link.from);
    const auto* to = points.find(link.name);
    if (from != nullptr && to != nullptr) join(from->output, to->node);
  }
  for (std::size_t node = 0; node < group_.size(); ++node) group_[node] = root(node);
}

}  // namespace nightbus::reader_detail
