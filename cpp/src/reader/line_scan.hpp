#pragma once
/// Just enough of TOML's look to talk about a line that the parser refused.

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace nightbus::reader_detail {

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

/// The name in "[site]" or "[[run]]", also when brackets are missing; "" when there is none.
std::string heading_name(std::string_view line);

/// Number of quotes of this kind that open or close a text, outside comments.
std::size_t open_quote(std::string_view line, std::size_t from);  ///< npos when all are closed

std::string_view trimmed(std::string_view text);

}  // namespace nightbus::reader_detail
