#pragma once
/// Shared by the files of the sun: angles and the geocentric part of the algorithm.

#include <cmath>
#include <numbers>

#include "nightbus/energy_sun.hpp"

namespace nightbus::sun_detail {

inline constexpr double rad = std::numbers::pi / 180.0;
inline constexpr double deg = 180.0 / std::numbers::pi;

inline double wrap_360(double angle) {
  const double r = std::fmod(angle, 360.0);
  return r < 0.0 ? r + 360.0 : r;
}

inline double wrap_180(double angle) {
  const double r = wrap_360(angle);
  return r > 180.0 ? r - 360.0 : r;
}

inline double julian_day(double time_s) {
  return time_s / 86400.0 + 2440587.5;
}

/// Mean sidereal time at Greenwich, degree, not wrapped: equation 28 of the report.
inline double mean_sidereal_deg(double jd) {
  const double days = jd - 2451545.0;
  const double jc = days / 36525.0;
  return 280.46061837 + 360.98564736629 * days + jc * jc * (0.000387933 - jc / 38710000.0);
}

/// Mean longitude of the sun, degree, not wrapped: equation A2, by Julian ephemeris millennium.
double mean_longitude_deg(double jme);

struct Geocentric {
  double jd, jde, jme;
  double longitude_deg, latitude_deg, distance_au;  ///< heliocentric earth
  double nutation_longitude_deg, nutation_obliquity_deg, obliquity_deg, aberration_deg;
  double apparent_longitude_deg, sidereal_deg, right_ascension_deg, declination_deg;
};
Geocentric geocentric(double time_s, double delta_t);

/// Distance of the observer from the earth's axis (x) and equator (y), in earth radii.
struct ObserverRadius {
  double x, y;
};
ObserverRadius observer_radius(double latitude_deg, double altitude_m);

/// sin of the equatorial horizontal parallax.
inline double sin_parallax(double distance_au) {
  return std::sin(8.794 / (3600.0 * distance_au) * rad);
}

double equation_of_time_min(double mean_longitude, double right_ascension, double equinox_deg);
double site_pressure_pa(const SunSite& site);

}  // namespace nightbus::sun_detail
