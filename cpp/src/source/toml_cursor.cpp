#include <algorithm>

#include "source/characters.hpp"
#include "source/toml_parser.hpp"

namespace nightbus::toml {

void Parser::skip_blanks() {
  while (!done() && (is_blank(text_[at_]) || (text_[at_] == '\r' && !starts("\r\n")))) ++at_;
}

bool Parser::skip_line_end() {
  if (starts("\r\n")) {
    at_ += 2;
    return true;
  }
  if (!starts("\n")) return false;
  ++at_;
  return true;
}

void Parser::skip_comment() {
  at_ = line_end(at_);
  if (at_ > 0 && at_ < text_.size() && text_[at_ - 1] == '\r') --at_;
}

std::size_t Parser::line_begin(std::size_t offset) const {
  if (offset == 0) return 0;
  const auto before = text_.rfind('\n', offset - 1);
  return before == std::string_view::npos ? 0 : before + 1;
}

std::size_t Parser::line_end(std::size_t offset) const {
  return std::min(text_.find('\n', offset), text_.size());
}

std::string_view Parser::line_at(std::size_t offset) const {
  const auto begin = line_begin(offset);
  auto line = text_.substr(begin, line_end(std::max(offset, begin)) - begin);
  if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
  return line;
}

Span Parser::span(std::size_t begin, std::size_t end) {
  const auto place = [this](std::size_t offset) {
    if (offset < known_offset_) {
      const auto [line, column] = source_->place(offset);
      return std::pair{line, column};
    }
    while (known_offset_ < offset && known_offset_ < text_.size()) {
      if (text_[known_offset_] == '\n') {
        ++known_line_;
        known_column_ = 1;
        ++known_offset_;
      } else {
        const auto length = source_detail::next_character(text_, known_offset_).length;
        if (known_offset_ + length > offset) break;
        known_offset_ += length;
        ++known_column_;
      }
    }
    return std::pair{known_line_, known_column_};
  };
  const auto [line, column] = place(begin);
  const auto [end_line, end_column] = place(std::max(begin, end));
  return {source_, line, column, end_line, end_column};
}

Span Parser::to_line_end(std::size_t begin) {
  auto end = line_end(begin);
  while (end > begin + 1 && (is_blank(text_[end - 1]) || text_[end - 1] == '\r')) --end;
  return span(begin, std::max(end, begin));
}

void Parser::refuse(std::string code, std::string what, Span where, std::string expected,
                    std::string mend) {
  throw Refusal{{std::move(code),
                 std::move(what),
                 std::move(where),
                 std::move(expected),
                 "",
                 std::move(mend),
                 {},
                 ""}};
}

}  // namespace nightbus::toml
