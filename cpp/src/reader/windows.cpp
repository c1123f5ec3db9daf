#include "reader/windows.hpp"

#include <fmt/format.h>

#include <array>

namespace nightbus::reader_detail {

namespace {

constexpr int day_min = 1440;

bool digit(char c) {
  return c >= '0' && c <= '9';
}

/// "6:30" and "06:30"; minutes of the day, up to 24:00.
std::optional<int> clock(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  const auto colon = text.find(':');
  if (colon == std::string_view::npos || colon == 0 || colon > 2 || text.size() != colon + 3)
    return {};
  int hours = 0;
  for (char c : text.substr(0, colon)) {
    if (!digit(c)) return {};
    hours = hours * 10 + (c - '0');
  }
  if (!digit(text[colon + 1]) || !digit(text[colon + 2])) return {};
  const int minutes = (text[colon + 1] - '0') * 10 + (text[colon + 2] - '0');
  const int total = hours * 60 + minutes;
  if (minutes > 59 || total > day_min) return {};
  return total;
}

}  // namespace

WindowRead parse_window(std::string_view text) {
  std::size_t dash = text.find('-');
  std::size_t length = 1;
  for (std::string_view other : {"\u2013", "\u2014"}) {
    if (dash == std::string_view::npos && text.find(other) != std::string_view::npos) {
      dash = text.find(other);
      length = other.size();
    }
  }
  if (dash == std::string_view::npos) return {{}, "put a dash between begin and end"};
  const auto begin = clock(text.substr(0, dash));
  const auto end = clock(text.substr(dash + length));
  if (!begin || !end) return {{}, "hours and minutes of a 24-hour clock, from 00:00 to 24:00"};
  if (*begin == *end) return {{}, "leave the schedule out for the whole day"};
  if (*begin == day_min) return {{}, "a window cannot begin at 24:00; write 00:00"};
  return {TimeWindow{*begin, *end > *begin ? *end : *end + day_min}, {}};
}

std::optional<std::pair<std::size_t, std::size_t>> overlapping(
    const std::vector<TimeWindow>& windows) {
  // A minute of the day belongs to at most one window; 0 is free.
  std::array<std::size_t, day_min> owner{};
  for (std::size_t i = 0; i < windows.size(); ++i) {
    for (int minute = windows[i].begin_min; minute < windows[i].end_min; ++minute) {
      auto& mine = owner[static_cast<std::size_t>(minute % day_min)];
      if (mine != 0) return std::pair{mine - 1, i};
      mine = i + 1;
    }
  }
  return {};
}

}  // namespace nightbus::reader_detail
