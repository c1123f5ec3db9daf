/// The field table as a JSON Schema. A schema cannot know names, voltages or loops: it helps while
/// typing, the reader judges.

#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <string>

#include "nightbus/fields.hpp"
#include "nightbus/reader.hpp"
#include "reader/field_words.hpp"

namespace nightbus {

using namespace reader_detail;
using Json = nlohmann::ordered_json;

namespace {

/// A text that begins like a number; the unit is left to the reader.
constexpr auto quantity_pattern = "^\\s*[+-]?\\s*[0-9.]";

Json number_schema(const Field& field) {
  Json number{{"type", "number"}};
  if (field.low)
    number[field.low_open ? "exclusiveMinimum" : "minimum"] = in_field_unit(field, *field.low);
  if (field.high) number["maximum"] = in_field_unit(field, *field.high);
  if (field.dimension == Dimension::number) return number;
  Json text{{"type", "string"}, {"pattern", quantity_pattern}};
  return {{"anyOf", {std::move(text), std::move(number)}}};
}

Json size_schema() {
  return {{"type", "string"}, {"examples", {"12 AWG", "2.5 mm²", "12 SAE"}}};
}

Json value_schema(const Field& field) {
  switch (field.kind) {
    case FieldKind::flag:
      return {{"type", "boolean"}};
    case FieldKind::count: {
      Json count{{"type", "integer"}};
      if (field.low) count["minimum"] = std::llround(*field.low);
      if (field.high) count["maximum"] = std::llround(*field.high);
      return count;
    }
    case FieldKind::quantity:
      return number_schema(field);
    case FieldKind::text:
    case FieldKind::reference:
      return {{"type", "string"}};
    case FieldKind::choice:
      return {{"type", "string"}, {"enum", field.choices}};
    case FieldKind::range:
      return {{"type", "string"}, {"pattern", quantity_pattern}};
    case FieldKind::size:
      return size_schema();
    case FieldKind::quantities: {
      Json list{{"type", "array"}, {"items", number_schema(field)}};
      if (field.exactly != 0) list["minItems"] = list["maxItems"] = field.exactly;
      return list;
    }
    case FieldKind::texts:
    case FieldKind::references:
      return {{"type", "array"}, {"items", {{"type", "string"}}}};
    case FieldKind::windows:
      return {{"type", "array"},
              {"items",
               {{"type", "string"},
                {"pattern", "^\\s*[0-9]{1,2}:[0-9]{2}\\s*[-–—]\\s*[0-9]{1,2}:[0-9]{2}\\s*$"}}}};
    case FieldKind::sizes:
      return {{"type", "array"}, {"items", size_schema()}};
    case FieldKind::efficiency: {
      const Json share{{"anyOf",
                        {{{"type", "number"}, {"minimum", 0}, {"maximum", 1.5}},
                         {{"type", "string"}, {"pattern", quantity_pattern}}}}};
      return {{"type", "array"},
              {"items", {{"type", "array"}, {"items", share}, {"minItems", 2}, {"maxItems", 2}}}};
    }
  }
  return {};
}

Json field_schema(const RecordType& type, const Field& field) {
  auto schema = value_schema(field);
  schema["title"] = field.key;
  schema["description"] = field_description(type, field);
  if (const auto words = default_json(type, field); !words.empty())
    schema["default"] = Json::parse(words);
  return schema;
}

/// `feed` is the run of a record without a name and with one end only.
Json feed_schema(const RecordType& type) {
  const bool gives = type.key == "charger" || type.key == "array";
  const bool both = type.key == "bus" || type.key == "converter";
  Json schema{{"$ref", "#/$defs/feed"}};
  if (!both) schema["required"] = {gives ? "to" : "from"};
  schema["description"] = gives ? "The run that leads from it." : "The run that leads to it.";
  return schema;
}

Json record_schema(const RecordType& type, bool as_feed) {
  Json properties = Json::object();
  Json required = Json::array();
  for (const auto& field : type.fields) {
    properties[field.key] = field_schema(type, field);
    const bool by_owner =
        as_feed && (field.key == "name" || field.key == "from" || field.key == "to");
    if (field.required && !by_owner) required.push_back(field.key);
  }
  if (type.feedable) properties["feed"] = feed_schema(type);
  return {{"type", "object"},
          {"description", type.help},
          {"properties", std::move(properties)},
          {"required", std::move(required)},
          {"additionalProperties", false}};
}

}  // namespace

std::string json_schema() {
  Json definitions = Json::object();
  Json properties{
      {"nightbus", {{"const", system_format}, {"description", "Format of the file."}}},
      {"title", {{"type", "string"}, {"description", "What the system is called."}}},
      {"note", {{"type", "string"}, {"description", "Anything worth keeping with it."}}},
  };
  Json required{"nightbus"};
  for (const auto& type : record_types()) {
    definitions[type.key] = record_schema(type, false);
    const Json reference{{"$ref", "#/$defs/" + type.key}};
    properties[type.key] = type.many ? Json{{"type", "array"}, {"items", reference}} : reference;
    if (!type.many && !definitions[type.key]["required"].empty()) required.push_back(type.key);
  }
  definitions["feed"] = record_schema(record_type("run"), true);
  const Json schema{
      {"$schema", "https://json-schema.org/draft/2020-12/schema"},
      {"title", "nightbus system file"},
      {"description",
       "A DC power system: site, rules, bank, buses, runs, loads and what fills the bank."},
      {"type", "object"},
      {"properties", std::move(properties)},
      {"required", std::move(required)},
      {"additionalProperties", false},
      {"$defs", std::move(definitions)}};
  return schema.dump(2) + "\n";
}

}  // namespace nightbus
