#include "reader/line_scan.hpp"

#include <algorithm>

namespace nightbus::reader_detail {

namespace {

bool blank(char c) {
  return c == ' ' || c == '\t' || c == '\r';
}

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
  while (!text.empty() && blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && blank(text.back())) text.remove_suffix(1);
  return text;
}

LineParts scan_line(std::string_view line) {
  LineParts parts;
  std::size_t at = 0;
  while (at < line.size() && blank(line[at])) ++at;
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
  if (parts.key.size() > 1 && parts.key.front() == '"' && parts.key.back() == '"') {
    parts.key = parts.key.substr(1, parts.key.size() - 2);
  }
  const auto from = parts.equals ? *parts.equals + 1 : parts.key_end;
  const auto rest = line.substr(std::min(from, comment), comment - std::min(from, comment));
  const auto value = trimmed(rest);
  parts.value_begin = value.empty() ? std::min(from, line.size())
                                    : static_cast<std::size_t>(value.data() - line.data());
  parts.value_end = parts.value_begin + value.size();
  return parts;
}

std::string heading_name(std::string_view line) {
  auto text = trimmed(line);
  while (!text.empty() && (text.front() == '[' || blank(text.front()))) text.remove_prefix(1);
  const auto end = std::find_if(text.begin(), text.end(), [](char c) {
    return !((c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
             c == '_' || c == '-');
  });
  return std::string(text.begin(), end);
}

std::size_t open_quote(std::string_view line, std::size_t from) {
  for (std::size_t i = from; i < line.size(); ++i) {
    if (line[i] == '#') return std::string_view::npos;
    if (line[i] != '"' && line[i] != '\'') continue;
    const auto close = close_of(line, i);
    if (close == std::string_view::npos) return i;
    i = close;
  }
  return std::string_view::npos;
}

}  // namespace nightbus::reader_detail
