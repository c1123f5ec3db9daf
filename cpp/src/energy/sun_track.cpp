// The cheap sun. Daily samples of the apparent geocentric unit vector u = (cos δ cos α, cos δ sin
// α, sin δ), the distance and the equation of the equinoxes q = Δψ cos ε are interpolated by the
// cubic through the four nearest. With θ = mean sidereal time + q + longitude the vector in the
// observer's meridian frame is
//
//   A =  ux cos θ + uy sin θ - x sin ξ     towards the meridian, in the equator's plane
//   W = -ux sin θ + uy cos θ               (east)
//   C =  uz - y sin ξ                      towards the pole
//   up = A cos φ + C sin φ,  north = C cos φ - A sin φ,  east = W
//
// which is the report's parallax in vector form. Error of the cubic: 3/128·h⁴·f⁗, for the yearly
// motion (h = 0.0172 rad) 2e-9 rad, for the fastest nutation term below 1e-6°.

#include <algorithm>

#include "energy/sun_internal.hpp"

namespace nightbus {

using namespace sun_detail;

namespace {
constexpr double day_s = 86400.0;
}

SunTrack::SunTrack(const SunSite& site, double from_s, double to_s, std::optional<double> delta_t)
    : site_(site), pressure_pa_(site_pressure_pa(site)) {
  const double phi = site.latitude_deg * rad;
  sin_lat_ = std::sin(phi);
  cos_lat_ = std::cos(phi);
  const ObserverRadius r = observer_radius(site.latitude_deg, site.altitude_m);
  parallax_x_ = r.x;
  parallax_y_ = r.y;
  // One sample before and two after, so that the cubic is never one-sided.
  start_s_ = (std::floor(from_s / day_s) - 1.0) * day_s;
  end_s_ = to_s;
  delta_t_s_ = delta_t.value_or(delta_t_s(0.5 * (from_s + to_s)));
  const auto days = static_cast<std::size_t>(std::max(0.0, std::ceil((to_s - start_s_) / day_s)));
  knots_.reserve(days + 3);
  for (std::size_t k = 0; k < days + 3; ++k) {
    const Geocentric g = geocentric(start_s_ + static_cast<double>(k) * day_s, delta_t_s_);
    const double alpha = g.right_ascension_deg * rad;
    const double delta = g.declination_deg * rad;
    knots_.push_back({std::cos(delta) * std::cos(alpha), std::cos(delta) * std::sin(alpha),
                      std::sin(delta), g.distance_au,
                      g.nutation_longitude_deg * std::cos(g.obliquity_deg * rad)});
  }
}

SunTrack::Knot SunTrack::knot_at(double time_s) const {
  const double place = (time_s - start_s_) / day_s;
  const double whole = std::clamp(std::floor(place), 1.0, static_cast<double>(knots_.size()) - 3.0);
  const auto k = static_cast<std::size_t>(whole);
  const double t = place - whole;  // 0…1 between knots k and k+1
  const double w0 = -t * (t - 1.0) * (t - 2.0) / 6.0;
  const double w1 = (t + 1.0) * (t - 1.0) * (t - 2.0) / 2.0;
  const double w2 = -(t + 1.0) * t * (t - 2.0) / 2.0;
  const double w3 = (t + 1.0) * t * (t - 1.0) / 6.0;
  const Knot& a = knots_[k - 1];
  const Knot& b = knots_[k];
  const Knot& c = knots_[k + 1];
  const Knot& d = knots_[k + 2];
  const auto mix = [&](double Knot::*m) { return w0 * a.*m + w1 * b.*m + w2 * c.*m + w3 * d.*m; };
  return {mix(&Knot::x), mix(&Knot::y), mix(&Knot::z), mix(&Knot::distance_au),
          mix(&Knot::equinox_deg)};
}

SunTrack::Direction SunTrack::direction(double time_s) const {
  const Knot g = knot_at(time_s);
  const double theta =
      std::fmod(mean_sidereal_deg(julian_day(time_s)) + g.equinox_deg + site_.longitude_deg,
                360.0) *
      rad;
  const double cos_theta = std::cos(theta);
  const double sin_theta = std::sin(theta);
  const double sin_xi = 8.794 / 3600.0 * rad / g.distance_au;
  const double a = g.x * cos_theta + g.y * sin_theta - parallax_x_ * sin_xi;
  const double east = g.y * cos_theta - g.x * sin_theta;
  const double c = g.z - parallax_y_ * sin_xi;
  const double scale = 1.0 / std::sqrt(a * a + east * east + c * c);
  return {east * scale, (c * cos_lat_ - a * sin_lat_) * scale,
          (a * cos_lat_ + c * sin_lat_) * scale, g.distance_au};
}

SunPosition SunTrack::at(double time_s) const {
  const Knot g = knot_at(time_s);
  const Direction d = direction(time_s);
  SunPosition p;
  p.zenith_deg = std::atan2(std::hypot(d.east, d.north), d.up) * deg;
  p.apparent_zenith_deg =
      p.zenith_deg - nightbus::refraction_deg(90.0 - p.zenith_deg, pressure_pa_, site_.temp_c);
  p.azimuth_deg = wrap_360(std::atan2(d.east, d.north) * deg);
  p.distance_au = d.distance_au;
  const double alpha = std::atan2(g.y, g.x) * deg;
  const double jme = (julian_day(time_s) + delta_t_s_ / day_s - 2451545.0) / 365250.0;
  p.equation_of_time_min =
      sun_detail::equation_of_time_min(mean_longitude_deg(jme), alpha, g.equinox_deg);
  p.declination_deg = std::atan2(g.z, std::hypot(g.x, g.y)) * deg;
  // Back to the equator's frame for the topocentric hour angle.
  const double a = d.up * cos_lat_ - d.north * sin_lat_;
  p.hour_angle_deg = std::atan2(-d.east, a) * deg;
  return p;
}

}  // namespace nightbus
