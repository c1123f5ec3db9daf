#pragma once
/// The sky of a run: sun, irradiance and air at any instant, day and night.

#include <vector>

#include "nightbus/energy_simulation.hpp"

namespace nightbus::sim_detail {

/// What a step sees of the weather.
struct Weather {
  Irradiance sky;
  double temp_c = 20.0;
  double wind_ms = 1.0;
  double e0_wm2 = solar_constant_wm2;
};

/// Plays a weather series. Where its step is much longer than the simulation's, irradiance follows
/// the sun at constant clearness within each of its steps, so that their means are kept.
class WeatherPlayer {
 public:
  WeatherPlayer(const WeatherSeries& series, const SunTrack& track, double sim_step_s, bool hold);
  Weather at(double time_s, const SunTrack::Direction& sun) const;
  double temp_at(double time_s) const;
  bool dark_at(double time_s) const;  ///< the series has no light then
  /// Middle of the weather step that holds `time_s`, for plane irradiance once per weather step.
  double middle_of(double time_s) const;

 private:
  std::size_t step_of(double time_s) const;

  const WeatherSeries& series_;
  bool follow_sun_ = false;
  std::vector<float> mean_up_;  ///< mean of max(up, 0) within each weather step
};

/// Instants at which the sun's upper limb crosses the horizon (geometric elevation -0.8333°).
class NightClock {
 public:
  NightClock(const SunTrack& track, double from_s, double to_s);
  bool night_at(double time_s) const;
  double next_change(double time_s) const;  ///< strictly after; infinity at the end

 private:
  bool starts_at_night_ = false;
  std::vector<double> changes_;
};

}  // namespace nightbus::sim_detail
