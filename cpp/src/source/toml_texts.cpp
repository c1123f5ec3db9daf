#include <fmt/format.h>

#include <algorithm>
#include <charconv>

#include "source/toml_parser.hpp"

namespace nightbus::toml {

namespace {

void append_utf8(std::string& out, std::uint32_t code) {
  const auto byte = [&out](std::uint32_t value) { out += static_cast<char>(value); };
  if (code < 0x80) {
    byte(code);
  } else if (code < 0x800) {
    byte(0xC0U | (code >> 6));
    byte(0x80U | (code & 0x3FU));
  } else if (code < 0x10000) {
    byte(0xE0U | (code >> 12));
    byte(0x80U | ((code >> 6) & 0x3FU));
    byte(0x80U | (code & 0x3FU));
  } else {
    byte(0xF0U | (code >> 18));
    byte(0x80U | ((code >> 12) & 0x3FU));
    byte(0x80U | ((code >> 6) & 0x3FU));
    byte(0x80U | (code & 0x3FU));
  }
}

}  // namespace

std::string Parser::text() {
  if (starts("\"\"\"") || starts("'''")) return long_text(here());
  return here() == '"' ? basic_text() : literal_text();
}

std::string Parser::basic_text() {
  const auto begin = at_++;
  std::string out;
  while (here() != '"' || done()) {
    if (at_line_end()) {
      at_ = begin;
      refuse("open-text", "this text is not closed", to_line_end(begin), "", "put a \" at its end");
    }
    if (here() == '\\') {
      escape(out);
    } else {
      out += text_[at_++];
    }
  }
  ++at_;
  return out;
}

std::string Parser::literal_text() {
  const auto begin = at_++;
  const auto end = text_.find_first_of("'\n", at_);
  if (end == std::string_view::npos || text_[end] == '\n') {
    at_ = begin;
    refuse("open-text", "this text is not closed", to_line_end(begin), "", "put a ' at its end");
  }
  std::string out(text_.substr(at_, end - at_));
  at_ = end + 1;
  return out;
}

/// Between three quotes, over as many lines as it likes. Line ends become "\n".
std::string Parser::long_text(char quote) {
  const auto begin = at_;
  const std::string three(3, quote);
  at_ += 3;
  skip_line_end();
  std::string out;
  while (!starts(three)) {
    if (done()) {
      at_ = begin;
      refuse("open-text", "this text is not closed", to_line_end(begin), "",
             fmt::format("put {} at its end", three));
    }
    if (quote == '"' && here() == '\\') {
      auto after = at_ + 1;
      while (after < text_.size() && is_blank(text_[after])) ++after;
      const auto back = at_;
      at_ = after;
      if (at_line_end() && !done()) {  // a backslash at the end of a line joins it to the next word
        while (!done() && (is_blank(here()) || here() == '\n' || here() == '\r')) ++at_;
        continue;
      }
      at_ = back;
      escape(out);
    } else if (skip_line_end()) {
      out += '\n';
    } else {
      out += text_[at_++];
    }
  }
  at_ += 3;
  // Up to two more quotes belong to the text itself.
  for (int i = 0; i < 2 && !done() && here() == quote; ++i, ++at_) out += quote;
  return out;
}

void Parser::escape(std::string& out) {
  const auto begin = at_++;
  const auto bad = [&](std::size_t end) {
    refuse("bad-escape", "a backslash in a text must be written twice",
           span(begin, std::min(end, line_end(begin))), "",
           "write \\\\, or put the text in single quotes");
  };
  if (at_line_end()) bad(begin + 1);
  const char c = text_[at_++];
  constexpr std::string_view from = "btnfr\"\\";
  constexpr std::string_view to = "\b\t\n\f\r\"\\";
  if (const auto found = from.find(c); found != std::string_view::npos) {
    out += to[found];
    return;
  }
  if (c != 'u' && c != 'U') bad(begin + 2);
  const std::size_t length = c == 'u' ? 4 : 8;
  const auto digits = text_.substr(at_, length);
  std::uint32_t code = 0;
  const auto result = std::from_chars(digits.data(), digits.data() + digits.size(), code, 16);
  const bool whole = digits.size() == length && result.ec == std::errc() &&
                     result.ptr == digits.data() + digits.size();
  if (!whole || code > 0x10FFFF || (code >= 0xD800 && code <= 0xDFFF)) bad(begin + 2);
  at_ += length;
  append_utf8(out, code);
}

}  // namespace nightbus::toml
