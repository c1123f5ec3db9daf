#include <string>

#include "nightbus/source.hpp"

namespace nightbus {

namespace {

/// Where in a TOML text we are; just enough to tell quoted text and comments from the rest.
enum class Place { plain, comment, basic, literal, long_basic, long_literal };

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

bool starts(std::string_view text, std::size_t at, std::string_view with) {
  return text.substr(at, with.size()) == with;
}

}  // namespace

std::string mask_for_toml(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  auto place = Place::plain;
  std::size_t at = 0;
  if (starts(text, 0, byte_order_mark)) {  // TOML allows it there and only there
    out += byte_order_mark;
    at = byte_order_mark.size();
  }
  while (at < text.size()) {
    std::size_t take = 1;
    bool escaped = false;
    const char c = text[at];
    switch (place) {
      case Place::plain:
        if (c == '#') place = Place::comment;
        if (starts(text, at, "\"\"\"")) {
          place = Place::long_basic;
          take = 3;
        } else if (starts(text, at, "'''")) {
          place = Place::long_literal;
          take = 3;
        } else if (c == '"') {
          place = Place::basic;
        } else if (c == '\'') {
          place = Place::literal;
        }
        break;
      case Place::comment:
        if (c == '\n') place = Place::plain;
        break;
      case Place::basic:
        escaped = c == '\\';
        if (c == '"' || c == '\n') place = Place::plain;
        break;
      case Place::literal:
        if (c == '\'' || c == '\n') place = Place::plain;
        break;
      case Place::long_basic:
        escaped = c == '\\';
        if (starts(text, at, "\"\"\"")) {
          place = Place::plain;
          take = 3;
        }
        break;
      case Place::long_literal:
        if (starts(text, at, "'''")) {
          place = Place::plain;
          take = 3;
        }
        break;
    }
    const bool ascii = static_cast<unsigned char>(c) < 0x80;
    if (place == Place::plain && !ascii) {
      // One '?' for one character: continuation bytes are dropped, so columns stay.
      if ((static_cast<unsigned char>(c) & 0xC0U) != 0x80U) out += '?';
      ++at;
      continue;
    }
    out += text.substr(at, take);
    at += take;
    if (escaped && at < text.size()) {
      const auto next = static_cast<unsigned char>(text[at]);
      if (next < 0x80 && next != '\n') {
        out += text[at++];
      } else if (next >= 0x80) {
        // An escape of a non-ASCII character is wrong everywhere: keep it wrong, in ASCII.
        out += '?';
        for (++at; at < text.size() && (static_cast<unsigned char>(text[at]) & 0xC0U) == 0x80U;) {
          ++at;
        }
      }
    }
  }
  return out;
}

}  // namespace nightbus
