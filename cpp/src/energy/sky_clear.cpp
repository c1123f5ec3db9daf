// Clear sky.
//   Haurwitz: GHI = 1098 cos z exp(-0.059 / cos z)
//   Ineichen & Perez, with h in m, TL the Linke turbidity, AM the absolute air mass:
//     f1 = e^(-h/8000), f2 = e^(-h/1250), c1 = 5.09e-5 h + 0.868, c2 = 3.92e-5 h + 0.0387
//     GHI = c1 E0 cos z exp(-c2 AM (f1 + f2 (TL - 1)))      [· exp(0.01 AM^1.8) when enhanced]
//     DNI = min(E0 (0.664 + 0.163/f1) exp(-0.09 AM (TL - 1)),
//               GHI (1 - (0.1 - 0.2 e^(-TL)) / (0.1 + 0.882/f1)) / cos z)

#include <algorithm>
#include <cmath>
#include <numbers>

#include "nightbus/energy_sky.hpp"

namespace nightbus {

namespace {
constexpr double rad = std::numbers::pi / 180.0;
}

double haurwitz_ghi_wm2(double apparent_zenith_deg) {
  const double cos_z = std::cos(apparent_zenith_deg * rad);
  if (!(cos_z > 0.0)) return 0.0;
  return 1098.0 * cos_z * std::exp(-0.059 / cos_z);
}

Irradiance ineichen(const IneichenInput& in) {
  const double cos_z = std::max(std::cos(in.apparent_zenith_deg * rad), 0.0);
  if (cos_z <= 0.0) return {};
  const double h = in.altitude_m;
  const double tl = in.linke_turbidity;
  const double am = in.absolute_air_mass;
  const double e0 = in.extraterrestrial_wm2;
  const double f1 = std::exp(-h / 8000.0);
  const double f2 = std::exp(-h / 1250.0);
  const double c1 = 5.09e-5 * h + 0.868;
  const double c2 = 3.92e-5 * h + 0.0387;

  // The enhancement scales GHI and with it the second of the two candidates for the beam.
  double ghi = c1 * e0 * cos_z * std::exp(-c2 * am * (f1 + f2 * (tl - 1.0)));
  if (in.enhancement) ghi *= std::exp(0.01 * std::pow(am, 1.8));
  const double beam = e0 * (0.664 + 0.163 / f1) * std::exp(-0.09 * am * (tl - 1.0));
  const double rest =
      ghi * std::max(1.0 - (0.1 - 0.2 * std::exp(-tl)) / (0.1 + 0.882 / f1), 0.0) / cos_z;
  const double dni = std::min(std::max(beam, 0.0), std::max(rest, 0.0));
  return {std::max(ghi, 0.0), dni, std::max(ghi - dni * cos_z, 0.0)};
}

Irradiance clear_sky(ClearSkyModel model, double zenith_deg, double apparent_zenith_deg,
                     double altitude_m, double pressure_pa, double linke_turbidity,
                     double extraterrestrial_wm2) {
  if (model == ClearSkyModel::haurwitz) {
    const double ghi = haurwitz_ghi_wm2(apparent_zenith_deg);
    const Split split = erbs(ghi, zenith_deg, extraterrestrial_wm2);
    return {ghi, split.dni_wm2, split.dhi_wm2};
  }
  const std::optional<double> air = relative_air_mass(apparent_zenith_deg);
  if (!air) return {};
  return ineichen({.apparent_zenith_deg = apparent_zenith_deg,
                   .absolute_air_mass = absolute_air_mass(*air, pressure_pa),
                   .linke_turbidity = linke_turbidity,
                   .altitude_m = altitude_m,
                   .extraterrestrial_wm2 = extraterrestrial_wm2});
}

}  // namespace nightbus
