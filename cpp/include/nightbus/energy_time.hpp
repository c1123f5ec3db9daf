#pragma once
/// Time as the simulation sees it: UTC seconds, a local clock without time zones, draws that
/// change.

#include <cstdint>
#include <optional>
#include <random>
#include <string>
#include <variant>
#include <vector>

namespace nightbus {

/// UTC offset that holds from `utc_s` on.
struct ClockChange {
  double utc_s = 0.0;     ///< from then on
  double offset_s = 0.0;  ///< local time less UTC
};

/// A zone's offsets over the simulated span, made elsewhere (Python's zoneinfo) and rising in time;
/// the first also holds before its own instant. Empty: UTC.
struct LocalClock {
  std::vector<ClockChange> changes{};  ///< ascending; empty: UTC

  double offset_s(double utc_s) const;
  double local_s(double utc_s) const { return utc_s + offset_s(utc_s); }
  /// Local second of day, 0…86400, as a wall clock shows it.
  double second_of_day(double utc_s) const;
  int weekday(double utc_s) const;           ///< 0 Monday … 6 Sunday, local
  long long day_number(double utc_s) const;  ///< local days since 1970-01-01
  /// First instant at or after `utc_s` at which the wall clock reads `second_of_day`; a time
  /// skipped in spring is reached at the moment of the skip, a time repeated in autumn at its first
  /// appearance and again at its second.
  double next(double utc_s, double second_of_day) const;
  /// UTC of local noon of the day that holds `utc_s`.
  double noon_of(double utc_s) const;
};

/// A window of the wall clock; `end_s <= start_s` runs past midnight (equal: the whole day). Bit 0
/// of `weekdays` is Monday; a window belongs to the day on which it starts.
struct DayWindow {
  double start_s = 0.0, end_s = 86400.0;  ///< local seconds of the day
  std::uint8_t weekdays = 0x7f;           ///< one bit for each, Monday lowest
  bool holds(const LocalClock& clock, double utc_s) const;
  double next_edge(const LocalClock& clock, double utc_s) const;  ///< strictly after `utc_s`
};

// ---- Draws: watts (or amps, or siemens·V²) of one load over time
// -----------------------------------

struct SteadyDraw {
  double power_w = 0.0;
};
/// `on_w` inside any window, `off_w` outside; no windows: always on.
struct WindowDraw {
  std::vector<DayWindow> windows{};
  double on_w = 0.0, off_w = 0.0;  ///< inside and outside of the windows
};
/// On for `on_s` of each `period_s`; within windows when there are any.
struct DutyDraw {
  double period_s = 600.0, on_s = 300.0, phase_s = 0.0;  ///< on for on_s in each period
  double on_w = 0.0, off_w = 0.0;                        ///< in either part
  std::vector<DayWindow> windows{};                      ///< empty: at any hour
};
/// Infra-red lamps of cameras: more between sunset and sunrise (geometric sun below -0.8333°).
struct DayNightDraw {
  double day_w = 0.0, night_w = 0.0;  ///< while the sun is up and down
  std::vector<DayWindow> windows{};   ///< when not empty: `off_w` outside them
  double off_w = 0.0;
};
/// The power of a fan of the thermal model, at the step it runs.
struct FanDraw {
  int space = 0, fan = 0;  ///< which compartment, and which of its fans
};
/// A heater: on below, off above, by a space, the outside air, or a bank.
struct HeaterDraw {
  enum class Sensor { space, outside, bank };
  Sensor sensor = Sensor::outside;  ///< what its thermostat feels
  int index = 0;                    ///< of the compartment or bank
  double on_below_c = 3.0, off_above_c = 5.0;
  double on_w = 0.0, off_w = 0.0;
};
/// Measured watts, piecewise constant from each stamp to the next; gaps are already dealt with.
struct TraceDraw {
  double start_s = 0.0, step_s = 60.0;  ///< UTC of the first value
  std::vector<double> power_w{};        ///< each holds for one step
  bool repeats = false;                 ///< from the start again when it is over
  double outside_w = 0.0;               ///< before and after, when it does not repeat
};
/// Random bursts (Poisson starts, exponential lengths), the same for the same seed.
struct BurstDraw {
  double idle_w = 0.0, burst_w = 0.0;
  double mean_gap_s = 3600.0, mean_length_s = 60.0;  ///< of exponential lengths
  std::uint64_t seed = 1;                            ///< the same seed gives the same bursts
};
using Draw = std::variant<SteadyDraw, WindowDraw, DutyDraw, DayNightDraw, FanDraw, HeaterDraw,
                          TraceDraw, BurstDraw>;

/// Mean watts of a draw over 24 h when its conditions (night share, fan step) are as given: for
/// lists of demand that need no simulation.
double mean_draw_w(const Draw& draw, double night_share, double fan_w = 0.0);

/// What was done about the gaps of a measured trace.
struct GapReport {
  std::size_t gaps = 0;  ///< in the measured samples
  double missing_s = 0.0, longest_s = 0.0;
};
/// Stamps (rising, s) and watts → an even trace; a gap longer than `longest_fill_s` is filled with
/// the mean of the same minute of other days, shorter ones with the value before; both are
/// reported.
struct TraceResult {
  TraceDraw draw;
  GapReport gaps;
};
TraceResult even_trace(const std::vector<double>& stamp_s, const std::vector<double>& power_w,
                       double step_s, double longest_fill_s);

}  // namespace nightbus
