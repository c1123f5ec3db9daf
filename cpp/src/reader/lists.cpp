/// The fields that hold lists.

#include <fmt/format.h>

#include <algorithm>

#include "reader/labels.hpp"
#include "reader/values.hpp"

namespace nightbus::reader_detail {

bool ValueReader::is_list(const Field& field, const Value& value, const std::string& example) {
  if (value.kind == Value::Kind::list) return true;
  std::string mend;
  if (value.kind == Value::Kind::text)
    mend = fmt::format("write [\"{}\"]", value.text.substr(0, 60));
  wrong_type(field, value, "a list in brackets, such as " + example, mend);
  return false;
}

std::optional<FieldValue> ValueReader::read_quantities(const Field& field, const Value& value) {
  if (!is_list(field, value, "[1.5, 2.0]")) return std::nullopt;
  std::vector<double> numbers;
  bool whole = true;
  for (const auto& item : value.items) {
    const auto found = number(field, item);
    whole = whole && found.has_value();
    numbers.push_back(found.value_or(0.0));
  }
  if (field.exactly != 0 && numbers.size() != field.exactly) {
    return refuse(field, value, "wrong-count", fmt::format("has {} values", numbers.size()),
                  field.exactly == 12 ? "twelve values, January first"
                                      : fmt::format("{} values", field.exactly),
                  "");
  }
  if (!whole) return std::nullopt;
  return FieldValue(std::move(numbers));
}

std::optional<FieldValue> ValueReader::read_texts(const Field& field, const Value& value) {
  const bool times = field.kind == FieldKind::windows;
  if (!is_list(field, value, times ? "[\"06:30-22:00\"]" : "[\"one\", \"two\"]"))
    return std::nullopt;
  std::vector<std::string> texts;
  bool whole = true;
  for (const auto& item : value.items) {
    if (item.kind == Value::Kind::text) {
      texts.push_back(item.text);
    } else {
      wrong_type(field, item, times ? "a time window in quotes" : "texts in quotes");
      whole = false;
    }
  }
  if (!whole) return std::nullopt;
  return FieldValue(std::move(texts));
}

std::optional<FieldValue> ValueReader::read_sizes(const Field& field, const Value& value) {
  if (!is_list(field, value, "[\"18 AWG\", \"12 AWG\"]")) return std::nullopt;
  std::vector<ConductorSize> sizes;
  bool whole = true;
  for (const auto& item : value.items) {
    const auto size = read_size(field, item);
    whole = whole && size.has_value();
    if (size) sizes.push_back(std::get<ConductorSize>(*size));
  }
  if (!whole) return std::nullopt;
  return FieldValue(std::move(sizes));
}

std::optional<double> ValueReader::share(const Field& field, const Value& value, const char* what) {
  if (value.kind == Value::Kind::text) {
    const auto parsed = parse_quantity(value.text, Dimension::ratio, {}, Range{0.0, 2.0});
    if (parsed) return *parsed;
    return quantity_problem(field, value, parsed.problem);
  }
  if (value.kind != Value::Kind::integer && value.kind != Value::Kind::real) {
    return wrong_type(field, value, fmt::format("{} such as 0.5 or \"50 %\"", what));
  }
  if (value.real >= 0.0 && value.real <= 2.0) return value.real;
  std::string mend;
  if (value.real > 2.0 && value.real <= 100.0) {
    const auto written = print_quantity(value.real, Dimension::number);
    mend = fmt::format("did you mean \"{} %\"?", written);
  }
  return refuse(field, value, "out-of-range", "is out of range",
                fmt::format("{} from 0 to 1", what), mend);
}

std::optional<FieldValue> ValueReader::read_efficiency(const Field& field, const Value& value) {
  constexpr auto expected =
      "pairs [share of rated output, efficiency], such as [[0.1, 0.82], [1.0, 0.9]]";
  if (value.kind != Value::Kind::list) return wrong_type(field, value, expected);
  std::vector<EfficiencyPoint> points;
  bool whole = true;
  for (const auto& item : value.items) {
    if (item.kind != Value::Kind::list || item.items.size() != 2) {
      wrong_type(field, item, expected);
      whole = false;
      continue;
    }
    const auto part = share(field, item.items[0], "a share of rated output");
    const auto efficiency = share(field, item.items[1], "an efficiency");
    whole = whole && part && efficiency;
    if (part && efficiency) points.push_back({*part, *efficiency});
  }
  if (!whole) return std::nullopt;
  return FieldValue(std::move(points));
}

}  // namespace nightbus::reader_detail
