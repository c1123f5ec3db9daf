// Wall clocks, windows and measured traces.

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "nightbus/energy_sun.hpp"
#include "nightbus/energy_time.hpp"
#include "nightbus/source.hpp"

using namespace nightbus;

namespace {

constexpr double hour = 3600.0;

/// Central Europe 2026: summer time from 29 March 01:00 UTC to 25 October 01:00 UTC.
LocalClock central_europe() {
  return {{{utc_seconds(2025, 10, 26, hour), hour},
           {utc_seconds(2026, 3, 29, hour), 2 * hour},
           {utc_seconds(2026, 10, 25, hour), hour}}};
}

/// Lord Howe Island moves by half an hour; southern summer.
LocalClock lord_howe() {
  return {{{utc_seconds(2025, 10, 4, 15.5 * hour), 11 * hour},
           {utc_seconds(2026, 4, 4, 15 * hour), 10.5 * hour},
           {utc_seconds(2026, 10, 3, 15.5 * hour), 11 * hour}}};
}

/// Seconds inside a window between two instants, walking its edges.
double inside(const DayWindow& window, const LocalClock& clock, double from, double to) {
  double sum = 0.0;
  for (double t = from; t < to;) {
    const double edge = std::min(window.next_edge(clock, t), to);
    if (window.holds(clock, 0.5 * (t + edge))) sum += edge - t;
    t = edge;
  }
  return sum;
}

}  // namespace

TEST_CASE("a wall-clock window keeps its local hours across both changes of the clock") {
  const LocalClock clock = central_europe();
  const DayWindow evening{.start_s = 18 * hour, .end_s = 22 * hour};
  for (const auto& [month, day] :
       {std::pair{3, 28}, {3, 29}, {3, 30}, {10, 24}, {10, 25}, {10, 26}}) {
    const double noon = clock.noon_of(utc_seconds(2026, month, day, 11 * hour));
    CHECK(clock.second_of_day(noon) == 12 * hour);
    const double start = clock.next(noon, 18 * hour);
    CHECK(clock.second_of_day(start) == 18 * hour);
    CHECK(start - noon == 6 * hour);
    CHECK(evening.holds(clock, start));
    CHECK_FALSE(evening.holds(clock, start - 1.0));
    CHECK(inside(evening, clock, noon - 12 * hour, noon + 12 * hour) == doctest::Approx(4 * hour));
  }
}

TEST_CASE("the night of the spring change is an hour shorter, that of autumn an hour longer") {
  const LocalClock clock = central_europe();
  const DayWindow night{.start_s = 22 * hour, .end_s = 6 * hour};
  const auto length = [&](int month, int day) {
    const double noon = clock.noon_of(utc_seconds(2026, month, day, 11 * hour));
    return inside(night, clock, noon, noon + 24 * hour);
  };
  CHECK(length(3, 27) == doctest::Approx(8 * hour));
  CHECK(length(3, 28) == doctest::Approx(7 * hour));
  CHECK(length(10, 24) == doctest::Approx(9 * hour));
}

TEST_CASE("a time that spring skips is reached at the skip; one that autumn repeats comes twice") {
  const LocalClock clock = central_europe();
  const double skip = utc_seconds(2026, 3, 29, hour);
  CHECK(clock.next(skip - hour, 2.5 * hour) == skip);
  CHECK(clock.next(skip + 1.0, 2.5 * hour) == skip + 24 * hour - 0.5 * hour);
  const double back = utc_seconds(2026, 10, 25, hour);
  const double first = clock.next(back - 2 * hour, 2.5 * hour);
  CHECK(first == back - 0.5 * hour);
  CHECK(clock.next(first + 1.0, 2.5 * hour) == back + 0.5 * hour);
  // A window inside the repeated hour runs twice.
  const DayWindow window{.start_s = 2.25 * hour, .end_s = 2.75 * hour};
  CHECK(inside(window, clock, back - 3 * hour, back + 3 * hour) == doctest::Approx(hour));
}

TEST_CASE("half-hour changes and the southern summer work the same way") {
  const LocalClock clock = lord_howe();
  const DayWindow morning{.start_s = 6 * hour, .end_s = 8 * hour};
  for (int day = 1; day < 9; ++day) {
    const double noon = clock.noon_of(utc_seconds(2026, 4, day));
    CHECK(clock.second_of_day(noon) == 12 * hour);
    CHECK(inside(morning, clock, noon - 12 * hour, noon + 12 * hour) == doctest::Approx(2 * hour));
  }
}

TEST_CASE("weekdays belong to the day on which a window starts") {
  const LocalClock utc;
  // 2026-01-03 is a Saturday.
  const double saturday = utc_seconds(2026, 1, 3);
  CHECK(utc.weekday(saturday) == 5);
  const DayWindow night{.start_s = 22 * hour, .end_s = 4 * hour, .weekdays = 1u << 5};
  CHECK(night.holds(utc, saturday + 23 * hour));
  CHECK(night.holds(utc, saturday + 26 * hour));  // Sunday 02:00, still Saturday's night
  CHECK_FALSE(night.holds(utc, saturday + 2 * hour));
  CHECK(inside(night, utc, saturday - 7 * 86400.0, saturday + 7 * 86400.0) ==
        doctest::Approx(12 * hour));
}

TEST_CASE("equal ends mean the whole day") {
  const LocalClock utc;
  const DayWindow all{.start_s = 6 * hour, .end_s = 6 * hour};
  CHECK(inside(all, utc, 0.0, 3 * 86400.0) == doctest::Approx(3 * 86400.0));
  CHECK(DayWindow{}.holds(utc, 12345.0));
}

TEST_CASE("means of draws") {
  CHECK(mean_draw_w(SteadyDraw{5.0}, 0.5) == 5.0);
  CHECK(mean_draw_w(WindowDraw{{{6 * hour, 12 * hour}}, 8.0, 0.0}, 0.5) == doctest::Approx(2.0));
  // Overlapping windows count once.
  CHECK(mean_draw_w(WindowDraw{{{6 * hour, 12 * hour}, {9 * hour, 15 * hour}}, 8.0, 0.0}, 0.5) ==
        doctest::Approx(3.0));
  CHECK(mean_draw_w(DutyDraw{600, 150, 0, 10, 2, {}}, 0.5) == doctest::Approx(4.0));
  CHECK(mean_draw_w(DayNightDraw{4, 8, {}, 0}, 0.75) == doctest::Approx(7.0));
  CHECK(mean_draw_w(FanDraw{}, 0.5, 3.5) == 3.5);
  CHECK(mean_draw_w(BurstDraw{1, 11, 900, 100, 1}, 0.5) == doctest::Approx(2.0));
}

TEST_CASE("a trace with short gaps holds its value, with long ones it is filled and says so") {
  std::vector<double> stamps;
  std::vector<double> watts;
  for (int minute = 0; minute < 3 * 1440; ++minute) {
    const bool short_gap = minute >= 100 && minute < 103;
    const bool long_gap = minute >= 1440 + 600 && minute < 1440 + 720;
    if (short_gap || long_gap) continue;
    stamps.push_back(minute * 60.0);
    watts.push_back(10.0 + (minute % 1440) / 100.0);
  }
  watts[5] = std::numeric_limits<double>::quiet_NaN();
  const TraceResult r = even_trace(stamps, watts, 60.0, 600.0);
  CHECK(r.draw.power_w.size() == 3 * 1440);
  CHECK(r.gaps.gaps == 1);
  CHECK(r.gaps.missing_s == doctest::Approx(120 * 60.0));
  CHECK(r.gaps.longest_s == doctest::Approx(121 * 60.0));
  CHECK(r.draw.power_w[5] == r.draw.power_w[4]);
  CHECK(r.draw.power_w[102] == r.draw.power_w[99]);
  CHECK(r.draw.power_w[1440 + 660] == doctest::Approx(10.0 + 6.6));
}

TEST_CASE("bad traces get a clear message") {
  const auto message = [](const std::vector<double>& t,
                          const std::vector<double>& w) -> std::string {
    try {
      even_trace(t, w, 60.0, 600.0);
    } catch (const Error& e) {
      return e.what();
    }
    return "";
  };
  CHECK(message({0, 60, 60}, {1, 1, 1}).find("row 3 of the trace repeats") != std::string::npos);
  CHECK(message({0, 60, 30}, {1, 1, 1}).find("goes back in time") != std::string::npos);
  CHECK(message({0, 60}, {1, -1}).find("negative watts") != std::string::npos);
  CHECK(message({0, 60}, {1}).find("as many watts") != std::string::npos);
  const double nan = std::nan("");
  CHECK(message({0, 60}, {nan, nan}).find("no number at all") != std::string::npos);
}
