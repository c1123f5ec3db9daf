#include "catalogue/raw.hpp"

#include <fmt/format.h>

#include <toml++/toml.h>

namespace nightbus::catalogue_detail {

namespace {

Span span_of(const toml::source_region& region, const std::shared_ptr<const SourceText>& source) {
  Span span;
  span.source = source;
  span.line = region.begin.line;
  span.column = region.begin.column;
  span.end_line = region.end.line;
  span.end_column = region.end.column;
  return span;
}

class Converter {
 public:
  Converter(const std::shared_ptr<const SourceText>& source, Problems& problems)
      : source_(source), problems_(problems) {}

  RawValue value(const toml::node& node) const {
    RawValue out;
    out.where = span_of(node.source(), source_);
    if (const auto* flag = node.as_boolean()) {
      out.data = flag->get();
    } else if (const auto* whole = node.as_integer()) {
      out.data = static_cast<double>(whole->get());
    } else if (const auto* real = node.as_floating_point()) {
      out.data = real->get();
    } else if (const auto* text = node.as_string()) {
      out.data = text->get();
    } else if (const auto* array = node.as_array()) {
      std::vector<RawValue> items;
      for (const auto& item : *array) items.push_back(value(item));
      out.data = std::move(items);
    } else {
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

  RawRecord record(const toml::table& table) const {
    RawRecord out;
    out.where = span_of(table.source(), source_);
    for (const auto& [key, node] : table) {
      if (const auto* array = node.as_array(); array && array->is_array_of_tables()) continue;
      out.keys.push_back({std::string(key.str()), span_of(key.source(), source_), value(node)});
    }
    return out;
  }

  std::vector<RawRecord> records(const toml::node* node) const {
    std::vector<RawRecord> out;
    const auto* array = node ? node->as_array() : nullptr;
    if (!array) return out;
    for (const auto& item : *array) {
      if (const auto* table = item.as_table()) out.push_back(record(*table));
    }
    return out;
  }

 private:
  const std::shared_ptr<const SourceText>& source_;
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
  toml::table root;
  try {
    root = toml::parse(source->text(), source->name());
  } catch (const toml::parse_error& error) {
    problems.push_back({.code = "toml-syntax",
                        .what = fmt::format("not TOML: {}", error.description()),
                        .where = span_of(error.source(), source),
                        .expected = {},
                        .seen = {},
                        .mend = {},
                        .other = {},
                        .other_label = {}});
    return std::nullopt;
  }
  const Converter convert(source, problems);
  RawFile file;
  file.built_in = built_in;
  file.head = convert.record(root);
  for (const auto& [key, node] : root) {
    const auto* array = node.as_array();
    if (!array || !array->is_array_of_tables()) continue;
    if (key == "table") {
      file.tables = convert.records(&node);
    } else if (key == "family") {
      file.families = convert.records(&node);
    } else {
      problems.push_back({.code = "unknown-key",
                          .what = fmt::format("unknown section [[{}]]", key.str()),
                          .where = span_of(key.source(), source),
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
