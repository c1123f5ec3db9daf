// The wall clock from a table of UTC offsets.

#include <algorithm>
#include <cmath>
#include <limits>

#include "nightbus/energy_time.hpp"

namespace nightbus {

namespace {
constexpr double day_s = 86400.0;
constexpr double never = std::numeric_limits<double>::infinity();

std::size_t segment_of(const LocalClock& clock, double utc_s) {
  const auto after =
      std::upper_bound(clock.changes.begin(), clock.changes.end(), utc_s,
                       [](double t, const ClockChange& change) { return t < change.utc_s; });
  const auto k = after - clock.changes.begin();
  return k > 0 ? static_cast<std::size_t>(k - 1) : 0;
}

/// First t >= from with (t + offset) mod one day = second.
double next_in_offset(double from, double offset_s, double second) {
  const double local = from + offset_s;
  double t = std::floor(local / day_s) * day_s + second;
  if (t < local) t += day_s;
  return t - offset_s;
}

int weekday_of(long long day) {
  const long long w = (day + 3) % 7;  // 1 January 1970 was a Thursday
  return static_cast<int>(w < 0 ? w + 7 : w);
}
}  // namespace

double LocalClock::offset_s(double utc_s) const {
  return changes.empty() ? 0.0 : changes[segment_of(*this, utc_s)].offset_s;
}

double LocalClock::second_of_day(double utc_s) const {
  const double local = local_s(utc_s);
  return local - std::floor(local / day_s) * day_s;
}

long long LocalClock::day_number(double utc_s) const {
  return static_cast<long long>(std::floor(local_s(utc_s) / day_s));
}

int LocalClock::weekday(double utc_s) const {
  return weekday_of(day_number(utc_s));
}

double LocalClock::next(double utc_s, double second) const {
  if (changes.empty()) return next_in_offset(utc_s, 0.0, second);
  for (std::size_t k = segment_of(*this, utc_s); k < changes.size(); ++k) {
    const double from = k == 0 ? utc_s : std::max(utc_s, changes[k].utc_s);
    // The clock jumped forward at the start of this segment: what it skipped is reached right
    // there.
    if (k > 0 && from == changes[k].utc_s && changes[k].offset_s > changes[k - 1].offset_s) {
      const double skipped =
          next_in_offset(from, changes[k - 1].offset_s, second) + changes[k - 1].offset_s;
      if (skipped < from + changes[k].offset_s) return from;
    }
    const double until = k + 1 < changes.size() ? changes[k + 1].utc_s : never;
    const double t = next_in_offset(from, changes[k].offset_s, second);
    if (t < until) return t;
  }
  return never;
}

double LocalClock::noon_of(double utc_s) const {
  const double local_noon = static_cast<double>(day_number(utc_s)) * day_s + 0.5 * day_s;
  const double guess = local_noon - offset_s(utc_s);
  return local_noon - offset_s(guess);
}

bool DayWindow::holds(const LocalClock& clock, double utc_s) const {
  const double second = clock.second_of_day(utc_s);
  const long long day = clock.day_number(utc_s);
  const auto on = [&](long long d) { return ((weekdays >> weekday_of(d)) & 1) != 0; };
  if (end_s > start_s) return second >= start_s && second < end_s && on(day);
  return (second >= start_s && on(day)) || (second < end_s && on(day - 1));
}

double DayWindow::next_edge(const LocalClock& clock, double utc_s) const {
  const double after = utc_s + 1e-6;
  double edge = std::min(clock.next(after, std::fmod(start_s, day_s)),
                         clock.next(after, std::fmod(end_s, day_s)));
  // Weekday masks change at midnight, and any window may change where the clock is put.
  if (weekdays != 0x7f) edge = std::min(edge, clock.next(after, 0.0));
  for (const ClockChange& change : clock.changes) {
    if (change.utc_s >= after) {
      edge = std::min(edge, change.utc_s);
      break;
    }
  }
  return edge;
}

}  // namespace nightbus
