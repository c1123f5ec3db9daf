#include <algorithm>
#include <utility>

#include "nightbus/source.hpp"
#include "source/characters.hpp"

namespace nightbus {

SourceText::SourceText(std::string name, std::string text)
    : name_(std::move(name)), text_(std::move(text)), starts_{0} {
  for (std::size_t i = 0; i < text_.size(); ++i) {
    if (text_[i] == '\n') starts_.push_back(i + 1);
  }
}

std::uint32_t SourceText::line_count() const {
  const bool last_is_empty = starts_.size() > 1 && starts_.back() == text_.size();
  return static_cast<std::uint32_t>(starts_.size() - (last_is_empty ? 1 : 0));
}

std::string_view SourceText::line(std::uint32_t number) const {
  if (number == 0 || number > starts_.size()) return {};
  const auto begin = starts_[number - 1];
  auto end = number < starts_.size() ? starts_[number] - 1 : text_.size();
  if (end > begin && text_[end - 1] == '\r') --end;
  return std::string_view(text_).substr(begin, end - begin);
}

std::size_t SourceText::offset(std::uint32_t line_number, std::uint32_t column) const {
  if (line_number == 0) return 0;
  if (line_number > starts_.size()) return text_.size();
  const auto text = line(line_number);
  std::size_t at = 0;
  for (std::uint32_t i = 1; i < column && at < text.size(); ++i) {
    at += source_detail::next_character(text, at).length;
  }
  return starts_[line_number - 1] + at;
}

std::pair<std::uint32_t, std::uint32_t> SourceText::place(std::size_t byte_offset) const {
  byte_offset = std::min(byte_offset, text_.size());
  const auto after = std::upper_bound(starts_.begin(), starts_.end(), byte_offset);
  const auto number = static_cast<std::uint32_t>(after - starts_.begin());
  const auto text = line(number);
  const auto wanted = byte_offset - starts_[number - 1];
  std::uint32_t column = 1;
  for (std::size_t at = 0; at < text.size() && at < wanted; ++column) {
    at += source_detail::next_character(text, at).length;
  }
  return {number, column};
}

std::string Span::place() const {
  if (!known()) return "(built in code)";
  return source_detail::printable(source->name()) + ":" + std::to_string(line) + ":" +
         std::to_string(column);
}

Span span_of(std::shared_ptr<const SourceText> source, std::size_t begin, std::size_t end) {
  if (!source) return {};
  const auto [line, column] = source->place(begin);
  const auto [end_line, end_column] = source->place(std::max(begin, end));
  return {std::move(source), line, column, end_line, end_column};
}

}  // namespace nightbus
