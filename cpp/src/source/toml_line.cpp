#include "nightbus/source_toml_line.hpp"

#include <algorithm>

namespace nightbus::toml {

namespace {

/// End of the text that a quote at `at` opens, npos when it stays open.
std::size_t close_of(std::string_view line, std::size_t at) {
  const char quote = line[at];
  for (std::size_t i = at + 1; i < line.size(); ++i) {
    if (quote == '"' && line[i] == '\\') {
      ++i;
    } else if (line[i] == quote) {
      return i;
    }
  }
  return std::string_view::npos;
}

}  // namespace

std::string_view trimmed(std::string_view text) {
  const auto out = [](char c) { return is_blank(c) || c == '\r'; };
  while (!text.empty() && out(text.front())) text.remove_prefix(1);
  while (!text.empty() && out(text.back())) text.remove_suffix(1);
  return text;
}

LineParts scan_line(std::string_view line) {
  LineParts parts;
  std::size_t at = 0;
  while (at < line.size() && is_blank(line[at])) ++at;
  parts.key_begin = parts.key_end = at;
  parts.heading = at < line.size() && line[at] == '[';
  std::size_t comment = line.size();
  for (std::size_t i = at; i < line.size(); ++i) {
    if (line[i] == '"' || line[i] == '\'') {
      const auto close = close_of(line, i);
      if (close == std::string_view::npos) break;
      i = close;
    } else if (line[i] == '#') {
      comment = i;
      break;
    } else if (line[i] == '=' && !parts.equals) {
      parts.equals = i;
    }
  }
  const auto end_of_key = std::min(parts.equals.value_or(comment), comment);
  const auto key = trimmed(line.substr(at, end_of_key - at));
  parts.key_end = at + key.size();
  parts.key = std::string(key);
  const auto from = std::min(parts.equals ? *parts.equals + 1 : parts.key_end, comment);
  const auto value = trimmed(line.substr(from, comment - from));
  parts.value_begin = value.empty() ? std::min(from, line.size())
                                    : static_cast<std::size_t>(value.data() - line.data());
  parts.value_end = parts.value_begin + value.size();
  return parts;
}

bool begins_statement(std::string_view line) {
  const auto parts = scan_line(line);
  if (parts.heading) {
    auto words = trimmed(line.substr(0, line.find('#')));
    while (!words.empty() && words.front() == '[') words.remove_prefix(1);
    if (words.empty() || is_digit(words.front()) || words.front() == '-' || words.back() != ']')
      return false;
    while (!words.empty() && words.back() == ']') words.remove_suffix(1);
    return !words.empty() && std::all_of(words.begin(), words.end(),
                                         [](char c) { return is_key_character(c) || c == '.'; });
  }
  if (!parts.equals || parts.key.empty()) return false;
  return std::all_of(parts.key.begin(), parts.key.end(),
                     [](char c) { return is_key_character(c) || c == '.' || c == ' '; });
}

std::string heading_name(std::string_view line) {
  std::string name;
  for (char c : line.substr(0, line.find('#'))) {
    if (is_key_character(c)) {
      name += c;
    } else if (c != '[' && c != ']' && !is_blank(c)) {
      break;
    }
  }
  return name;
}

std::size_t utf8_length(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const auto lead = byte(at);
  if (lead < 0x80) return 1;
  const std::size_t length = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
  if (lead < 0xC2 || lead > 0xF4 || at + length > text.size()) return 0;
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(at + i) & 0xC0U) != 0x80U) return 0;
  }
  const auto second = byte(at + 1);
  const bool overlong = (lead == 0xE0 && second < 0xA0) || (lead == 0xF0 && second < 0x90);
  const bool surrogate = lead == 0xED && second >= 0xA0;
  const bool beyond = lead == 0xF4 && second >= 0x90;
  return overlong || surrogate || beyond ? 0 : length;
}

std::string cut(std::string_view text) {
  if (text.size() <= 60) return std::string(text);
  std::size_t end = 60;
  while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) --end;
  return std::string(text.substr(0, end)) + "…";
}

}  // namespace nightbus::toml
