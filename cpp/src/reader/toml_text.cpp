#include "reader/toml_text.hpp"

#include <fmt/format.h>

#include <cmath>
#include <vector>

#include "nightbus/source.hpp"
#include "nightbus/source_toml_line.hpp"

namespace nightbus::reader_detail {

namespace {

std::string plain_number(double value) {
  if (std::isnan(value)) return "nan";
  if (std::isinf(value)) return value > 0 ? "inf" : "-inf";
  return print_quantity(value, Dimension::number);
}

/// Sun is written in hours when that reads back exactly, as people write it.
std::string sun_hours(double value) {
  for (int digits = 1; digits <= 6; ++digits) {
    const auto text = fmt::format("{:.{}g}", value / 1000.0, digits);
    const auto back = parse_quantity(text, Dimension::insolation, "h", Range{-1e9, 1e9});
    if (back && *back == value && text.find('e') == std::string::npos) return text;
  }
  return toml_quoted(print_quantity(value, Dimension::insolation));
}

std::string number_text(const Field& field, double value) {
  if (!std::isfinite(value) || field.dimension == Dimension::number) return plain_number(value);
  if (field.dimension == Dimension::insolation) return sun_hours(value);
  if (field.unit == "1") return plain_number(value);
  return toml_quoted(print_quantity(value, field.dimension));
}

template <class T, class Write>
std::string list_text(const std::vector<T>& list, Write write) {
  std::string text = "[";
  for (std::size_t i = 0; i < list.size(); ++i) text += (i == 0 ? "" : ", ") + write(list[i]);
  return text + "]";
}

struct Writer {
  const Field& field;

  std::string operator()(std::monostate) const { return "\"\""; }
  std::string operator()(bool value) const { return value ? "true" : "false"; }
  std::string operator()(std::int64_t value) const { return std::to_string(value); }
  std::string operator()(double value) const { return number_text(field, value); }
  std::string operator()(const std::string& value) const { return toml_quoted(value); }
  std::string operator()(const Range& value) const {
    return toml_quoted(print_range(value, field.dimension));
  }
  std::string operator()(const ConductorSize& value) const {
    return toml_quoted(print_size(value));
  }
  std::string operator()(const std::vector<double>& list) const {
    return list_text(list, [this](double value) { return number_text(field, value); });
  }
  std::string operator()(const std::vector<std::string>& list) const {
    return list_text(list, [](const std::string& value) { return toml_quoted(value); });
  }
  std::string operator()(const std::vector<ConductorSize>& list) const {
    return list_text(list,
                     [](const ConductorSize& value) { return toml_quoted(print_size(value)); });
  }
  std::string operator()(const std::vector<EfficiencyPoint>& list) const {
    return list_text(list, [](const EfficiencyPoint& point) {
      return fmt::format("[{}, {}]", plain_number(point.share), plain_number(point.efficiency));
    });
  }
};

}  // namespace

std::string toml_quoted(std::string_view text) {
  std::string out = "\"";
  for (std::size_t at = 0; at < text.size();) {
    const auto length = toml::utf8_length(text, at);
    if (length == 0) throw Error("a text that is not UTF-8 cannot be written to a system file");
    const char c = text[at];
    if (length > 1) {
      out += text.substr(at, length);
    } else if (c == '"' || c == '\\') {
      out += '\\';
      out += c;
    } else if (c == '\n') {
      out += "\\n";
    } else if (c == '\t') {
      out += "\\t";
    } else if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) {
      out += fmt::format("\\u{:04X}", static_cast<unsigned>(c));
    } else {
      out += c;
    }
    at += length;
  }
  return out + "\"";
}

std::string toml_value(const Field& field, const FieldValue& value) {
  return std::visit(Writer{field}, value);
}

}  // namespace nightbus::reader_detail
