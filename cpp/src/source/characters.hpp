#pragma once
/// Characters as people see them: code points and the columns they take on a terminal.

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

namespace nightbus::source_detail {

struct Character {
  char32_t code = 0;       ///< U+FFFD where the bytes are not UTF-8
  std::size_t length = 1;  ///< bytes taken
  bool valid = true;
};

/// The character at `at`, which must lie inside the text; a broken sequence is one byte long.
Character next_character(std::string_view text, std::size_t at);

/// 0 for combining marks, 2 for wide East Asian characters and pictographs, else 1.
int columns_of(char32_t code);

/// The text safe for any terminal: control characters as "\x1b", broken bytes as U+FFFD.
std::string printable(std::string_view text);

}  // namespace nightbus::source_detail
