#pragma once
/// The points of a system and how runs join them.
///
/// Every point is one node, a converter two: its input, where a run goes to it, and its output,
/// where a run comes from it. A PoE link is joined to its converter's output.

#include <cstddef>
#include <map>
#include <string>
#include <vector>

#include "nightbus/system.hpp"

namespace nightbus::reader_detail {

struct Point {
  PointKind kind = PointKind::bus;
  std::size_t index = 0;  ///< in its list of System
  std::string name;
  const Written* written = nullptr;
  std::size_t node = 0;    ///< a converter's input
  std::size_t output = 0;  ///< a converter's output; else the same as node

  std::string label() const;  ///< `load "router"`
};

class Points {
 public:
  explicit Points(const System& system);

  const std::vector<Point>& all() const { return points_; }
  const Point* find(const std::string& name) const;
  std::vector<std::string> names() const;
  std::size_t node_count() const { return nodes_; }

 private:
  std::vector<Point> points_;
  std::map<std::string, std::size_t> by_name_;
  std::size_t nodes_ = 0;
};

/// Nodes joined by runs alone belong to one group, which has one voltage.
class Groups {
 public:
  Groups(const System& system, const Points& points);
  std::size_t of(std::size_t node) const { return group_[node]; }

 private:
  std::vector<std::size_t> group_;
};

}  // namespace nightbus::reader_detail
