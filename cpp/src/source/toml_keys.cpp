#include <fmt/format.h>

#include <algorithm>

#include "source/toml_parser.hpp"

namespace nightbus::toml {

void Parser::key_value(Value& table, bool in_braces) {
  const auto begin = at_;
  const auto path = key_path();
  skip_blanks();
  if (here() != '=' || done()) {
    if (in_braces) refuse_braces(at_);
    refuse_no_equals(begin);
  }
  const auto equals = at_++;
  skip_blanks();
  if (at_line_end() || here() == '#') {
    refuse(
        "no-value",
        fmt::format("no value after \"{} =\"", cut(text_.substr(begin, path.back().end - begin))),
        span(equals, equals + 1), "", "write a value, or delete the line to take the default");
  }
  auto read = value(path.back().name, in_braces);
  insert(table, path, std::move(read));
}

void Parser::insert(Value& table, const KeyPath& path, Value value) {
  const auto twice = [&](const KeyPart& part, const Span& first) {
    Refusal refusal{
        {"duplicate-key", fmt::format("the key \"{}\" is written twice", cut(part.name)),
         span(part.begin, part.end), "", "", "keep one of the two", first, "first written here"}};
    throw refusal;
  };
  Value* target = &table;
  for (std::size_t i = 0; i + 1 < path.size(); ++i) {
    const auto& part = path[i];
    auto* found = find_entry(*target, part.name);
    if (found == nullptr) {
      const auto where = span(part.begin, part.end);
      target->entries.push_back({part.name, where, new_table(Value::Origin::dotted, where)});
      found = &target->entries.back();
    } else if (found->value.kind != Value::Kind::table ||
               found->value.origin != Value::Origin::dotted) {
      twice(part, found->where);
    }
    target = &found->value;
  }
  const auto& last = path.back();
  if (const auto* found = target->find(last.name)) twice(last, found->where);
  target->entries.push_back({last.name, span(last.begin, last.end), std::move(value)});
}

Parser::KeyPath Parser::key_path() {
  KeyPath path;
  path.push_back(key_part());
  for (;;) {
    const auto before = at_;
    skip_blanks();
    if (here() != '.' || path.size() >= 32) {
      at_ = before;
      return path;
    }
    ++at_;
    skip_blanks();
    path.push_back(key_part());
  }
}

Parser::KeyPart Parser::key_part() {
  const auto begin = at_;
  if (here() == '"' || here() == '\'') {
    auto name = here() == '"' ? basic_text() : literal_text();
    return {std::move(name), begin, at_};
  }
  while (!done() && is_key_character(text_[at_])) ++at_;
  if (at_ == begin) refuse_key(begin);
  return {std::string(text_.substr(begin, at_ - begin)), begin, at_};
}

void Parser::refuse_key(std::size_t begin) {
  if (braces_) refuse_braces(begin);
  if (here() == '=' && !done()) {
    refuse("no-key", "no key before \"=\"", span(begin, begin + 1), "key = value");
  }
  refuse("syntax", "this line is not TOML", to_line_end(begin),
         "key = value, or a heading in brackets");
}

void Parser::refuse_no_equals(std::size_t begin) {
  const auto line = line_at(begin);
  const auto start = line_begin(begin);
  const auto parts = scan_line(line);
  const auto key = cut(text_.substr(begin, at_ - begin));
  const auto first_word = cut(trimmed(key));
  if (here() == ':' && !done()) {
    refuse("no-equals", fmt::format("a colon after \"{}\"", first_word), span(at_, at_ + 1), "",
           fmt::format("write {} = …", first_word));
  }
  if (parts.equals) {
    auto joined = parts.key;
    std::replace(joined.begin(), joined.end(), ' ', '_');
    refuse("key-with-space", fmt::format("a key cannot hold a space: \"{}\"", cut(parts.key)),
           span(start + parts.key_begin, start + parts.key_end), "",
           fmt::format("did you mean \"{}\"?", cut(joined)));
  }
  const bool more = first_word.size() < trimmed(line).size();
  refuse(
      "no-equals", "this line has no \"=\"", span(start + parts.key_begin, start + parts.key_end),
      "key = value, or a heading in brackets", more ? fmt::format("write {} = …", first_word) : "");
}

}  // namespace nightbus::toml
