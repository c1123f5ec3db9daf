#pragma once
/// "06:30-22:00": a window of local time. The end may lie past midnight.

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace nightbus::reader_detail {

struct TimeWindow {
  int begin_min = 0;  ///< 0 … 1439
  int end_min = 0;    ///< above begin; above 1440 when it ends on the next day
};

struct WindowRead {
  std::optional<TimeWindow> value;
  std::string mend;
};

WindowRead parse_window(std::string_view text);

/// Positions of two windows that share a minute.
std::optional<std::pair<std::size_t, std::size_t>> overlapping(
    const std::vector<TimeWindow>& windows);

}  // namespace nightbus::reader_detail
