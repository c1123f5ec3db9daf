#include "reader/values.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "reader/labels.hpp"

namespace nightbus::reader_detail {

Range allowed_range(const Field& field) {
  const auto plausible = plausible_range(field.dimension);
  return {field.low.value_or(plausible.low), field.high.value_or(plausible.high)};
}

Span part_of(const Value& value, std::size_t offset, std::size_t length) {
  const auto& where = value.where;
  if (!where.known() || where.end_line != where.line) return where;
  const auto begin = where.source->offset(where.line, where.column);
  const auto end = where.source->offset(where.end_line, where.end_column);
  const auto raw = std::string_view(where.source->text()).substr(begin, end - begin);
  if (raw.size() != value.text.size() + 2 || raw.substr(1, value.text.size()) != value.text)
    return where;
  return span_of(where.source, begin + 1 + offset, begin + 1 + offset + length);
}

std::nullopt_t ValueReader::refuse(const Field& field, const Value& value, std::string code,
                                   std::string what, std::string expected, std::string mend) {
  problems_.push_back({std::move(code),
                       fmt::format("{}: \"{}\" {}", label_, field.key, what),
                       value.where,
                       std::move(expected),
                       toml::describe(value),
                       std::move(mend),
                       {},
                       ""});
  return std::nullopt;
}

std::nullopt_t ValueReader::wrong_type(const Field& field, const Value& value, std::string expected,
                                       std::string mend) {
  return refuse(field, value, "wrong-type", "has the wrong type", std::move(expected),
                std::move(mend));
}

std::nullopt_t ValueReader::quantity_problem(const Field& field, const Value& value,
                                             const QuantityProblem& problem) {
  std::string what = "cannot be read";
  std::string code = "bad-value";
  if (problem.code == "wrong-dimension") {
    what = fmt::format("must be {}", dimension_name(field.dimension));
    code = "wrong-unit";
  } else if (problem.code == "unknown-unit") {
    what = "has an unknown unit";
    code = "wrong-unit";
  } else if (problem.code == "out-of-bounds") {
    what = "is out of range";
    code = "out-of-range";
  }
  const auto where = value.kind == Value::Kind::text
                         ? part_of(value, problem.offset, problem.length)
                         : value.where;
  problems_.push_back({code,
                       fmt::format("{}: \"{}\" {}", label_, field.key, what),
                       where,
                       problem.expected,
                       problem.seen,
                       problem.mend,
                       {},
                       ""});
  return std::nullopt;
}

std::optional<double> ValueReader::number(const Field& field, const Value& value) {
  const auto allowed = allowed_range(field);
  if (value.kind == Value::Kind::text) {
    const auto parsed = parse_quantity(value.text, field.dimension, field.unit, allowed);
    if (parsed) return *parsed;
    return quantity_problem(field, value, parsed.problem);
  }
  if (value.kind != Value::Kind::integer && value.kind != Value::Kind::real) {
    return wrong_type(field, value,
                      fmt::format("{} such as {}", dimension_name(field.dimension),
                                  dimension_examples(field.dimension)));
  }
  if (field.unit == "%" && value.real != 0.0 && std::fabs(value.real) < 1.0) {
    const auto written = print_quantity(value.real, Dimension::number);
    return refuse(field, value, "ambiguous-percent", "could be a share or a percentage", "",
                  fmt::format("write \"{}\" or \"{} %\"",
                              print_quantity(value.real, Dimension::ratio), written));
  }
  auto parsed = quantity_of_number(value.real, field.dimension, field.unit, allowed);
  if (parsed) return *parsed;
  const bool a_percentage = field.dimension == Dimension::ratio && field.unit != "%" &&
                            parsed.problem.code == "out-of-bounds" &&
                            value.real / 100.0 >= allowed.low && value.real / 100.0 <= allowed.high;
  if (a_percentage) {
    parsed.problem.mend =
        fmt::format("did you mean \"{} %\"?", print_quantity(value.real, Dimension::number));
  }
  return quantity_problem(field, value, parsed.problem);
}

std::optional<FieldValue> ValueReader::read_quantity(const Field& field, const Value& value) {
  const auto found = number(field, value);
  if (!found) return std::nullopt;
  return FieldValue(*found);
}

std::optional<FieldValue> ValueReader::read_count(const Field& field, const Value& value) {
  constexpr auto expected = "a whole number without quotes";
  if (value.kind == Value::Kind::integer) {
    const auto low = static_cast<std::int64_t>(field.low.value_or(-2147483648.0));
    const auto high = static_cast<std::int64_t>(field.high.value_or(2147483647.0));
    if (value.integer >= low && value.integer <= high) return FieldValue(value.integer);
    return refuse(field, value, "out-of-range", "is out of range",
                  fmt::format("a whole number from {} to {}", low, high), "");
  }
  std::string mend;
  if (value.kind == Value::Kind::real && value.real == std::floor(value.real) &&
      std::fabs(value.real) < 1e9) {
    mend = fmt::format("write {:.0f}", value.real);
  }
  if (value.kind == Value::Kind::text) {
    if (const auto parsed = parse_quantity(value.text, Dimension::number); parsed) {
      mend = fmt::format("write {} without quotes", print_quantity(*parsed, Dimension::number));
    }
  }
  return wrong_type(field, value, expected, mend);
}

std::optional<FieldValue> ValueReader::read_text(const Field& field, const Value& value) {
  if (value.kind == Value::Kind::text) return FieldValue(value.text);
  return wrong_type(field, value, "a text in quotes");
}

std::optional<FieldValue> ValueReader::read_choice(const Field& field, const Value& value) {
  if (value.kind == Value::Kind::text &&
      std::find(field.choices.begin(), field.choices.end(), value.text) != field.choices.end()) {
    return FieldValue(value.text);
  }
  const auto mend =
      value.kind == Value::Kind::text ? advice_for(value.text, field.choices) : std::string();
  return refuse(field, value, value.kind == Value::Kind::text ? "unknown-choice" : "wrong-type",
                "is not one of its choices", any_of(field.choices), mend);
}

std::optional<FieldValue> ValueReader::read_range(const Field& field, const Value& value) {
  if (value.kind == Value::Kind::text) {
    const auto parsed = parse_range(value.text, field.dimension, field.unit, allowed_range(field));
    if (parsed) return FieldValue(*parsed);
    return quantity_problem(field, value, parsed.problem);
  }
  std::string mend;
  if (value.kind == Value::Kind::list && value.items.size() == 2 &&
      value.items[0].kind != Value::Kind::text && value.items[1].kind != Value::Kind::text) {
    mend =
        fmt::format("write \"{} to {} {}\"", print_quantity(value.items[0].real, Dimension::number),
                    print_quantity(value.items[1].real, Dimension::number), field.unit);
  }
  const auto low = show_quantity(9, field.dimension);
  const auto high = show_quantity(36, field.dimension);
  return wrong_type(field, value,
                    fmt::format("a text with both ends, such as \"{} to {}\"", low, high), mend);
}

std::optional<FieldValue> ValueReader::read_size(const Field& field, const Value& value) {
  if (value.kind != Value::Kind::text) {
    return wrong_type(field, value, "a conductor size such as \"12 AWG\" or \"2.5 mm²\"");
  }
  const auto parsed = parse_size(value.text);
  if (parsed) return FieldValue(*parsed);
  return quantity_problem(field, value, parsed.problem);
}

std::optional<FieldValue> ValueReader::read(const Field& field, const Value& value) {
  switch (field.kind) {
    case FieldKind::flag:
      if (value.kind == Value::Kind::flag) return FieldValue(value.flag);
      return wrong_type(field, value, "true or false, without quotes");
    case FieldKind::count:
      return read_count(field, value);
    case FieldKind::quantity:
      return read_quantity(field, value);
    case FieldKind::text:
    case FieldKind::reference:
      return read_text(field, value);
    case FieldKind::choice:
      return read_choice(field, value);
    case FieldKind::range:
      return read_range(field, value);
    case FieldKind::size:
      return read_size(field, value);
    case FieldKind::quantities:
      return read_quantities(field, value);
    case FieldKind::texts:
    case FieldKind::windows:
    case FieldKind::references:
      return read_texts(field, value);
    case FieldKind::sizes:
      return read_sizes(field, value);
    case FieldKind::efficiency:
      return read_efficiency(field, value);
  }
  return std::nullopt;
}

}  // namespace nightbus::reader_detail
