// What the glass lets in at a slant, relative to square on.
//   ASHRAE      1 - b (1/cos θ - 1), not below 0
//   physical    Snell and Fresnel at one surface, Beer in the glass: θr = asin(sin θ / n),
//               τ(θ) = e^(-KL/cos θr) (1 - ½ [sin²(θr-θ)/sin²(θr+θ) + tan²(θr-θ)/tan²(θr+θ)]),
//               τ(θ)/τ(0)
//   Martin–Ruiz (1 - e^(-cos θ/ar)) / (1 - e^(-1/ar))
// Sources: ASHRAE 93; De Soto et al., Solar Energy 80 (2006) 78; Martin & Ruiz, Solar Energy
// Materials 70 (2001) 25.

#include <algorithm>
#include <cmath>
#include <numbers>

#include "nightbus/energy_array.hpp"

namespace nightbus {

namespace {
constexpr double rad = std::numbers::pi / 180.0;
double square(double x) {
  return x * x;
}
}  // namespace

double ashrae_modifier(double incidence_deg, double b) {
  const double angle = std::abs(incidence_deg);
  if (angle >= 90.0) return 0.0;
  return std::max(1.0 - b * (1.0 / std::cos(angle * rad) - 1.0), 0.0);
}

double physical_modifier(double incidence_deg, double n, double k_per_m, double thickness_m) {
  const double angle = std::abs(incidence_deg);
  if (angle >= 90.0) return 0.0;
  const double absorbed_square_on = std::exp(-k_per_m * thickness_m);
  const double square_on = absorbed_square_on * (1.0 - square((n - 1.0) / (n + 1.0)));
  if (angle < 1e-6) return 1.0;
  const double t = angle * rad;
  const double r = std::asin(std::sin(t) / n);
  const double reflected =
      0.5 * (square(std::sin(r - t) / std::sin(r + t)) + square(std::tan(r - t) / std::tan(r + t)));
  return std::exp(-k_per_m * thickness_m / std::cos(r)) * (1.0 - reflected) / square_on;
}

double martin_ruiz_modifier(double incidence_deg, double a_r) {
  const double angle = std::abs(incidence_deg);
  if (angle >= 90.0) return 0.0;
  return std::expm1(-std::cos(angle * rad) / a_r) / std::expm1(-1.0 / a_r);
}

double incidence_modifier(IncidenceModel model, double incidence_deg) {
  switch (model) {
    case IncidenceModel::ashrae:
      return ashrae_modifier(incidence_deg);
    case IncidenceModel::physical:
      return physical_modifier(incidence_deg);
    case IncidenceModel::martin_ruiz:
      return martin_ruiz_modifier(incidence_deg);
    case IncidenceModel::none:
      break;
  }
  return std::abs(incidence_deg) < 90.0 ? 1.0 : 0.0;
}

double faiman_cell_c(double plane_wm2, double air_c, double wind_ms, double u0, double u1) {
  return air_c + plane_wm2 / (u0 + u1 * wind_ms);
}

SandiaTemperature sandia_cell_c(double plane_wm2, double air_c, double wind_ms, ModuleMount mount) {
  struct Row {
    double a, b, rise_k;
  };
  Row row{};
  switch (mount) {
    case ModuleMount::open_glass_glass:
      row = {-3.47, -0.0594, 3.0};
      break;
    case ModuleMount::close_glass_glass:
      row = {-2.98, -0.0471, 1.0};
      break;
    case ModuleMount::open_glass_polymer:
      row = {-3.56, -0.075, 3.0};
      break;
    case ModuleMount::insulated_back:
      row = {-2.81, -0.0455, 0.0};
      break;
  }
  SandiaTemperature t;
  t.back_c = plane_wm2 * std::exp(row.a + row.b * wind_ms) + air_c;
  t.cell_c = t.back_c + row.rise_k * plane_wm2 / 1000.0;
  return t;
}

double ross_cell_c(double plane_wm2, double air_c, double noct_c) {
  return air_c + (noct_c - 20.0) * plane_wm2 / 800.0;
}

double simple_power_w(const SimpleModule& module, double effective_wm2, double cell_c) {
  const double g = effective_wm2;
  double power = g / 1000.0 * module.power_w * (1.0 + module.coefficient_per_k * (cell_c - 25.0));
  if (module.low_light_k > 0.0) {
    double e = module.low_light_k * (1000.0 - g) / 800.0;
    if (g <= 200.0) e = module.low_light_k * (1.0 - square(square(1.0 - g / 200.0)));
    if (module.no_gain_above_1000 && g >= 1000.0) e = 0.0;
    power -= module.power_w * e;
  }
  return std::max(power, 0.0);
}

double combined_loss(std::span<const double> losses) {
  double left = 1.0;
  for (const double loss : losses) left *= 1.0 - loss;
  return 1.0 - left;
}

double inverter_ac_w(double dc_w, double dc_rated_w, double efficiency_nominal) {
  const double load = dc_w / dc_rated_w;
  if (!(load > 0.0)) return 0.0;
  const double efficiency = efficiency_nominal / 0.9637 * (-0.0162 * load - 0.0059 / load + 0.9858);
  return std::clamp(efficiency * dc_w, 0.0, efficiency_nominal * dc_rated_w);
}

}  // namespace nightbus
