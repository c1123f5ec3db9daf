#include "reader/field_words.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <nlohmann/json.hpp>

#include "reader/labels.hpp"
#include "reader/toml_text.hpp"

namespace nightbus::reader_detail {

double in_field_unit(const Field& field, double inside) {
  for (const auto& unit : units()) {
    if (unit.dimension != field.dimension || unit.spelling != field.unit) continue;
    const double number = (inside - unit.offset) / unit.scale;
    // 0.03 over 0.01 is not quite 3; a bound is written with few digits.
    return std::strtod(fmt::format("{:.12g}", number).c_str(), nullptr);
  }
  return inside;
}

std::string type_words(const Field& field) {
  const auto without_article = [&field] {
    const auto name = dimension_name(field.dimension);
    return std::string(name.substr(name.find(' ') + 1));
  };
  switch (field.kind) {
    case FieldKind::flag:
      return "true or false";
    case FieldKind::count:
      return "whole number";
    case FieldKind::quantity:
      return without_article();
    case FieldKind::text:
      return "text";
    case FieldKind::choice:
      return any_of(field.choices, 20);
    case FieldKind::reference:
      return field.refers_to == "inlet" ? "name of a compartment, or \"outside\""
                                        : "name of a " + field.refers_to;
    case FieldKind::range:
      return without_article() + " window";
    case FieldKind::size:
      return "conductor size";
    case FieldKind::quantities:
      return field.exactly != 0 ? fmt::format("list of {} of {}", field.exactly, without_article())
                                : "list of " + without_article();
    case FieldKind::texts:
      return "list of texts";
    case FieldKind::windows:
      return "list of time windows";
    case FieldKind::references:
      return "list of names: " + field.refers_to;
    case FieldKind::sizes:
      return "list of conductor sizes";
    case FieldKind::efficiency:
      return "list of pairs";
  }
  return {};
}

std::string bounds_words(const Field& field) {
  if (field.kind == FieldKind::text || field.kind == FieldKind::texts) return {};
  const auto show = [&field](double value) {
    return field.kind == FieldKind::count ? fmt::format("{:.0f}", value)
                                          : show_quantity(value, field.dimension, 6);
  };
  std::string words;
  if (field.low) words = (field.low_open ? "above " : "from ") + show(*field.low);
  if (field.high)
    words += (words.empty() ? "up to " : field.low_open ? ", up to " : " to ") + show(*field.high);
  return words;
}

std::string default_words(const RecordType& type, const Field& field) {
  if (field.required) return {};
  const auto value = type.default_of(field);
  if (std::holds_alternative<std::monostate>(value)) return {};
  if (const auto* number = std::get_if<double>(&value)) {
    return show_quantity(*number, field.dimension, 9);
  }
  if (const auto* text = std::get_if<std::string>(&value); text != nullptr && text->empty())
    return {};
  auto words = toml_value(field, value);
  if (words == "[]") return {};
  return words;
}

std::string default_json(const RecordType& type, const Field& field) {
  if (field.required) return {};
  const auto value = type.default_of(field);
  if (default_words(type, field).empty()) return {};
  nlohmann::ordered_json json;
  if (const auto* flag = std::get_if<bool>(&value)) {
    json = *flag;
  } else if (const auto* count = std::get_if<std::int64_t>(&value)) {
    json = *count;
  } else if (const auto* number = std::get_if<double>(&value)) {
    if (field.dimension == Dimension::number || field.unit == "1") {
      json = *number;
    } else {
      json = print_quantity(*number, field.dimension);
    }
  } else if (const auto* text = std::get_if<std::string>(&value)) {
    json = *text;
  } else if (const auto* texts = std::get_if<std::vector<std::string>>(&value)) {
    json = *texts;
  } else {
    return {};
  }
  return json.dump();
}

std::string field_description(const RecordType& type, const Field& field) {
  std::string text = field.help;
  const auto bounds = bounds_words(field);
  text += fmt::format(" {}{}", type_words(field), bounds.empty() ? "" : ", " + bounds);
  if (!field.unit.empty() && field.unit != "1" && field.dimension != Dimension::number &&
      field.kind != FieldKind::range) {
    text += fmt::format("; a plain number is in {}", field.unit);
  }
  text += ".";
  if (const auto usual = default_words(type, field); !usual.empty()) {
    text += fmt::format(" Left out: {}{}.", usual,
                        field.assumption ? ", printed as an assumption" : "");
  }
  return text;
}

}  // namespace nightbus::reader_detail
