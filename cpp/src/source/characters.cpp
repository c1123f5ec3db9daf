#include "source/characters.hpp"

#include <algorithm>
#include <array>

namespace nightbus::source_detail {

namespace {

struct CodeRange {
  char32_t first;
  char32_t last;
};

// The common blocks only; Unicode Standard Annex 11 (East Asian Width) has the full list.
constexpr std::array<CodeRange, 12> wide{{{0x1100, 0x115F},
                                          {0x2E80, 0x303E},
                                          {0x3041, 0x33FF},
                                          {0x3400, 0x4DBF},
                                          {0x4E00, 0x9FFF},
                                          {0xA000, 0xA4CF},
                                          {0xAC00, 0xD7A3},
                                          {0xF900, 0xFAFF},
                                          {0xFE30, 0xFE6F},
                                          {0xFF00, 0xFF60},
                                          {0x1F300, 0x1FAFF},
                                          {0x20000, 0x3FFFD}}};

constexpr std::array<CodeRange, 8> without_width{{{0x0300, 0x036F},
                                                  {0x0483, 0x0489},
                                                  {0x0591, 0x05BD},
                                                  {0x064B, 0x065F},
                                                  {0x200B, 0x200F},
                                                  {0x20D0, 0x20FF},
                                                  {0xFE00, 0xFE0F},
                                                  {0xFE20, 0xFE2F}}};

template <std::size_t N>
bool holds(const std::array<CodeRange, N>& ranges, char32_t code) {
  return std::any_of(ranges.begin(), ranges.end(), [code](const CodeRange& range) {
    return code >= range.first && code <= range.last;
  });
}

/// Marks that turn the direction of writing could make a line show something it does not say.
bool turns_direction(char32_t code) {
  return code == 0x061C || (code >= 0x200E && code <= 0x200F) ||
         (code >= 0x202A && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069);
}

std::string visible(char32_t code) {
  constexpr std::string_view hex = "0123456789abcdef";
  std::string out = code > 0xFF ? "\\u" : "\\x";
  for (int shift = code > 0xFF ? 12 : 4; shift >= 0; shift -= 4) out += hex[(code >> shift) & 15];
  return out;
}

}  // namespace

Character next_character(std::string_view text, std::size_t at) {
  const auto lead = static_cast<unsigned char>(text[at]);
  if (lead < 0x80) return {lead, 1, true};
  const std::size_t length = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
  const Character broken{0xFFFD, 1, false};
  if (lead < 0xC2 || lead > 0xF4 || at + length > text.size()) return broken;
  char32_t code = lead & (0xFFU >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) {
    const auto byte = static_cast<unsigned char>(text[at + i]);
    if ((byte & 0xC0U) != 0x80U) return broken;
    code = (code << 6) | (byte & 0x3FU);
  }
  constexpr std::array<char32_t, 5> least{0, 0, 0x80, 0x800, 0x10000};
  const bool surrogate = code >= 0xD800 && code <= 0xDFFF;
  if (code < least[length] || code > 0x10FFFF || surrogate) return broken;
  return {code, length, true};
}

int columns_of(char32_t code) {
  if (holds(without_width, code)) return 0;
  return holds(wide, code) ? 2 : 1;
}

std::string printable(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t at = 0; at < text.size();) {
    const auto character = next_character(text, at);
    const auto code = character.code;
    if (!character.valid) {
      out += "\uFFFD";
    } else if (code < 0x20 || (code >= 0x7F && code < 0xA0) || turns_direction(code)) {
      out += visible(code);
    } else {
      out += text.substr(at, character.length);
    }
    at += character.length;
  }
  return out;
}

}  // namespace nightbus::source_detail
