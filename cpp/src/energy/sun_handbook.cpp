// Handbook forms of the sun's geometry: Cooper, Solar Energy 12 (1969) 333; Spencer, Search 2
// (1971) 172; Duffie & Beckman, Solar Engineering of Thermal Processes, chapter 1, with azimuth
// counted from north clockwise instead of from south.

#include <algorithm>
#include <chrono>

#include "energy/sun_internal.hpp"

namespace nightbus {

using namespace sun_detail;

double cooper_declination_deg(double day_of_year) {
  return 23.45 * std::sin(360.0 * (284.0 + day_of_year) / 365.0 * rad);
}

double spencer_declination_deg(double day_of_year) {
  const double b = 2.0 * std::numbers::pi * (day_of_year - 1.0) / 365.0;
  return (0.006918 - 0.399912 * std::cos(b) + 0.070257 * std::sin(b) -
          0.006758 * std::cos(2.0 * b) + 0.000907 * std::sin(2.0 * b) -
          0.002697 * std::cos(3.0 * b) + 0.00148 * std::sin(3.0 * b)) *
         deg;
}

double spencer_equation_of_time_min(double day_of_year) {
  const double b = 2.0 * std::numbers::pi * (day_of_year - 1.0) / 365.0;
  return 720.0 / std::numbers::pi *
         (0.0000075 + 0.001868 * std::cos(b) - 0.032077 * std::sin(b) -
          0.014615 * std::cos(2.0 * b) - 0.040849 * std::sin(2.0 * b));
}

double sunset_hour_angle_deg(double latitude_deg, double declination_deg) {
  const double c = -std::tan(latitude_deg * rad) * std::tan(declination_deg * rad);
  return std::acos(std::clamp(c, -1.0, 1.0)) * deg;
}

double day_length_h(double latitude_deg, double declination_deg) {
  return 2.0 * sunset_hour_angle_deg(latitude_deg, declination_deg) / 15.0;
}

double solar_time_h(double clock_h, double longitude_deg, double zone_meridian_deg,
                    double equation_of_time_min) {
  return clock_h + (4.0 * (longitude_deg - zone_meridian_deg) + equation_of_time_min) / 60.0;
}

double zenith_deg(double latitude_deg, double declination_deg, double hour_angle_deg) {
  const double phi = latitude_deg * rad;
  const double delta = declination_deg * rad;
  const double c = std::sin(phi) * std::sin(delta) +
                   std::cos(phi) * std::cos(delta) * std::cos(hour_angle_deg * rad);
  return std::acos(std::clamp(c, -1.0, 1.0)) * deg;
}

double azimuth_deg(double latitude_deg, double declination_deg, double hour_angle_deg) {
  const double phi = latitude_deg * rad;
  const double delta = declination_deg * rad;
  const double h = hour_angle_deg * rad;
  const double gamma =
      std::atan2(std::sin(h), std::cos(h) * std::sin(phi) - std::tan(delta) * std::cos(phi));
  return wrap_360(gamma * deg + 180.0);
}

double incidence_deg(double tilt_deg, double plane_azimuth_deg, double zenith, double azimuth) {
  const double c = std::cos(tilt_deg * rad) * std::cos(zenith * rad) +
                   std::sin(tilt_deg * rad) * std::sin(zenith * rad) *
                       std::cos((azimuth - plane_azimuth_deg) * rad);
  return std::acos(std::clamp(c, -1.0, 1.0)) * deg;
}

double extraterrestrial_day_wh(double latitude_deg, double declination_deg, double e0_wm2) {
  const double phi = latitude_deg * rad;
  const double delta = declination_deg * rad;
  const double set = sunset_hour_angle_deg(latitude_deg, declination_deg) * rad;
  return 24.0 / std::numbers::pi * e0_wm2 *
         (std::cos(phi) * std::cos(delta) * std::sin(set) + set * std::sin(phi) * std::sin(delta));
}

CivilDate civil_date(double time_s) {
  using namespace std::chrono;
  const sys_days day{days{static_cast<int>(std::floor(time_s / 86400.0))}};
  const year_month_day date{day};
  const sys_days first{date.year() / January / 1};
  return {static_cast<int>(date.year()), static_cast<int>(static_cast<unsigned>(date.month())),
          static_cast<int>(static_cast<unsigned>(date.day())),
          static_cast<int>((day - first).count()) + 1};
}

double utc_seconds(int year, int month, int day, double second_of_day) {
  using namespace std::chrono;
  const sys_days date{std::chrono::year{year} / month / day};
  return static_cast<double>(date.time_since_epoch().count()) * 86400.0 + second_of_day;
}

}  // namespace nightbus
