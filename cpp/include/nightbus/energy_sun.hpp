#pragma once
/// Where the sun stands. Angles in degrees, azimuth from north clockwise, longitude east positive,
/// time as UTC seconds since 1970-01-01T00:00:00Z (POSIX, no leap seconds).

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace nightbus {

/// A place for the sun. Pressure and temperature only bend the light (refraction); pressure is
/// taken from the altitude when it is not given.
struct SunSite {
  double latitude_deg = 0.0;   ///< -90…90, north positive
  double longitude_deg = 0.0;  ///< -180…180, east positive
  double altitude_m = 0.0;
  std::optional<double> pressure_pa{};  ///< empty: that of the altitude
  double temp_c = 12.0;                 ///< yearly mean air temperature
};

/// `elevation` and `zenith` are geometric; the apparent ones include refraction.
struct SunPosition {
  double zenith_deg = 0.0;            ///< from straight up
  double apparent_zenith_deg = 0.0;   ///< with refraction
  double azimuth_deg = 0.0;           ///< from north over east
  double distance_au = 1.0;           ///< to the sun
  double equation_of_time_min = 0.0;  ///< sundial less clock
  double declination_deg = 0.0;       ///< geocentric
  double hour_angle_deg = 0.0;        ///< topocentric, west positive, -180…180
  double elevation_deg() const { return 90.0 - zenith_deg; }
  double apparent_elevation_deg() const { return 90.0 - apparent_zenith_deg; }
};

/// Terrestrial minus universal time in s: polynomials of Espenak & Meeus (NASA/TP-2006-214141),
/// which run some seconds high after 2015; 10 s move the sun by 0.0001°.
double delta_t_s(double time_s);

/// NREL Solar Position Algorithm (Reda & Andreas, NREL/TP-560-34302, rev. 2008), ±0.0003°.
/// `delta_t` in s; not given: delta_t_s(time_s).
SunPosition sun_position(double time_s, const SunSite& site, std::optional<double> delta_t = {});

/// Refraction of the report's equation 42, degree; 0 when the whole disc is below the horizon.
double refraction_deg(double elevation_deg, double pressure_pa, double temp_c,
                      double horizon_refraction_deg = 0.5667);

/// The steps of the algorithm, for checking against the report.
struct SunSteps {
  double julian_day, julian_ephemeris_day, julian_ephemeris_millennium;
  double helio_longitude_deg, helio_latitude_deg, distance_au;
  double nutation_longitude_deg, nutation_obliquity_deg, obliquity_deg, aberration_deg;
  double apparent_longitude_deg, sidereal_deg, right_ascension_deg, declination_deg;
  double hour_angle_deg, topo_right_ascension_deg, topo_declination_deg, topo_hour_angle_deg;
  double elevation_deg, refraction_deg, zenith_deg, azimuth_deg, equation_of_time_min;
};
SunSteps sun_steps(double time_s, const SunSite& site, double delta_t,
                   double horizon_refraction_deg = 0.5667);

/// Rise, transit and set that belong to one local calendar day.
struct SunTimes {
  double transit_s = 0.0;  ///< UTC of true noon
  std::optional<double>
      rise_s;  ///< none in polar day and polar night; on the days between, one may
  std::optional<double> set_s{};  ///< be missing without the other
  bool polar_day = false;         ///< the sun stays above -0.8333° all day
  bool polar_night = false;       ///< it stays below
};

/// `local_noon_s`: UTC seconds of any instant of the wanted local day near its noon (the transit
/// found is the one nearest to it). Upper limb on a sea horizon: altitude -0.8333°.
SunTimes sun_times(double local_noon_s, const SunSite& site, std::optional<double> delta_t = {});

/// A cheap sun for many steps. The slow quantities (right ascension, declination, distance,
/// sidereal time) are sampled with the full algorithm every six hours and interpolated by cubics;
/// only the rotation of the earth is computed at each call. Differs from sun_position by less than
/// 0.0001° (tests prove it). Copyable, thread-safe, covers [from_s, to_s].
class SunTrack {
 public:
  SunTrack(const SunSite& site, double from_s, double to_s, std::optional<double> delta_t = {});
  SunPosition at(double time_s) const;
  const SunSite& site() const { return site_; }
  double from_s() const { return start_s_; }
  double to_s() const { return end_s_; }

  /// What an irradiance loop needs, without inverse trigonometry: unit vector to the sun
  /// (geometric).
  struct Direction {
    double east = 0.0, north = 0.0, up = 0.0;
    double distance_au = 1.0;
  };
  Direction direction(double time_s) const;

 private:
  struct Knot {  ///< apparent geocentric unit vector, distance, equation of the equinoxes
    double x, y, z, distance_au, equinox_deg;
  };
  Knot knot_at(double time_s) const;

  SunSite site_;
  double start_s_ = 0.0, end_s_ = 0.0;
  double sin_lat_ = 0.0, cos_lat_ = 1.0, parallax_x_ = 0.0, parallax_y_ = 0.0, pressure_pa_ = 0.0;
  double delta_t_s_ = 0.0;
  std::vector<Knot> knots_{};
};

/// Vectorised: all spans have the length of `time_s`; an empty output span is skipped.
struct SunColumns {
  std::span<double> zenith_deg, apparent_zenith_deg, azimuth_deg, distance_au, equation_of_time_min;
};
void sun_positions(std::span<const double> time_s, const SunSite& site, const SunColumns& out,
                   std::optional<double> delta_t = {});

// ---- Handbook forms (n = day of the year, 1 January = 1) --------------------------------------

double cooper_declination_deg(double day_of_year);        ///< Cooper 1969
double spencer_declination_deg(double day_of_year);       ///< Spencer 1971
double spencer_equation_of_time_min(double day_of_year);  ///< Spencer 1971
double sunset_hour_angle_deg(double latitude_deg,
                             double declination_deg);  ///< 0 polar night, 180 day
double day_length_h(double latitude_deg, double declination_deg);
/// Solar clock time in h from standard clock time in h.
double solar_time_h(double clock_h, double longitude_deg, double zone_meridian_deg,
                    double equation_of_time_min);
/// Zenith from latitude, declination and hour angle (west positive).
double zenith_deg(double latitude_deg, double declination_deg, double hour_angle_deg);
/// Azimuth from north clockwise, same input.
double azimuth_deg(double latitude_deg, double declination_deg, double hour_angle_deg);
/// Angle between the sun's rays and the normal of a plane (tilt from horizontal, azimuth it faces).
double incidence_deg(double tilt_deg, double plane_azimuth_deg, double zenith, double azimuth);
/// Daily extraterrestrial energy on the horizontal, Wh/m².
double extraterrestrial_day_wh(double latitude_deg, double declination_deg, double e0_wm2);

/// Civil calendar from UTC (or local) seconds.
struct CivilDate {
  int year = 1970, month = 1, day = 1;
  int day_of_year = 1;  ///< from 1
};
CivilDate civil_date(double time_s);
double utc_seconds(int year, int month, int day, double second_of_day = 0.0);

}  // namespace nightbus
