/// Air of the months where only design extremes are known.

#include <cmath>

#include "nightbus/scenario.hpp"

namespace nightbus {

MonthlyAir monthly_air(const Site& site) {
  // Half way between the design extremes, a quarter of their distance up and down with the season,
  // a sixth of it between night and day. Warmest in July north of the equator.
  const double middle = (site.temp_cold_c + site.temp_hot_c) / 2.0;
  const double distance = site.temp_hot_c - site.temp_cold_c;
  MonthlyAir air;
  air.swing_k = distance / 6.0;
  const double sign = site.latitude_deg < 0.0 ? -1.0 : 1.0;
  for (int month = 0; month < 12; ++month) {
    const double angle = (month - 6) * 3.14159265358979323846 / 6.0;
    air.mean_c.push_back(middle + sign * distance / 4.0 * std::cos(angle));
  }
  return air;
}

}  // namespace nightbus
