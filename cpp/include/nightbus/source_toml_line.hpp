#pragma once
/// Just enough of TOML's look to talk about a line that cannot be read, and to find the next one.

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace nightbus::toml {

/// Byte offsets into the line.
struct LineParts {
  std::string key;  ///< "" when the line has none
  std::size_t key_begin = 0;
  std::size_t key_end = 0;
  std::optional<std::size_t> equals;  ///< of the first '=' outside quotes
  std::size_t value_begin = 0;        ///< first character of the value
  std::size_t value_end = 0;          ///< after its last, comment left out
  bool heading = false;               ///< begins with '['
};

LineParts scan_line(std::string_view line);

/// True for `key = …`, `[name]` and `[[name]]`: a statement may well begin on this line.
bool begins_statement(std::string_view line);

/// The name in "[site]" or "[[run]]", also when brackets are missing or spaces stand in it.
std::string heading_name(std::string_view line);

/// Bytes of the well-formed UTF-8 character at `at`; 0 when there is none.
std::size_t utf8_length(std::string_view text, std::size_t at);

std::string_view trimmed(std::string_view text);

/// At most about 60 bytes of it, for messages.
std::string cut(std::string_view text);

inline bool is_blank(char c) {
  return c == ' ' || c == '\t';
}
inline bool is_digit(char c) {
  return c >= '0' && c <= '9';
}
inline bool is_key_character(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || is_digit(c) || c == '_' || c == '-';
}

}  // namespace nightbus::toml
