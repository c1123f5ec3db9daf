#include "quantity/problem.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "quantity/number.hpp"
#include "quantity/units.hpp"

namespace nightbus::quantity_detail {

std::string_view written(const Reading& reading, std::size_t from, std::size_t to) {
  const auto begin = reading.plain.at[std::min(from, reading.plain.text.size())];
  const auto end = reading.plain.at[std::min(to, reading.plain.text.size())];
  return reading.original.substr(begin, end - begin);
}

std::string expectation(Dimension dimension) {
  return fmt::format("{} such as {}", dimension_name(dimension), dimension_examples(dimension));
}

QuantityProblem problem_at(const Reading& reading, std::string_view code, std::size_t from,
                           std::size_t to, std::string seen, std::string mend) {
  const auto piece = written(reading, from, to);
  return {expectation(reading.dimension),
          std::move(seen),
          std::move(mend),
          reading.plain.at[std::min(from, reading.plain.text.size())],
          piece.size(),
          code};
}

QuantityProblem empty_text(const Reading& reading) {
  return problem_at(reading, "empty", 0, reading.plain.text.size(), "an empty text",
                    fmt::format("write {}", dimension_examples(reading.dimension)));
}

QuantityProblem no_number(const Reading& reading, std::size_t from) {
  const auto& text = reading.plain.text;
  const auto whole = quoted(reading.original);
  const auto start = text.find_first_not_of("+- ", from);
  const auto word = lower(std::string_view(text).substr(std::min(start, text.size())));
  for (std::string_view no : {"nan", "inf", "infinity", "infinite"}) {
    const bool ends =
        word.size() == no.size() || (word.size() > no.size() && word[no.size()] == ' ');
    if (word.starts_with(no) && ends) {
      return problem_at(reading, "no-number", from, text.size(),
                        fmt::format("{}: {} is not a value that can be built", whole, quoted(no)),
                        "leave the field out when the value is not known");
    }
  }
  const auto key = unit_key(std::string_view(text).substr(from));
  const auto* unit = find_unit(key, reading.dimension);
  if (unit != nullptr && !key.empty()) {
    return problem_at(reading, "no-number", from, text.size(),
                      fmt::format("{}: a unit without a number", whole),
                      fmt::format("put the number before it, as in \"3 {}\"", unit->spelling));
  }
  return problem_at(reading, "no-number", from, text.size(),
                    fmt::format("{}: no number at its start", whole),
                    fmt::format("write {}", dimension_examples(reading.dimension)));
}

namespace {

/// "1 000 000" and "2,5" as one run of digits and marks, from the number's first digit.
std::size_t end_of_marked_number(std::string_view text, std::size_t from) {
  std::size_t end = std::min(text.find_first_not_of("+- ", from), text.size());
  while (end < text.size()) {
    const bool mark = std::string_view(" ,._'").find(text[end]) != std::string_view::npos;
    if (!is_digit(text[end]) && !(mark && end + 1 < text.size() && is_digit(text[end + 1]))) break;
    ++end;
  }
  return end;
}

}  // namespace

QuantityProblem number_mark(const Reading& reading, std::size_t from, std::size_t after) {
  const std::string_view text = reading.plain.text;
  const auto whole = quoted(reading.original);
  const char mark = text[after];
  const auto end = end_of_marked_number(text, from);
  const auto number = text.substr(from, end - from);
  if (mark == '/') {
    return problem_at(reading, "number-mark", from, text.size(),
                      fmt::format("{}: a fraction", whole),
                      "write it with a decimal point, as in \"0.375\"");
  }
  std::string joined;
  for (char c : number) {
    if (is_digit(c) || (c == '.' && mark != ',') || c == '-') joined.push_back(c);
  }
  if (mark != ',') {
    return problem_at(reading, "number-mark", from, end, fmt::format("{}: digits in groups", whole),
                      fmt::format("write \"{}\" without the gap", joined));
  }
  const auto commas = std::count(number.begin(), number.end(), ',');
  const auto tail = number.size() - number.rfind(',') - 1;
  if (commas == 1 && tail != 3) {
    std::string pointed(number);
    pointed[pointed.find(',')] = '.';
    return problem_at(reading, "number-mark", from, end, fmt::format("{}: a decimal comma", whole),
                      fmt::format("write \"{}\"", pointed));
  }
  std::string grouped;
  for (char c : number) {
    if (c != ',' && c != ' ') grouped.push_back(c);
  }
  std::string mend = fmt::format("write \"{}\"", grouped);
  if (commas == 1) {
    std::string pointed(number);
    pointed[pointed.find(',')] = '.';
    mend += fmt::format(", or \"{}\" if the comma is a decimal comma", pointed);
  }
  return problem_at(reading, "number-mark", from, end,
                    fmt::format("{}: a comma inside a number", whole), mend);
}

QuantityProblem no_unit_expected(const Reading& reading, std::size_t from, std::size_t to) {
  return problem_at(reading, "trailing", from, to,
                    fmt::format("{}: {} after the number", quoted(reading.original),
                                quoted(written(reading, from, to))),
                    "a plain number has no unit; leave it out");
}

QuantityProblem unknown_unit(const Reading& reading, std::size_t from, std::size_t to) {
  const auto whole = quoted(reading.original);
  const auto unit = written(reading, from, to);
  const auto key = unit_key(std::string_view(reading.plain.text).substr(from, to - from));
  const auto others = dimensions_of(key);
  if (!others.empty()) {
    std::string mend;
    if (reading.dimension == Dimension::power && others.front() == Dimension::current) {
      mend = "watts are volts times amperes; there is a separate field where a current may stand";
    } else if (reading.dimension == Dimension::charge && others.front() == Dimension::energy) {
      mend = "amp-hours are watt-hours divided by the bank's nominal volts";
    } else if (reading.dimension == Dimension::length && others.front() == Dimension::angle) {
      mend = "";
    }
    return problem_at(reading, "wrong-dimension", 0, reading.plain.text.size(),
                      fmt::format("{} is {}", whole, dimension_name(others.front())), mend);
  }
  std::vector<std::string> spellings;
  for (const auto& rule : unit_rules()) {
    if (rule.dimension == reading.dimension && !rule.spelling.empty()) {
      spellings.emplace_back(rule.spelling);
    }
  }
  std::vector<std::string> keys;
  for (const auto& spelling : spellings) keys.push_back(unit_key(make_plain(spelling).text));
  std::string mend;
  const auto near = near_misses(key.substr(0, 40), keys, 1);
  if (!near.empty()) {
    const auto index = std::find(keys.begin(), keys.end(), near.front()) - keys.begin();
    mend = fmt::format("did you mean \"{}\"?", spellings[static_cast<std::size_t>(index)]);
  } else {
    const auto shown = std::min<std::size_t>(spellings.size(), 5);
    spellings.resize(shown);
    mend = fmt::format("units known here: {}", fmt::join(spellings, ", "));
  }
  return problem_at(reading, "unknown-unit", from, to,
                    fmt::format("{}: unknown unit {}", whole, quoted(unit)), mend);
}

QuantityProblem out_of_bounds(const Reading& reading, double value, const Range& allowed) {
  const auto whole = quoted(reading.original);
  const auto& text = reading.plain.text;
  std::string seen;
  if (value < 0 && allowed.low >= 0) {
    seen = fmt::format("{}: {} cannot be negative", whole, dimension_name(reading.dimension));
  } else {
    seen = fmt::format("{} is {} {} can be here", whole,
                       value > allowed.high ? "more than" : "less than",
                       dimension_name(reading.dimension));
  }
  auto problem = problem_at(
      reading, "out-of-bounds", 0, text.size(), seen,
      fmt::format("give a value from {} to {}", show_quantity(allowed.low, reading.dimension, 6),
                  show_quantity(allowed.high, reading.dimension, 6)));
  return problem;
}

}  // namespace nightbus::quantity_detail
