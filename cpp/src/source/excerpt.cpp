#include "source/excerpt.hpp"

#include <algorithm>
#include <string_view>
#include <vector>

#include "source/characters.hpp"

namespace nightbus::source_detail {

namespace {

constexpr int tab_stop = 4;

/// One character of the line as it will be shown.
struct Glyph {
  std::string text;
  int begin = 0;  ///< first terminal column, from 0
  int end = 0;    ///< one past the last
};

std::vector<Glyph> glyphs_of(std::string_view line) {
  std::vector<Glyph> glyphs;
  int column = 0;
  for (std::size_t at = 0; at < line.size();) {
    const auto character = next_character(line, at);
    Glyph glyph;
    glyph.begin = column;
    if (character.code == '\t') {
      const int width = tab_stop - column % tab_stop;
      glyph.text.assign(static_cast<std::size_t>(width), ' ');
      column += width;
    } else {
      glyph.text = printable(line.substr(at, character.length));
      const bool changed = glyph.text != line.substr(at, character.length);
      column += changed && character.valid ? static_cast<int>(glyph.text.size())
                                           : columns_of(character.code);
    }
    glyph.end = column;
    glyphs.push_back(std::move(glyph));
    at += character.length;
  }
  return glyphs;
}

/// Terminal column of a text column counted from 1; places past the end stand behind the line.
int column_at(const std::vector<Glyph>& glyphs, std::uint32_t column) {
  const auto index = static_cast<std::size_t>(column > 0 ? column - 1 : 0);
  if (index < glyphs.size()) return glyphs[index].begin;
  return glyphs.empty() ? 0 : glyphs.back().end;
}

}  // namespace

Excerpt excerpt(const Span& span, int width) {
  if (!span.known()) return {};
  const auto glyphs = glyphs_of(span.source->line(span.line));
  const int total = glyphs.empty() ? 0 : glyphs.back().end;
  const int from = column_at(glyphs, span.column);
  int to = span.end_line > span.line ? total : column_at(glyphs, span.end_column);
  to = std::max(to, from + 1);

  int left = 0;
  int right = total;
  if (total > width) {
    const int middle = from + std::min(to - from, width / 2) / 2;
    left = std::clamp(middle - width / 2, 0, total - width);
    right = left + width;
  }
  const bool cut_left = left > 0;
  const bool cut_right = right < total;
  const int first = left + (cut_left ? 1 : 0);
  const int last = right - (cut_right ? 1 : 0);

  Excerpt shown;
  int column = left;
  if (cut_left) {
    shown.line += "…";
    ++column;
  }
  for (const auto& glyph : glyphs) {
    if (glyph.end <= first && !(glyph.begin == glyph.end && glyph.begin >= first)) continue;
    if (glyph.begin < first || glyph.end > last) {  // a wide character or a tab across the edge
      const int begin = std::max(glyph.begin, first);
      const int end = std::min(glyph.end, last);
      if (end > begin) shown.line.append(static_cast<std::size_t>(end - begin), ' ');
      continue;
    }
    shown.line += glyph.text;
  }
  if (cut_right) shown.line += "…";
  const int caret_from = std::clamp(from, column, std::max(column, right));
  const int caret_to = std::clamp(to, caret_from + 1, std::max(caret_from + 1, last));
  shown.caret.assign(static_cast<std::size_t>(caret_from - left), ' ');
  shown.caret.append(static_cast<std::size_t>(caret_to - caret_from), '^');
  return shown;
}

}  // namespace nightbus::source_detail
