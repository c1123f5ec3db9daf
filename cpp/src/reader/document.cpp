#include "reader/document.hpp"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <sstream>
#include <utility>

#include "nightbus/fields.hpp"
#include "reader/line_scan.hpp"
#include "reader/syntax.hpp"

namespace nightbus::reader_detail {

namespace {

constexpr std::size_t most_syntax_problems = 20;

using Source = std::shared_ptr<const SourceText>;

Span span_from(const Source& source, const toml::source_region& region) {
  return {source, region.begin.line, region.begin.column, region.end.line, region.end.column};
}

bool before(const Span& a, const Span& b) {
  return std::pair{a.line, a.column} < std::pair{b.line, b.column};
}

Value convert(const Source& source, const toml::node& node);

Value convert_table(const Source& source, const toml::table& table) {
  Value value;
  value.kind = Value::Kind::table;
  value.headed = !table.is_inline();
  value.where = span_from(source, table.source());
  for (const auto& [key, node] : table) {
    value.entries.push_back(
        {std::string(key.str()), span_from(source, key.source()), convert(source, node)});
  }
  std::sort(value.entries.begin(), value.entries.end(),
            [](const Entry& a, const Entry& b) { return before(a.where, b.where); });
  return value;
}

Value convert(const Source& source, const toml::node& node) {
  Value value;
  if (const auto* table = node.as_table()) return convert_table(source, *table);
  value.where = span_from(source, node.source());
  if (const auto* list = node.as_array()) {
    value.kind = Value::Kind::list;
    for (const auto& item : *list) value.items.push_back(convert(source, item));
    value.headed = !value.items.empty() &&
                   std::all_of(value.items.begin(), value.items.end(), [](const Value& item) {
                     return item.kind == Value::Kind::table && item.headed;
                   });
    if (value.headed) value.where = value.items.front().where;
  } else if (const auto* text = node.as_string()) {
    value.kind = Value::Kind::text;
    value.text = text->get();
  } else if (const auto* integer = node.as_integer()) {
    value.kind = Value::Kind::integer;
    value.integer = integer->get();
    value.real = static_cast<double>(value.integer);
  } else if (const auto* real = node.as_floating_point()) {
    value.kind = Value::Kind::real;
    value.real = real->get();
  } else if (const auto* flag = node.as_boolean()) {
    value.kind = Value::Kind::flag;
    value.flag = flag->get();
  } else {
    value.kind = Value::Kind::date;
  }
  return value;
}

/// The same text with some lines changed; line numbers stay.
class Lines {
 public:
  explicit Lines(const SourceText& text) {
    const auto count = text.line_count();
    for (std::uint32_t i = 1; i <= count; ++i) lines_.emplace_back(text.line(i));
  }
  const std::string& at(std::uint32_t line) const { return lines_.at(line - 1); }
  std::uint32_t count() const { return static_cast<std::uint32_t>(lines_.size()); }
  void replace(std::uint32_t line, std::string text) { lines_.at(line - 1) = std::move(text); }
  std::string joined() const {
    std::string out;
    for (const auto& line : lines_) out += line + "\n";
    return out;
  }

 private:
  std::vector<std::string> lines_;
};

/// A heading that is broken but can be guessed stays a heading: its keys would else fall to the
/// table before it.
std::string repaired(const std::string& line) {
  const auto name = heading_name(line);
  for (const auto& type : record_types()) {
    if (type.key == name) return type.many ? "[[" + name + "]]" : "[" + name + "]";
  }
  return "[[" + (name.empty() ? std::string("lost") : name) + "]]";
}

/// Takes the bad line out; the nearest line above it that is still there when it is gone already.
/// Returns 0 when nothing is left to take out.
std::uint32_t leave_out(Lines& lines, std::uint32_t line, Document& document) {
  line = std::clamp<std::uint32_t>(line, 1, lines.count());
  while (line > 0 && trimmed(lines.at(line)).empty()) --line;
  if (line == 0) return 0;
  const auto& text = lines.at(line);
  const auto parts = scan_line(text);
  const bool repeated = document.lost_lines.count(line) != 0;
  if (parts.heading && !repeated) {
    auto mended = repaired(text);
    document.lost_names = true;
    lines.replace(line, mended == trimmed(text) ? std::string() : std::move(mended));
  } else {
    if (parts.key == "name" || parts.heading) document.lost_names = true;
    lines.replace(line, {});
  }
  document.lost_lines.insert(line);
  return line;
}

Stumble stumble_of(const toml::parse_error& error) {
  return {std::string(error.description()), error.source().begin.line, error.source().begin.column};
}

Problem too_many(const Source& source, std::uint32_t line) {
  Problem problem;
  problem.code = "syntax";
  problem.what = "more lines than this cannot be read; the rest of the file was not looked at";
  problem.where = {source, line, 1, line, 1};
  problem.mend = "mend the lines above and read the file again";
  return problem;
}

}  // namespace

std::string describe(const Value& value) {
  switch (value.kind) {
    case Value::Kind::text: {
      const bool is_long = value.text.size() > 40;
      return fmt::format("the text \"{}{}\"", is_long ? value.text.substr(0, 40) : value.text,
                         is_long ? "…" : "");
    }
    case Value::Kind::integer:
      return fmt::format("the number {}", value.integer);
    case Value::Kind::real:
      return fmt::format("the number {}", value.real);
    case Value::Kind::flag:
      return value.flag ? "true" : "false";
    case Value::Kind::date:
      return "a date or time";
    case Value::Kind::list:
      return value.items.empty() ? "an empty list" : "a list";
    case Value::Kind::table:
      return "a table";
  }
  return {};
}

Document read_document(std::shared_ptr<const SourceText> source) {
  Document document;
  document.source = source;
  Lines lines(*source);
  for (;;) {
    const SourceText text(source->name(), lines.joined());
    try {
      document.root = convert_table(source, toml::parse(text.text()));
      return document;
    } catch (const toml::parse_error& error) {
      auto diagnosis = diagnose(source, text, stumble_of(error));
      if (document.problems.size() >= most_syntax_problems) {
        document.problems.push_back(too_many(source, diagnosis.line));
        document.lost_names = true;
        return document;
      }
      const auto line = leave_out(lines, diagnosis.line, document);
      for (auto more = diagnosis.line + 1; more <= diagnosis.last_line; ++more) {
        if (!trimmed(lines.at(more)).empty()) leave_out(lines, more, document);
      }
      document.problems.push_back(std::move(diagnosis.problem));
      if (line == 0) return document;
    }
  }
}

}  // namespace nightbus::reader_detail
