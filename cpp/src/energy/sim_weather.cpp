// Weather inside a run.
//
// Within one step of the weather file (an hour, say) the clearness is taken as constant: with
// u(t) = max(sin of the sun's elevation, 0) and <u> its mean over the file's step
//
//   DHI(t) = DHI · u(t)/<u>,   DNI(t) = (GHI - DHI)/<u>,   GHI(t) = DHI(t) + DNI(t) u(t)
//
// so that the means of GHI and DHI over the step are those of the file. Where the file's own step
// is not much longer than ours, its values are held. Temperature and wind run straight between the
// middles of the file's steps.

#include "energy/sim_weather.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace nightbus::sim_detail {

namespace {
const double sin_horizon = std::sin(-0.8333 * 3.14159265358979323846 / 180.0);
}

WeatherPlayer::WeatherPlayer(const WeatherSeries& series, const SunTrack& track, double sim_step_s,
                             bool hold)
    : series_(series) {
  follow_sun_ = !hold && !series.ghi_wm2.empty() && series.step_s > 2.0 * sim_step_s;
  if (!follow_sun_) return;
  const auto samples = static_cast<std::size_t>(std::clamp(series.step_s / sim_step_s, 4.0, 60.0));
  mean_up_.resize(series.size());
  for (std::size_t k = 0; k < mean_up_.size(); ++k) {
    if (!(series.ghi_wm2[k] > 0.0)) continue;
    double sum = 0.0;
    for (std::size_t j = 0; j < samples; ++j) {
      const double share = (static_cast<double>(j) + 0.5) / static_cast<double>(samples);
      const double t = series.start_s + (static_cast<double>(k) + share) * series.step_s;
      sum += std::max(track.direction(t).up, 0.0);
    }
    mean_up_[k] = static_cast<float>(sum / static_cast<double>(samples));
  }
}

std::size_t WeatherPlayer::step_of(double time_s) const {
  const double place = std::floor((time_s - series_.start_s) / series_.step_s);
  const double last = static_cast<double>(series_.size()) - 1.0;
  return static_cast<std::size_t>(std::clamp(place, 0.0, last));
}

double WeatherPlayer::middle_of(double time_s) const {
  return series_.start_s + (static_cast<double>(step_of(time_s)) + 0.5) * series_.step_s;
}

namespace {
double between_middles(const std::vector<double>& values, double place) {
  const double p = std::clamp(place - 0.5, 0.0, static_cast<double>(values.size()) - 1.0);
  const auto k = std::min(static_cast<std::size_t>(p), values.size() - 1);
  const std::size_t next = std::min(k + 1, values.size() - 1);
  return values[k] + (p - static_cast<double>(k)) * (values[next] - values[k]);
}
}  // namespace

double WeatherPlayer::temp_at(double time_s) const {
  return between_middles(series_.temp_c, (time_s - series_.start_s) / series_.step_s);
}

bool WeatherPlayer::dark_at(double time_s) const {
  return series_.ghi_wm2.empty() || !(series_.ghi_wm2[step_of(time_s)] > 0.0);
}

Weather WeatherPlayer::at(double time_s, const SunTrack::Direction& sun) const {
  Weather w;
  const double place = (time_s - series_.start_s) / series_.step_s;
  w.temp_c = between_middles(series_.temp_c, place);
  if (!series_.wind_ms.empty()) w.wind_ms = between_middles(series_.wind_ms, place);
  if (series_.ghi_wm2.empty()) return w;
  const std::size_t k = step_of(time_s);
  const double ghi = series_.ghi_wm2[k];
  if (!(ghi > 0.0)) return w;
  w.e0_wm2 = solar_constant_wm2 / (sun.distance_au * sun.distance_au);
  const double up = std::max(sun.up, 0.0);
  const double mean = follow_sun_ ? static_cast<double>(mean_up_[k]) : 0.0;
  if (mean <= 0.0) {  // held, or light from a sun that never rose within the step
    w.sky = {ghi, series_.dni_wm2[k], series_.dhi_wm2[k]};
    return w;
  }
  const double dhi = std::clamp(series_.dhi_wm2[k], 0.0, ghi);
  w.sky.dhi_wm2 = dhi * up / mean;
  w.sky.dni_wm2 = up > 0.0 ? std::min((ghi - dhi) / mean, w.e0_wm2) : 0.0;
  w.sky.ghi_wm2 = w.sky.dhi_wm2 + w.sky.dni_wm2 * up;
  return w;
}

NightClock::NightClock(const SunTrack& track, double from_s, double to_s) {
  const auto above = [&](double t) { return track.direction(t).up - sin_horizon; };
  double t = from_s;
  double f = above(t);
  starts_at_night_ = f < 0.0;
  while (t < to_s) {
    const double next = t + 600.0;
    const double g = above(next);
    if ((f < 0.0) != (g < 0.0)) {
      double low = t;
      double high = next;
      while (high - low > 1e-3) {
        const double middle = 0.5 * (low + high);
        ((above(middle) < 0.0) == (f < 0.0) ? low : high) = middle;
      }
      changes_.push_back(high);
    }
    t = next;
    f = g;
  }
}

bool NightClock::night_at(double time_s) const {
  const auto passed = std::upper_bound(changes_.begin(), changes_.end(), time_s) - changes_.begin();
  return (passed % 2 == 0) == starts_at_night_;
}

double NightClock::next_change(double time_s) const {
  const auto next = std::upper_bound(changes_.begin(), changes_.end(), time_s);
  return next == changes_.end() ? std::numeric_limits<double>::infinity() : *next;
}

}  // namespace nightbus::sim_detail
