// From the centre of the earth to the observer (NREL/TP-560-34302, sections 3.11 to 3.15).
//
//   H   = ν + longitude - α                         hour angle, west positive
//   ξ   = 8.794″/R                                   parallax of the sun on the equator's horizon
//   Δα  = atan2(-x sin ξ sin H, cos δ - x sin ξ cos H)
//   δ'  = atan2((sin δ - y sin ξ) cos Δα, cos δ - x sin ξ cos H),  H' = H - Δα
//   e0  = asin(sin φ sin δ' + cos φ cos δ' cos H')
//   Γ   = atan2(sin H', cos H' sin φ - tan δ' cos φ),  azimuth = Γ + 180°
//
// x and y are the observer's distances from the axis and the equator in earth radii.

#include <algorithm>
#include <stdexcept>

#include "energy/sun_internal.hpp"
#include "nightbus/energy_sky.hpp"
#include "nightbus/source.hpp"

namespace nightbus {

using namespace sun_detail;

double sun_detail::site_pressure_pa(const SunSite& site) {
  return site.pressure_pa.value_or(pressure_at_altitude_pa(site.altitude_m));
}

double delta_t_s(double time_s) {
  const CivilDate date = civil_date(time_s);
  const double y = date.year + (date.month - 0.5) / 12.0;
  if (y < 1961.0 || y >= 2150.0) {
    const double c = (y - 1820.0) / 100.0;
    return -20.0 + 32.0 * c * c;
  }
  if (y < 1986.0) {
    const double t = y - 1975.0;
    return 45.45 + t * (1.067 - t * (1.0 / 260.0 + t / 718.0));
  }
  const double t = y - 2000.0;
  if (y < 2005.0) {
    return 63.86 +
           t * (0.3345 + t * (-0.060374 + t * (0.0017275 + t * (0.000651814 + t * 0.00002373599))));
  }
  if (y < 2050.0) return 62.92 + t * (0.32217 + t * 0.005589);
  const double c = (y - 1820.0) / 100.0;
  return -20.0 + 32.0 * c * c - 0.5628 * (2150.0 - y);
}

double refraction_deg(double elevation_deg, double pressure_pa, double temp_c,
                      double horizon_refraction_deg) {
  if (elevation_deg < -(0.26667 + horizon_refraction_deg)) return 0.0;
  const double angle = (elevation_deg + 10.3 / (elevation_deg + 5.11)) * rad;
  return (pressure_pa / 101000.0) * (283.0 / (273.0 + temp_c)) * 1.02 / (60.0 * std::tan(angle));
}

SunSteps sun_steps(double time_s, const SunSite& site, double delta_t,
                   double horizon_refraction_deg) {
  const Geocentric g = geocentric(time_s, delta_t);
  SunSteps s{};
  s.julian_day = g.jd;
  s.julian_ephemeris_day = g.jde;
  s.julian_ephemeris_millennium = g.jme;
  s.helio_longitude_deg = g.longitude_deg;
  s.helio_latitude_deg = g.latitude_deg;
  s.distance_au = g.distance_au;
  s.nutation_longitude_deg = g.nutation_longitude_deg;
  s.nutation_obliquity_deg = g.nutation_obliquity_deg;
  s.obliquity_deg = g.obliquity_deg;
  s.aberration_deg = g.aberration_deg;
  s.apparent_longitude_deg = g.apparent_longitude_deg;
  s.sidereal_deg = g.sidereal_deg;
  s.right_ascension_deg = g.right_ascension_deg;
  s.declination_deg = g.declination_deg;
  s.hour_angle_deg = wrap_360(g.sidereal_deg + site.longitude_deg - g.right_ascension_deg);

  const double phi = site.latitude_deg * rad;
  const double delta = g.declination_deg * rad;
  const double h = s.hour_angle_deg * rad;
  const double sin_xi = sin_parallax(g.distance_au);
  const ObserverRadius r = observer_radius(site.latitude_deg, site.altitude_m);
  const double towards = std::cos(delta) - r.x * sin_xi * std::cos(h);
  const double shift = std::atan2(-r.x * sin_xi * std::sin(h), towards);
  const double delta_topo = std::atan2((std::sin(delta) - r.y * sin_xi) * std::cos(shift), towards);
  const double h_topo = h - shift;
  s.topo_right_ascension_deg = g.right_ascension_deg + shift * deg;
  s.topo_declination_deg = delta_topo * deg;
  s.topo_hour_angle_deg = h_topo * deg;

  const double sine = std::sin(phi) * std::sin(delta_topo) +
                      std::cos(phi) * std::cos(delta_topo) * std::cos(h_topo);
  s.elevation_deg = std::asin(std::clamp(sine, -1.0, 1.0)) * deg;
  s.refraction_deg =
      refraction_deg(s.elevation_deg, site_pressure_pa(site), site.temp_c, horizon_refraction_deg);
  s.zenith_deg = 90.0 - s.elevation_deg - s.refraction_deg;
  const double gamma = std::atan2(
      std::sin(h_topo), std::cos(h_topo) * std::sin(phi) - std::tan(delta_topo) * std::cos(phi));
  s.azimuth_deg = wrap_360(gamma * deg + 180.0);
  s.equation_of_time_min =
      sun_detail::equation_of_time_min(mean_longitude_deg(g.jme), g.right_ascension_deg,
                                       g.nutation_longitude_deg * std::cos(g.obliquity_deg * rad));
  return s;
}

SunPosition sun_position(double time_s, const SunSite& site, std::optional<double> delta_t) {
  const SunSteps s = sun_steps(time_s, site, delta_t.value_or(delta_t_s(time_s)));
  return {.zenith_deg = 90.0 - s.elevation_deg,
          .apparent_zenith_deg = s.zenith_deg,
          .azimuth_deg = s.azimuth_deg,
          .distance_au = s.distance_au,
          .equation_of_time_min = s.equation_of_time_min,
          .declination_deg = s.declination_deg,
          .hour_angle_deg = wrap_180(s.topo_hour_angle_deg)};
}

void sun_positions(std::span<const double> time_s, const SunSite& site, const SunColumns& out,
                   std::optional<double> delta_t) {
  if (time_s.empty()) return;
  for (const auto& column : {out.zenith_deg, out.apparent_zenith_deg, out.azimuth_deg,
                             out.distance_au, out.equation_of_time_min}) {
    if (!column.empty() && column.size() != time_s.size()) {
      throw Error("sun_positions: an output column has another length than the times");
    }
  }
  const auto [first, last] = std::minmax_element(time_s.begin(), time_s.end());
  // The track pays off when it needs fewer samples than there are times.
  const bool dense = (*last - *first) / 86400.0 + 4.0 < static_cast<double>(time_s.size());
  std::optional<SunTrack> track;
  if (dense) track.emplace(site, *first, *last, delta_t);
  for (std::size_t k = 0; k < time_s.size(); ++k) {
    const SunPosition p = track ? track->at(time_s[k]) : sun_position(time_s[k], site, delta_t);
    if (!out.zenith_deg.empty()) out.zenith_deg[k] = p.zenith_deg;
    if (!out.apparent_zenith_deg.empty()) out.apparent_zenith_deg[k] = p.apparent_zenith_deg;
    if (!out.azimuth_deg.empty()) out.azimuth_deg[k] = p.azimuth_deg;
    if (!out.distance_au.empty()) out.distance_au[k] = p.distance_au;
    if (!out.equation_of_time_min.empty()) out.equation_of_time_min[k] = p.equation_of_time_min;
  }
}

}  // namespace nightbus
