#pragma once
/// The parser's inside. A statement is a heading or a key with its value. What cannot be read
/// throws Refusal, which the loop over statements catches; it adds the problem and looks for the
/// next line on which a statement may begin.

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "nightbus/source_toml.hpp"
#include "nightbus/source_toml_line.hpp"

namespace nightbus::toml {

struct Refusal {
  Problem problem;
};

class Parser {
 public:
  Parser(const std::shared_ptr<const SourceText>& source, const std::vector<Heading>& headings);
  Document parse();

 private:
  struct KeyPart {
    std::string name;
    std::size_t begin;
    std::size_t end;
  };
  using KeyPath = std::vector<KeyPart>;

  // Statements, and going on after a bad one (toml_document.cpp)
  void check_characters();
  void statement();
  void end_of_statement();
  void recover(std::size_t begin);
  int open_lists_after(std::size_t from, int open) const;

  // Keys (toml_keys.cpp)
  void key_value(Value& table, bool in_braces);
  void insert(Value& table, const KeyPath& path, Value value);
  KeyPath key_path();
  KeyPart key_part();
  [[noreturn]] void refuse_key(std::size_t begin);
  [[noreturn]] void refuse_no_equals(std::size_t begin);

  // Headings (toml_headings.cpp)
  void heading();
  std::optional<KeyPath> heading_path(bool many);
  Value* parent_of(const KeyPath& path, const Span& where);
  void open_table(const KeyPath& path, const Span& where);
  void open_list_item(const KeyPath& path, const Span& where);
  void open_guess(const Heading* guess, const Span& where);
  void open_nothing();
  const Heading* guess_of(std::string_view line) const;
  [[noreturn]] void clash(const KeyPath& path, bool many, Span where, Span first);
  [[noreturn]] void refuse_heading(std::size_t begin, const Heading* guess);

  // Values (toml_values.cpp)
  Value value(const std::string& key, bool inside);
  Value list(const std::string& key);
  Value braces();
  Value bare(const std::string& key, bool inside);
  void skip_inside_list();
  [[noreturn]] void refuse_list(const std::string& key, std::size_t begin);
  [[noreturn]] void refuse_braces(std::size_t begin);
  [[noreturn]] void refuse_bare(const std::string& key, std::size_t begin, std::size_t end);

  // Texts (toml_texts.cpp)
  std::string text();
  std::string basic_text();
  std::string literal_text();
  std::string long_text(char quote);
  void escape(std::string& out);

  // The cursor (toml_cursor.cpp)
  bool done() const { return at_ >= text_.size(); }
  char here() const { return done() ? '\n' : text_[at_]; }
  bool starts(std::string_view piece) const { return text_.substr(at_).starts_with(piece); }
  bool at_line_end() const { return done() || starts("\n") || starts("\r\n"); }
  void skip_blanks();
  bool skip_line_end();
  void skip_comment();
  std::size_t line_begin(std::size_t offset) const;
  std::size_t line_end(std::size_t offset) const;  ///< of its line feed, or of the text
  std::string_view line_at(std::size_t offset) const;
  Span span(std::size_t begin, std::size_t end);
  Span to_line_end(std::size_t begin);
  [[noreturn]] void refuse(std::string code, std::string what, Span where,
                           std::string expected = {}, std::string mend = {});
  void report(Problem problem);

  std::shared_ptr<const SourceText> source_;
  const std::vector<Heading>& headings_;
  std::string_view text_;
  std::size_t at_ = 0;
  int depth_ = 0;  ///< of lists and braces in each other
  int lists_ = 0;  ///< open lists, for recovery
  bool braces_ = false;
  bool stopped_ = false;
  Document document_;
  Value* table_ = nullptr;  ///< the one that keys go to
  Value discarded_;         ///< takes the keys below a heading that could not be guessed

  // Places are asked for mostly in order; counting goes on from the last one.
  std::size_t known_offset_ = 0;
  std::uint32_t known_line_ = 1;
  std::uint32_t known_column_ = 1;
};

/// What a token without quotes means; nullopt when it is no TOML value.
std::optional<Value> scalar_of(std::string_view token);

/// Digits only, but more than 64 bits hold.
bool too_large(std::string_view token);

Value new_table(Value::Origin origin, Span where);
Entry* find_entry(Value& table, std::string_view key);

}  // namespace nightbus::toml
