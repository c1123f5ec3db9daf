#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "source/toml_parser.hpp"

namespace nightbus::toml {

namespace {

constexpr int deepest = 40;

/// True when each word alone is a value: a comma is missing between them.
bool values_side_by_side(std::string_view token) {
  int count = 0;
  while (!(token = trimmed(token)).empty()) {
    const auto end = std::min(token.find_first_of(" \t"), token.size());
    if (!scalar_of(token.substr(0, end))) return false;
    token.remove_prefix(end);
    ++count;
  }
  return count > 1;
}

struct Word {
  std::string_view written;
  std::string_view meant;
};

constexpr std::array<Word, 12> odd_words{{{"True", "true"},
                                          {"TRUE", "true"},
                                          {"yes", "true"},
                                          {"Yes", "true"},
                                          {"YES", "true"},
                                          {"on", "true"},
                                          {"False", "false"},
                                          {"FALSE", "false"},
                                          {"no", "false"},
                                          {"No", "false"},
                                          {"NO", "false"},
                                          {"off", "false"}}};

}  // namespace

Value Parser::value(const std::string& key, bool inside) {
  const auto begin = at_;
  Value read;
  if (here() == '"' || here() == '\'') {
    read.kind = Value::Kind::text;
    read.text = text();
  } else if (here() == '[' || here() == '{') {
    if (++depth_ > deepest) {
      refuse("too-deep", "lists and braces stand too deep in each other", span(begin, begin + 1));
    }
    read = here() == '[' ? list(key) : braces();
    --depth_;
  } else {
    return bare(key, inside);
  }
  read.where = span(begin, at_);
  return read;
}

// ---- Lists

void Parser::skip_inside_list() {
  for (;;) {
    skip_blanks();
    if (!done() && here() == '#') skip_comment();
    if (done() || !skip_line_end()) return;
  }
}

Value Parser::list(const std::string& key) {
  const auto begin = at_++;
  ++lists_;
  Value read;
  read.kind = Value::Kind::list;
  for (;;) {
    skip_inside_list();
    if (done()) refuse_list(key, begin);
    if (here() == ']') break;
    const auto item = at_;
    if (here() == ',')
      refuse("syntax", "a comma without a value before it", span(item, item + 1), "[value, value]");
    try {
      read.items.push_back(value(key, true));
    } catch (Refusal&) {
      // A word alone may be wrong; a word where the next statement begins says that the list is
      // open.
      const auto token_end = std::min(text_.find_first_of(",]#\n", item), text_.size());
      const auto token = trimmed(text_.substr(item, token_end - item));
      const bool a_word =
          text_[item] != '"' && text_[item] != '\'' && text_[item] != '[' && text_[item] != '{';
      if (a_word && (token.find('=') != std::string_view::npos || values_side_by_side(token))) {
        at_ = item;
        refuse_list(key, begin);
      }
      throw;
    }
    skip_inside_list();
    if (done() || (here() != ',' && here() != ']')) refuse_list(key, begin);
    if (here() == ',') ++at_;
  }
  ++at_;
  --lists_;
  return read;
}

void Parser::refuse_list(const std::string& key, std::size_t begin) {
  refuse(
      "open-list",
      fmt::format("the list of \"{}\" is not closed, or has no comma between two values", cut(key)),
      to_line_end(begin), "[value, value]", "put a comma between the values and a ] at the end");
}

// ---- Braces

Value Parser::braces() {
  const auto begin = at_++;
  const bool outer = braces_;
  braces_ = true;
  auto read = new_table(Value::Origin::braces, {});
  skip_blanks();
  while (here() != '}' || done()) {
    if (at_line_end()) refuse_braces(begin);
    key_value(read, true);
    skip_blanks();
    if (done() || at_line_end()) refuse_braces(begin);
    if (here() == '}') break;
    if (here() != ',') refuse_braces(at_);
    const auto comma = at_++;
    skip_blanks();
    if (!done() && here() == '}') {
      refuse("open-braces", "a comma before the closing brace", span(comma, comma + 1), "",
             "delete the comma");
    }
  }
  ++at_;
  braces_ = outer;
  return read;
}

void Parser::refuse_braces(std::size_t begin) {
  constexpr auto expected = "{ key = value, key = value }";
  if (at_line_end()) {
    auto open = begin;
    if (open >= text_.size() || text_[open] != '{')
      open = line_begin(at_) + std::min(line_at(at_).find('{'), line_at(at_).size());
    refuse("open-braces", "braces must be closed on the same line", to_line_end(open), expected,
           "join the lines, and put a } at the end");
  }
  refuse("open-braces", "this cannot be read between braces", span(begin, begin + 1), expected);
}

// ---- Numbers, flags, dates: what has no quotes

Value Parser::bare(const std::string& key, bool inside) {
  const auto begin = at_;
  auto end = std::min(text_.find_first_of(inside ? ",]}#\r\n" : "#\r\n", begin), text_.size());
  while (end > begin && is_blank(text_[end - 1])) --end;
  auto token = text_.substr(begin, end - begin);
  auto read = scalar_of(token);
  const auto first_end = token.find_first_of(" \t");
  if (!read && !inside && first_end != std::string_view::npos &&
      token.find('=') != std::string_view::npos) {
    // "a = 1 b = 2": the first value stands; the rest of the line is what is wrong.
    token = token.substr(0, first_end);
    end = begin + token.size();
    read = scalar_of(token);
  }
  if (!read) refuse_bare(key, begin, end);
  at_ = end;
  read->where = span(begin, end);
  return *read;
}

void Parser::refuse_bare(const std::string& key, std::size_t begin, std::size_t end) {
  const auto token = text_.substr(begin, end - begin);
  const auto where = span(begin, std::max(end, begin + 1));
  if (token.empty()) {
    refuse("no-value", fmt::format("no value for \"{}\"", cut(key)), where, "a value");
  }
  for (std::string_view mark :
       {"\u201C", "\u201D", "\u201E", "\u2018", "\u2019", "\u00AB", "\u00BB"}) {
    if (token.starts_with(mark)) {
      refuse("wrong-quotes", "typographic quotes do not hold a text",
             span(begin, begin + mark.size()), "", "use plain quotes: \"…\"");
    }
  }
  for (const auto& word : odd_words) {
    if (token == word.written) {
      refuse("unquoted-text", fmt::format("\"{}\" is not a value", word.written), where,
             "true or false", fmt::format("write {}", word.meant));
    }
  }
  if (token.find(',') != std::string_view::npos && is_digit(token.front()) &&
      token.find_first_not_of("0123456789,.") == std::string_view::npos) {
    std::string pointed(token);
    std::replace(pointed.begin(), pointed.end(), ',', '.');
    refuse("decimal-comma", fmt::format("\"{}\" has a comma in a number", cut(token)), where, "",
           fmt::format("write {}", cut(pointed)));
  }
  if (too_large(token)) {
    refuse("bad-number", fmt::format("\"{}\" is too large a number", cut(token)), where);
  }
  if (token.find_first_not_of("0123456789.+-_eE") == std::string_view::npos) {
    refuse("bad-number", fmt::format("\"{}\" is not a number in TOML", cut(token)), where,
           "digits with a point inside, such as 0.5 or 12",
           token.starts_with(".") ? fmt::format("write 0{}", cut(token)) : "");
  }
  refuse("unquoted-text",
         is_digit(token.front()) ? "a value with a unit must stand in quotes"
                                 : "a text must stand in quotes",
         where, "",
         token.find_first_of("\"'") == std::string_view::npos
             ? fmt::format("write {} = \"{}\"", cut(key), cut(token))
             : "");
}

}  // namespace nightbus::toml
