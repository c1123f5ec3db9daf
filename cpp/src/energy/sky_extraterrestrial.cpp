// Outside the air, and how much air the beam crosses.

#include <cmath>
#include <numbers>

#include "nightbus/energy_sky.hpp"

namespace nightbus {

double extraterrestrial_wm2(double day_of_year, ExtraterrestrialForm form, double constant_wm2) {
  if (form == ExtraterrestrialForm::asce) {  // ASCE standardized reference evapotranspiration, 2005
    return constant_wm2 * (1.0 + 0.033 * std::cos(2.0 * std::numbers::pi * day_of_year / 365.0));
  }
  const double b = 2.0 * std::numbers::pi * (day_of_year - 1.0) / 365.0;  // Spencer 1971
  return constant_wm2 * (1.00011 + 0.034221 * std::cos(b) + 0.00128 * std::sin(b) +
                         0.000719 * std::cos(2.0 * b) + 0.000077 * std::sin(2.0 * b));
}

std::optional<double> relative_air_mass(double apparent_zenith_deg) {
  if (!(apparent_zenith_deg <= 90.0)) return std::nullopt;
  const double cos_z = std::cos(apparent_zenith_deg * std::numbers::pi / 180.0);
  return 1.0 / (cos_z + 0.50572 * std::pow(96.07995 - apparent_zenith_deg, -1.6364));
}

double absolute_air_mass(double relative, double pressure_pa) {
  return relative * pressure_pa / 101325.0;
}

double pressure_at_altitude_pa(double altitude_m) {
  return 100.0 * std::pow((44331.514 - altitude_m) / 11880.516, 1.0 / 0.1902632);
}

}  // namespace nightbus
