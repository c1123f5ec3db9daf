#pragma once
/// Where a thing was written, and problems that point there.

#include <cstddef>
#include <cstdint>
#include <memory>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace nightbus {

/// A text with a name ("hut.toml"), kept alive by every Span into it.
class SourceText {
 public:
  SourceText(std::string name, std::string text);
  const std::string& name() const { return name_; }
  const std::string& text() const { return text_; }
  /// Line `number` (from 1) without its line end; empty when out of range.
  std::string_view line(std::uint32_t number) const;
  std::uint32_t line_count() const;
  /// Byte offset of a line and column (both from 1); the end of the line or text when beyond it.
  std::size_t offset(std::uint32_t line, std::uint32_t column) const;
  /// Line and column, both from 1, of a byte offset.
  std::pair<std::uint32_t, std::uint32_t> place(std::size_t byte_offset) const;

 private:
  std::string name_;
  std::string text_;
  std::vector<std::size_t> starts_;
};

/// From (line, column) up to, not including, (end_line, end_column); all from 1, columns in
/// characters (code points). line 0: made in code, there is no place.
struct Span {
  std::shared_ptr<const SourceText> source;  ///< empty: made in code
  std::uint32_t line = 0;                    ///< from 1
  std::uint32_t column = 0;
  std::uint32_t end_line = 0;
  std::uint32_t end_column = 0;  ///< behind the last character

  bool known() const { return source && line > 0; }
  std::string place() const;  ///< "hut.toml:12:9", or "(built in code)"
};

/// The span of bytes [begin, end) of a text; unknown when there is no text.
Span span_of(std::shared_ptr<const SourceText> source, std::size_t begin, std::size_t end);

/// One thing wrong with the input. Facts first; the sentence is made by render().
struct Problem {
  std::string code;  ///< stable, "unknown-key", "wrong-unit" …
  std::string what;  ///< one line: "unknown key \"lenght\" in [[run]] \"router feed\""
  Span where;
  std::string expected;     ///< may be empty
  std::string seen;         ///< may be empty
  std::string mend;         ///< how to put it right; may be empty
  Span other;               ///< second place of a duplicate or conflict; may be unknown
  std::string other_label;  ///< "first written here"
};

/// The problem with file, line, column, the line itself, a caret under the place, expected, seen,
/// mend, and the second place if there is one. Plain text, no colour; control characters that the
/// input carries are made visible, long lines are shortened around the place.
std::string render(const Problem& problem);
std::string render(const std::vector<Problem>& problems);

/// Base of everything nightbus throws.
class Error : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

/// Input that cannot be used: carries every problem found in one pass; what() is render(problems).
class InputError : public Error {
 public:
  explicit InputError(std::vector<Problem> problems);
  const std::vector<Problem>& problems() const { return problems_; }

 private:
  std::vector<Problem> problems_;
};

/// A name that the catalogue or the system does not hold; the message lists near misses.
class LookupError : public Error {
 public:
  using Error::Error;
};

}  // namespace nightbus
