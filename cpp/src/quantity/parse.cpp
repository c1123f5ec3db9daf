/// Text -> SI double. The text is first put into plain spelling, then read as number, unit, and for
/// lengths, durations and angles further "number unit" terms of falling size ("1 d 6 h", "5' 6\"").

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <stdexcept>

#include "quantity/number.hpp"
#include "quantity/problem.hpp"
#include "quantity/units.hpp"

namespace nightbus {

namespace quantity_detail {

namespace {

struct Outcome {
  std::optional<double> value;
  QuantityProblem problem;
};

bool may_be_compound(Dimension dimension) {
  return dimension == Dimension::time || dimension == Dimension::length ||
         dimension == Dimension::angle;
}

std::size_t skip_spaces(std::string_view text, std::size_t at) {
  while (at < text.size() && text[at] == ' ') ++at;
  return at;
}

/// True where a number is followed by a mark that people use inside numbers, but that is not read.
bool marked(std::string_view text, std::size_t at, Dimension dimension) {
  if (at + 1 >= text.size()) return false;
  const char mark = text[at];
  if (mark == ',' || mark == '_' || mark == '/') return is_digit(text[at + 1]);
  if (mark == '\'' && !may_be_compound(dimension)) return is_digit(text[at + 1]);
  if (mark == ' ') {
    const auto next = skip_spaces(text, at);
    return next < text.size() && is_digit(text[next]);
  }
  return false;
}

/// Longest spelling of the dimension at `from` that is followed by a space, a digit or the end.
const UnitRule* longest_unit(std::string_view text, std::size_t from, Dimension dimension,
                             std::size_t& end) {
  const auto limit = std::min(text.size(), from + 16);
  for (std::size_t stop = limit; stop > from; --stop) {
    if (stop < text.size() && text[stop] != ' ' && !is_digit(text[stop])) continue;
    if (text[stop - 1] == ' ') continue;
    if (const auto* rule = find_unit(unit_key(text.substr(from, stop - from)), dimension)) {
      end = stop;
      return rule;
    }
  }
  return nullptr;
}

/// "36.1 N", "122 W": the letter of a latitude or longitude gives the sign and is cut off.
std::optional<bool> take_bearing(std::string& text, Dimension dimension) {
  if (dimension != Dimension::angle || text.size() < 2) return std::nullopt;
  const char letter = text.back();
  const char before = text[text.size() - 2];
  const bool follows =
      is_digit(before) || before == ' ' || before == 'g' || before == '\'' || before == '"';
  if (!follows || std::string_view("NSEW").find(letter) == std::string_view::npos)
    return std::nullopt;
  text.pop_back();
  while (!text.empty() && text.back() == ' ') text.pop_back();
  return letter == 'S' || letter == 'W';
}

/// Sum of terms over one common divisor: 5' 6" is (5 · 3048 + 6 · 254) / 10000, rounded once.
struct Sum {
  double over = 0.0;
  double divide = 1.0;

  void add(double number, const UnitRule& rule) {
    if (std::fmod(rule.divide, divide) == 0.0) {
      over = over * (rule.divide / divide) + number * rule.multiply;
      divide = rule.divide;
    } else {
      over += number * rule.multiply * (divide / rule.divide);
    }
  }
  double value() const { return over / divide; }
};

class Reader {
 public:
  Reader(Reading& reading, const UnitRule& plain_unit)
      : reading_(reading), text_(reading.plain.text), plain_unit_(plain_unit) {}

  Outcome read() {
    const auto last = text_.find_last_not_of(' ');
    if (last == std::string::npos) return {std::nullopt, empty_text(reading_)};
    text_.resize(last + 1);
    const auto first = skip_spaces(text_, 0);
    std::string body = text_;
    const auto southern = take_bearing(body, reading_.dimension);
    auto outcome = terms(body, first);
    if (!outcome.value || !southern) return outcome;
    if (*outcome.value < 0) {
      return {std::nullopt, problem_at(reading_, "order", first, text_.size(),
                                       fmt::format("{}: both a sign and a compass letter",
                                                   quoted(reading_.original)),
                                       "write one of them")};
    }
    if (*southern) outcome.value = -*outcome.value;
    return outcome;
  }

 private:
  Outcome refuse(QuantityProblem problem) const { return {std::nullopt, std::move(problem)}; }

  Outcome terms(std::string_view text, std::size_t at) const {
    const auto first = scan_decimal(text, at);
    if (!first) return refuse(no_number(reading_, at));
    const auto after = at + first->length;
    const auto unit_at = skip_spaces(text, after);
    if (unit_at >= text.size())
      return {to_inside(value_of(*first, plain_unit_.ten), plain_unit_), {}};
    if (const auto* whole = find_unit(unit_key(text.substr(unit_at)), reading_.dimension)) {
      return {to_inside(value_of(*first, whole->ten), *whole), {}};
    }
    // Only now: "0.5 1/s" is a number and a unit, "1 500 W" a number in groups.
    if (marked(text, after, reading_.dimension)) return refuse(number_mark(reading_, at, after));
    if (reading_.dimension == Dimension::number) {
      return refuse(no_unit_expected(reading_, unit_at, text.size()));
    }
    std::size_t end = 0;
    const auto* rule = longest_unit(text, unit_at, reading_.dimension, end);
    if (rule == nullptr) return refuse(unknown_unit(reading_, unit_at, text.size()));
    if (!may_be_compound(reading_.dimension)) return refuse(trailing(end, text.size()));
    return compound(text, *first, *rule, end);
  }

  Outcome compound(std::string_view text, Decimal first, const UnitRule& first_rule,
                   std::size_t at) const {
    const bool negative = first.negative;
    first.negative = false;
    Sum sum;
    sum.add(value_of(first, first_rule.ten), first_rule);
    double larger = to_inside(value_of({false, "1", 0, 1}, first_rule.ten), first_rule);
    while ((at = skip_spaces(text, at)) < text.size()) {
      const auto number = scan_decimal(text, at);
      if (!number || text[at] == '-' || text[at] == '+') return refuse(trailing(at, text.size()));
      const auto unit_at = skip_spaces(text, at + number->length);
      std::size_t end = unit_at;
      const auto* rule = longest_unit(text, unit_at, reading_.dimension, end);
      if (rule == nullptr) {
        if (unit_at < text.size()) return refuse(unknown_unit(reading_, unit_at, text.size()));
        return refuse(
            problem_at(reading_, "unknown-unit", at, text.size(),
                       fmt::format("{}: the last number has no unit", quoted(reading_.original)),
                       "give it one"));
      }
      const double step = to_inside(value_of({false, "1", 0, 1}, rule->ten), *rule);
      if (step >= larger) {
        return refuse(
            problem_at(reading_, "order", at, end,
                       fmt::format("{}: {} comes after a smaller or equal unit",
                                   quoted(reading_.original), quoted(written(reading_, at, end))),
                       "write the largest unit first, each unit once"));
      }
      sum.add(value_of(*number, rule->ten), *rule);
      larger = step;
      at = end;
    }
    return {negative ? -sum.value() : sum.value(), {}};
  }

  QuantityProblem trailing(std::size_t from, std::size_t to) const {
    from = skip_spaces(text_, from);
    return problem_at(reading_, "trailing", from, to,
                      fmt::format("{}: {} after a complete value", quoted(reading_.original),
                                  quoted(written(reading_, from, to))),
                      "leave out what follows the unit");
  }

  Reading& reading_;
  std::string text_;
  const UnitRule& plain_unit_;
};

const UnitRule& plain_rule(std::string_view spelling, Dimension dimension) {
  if (spelling.empty()) spelling = inside_unit(dimension);
  const auto* rule = find_unit(unit_key(make_plain(spelling).text), dimension);
  if (rule == nullptr) {
    throw std::invalid_argument(
        fmt::format("\"{}\" is not a unit of {}", spelling, dimension_name(dimension)));
  }
  return *rule;
}

Parsed<double> within(const Reading& reading, double value, const Range& allowed) {
  if (value >= allowed.low && value <= allowed.high) return {value, {}};
  return {std::nullopt, out_of_bounds(reading, value, allowed)};
}

}  // namespace

}  // namespace quantity_detail

using namespace quantity_detail;

Parsed<double> parse_quantity(std::string_view text, Dimension dimension,
                              std::string_view plain_unit, std::optional<Range> allowed) {
  const auto& rule = plain_rule(plain_unit, dimension);
  Reading reading{text, dimension, make_plain(text)};
  auto outcome = Reader(reading, rule).read();
  if (!outcome.value) return {std::nullopt, std::move(outcome.problem)};
  return within(reading, *outcome.value, allowed.value_or(plausible_range(dimension)));
}

Parsed<double> quantity_of_number(double number, Dimension dimension, std::string_view plain_unit,
                                  std::optional<Range> allowed) {
  const auto& rule = plain_rule(plain_unit, dimension);
  const auto text = print_decimal(number, 0);
  Reading reading{text, dimension, make_plain(text)};
  QuantityProblem problem;
  if (!std::isfinite(number)) {
    problem = no_number(reading, 0);
  } else {
    const auto decimal = scan_decimal(text, 0);
    auto outcome = within(reading, to_inside(value_of(*decimal, rule.ten), rule),
                          allowed.value_or(plausible_range(dimension)));
    if (outcome) return outcome;
    problem = outcome.problem;
  }
  problem.offset = problem.length = 0;
  return {std::nullopt, std::move(problem)};
}

std::string describe(const QuantityProblem& problem) {
  auto text = fmt::format("{}; expected {}", problem.seen, problem.expected);
  if (!problem.mend.empty()) text += "; " + problem.mend;
  return text;
}

}  // namespace nightbus
