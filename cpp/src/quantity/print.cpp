/// Exact text. The inside unit (or a power of ten of it) always round-trips; where its digits run
/// on, as 98 °F does in °C, the first other unit that reads back to the same double in few digits
/// is used.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <optional>

#include "quantity/number.hpp"
#include "quantity/text.hpp"
#include "quantity/units.hpp"

namespace nightbus {

using namespace quantity_detail;

namespace {

constexpr int few_digits = 9;

int count_digits(std::string_view number) {
  int count = 0;
  bool started = false;
  for (char c : number.substr(0, number.find('e'))) {
    started = started || (c >= '1' && c <= '9');
    if (started && is_digit(c)) ++count;
  }
  return count;
}

std::string with_unit(std::string number, std::string_view unit) {
  if (unit.empty()) return number;
  const bool joined = unit == "°";
  return fmt::format("{}{}{}", number, joined ? "" : " ", unit);
}

/// "1 d 6 h" for whole seconds below what a double counts exactly.
std::optional<std::string> whole_seconds(double value) {
  if (std::fabs(value) < 60.0 || std::fabs(value) > 1e12 || value != std::floor(value))
    return std::nullopt;
  auto rest = static_cast<std::int64_t>(std::fabs(value));
  std::string out;
  for (const auto& [unit, size] : {std::pair{"d", 86400}, {"h", 3600}, {"min", 60}, {"s", 1}}) {
    const auto count = rest / size;
    rest -= count * size;
    if (count != 0) out += fmt::format("{}{} {}", out.empty() ? "" : " ", count, unit);
  }
  return value < 0 ? "-" + out : out;
}

/// Fewest digits of value in `rule`'s unit that read back exactly, if few are enough.
std::optional<std::string> few_digit_text(double value, const UnitRule& rule) {
  const double shifted = from_inside(value, rule);
  if (!std::isfinite(shifted)) return std::nullopt;
  for (int digits = 1; digits <= few_digits; ++digits) {
    const auto number = rule.ten == 0 ? round_decimal(shifted, digits)
                                      : print_decimal(rounded_value(shifted, digits), rule.ten);
    const auto decimal = scan_decimal(number, 0);
    if (decimal && to_inside(value_of(*decimal, rule.ten), rule) == value) return number;
  }
  return std::nullopt;
}

}  // namespace

std::string print_quantity(double value, Dimension dimension) {
  if (dimension == Dimension::time) {
    if (auto text = whole_seconds(value)) return *text;
  }
  const auto& usual = printed_unit(dimension);
  const auto number = print_decimal(value, usual.ten);
  if (!std::isfinite(value) || count_digits(number) <= few_digits)
    return with_unit(number, usual.spelling);
  for (const auto& rule : unit_rules()) {
    if (rule.dimension != dimension || rule.spelling == "1") continue;
    if (auto text = few_digit_text(value, rule)) return with_unit(*text, rule.spelling);
  }
  return with_unit(number, usual.spelling);
}

}  // namespace nightbus
