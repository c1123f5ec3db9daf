/// One table, three uses: the schema, the field reference and the reader must name the same fields.

#include <doctest/doctest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <string>

#include "nightbus/fields.hpp"
#include "nightbus/reader.hpp"

using namespace nightbus;
using Json = nlohmann::json;

namespace {

std::string heading(const RecordType& type) {
  return type.many ? "## `[[" + type.key + "]]`" : "## `[" + type.key + "]`";
}

/// The part of the reference from a record's heading to the next.
std::string section(const std::string& reference, const RecordType& type) {
  const auto begin = reference.find(heading(type));
  if (begin == std::string::npos) return {};
  return reference.substr(begin, reference.find("\n## ", begin + 1) - begin);
}

/// A bare key of a record, read in the smallest file; true when the reader knows the key.
bool reader_knows(const RecordType& type, const std::string& key) {
  const auto head = type.many ? "[[" + type.key + "]]\n" : "[" + type.key + "]\n";
  const auto examined = examine_system("nightbus = 1\n" + head + key + " = \"?\"\n", "probe.toml");
  return std::none_of(examined.problems.begin(), examined.problems.end(),
                      [](const Problem& problem) { return problem.code == "unknown-key"; });
}

}  // namespace

TEST_CASE("schema, reference and reader agree on every field, and on nothing more") {
  const auto schema = Json::parse(json_schema());
  const auto reference = field_reference_markdown();
  CHECK(schema["additionalProperties"] == false);
  for (const auto& type : record_types()) {
    CAPTURE(type.key);
    const auto& record = schema["$defs"][type.key];
    CHECK(record["additionalProperties"] == false);
    const auto& top = schema["properties"][type.key];
    CHECK((type.many ? top["items"]["$ref"] : top["$ref"]) == "#/$defs/" + type.key);
    CHECK(record["properties"].size() == type.fields.size() + (type.feedable ? 1 : 0));
    const auto text = section(reference, type);
    CHECK(text.find(type.help) != std::string::npos);
    std::size_t rows = 0;
    for (std::size_t at = 0; (at = text.find("\n| `", at)) != std::string::npos; ++at) ++rows;
    CHECK(rows == type.fields.size());
    for (const auto& field : type.fields) {
      CAPTURE(field.key);
      REQUIRE(record["properties"].contains(field.key));
      const auto& property = record["properties"][field.key];
      CHECK(property["description"].get<std::string>().find(field.help) == 0);
      const auto& required = record["required"];
      CHECK((std::find(required.begin(), required.end(), field.key) != required.end()) ==
            field.required);
      if (!field.choices.empty())
        CHECK(property["enum"].get<std::vector<std::string>>() == field.choices);
      CHECK(text.find("\n| `" + field.key + "` |") != std::string::npos);
      CHECK(reader_knows(type, field.key));
    }
    CHECK_FALSE(reader_knows(type, "no_such_key"));
  }
}

TEST_CASE("a feed has the fields of a run, and asks for the end that its record is not") {
  const auto schema = Json::parse(json_schema());
  CHECK(schema["$defs"]["feed"]["properties"].size() ==
        schema["$defs"]["run"]["properties"].size());
  CHECK(schema["$defs"]["feed"]["required"] == Json::array({"length"}));
  CHECK(schema["$defs"]["load"]["properties"]["feed"]["required"] == Json::array({"from"}));
  CHECK(schema["$defs"]["array"]["properties"]["feed"]["required"] == Json::array({"to"}));
  CHECK_FALSE(schema["$defs"]["bank"]["properties"].contains("feed"));
}

TEST_CASE("bounds in the schema are in the unit of a plain number") {
  const auto schema = Json::parse(json_schema());
  const auto& drop = schema["$defs"]["rules"]["properties"]["drop_critical"]["anyOf"][1];
  CHECK(drop["exclusiveMinimum"] == 0.0);
  CHECK(drop["maximum"] == 50.0);  // per cent
  const auto& length = schema["$defs"]["run"]["properties"]["length"]["anyOf"][1];
  CHECK(length["exclusiveMinimum"] == 0.0);
  CHECK(length["maximum"] == 10000.0);
  const auto& joint = schema["$defs"]["run"]["properties"]["joint_resistance"]["anyOf"][1];
  CHECK(joint["maximum"] == 1000.0);  // milliohm
}

TEST_CASE("every default in the schema reads back to the default of the field") {
  const auto schema = Json::parse(json_schema());
  for (const auto& type : record_types()) {
    for (const auto& field : type.fields) {
      CAPTURE(type.key);
      CAPTURE(field.key);
      const auto& property = schema["$defs"][type.key]["properties"][field.key];
      if (!property.contains("default")) continue;
      const auto& usual = property["default"];
      const auto value = type.default_of(field);
      if (const auto* number = std::get_if<double>(&value)) {
        const double read =
            usual.is_string()
                ? *parse_quantity(usual.get<std::string>(), field.dimension, field.unit,
                                  Range{-1e12, 1e12})
                : *quantity_of_number(usual.get<double>(), field.dimension, field.unit);
        CHECK(read == *number);
      } else if (const auto* text = std::get_if<std::string>(&value)) {
        CHECK(usual == *text);
      } else if (const auto* count = std::get_if<std::int64_t>(&value)) {
        CHECK(usual == *count);
      } else if (const auto* flag = std::get_if<bool>(&value)) {
        CHECK(usual == *flag);
      }
    }
  }
}
