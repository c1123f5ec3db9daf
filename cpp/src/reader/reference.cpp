/// The field table as Markdown.

#include <fmt/format.h>

#include <string>

#include "nightbus/fields.hpp"
#include "nightbus/reader.hpp"
#include "reader/field_words.hpp"
#include "reader/labels.hpp"

namespace nightbus {

using namespace reader_detail;

namespace {

/// A bar would end the cell.
std::string cell(std::string text) {
  for (std::size_t at = 0; (at = text.find('|', at)) != std::string::npos; at += 2)
    text.insert(at, "\\");
  return text;
}

std::string unit_words(const Field& field) {
  if (field.unit.empty() || field.unit == "1" || field.dimension == Dimension::number) return {};
  return field.unit;
}

std::string row(const RecordType& type, const Field& field) {
  auto usual = default_words(type, field);
  if (field.required) usual = "needed";
  if (field.assumption && !usual.empty()) usual += " (assumed)";
  const auto bounds = bounds_words(field);
  auto what = type_words(field);
  if (!bounds.empty()) what += ", " + bounds;
  return fmt::format("| `{}` | {} | {} | {} | {} |\n", field.key, cell(what),
                     cell(unit_words(field)), cell(usual), cell(field.help));
}

}  // namespace

std::string field_reference_markdown() {
  std::string out = fmt::format(
      "# Fields of a system file\n\n"
      "A system file is TOML. Its first line says `nightbus = {}`; `title` and `note` are texts. A "
      "value "
      "with a unit stands in quotes (`\"12 ft\"`); a plain number takes the unit of its column. A "
      "default "
      "marked *assumed* is printed by the plan when the field is left out.\n",
      system_format);
  for (const auto& type : record_types()) {
    out += type.many ? fmt::format("\n## `[[{}]]`\n\n", type.key)
                     : fmt::format("\n## `[{}]`\n\n", type.key);
    out += type.help + "\n";
    if (type.feedable) {
      const bool gives = type.key == "charger" || type.key == "array";
      out += fmt::format(
          "\nThe run that leads {} it may stand inside, as `feed = {{ {} = \"…\", length = \"…\" "
          "}}` with the fields of `[[run]]`.\n",
          gives ? "from" : "to", gives ? "to" : "from");
    }
    out += "\n| key | value | plain number in | left out | what it is |\n|---|---|---|---|---|\n";
    for (const auto& field : type.fields) out += row(type, field);
  }
  return out;
}

}  // namespace nightbus
