#include "catalogue/raw.hpp"

#include <fmt/format.h>

#include "nightbus/source_toml.hpp"

namespace nightbus::catalogue_detail {

namespace {

class Converter {
 public:
  explicit Converter(Problems& problems) : problems_(problems) {}

  RawValue value(const toml::Value& written) const {
    RawValue out;
    out.where = written.where;
    switch (written.kind) {
      case toml::Value::Kind::flag:
        out.data = written.flag;
        break;
      case toml::Value::Kind::integer:
      case toml::Value::Kind::real:
        out.data = written.real;
        break;
      case toml::Value::Kind::text:
        out.data = written.text;
        break;
      case toml::Value::Kind::list: {
        std::vector<RawValue> items;
        for (const auto& item : written.items) items.push_back(value(item));
        out.data = std::move(items);
        break;
      }
      case toml::Value::Kind::date:
      case toml::Value::Kind::table:
        problems_.push_back({.code = "wrong-type",
                             .what = "a value of this kind has no place in a data file",
                             .where = out.where,
                             .expected = "a number, a text, true or false, or a list of them",
                             .seen = {},
                             .mend = "write it as a number or in quotes",
                             .other = {},
                             .other_label = {}});
    }
    return out;
  }

  RawRecord record(const toml::Value& table) const {
    RawRecord out;
    out.where = table.where;
    for (const auto& [key, where, written] : table.entries) {
      if (is_section(written)) continue;
      out.keys.push_back({key, where, value(written)});
    }
    return out;
  }

  std::vector<RawRecord> records(const toml::Value& section) const {
    std::vector<RawRecord> out;
    for (const auto& item : section.items) out.push_back(record(item));
    return out;
  }

  static bool is_section(const toml::Value& written) {
    return written.kind == toml::Value::Kind::list && written.headed();
  }

 private:
  Problems& problems_;
};

}  // namespace

std::string describe(const RawValue& value) {
  if (const auto* text = value.text()) return fmt::format("the text \"{}\"", *text);
  if (const auto* number = value.number()) return fmt::format("the number {}", *number);
  if (const auto* flag = value.flag()) return *flag ? "true" : "false";
  if (const auto* items = value.array()) return fmt::format("a list of {}", items->size());
  return "something else";
}

std::optional<RawFile> read_raw(std::shared_ptr<const SourceText> source, bool built_in,
                                Problems& problems) {
  const auto document = toml::parse(source, {{"table", true}, {"family", true}});
  if (!document.problems.empty()) {
    problems.insert(problems.end(), document.problems.begin(), document.problems.end());
    return std::nullopt;
  }
  const Converter convert(problems);
  RawFile file;
  file.built_in = built_in;
  file.head = convert.record(document.root);
  for (const auto& [key, where, section] : document.root.entries) {
    if (!Converter::is_section(section)) continue;
    if (key == "table") {
      file.tables = convert.records(section);
    } else if (key == "family") {
      file.families = convert.records(section);
    } else {
      problems.push_back({.code = "unknown-key",
                          .what = fmt::format("unknown section [[{}]]", key),
                          .where = where,
                          .expected = "[[table]], or [[family]] in a file of conductors",
                          .seen = {},
                          .mend = "rename or remove it",
                          .other = {},
                          .other_label = {}});
    }
  }
  file.source = std::move(source);
  return file;
}

}  // namespace nightbus::catalogue_detail
