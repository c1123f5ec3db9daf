#pragma once
/// The unit table as the parser and the printer use it.

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "nightbus/quantity.hpp"

namespace nightbus::quantity_detail {

/// inside = (written · 10^ten · multiply + add) / divide. The power of ten moves the decimal point
/// of the written digits, and the other three are integers where the unit is defined by integers,
/// so that "20 mOhm" is exactly 0.02 and "12 ft" exactly 3.6576.
struct UnitRule {
  std::string_view spelling;
  Dimension dimension;
  int ten = 0;
  double multiply = 1.0;
  double divide = 1.0;
  double add = 0.0;
};

double to_inside(double shifted, const UnitRule& rule);
double from_inside(double inside, const UnitRule& rule);  ///< without the power of ten

std::span<const UnitRule> unit_rules();

/// The rule for a key (see unit_key) in a dimension: exact spelling first, then any case as long as
/// milli and mega cannot be mistaken for each other. nullptr when there is none.
const UnitRule* find_unit(std::string_view key, Dimension dimension);

/// Every dimension in which the key is an exact spelling, in table order.
std::vector<Dimension> dimensions_of(std::string_view key);

/// The rule whose spelling is printed for a dimension; always a power of ten from the inside unit.
const UnitRule& printed_unit(Dimension dimension);

}  // namespace nightbus::quantity_detail
