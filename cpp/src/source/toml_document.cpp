#include <fmt/format.h>

#include <algorithm>

#include "source/toml_parser.hpp"

namespace nightbus::toml {

namespace {

constexpr std::size_t most_problems = 20;
constexpr std::size_t most_keys = 10'000;  // in one table: finding a key twice looks at each

}  // namespace

const Entry* Value::find(std::string_view key) const {
  for (const auto& entry : entries) {
    if (entry.key == key) return &entry;
  }
  return nullptr;
}

Entry* find_entry(Value& table, std::string_view key) {
  return const_cast<Entry*>(std::as_const(table).find(key));
}

Value new_table(Value::Origin origin, Span where) {
  Value table;
  table.kind = Value::Kind::table;
  table.origin = origin;
  table.where = std::move(where);
  return table;
}

std::string describe(const Value& value) {
  switch (value.kind) {
    case Value::Kind::text:
      return fmt::format("the text \"{}\"", cut(value.text));
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

Document parse(const std::shared_ptr<const SourceText>& source,
               const std::vector<Heading>& headings) {
  return Parser(source, headings).parse();
}

Parser::Parser(const std::shared_ptr<const SourceText>& source,
               const std::vector<Heading>& headings)
    : source_(source), headings_(headings), text_(source->text()) {
  document_.root = new_table(Value::Origin::heading, {source, 1, 1, 1, 1});
  table_ = &document_.root;
}

Document Parser::parse() {
  check_characters();
  while (!done() && !stopped_) {
    const auto begin = at_;
    depth_ = lists_ = 0;
    braces_ = false;
    try {
      statement();
    } catch (Refusal& refusal) {
      table_->damaged = true;
      report(std::move(refusal.problem));
      recover(begin);
    }
  }
  auto& problems = document_.problems;
  std::stable_sort(problems.begin(), problems.end(), [](const Problem& a, const Problem& b) {
    return std::pair{a.where.line, a.where.column} < std::pair{b.where.line, b.where.column};
  });
  return std::move(document_);
}

void Parser::report(Problem problem) {
  if (stopped_) return;
  if (document_.problems.size() >= most_problems) {
    problem = {"syntax",
               "there is more that cannot be read; the rest of the file was not looked at",
               problem.where,
               "",
               "",
               "mend what is above and read the file again",
               {},
               ""};
    document_.lost_names = stopped_ = true;
  }
  document_.problems.push_back(std::move(problem));
}

/// Bytes that are not UTF-8, and control characters: once for each line that has them.
void Parser::check_characters() {
  for (std::size_t at = 0; at < text_.size() && !stopped_;) {
    const auto length = utf8_length(text_, at);
    const auto byte = static_cast<unsigned char>(text_[at]);
    const bool ends_line =
        byte == '\n' || (byte == '\r' && at + 1 < text_.size() && text_[at + 1] == '\n');
    const bool control = (byte < 0x20 && byte != '\t' && !ends_line) || byte == 0x7F;
    if (length == 0 || control) {
      document_.lost_names = true;  // it may stand in any name
      report({length == 0 ? "not-utf8" : "control-character",
              length == 0 ? "bytes that are not UTF-8 text"
                          : "a control character that cannot be seen",
              span_of(source_, at, at + 1),
              "",
              "",
              length == 0 ? "save the file as UTF-8" : "delete it",
              {},
              ""});
      at = line_end(at);
    } else {
      at += length;
    }
  }
}

void Parser::statement() {
  skip_blanks();
  if (here() == '#') skip_comment();
  if (done() || skip_line_end()) return;
  if (here() == '[') {
    heading();
  } else {
    key_value(*table_, false);
    if (table_->entries.size() > most_keys) {
      stopped_ = true;
      document_.problems.push_back({"too-large",
                                    "there are too many keys under one heading",
                                    table_->where,
                                    fmt::format("at most {}", most_keys),
                                    "",
                                    "",
                                    {},
                                    ""});
      return;
    }
  }
  end_of_statement();
}

void Parser::end_of_statement() {
  skip_blanks();
  if (here() == '#') skip_comment();
  if (done() || skip_line_end()) return;
  refuse("rest-of-line", "the line goes on after its value", to_line_end(at_),
         "one key on each line", "put what follows on a line of its own, or a # before it");
}

// ---- Going on after a refusal -------------------------------------------------------------------

/// Lists still open at the end of the line, of `open` that were open at `from`.
int Parser::open_lists_after(std::size_t from, int open) const {
  char quote = 0;
  for (auto at = from; at < line_end(from); ++at) {
    const char c = text_[at];
    if (quote != 0) {
      if (c == '\\' && quote == '"') ++at;
      if (c == quote) quote = 0;
    } else if (c == '"' || c == '\'') {
      quote = c;
    } else if (c == '[') {
      ++open;
    } else if (c == '#' || (c == ']' && --open == 0)) {
      break;
    }
  }
  return open;
}

void Parser::recover(std::size_t begin) {
  if (scan_line(line_at(begin)).key == "name") document_.lost_names = true;
  const auto next_line = [this] { at_ = std::min(line_end(at_) + 1, text_.size()); };
  // A list ran into the next statement: that one can be read.
  if (line_begin(at_) > begin && lists_ > 0 && begins_statement(line_at(at_))) {
    at_ = line_begin(at_);
    return;
  }
  if (braces_ && line_at(at_).find('}') == std::string_view::npos) {
    // Braces over several lines: what they hold goes with them, as far as a } is near.
    const auto first = at_;
    next_line();
    for (int lines = 0; lines < 20 && !done() && !scan_line(line_at(at_)).heading; ++lines) {
      const bool closed = line_at(at_).find('}') != std::string_view::npos;
      next_line();
      if (closed) return;
    }
    at_ = first;
  }
  int open = open_lists_after(at_, lists_);
  next_line();
  while (open > 0 && !done() && !begins_statement(line_at(at_))) {
    open = open_lists_after(at_, open);
    next_line();
  }
}

}  // namespace nightbus::toml
