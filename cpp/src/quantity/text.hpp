#pragma once
/// Small helpers on the text people write.

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace nightbus::quantity_detail {

/// A text in plain ASCII spelling ("µΩ" -> "uOhm", "m²" -> "m2", "°C" -> "degC", typographic spaces
/// and dashes made plain). `at[i]` is the byte of the original that text[i] came from.
struct PlainText {
  std::string text;
  std::vector<std::size_t> at;  ///< one entry more than text: the last is the original's length
};

PlainText make_plain(std::string_view original);

/// Key under which a unit is filed: plain spelling without spaces, dots, carets and brackets.
std::string unit_key(std::string_view plain);

std::string lower(std::string_view text);

/// In double quotes, control characters made visible, shortened to about 40 characters.
std::string quoted(std::string_view text);

inline bool is_digit(char c) {
  return c >= '0' && c <= '9';
}
inline bool is_space(char c) {
  return c == ' ' || c == '\t' || c == '\r' || c == '\n';
}

}  // namespace nightbus::quantity_detail
