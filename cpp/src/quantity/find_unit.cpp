#include <string>
#include <vector>

#include "quantity/text.hpp"
#include "quantity/units.hpp"

namespace nightbus::quantity_detail {

namespace {

struct Filed {
  std::string key;
  std::string low_key;
  const UnitRule* rule;
};

/// Units by dimension, each list in table order.
const std::vector<std::vector<Filed>>& filed() {
  static const std::vector<std::vector<Filed>> all = [] {
    std::vector<std::vector<Filed>> lists(static_cast<std::size_t>(Dimension::insolation) + 1);
    for (const auto& rule : unit_rules()) {
      auto key = unit_key(make_plain(rule.spelling).text);
      auto low = lower(key);
      lists.at(static_cast<std::size_t>(rule.dimension))
          .push_back({std::move(key), std::move(low), &rule});
    }
    return lists;
  }();
  return all;
}

bool prefix_differs(std::string_view a, std::string_view b) {
  const bool milli_or_mega = a.size() > 1 && (a[0] == 'm' || a[0] == 'M');
  return milli_or_mega && a[0] != b[0];
}

}  // namespace

double to_inside(double shifted, const UnitRule& rule) {
  return (shifted * rule.multiply + rule.add) / rule.divide;
}

double from_inside(double inside, const UnitRule& rule) {
  return (inside * rule.divide - rule.add) / rule.multiply;
}

const UnitRule* find_unit(std::string_view key, Dimension dimension) {
  const auto& units = filed().at(static_cast<std::size_t>(dimension));
  for (const auto& entry : units) {
    if (entry.key == key) return entry.rule;
  }
  const auto low = lower(key);
  for (const auto& entry : units) {
    if (entry.low_key == low && !prefix_differs(entry.key, key)) return entry.rule;
  }
  return nullptr;
}

std::vector<Dimension> dimensions_of(std::string_view key) {
  std::vector<Dimension> found;
  for (const auto& units : filed()) {
    for (const auto& entry : units) {
      if (!key.empty() && entry.key == key) found.push_back(entry.rule->dimension);
    }
  }
  return found;
}

}  // namespace nightbus::quantity_detail

namespace nightbus {

const std::vector<Unit>& units() {
  static const std::vector<Unit> all = [] {
    std::vector<Unit> list;
    for (const auto& rule : quantity_detail::unit_rules()) {
      double scale = rule.multiply / rule.divide;
      for (int i = 0; i < rule.ten; ++i) scale *= 10.0;
      for (int i = 0; i > rule.ten; --i) scale /= 10.0;
      list.push_back({rule.spelling, rule.dimension, scale, rule.add / rule.divide});
    }
    return list;
  }();
  return all;
}

}  // namespace nightbus
