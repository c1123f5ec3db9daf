#include "quantity/text.hpp"

#include <array>
#include <utility>

namespace nightbus::quantity_detail {

namespace {

using Spelling = std::pair<std::string_view, std::string_view>;

constexpr std::array<Spelling, 27> plain_spellings{{
    {"\u00A0", " "},   {"\u2007", " "},   {"\u2009", " "},    {"\u202F", " "},    {"\u2212", "-"},
    {"\u2010", "-"},   {"\u2011", "-"},   {"\u2013", "-"},    {"\u2014", "-"},    {"\u00B5", "u"},
    {"\u03BC", "u"},   {"\u2126", "Ohm"}, {"\u03A9", "Ohm"},  {"\u00B2", "2"},    {"\u00B3", "3"},
    {"\u00B0", "deg"}, {"\u00BA", "deg"}, {"\u2103", "degC"}, {"\u2109", "degF"}, {"\u2032", "'"},
    {"\u2033", "\""},  {"\u2019", "'"},   {"\u201D", "\""},   {"\u00B7", "*"},    {"\u22C5", "*"},
    {"\u2026", ".."},  {"\u00D7", "*"},
}};

std::size_t sequence_length(std::string_view text, std::size_t at) {
  const auto lead = static_cast<unsigned char>(text[at]);
  std::size_t length = lead < 0xC0 ? 1 : lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 4;
  return std::min(length, text.size() - at);
}

}  // namespace

PlainText make_plain(std::string_view original) {
  PlainText plain;
  plain.text.reserve(original.size());
  plain.at.reserve(original.size() + 1);
  for (std::size_t i = 0; i < original.size();) {
    const auto length = sequence_length(original, i);
    const auto piece = original.substr(i, length);
    std::string_view spelling = piece;
    if (length > 1) {
      for (const auto& [written, ascii] : plain_spellings) {
        if (piece == written) spelling = ascii;
      }
    }
    for (char c : spelling) {
      plain.text.push_back(is_space(c) ? ' ' : c);
      plain.at.push_back(i);
    }
    i += length;
  }
  plain.at.push_back(original.size());
  return plain;
}

std::string unit_key(std::string_view plain) {
  const bool bracketed =
      plain.find('(') != std::string_view::npos && plain.find(')') != std::string_view::npos;
  std::string key;
  key.reserve(plain.size());
  for (char c : plain) {
    if (c == ' ' || c == '*' || c == '^' || (bracketed && (c == '(' || c == ')'))) continue;
    key.push_back(c);
  }
  return key;
}

std::string lower(std::string_view text) {
  std::string out(text);
  for (char& c : out) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return out;
}

std::string quoted(std::string_view text) {
  constexpr std::size_t most = 40;
  std::string out = "\"";
  std::size_t shown = 0;
  for (std::size_t i = 0; i < text.size();) {
    if (++shown > most) {
      out += "…";
      break;
    }
    const auto byte = static_cast<unsigned char>(text[i]);
    if (byte < 0x20 || byte == 0x7F) {
      constexpr std::string_view hex = "0123456789abcdef";
      out += "\\x";
      out += hex[byte >> 4];
      out += hex[byte & 15];
      ++i;
      continue;
    }
    const auto length = sequence_length(text, i);
    out += text.substr(i, length);
    i += length;
  }
  return out + "\"";
}

}  // namespace nightbus::quantity_detail
