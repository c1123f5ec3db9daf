#pragma once
/// A system file as it was written: keys, values and where they stand. No meaning yet.

#include <cstdint>
#include <memory>
#include <set>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "nightbus/source.hpp"

namespace nightbus::reader_detail {

struct Entry;

struct Value {
  enum class Kind { text, integer, real, flag, date, list, table };
  Kind kind = Kind::flag;
  std::string text;  ///< of a text; of a date as written
  std::int64_t integer = 0;
  double real = 0.0;  ///< of an integer too
  bool flag = false;
  bool headed = false;       ///< a [table], or a list of [[table]]s, not one in braces or brackets
  std::vector<Value> items;  ///< of a list
  std::vector<Entry> entries;  ///< of a table, in the order of the file
  Span where;                  ///< of a headed table: its heading
};

struct Entry {
  std::string key;
  Span where;
  Value value;
};

/// "the text \"abc\"", "the number 3", "a list", for "found:" lines.
std::string describe(const Value& value);

struct Document {
  std::shared_ptr<const SourceText> source;
  Value root;
  std::vector<Problem> problems;       ///< of the syntax
  std::set<std::uint32_t> lost_lines;  ///< left out so that the rest could be read
  bool lost_names = false;             ///< a name or a heading was among them
};

/// Reads TOML. Every line that cannot be read is reported and left out, and reading goes on with
/// the rest, up to a limit of problems.
Document read_document(std::shared_ptr<const SourceText> source);

}  // namespace nightbus::reader_detail
