#pragma once
/// TOML 1.0 read without giving up: every line that cannot be read is reported in words that help
/// and left out, and reading goes on. Every key and value knows its place. The tree carries no
/// meaning.

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "nightbus/source.hpp"

namespace nightbus::toml {

struct Entry;

struct Value {
  enum class Kind { text, integer, real, flag, date, list, table };
  /// How a table came to be: by its heading, as the unwritten parent of one, by dotted keys, or in
  /// braces. A list of [[tables]] has `heading` too.
  enum class Origin { none, heading, implied, dotted, braces };

  Kind kind = Kind::flag;
  Origin origin = Origin::none;
  std::string text;  ///< of a text; of a date as written
  std::int64_t integer = 0;
  double real = 0.0;  ///< of an integer too
  bool flag = false;
  bool damaged = false;        ///< a table of which a line could not be read
  std::vector<Value> items;    ///< of a list
  std::vector<Entry> entries;  ///< of a table, in the order of the file
  Span where;                  ///< of a table with a heading: its heading

  bool headed() const { return origin == Origin::heading; }
  const Entry* find(std::string_view key) const;
};

struct Entry {
  std::string key;
  Span where;
  Value value;
};

/// "the text \"abc\"", "the number 3", "a list", for "found:" lines.
std::string describe(const Value& value);

/// A heading the file may have, so that a broken one can be guessed and named.
struct Heading {
  std::string key;
  bool many = true;  ///< [[key]] rather than [key]
};

struct Document {
  Value root;                     ///< a table
  std::vector<Problem> problems;  ///< in the order of the file
  bool lost_names = false;        ///< a heading or a `name` could not be read
};

Document parse(const std::shared_ptr<const SourceText>& source,
               const std::vector<Heading>& headings = {});

}  // namespace nightbus::toml
