#include <algorithm>

#include <fmt/format.h>

#include "quantity/number.hpp"
#include "quantity/problem.hpp"
#include "quantity/units.hpp"

namespace nightbus {

using namespace quantity_detail;

namespace {

struct Split {
  std::size_t left_end = 0;
  std::size_t right_begin = 0;
};

/// The place of "to", ".." or a dash between two ends; the sign of a number is not a dash.
std::optional<Split> find_split(std::string_view text) {
  if (const auto at = lower(text).find(" to "); at != std::string::npos) return Split{at, at + 4};
  if (const auto at = text.find(".."); at != std::string_view::npos) {
    auto end = at;
    while (end < text.size() && text[end] == '.') ++end;
    return Split{at, end};
  }
  for (std::size_t at = 1; at + 1 < text.size(); ++at) {
    if (text[at] != '-') continue;
    auto before = at;
    while (before > 0 && text[before - 1] == ' ') --before;
    if (before == 0) continue;
    const char last = text[before - 1];
    const bool exponent = (last == 'e' || last == 'E') && before == at && before > 1 &&
                          (is_digit(text[before - 2]) || text[before - 2] == '.');
    if (!exponent && last != '-' && last != '+') return Split{at, at + 1};
  }
  return std::nullopt;
}

/// The unit of the right end: "8 to 30 V" gives both ends volts.
std::string_view unit_of(std::string_view text, Dimension dimension) {
  const auto plain = make_plain(text);
  auto at = plain.text.find_first_not_of(' ');
  if (at == std::string::npos) return {};
  const auto number = scan_decimal(plain.text, at);
  if (!number) return {};
  at = plain.text.find_first_not_of(' ', at + number->length);
  if (at == std::string::npos) return {};
  const auto* rule = find_unit(unit_key(std::string_view(plain.text).substr(at)), dimension);
  return rule == nullptr ? std::string_view{} : rule->spelling;
}

Parsed<Range> shifted(QuantityProblem problem, std::string_view whole, std::size_t by) {
  problem.offset += by;
  problem.offset = std::min(problem.offset, whole.size());
  problem.length = std::min(problem.length, whole.size() - problem.offset);
  return {std::nullopt, std::move(problem)};
}

std::string range_expectation(Dimension dimension) {
  const auto low = show_quantity(1.0, dimension);
  const auto high = show_quantity(2.0, dimension);
  return fmt::format("{} window such as \"{} to {}\"", dimension_name(dimension), low, high);
}

}  // namespace

Parsed<Range> parse_range(std::string_view text, Dimension dimension, std::string_view plain_unit,
                          std::optional<Range> allowed) {
  const Reading reading{text, dimension, make_plain(text)};
  const auto split = find_split(reading.plain.text);
  if (!split) {
    QuantityProblem problem = problem_at(reading, "no-number", 0, reading.plain.text.size(),
                                         fmt::format("{}: only one end", quoted(text)),
                                         "write both ends with \"to\" between them");
    problem.expected = range_expectation(dimension);
    if (reading.plain.text.find_first_not_of(' ') == std::string::npos)
      problem.seen = "an empty text";
    return {std::nullopt, std::move(problem)};
  }
  const auto left_end = reading.plain.at[split->left_end];
  const auto right_begin =
      reading.plain.at[std::min(split->right_begin, reading.plain.text.size())];
  const auto left = text.substr(0, left_end);
  const auto right = text.substr(right_begin);
  auto high = parse_quantity(right, dimension, plain_unit, allowed);
  if (!high) return shifted(std::move(high.problem), text, right_begin);
  const auto shared = unit_of(right, dimension);
  const auto low_plain = shared.empty() ? plain_unit : shared;
  auto low = parse_quantity(left, dimension, low_plain, allowed);
  if (!low) return shifted(std::move(low.problem), text, 0);
  if (*low > *high) {
    auto problem = problem_at(reading, "order", 0, reading.plain.text.size(),
                              fmt::format("{}: the first end lies above the second", quoted(text)),
                              fmt::format("write \"{}\"", print_range({*high, *low}, dimension)));
    problem.expected = range_expectation(dimension);
    return {std::nullopt, std::move(problem)};
  }
  return {Range{*low, *high}, {}};
}

std::string print_range(const Range& range, Dimension dimension) {
  return print_quantity(range.low, dimension) + " to " + print_quantity(range.high, dimension);
}

}  // namespace nightbus
