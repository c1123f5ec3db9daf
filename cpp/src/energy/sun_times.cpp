// Rise, transit, set. As in the report's appendix A.2 the sun is geocentric and its upper limb
// touches the horizon at h = -0.8333° (34′ refraction, 16′ radius). Instead of the report's
// one-step interpolation the full position is evaluated, so that grazing days are right too:
//
//   transit:  t ← t - H(t)/360.98565° · 1 d          (H wrapped to ±180°, three times)
//   set:      root of h(t) - h0 on [transit, transit + half a day], on which h falls
//   rise:     root on [transit - half a day, transit]

#include "energy/sun_internal.hpp"

namespace nightbus {

using namespace sun_detail;

namespace {

constexpr double horizon_deg = -0.8333;
constexpr double day_s = 86400.0;
constexpr double turn_deg_per_day = 360.98564736629;

class Sky {
 public:
  Sky(const SunSite& site, double delta_t)
      : longitude_deg_(site.longitude_deg),
        sin_lat_(std::sin(site.latitude_deg * rad)),
        cos_lat_(std::cos(site.latitude_deg * rad)),
        delta_t_(delta_t) {}

  double hour_angle(double time_s) const {
    const Geocentric g = geocentric(time_s, delta_t_);
    return wrap_180(g.sidereal_deg + longitude_deg_ - g.right_ascension_deg);
  }

  double altitude(double time_s) const {
    const Geocentric g = geocentric(time_s, delta_t_);
    const double h = (g.sidereal_deg + longitude_deg_ - g.right_ascension_deg) * rad;
    const double delta = g.declination_deg * rad;
    return std::asin(sin_lat_ * std::sin(delta) + cos_lat_ * std::cos(delta) * std::cos(h)) * deg;
  }

  /// Root of altitude - horizon between `low` (below) and `high` (above), by the Illinois rule.
  double crossing(double below_s, double above_s) const {
    double f_below = altitude(below_s) - horizon_deg;
    double f_above = altitude(above_s) - horizon_deg;
    int side = 0;
    for (int k = 0; k < 60 && std::abs(above_s - below_s) > 1e-3; ++k) {
      const double t = (below_s * f_above - above_s * f_below) / (f_above - f_below);
      const double f = altitude(t) - horizon_deg;
      if (std::abs(f) < 1e-9) return t;
      if (f > 0.0) {
        above_s = t;
        f_above = f;
        if (side == 1) f_below *= 0.5;
        side = 1;
      } else {
        below_s = t;
        f_below = f;
        if (side == -1) f_above *= 0.5;
        side = -1;
      }
    }
    return 0.5 * (below_s + above_s);
  }

 private:
  double longitude_deg_, sin_lat_, cos_lat_, delta_t_;
};

}  // namespace

SunTimes sun_times(double local_noon_s, const SunSite& site, std::optional<double> delta_t) {
  const Sky sky(site, delta_t.value_or(delta_t_s(local_noon_s)));
  SunTimes times;
  double t = local_noon_s;
  for (int k = 0; k < 3; ++k) t -= sky.hour_angle(t) / turn_deg_per_day * day_s;
  times.transit_s = t;

  const double before = t - 0.5 * day_s;
  const double after = t + 0.5 * day_s;
  if (sky.altitude(t) <= horizon_deg) {
    times.polar_night = true;
    return times;
  }
  if (sky.altitude(before) < horizon_deg) times.rise_s = sky.crossing(before, t);
  if (sky.altitude(after) < horizon_deg) times.set_s = sky.crossing(after, t);
  times.polar_day = !times.rise_s && !times.set_s;
  return times;
}

}  // namespace nightbus
