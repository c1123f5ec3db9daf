/// A long horizontal wire in still air. Per metre, with surface temperature Ts and air Ta,
///
///   conduction   q = 2π k (Tc - Ts) / ln(D/d)            through the insulation
///   convection   q = π D h (Ts - Ta),  h = Nu λ / D
///   radiation    q = π D ε σ (Ts⁴ - Ta⁴)                 kelvin
///   Nu = { 0.60 + 0.387 Ra^(1/6) / [1 + (0.559/Pr)^(9/16)]^(8/27) }²    Churchill and Chu 1975,
///   Ra = g β (Ts - Ta) D³ Pr / ν²                        valid to 10¹²; film at (Ts + Ta)/2
///
/// Ts follows from conduction = convection + radiation (bisection: one side rises, the other falls
/// with Ts), and I = sqrt(q / R(Tc)).

#include <algorithm>
#include <cmath>
#include <numbers>

#include "nightbus/wiring_conductor.hpp"

namespace nightbus {

namespace {

constexpr double zero_c_k = 273.15;

struct Air {
  double conductivity_w_per_mk, viscosity_m2_per_s, prandtl;
};

/// Dry air at 101 325 Pa: Sutherland's viscosity and conductivity, ideal gas density.
Air air_at(double temp_k) {
  const double viscosity =
      1.716e-5 * std::pow(temp_k / 273.15, 1.5) * (273.15 + 110.4) / (temp_k + 110.4);
  const double conductivity =
      0.02414 * std::pow(temp_k / 273.15, 1.5) * (273.15 + 194.0) / (temp_k + 194.0);
  const double density = 101325.0 / (287.05 * temp_k);
  return {conductivity, viscosity / density, 1006.0 * viscosity / conductivity};
}

double convection_w_per_m2k(double surface_k, double ambient_k, double diameter_m) {
  constexpr double gravity_m_per_s2 = 9.80665;
  const double film_k = 0.5 * (surface_k + ambient_k);
  const Air air = air_at(film_k);
  const double rayleigh = gravity_m_per_s2 * std::max(surface_k - ambient_k, 0.0) / film_k *
                          diameter_m * diameter_m * diameter_m * air.prandtl /
                          (air.viscosity_m2_per_s * air.viscosity_m2_per_s);
  const double spread = std::pow(1.0 + std::pow(0.559 / air.prandtl, 9.0 / 16.0), 8.0 / 27.0);
  const double root = 0.60 + 0.387 * std::pow(rayleigh, 1.0 / 6.0) / spread;
  return root * root * air.conductivity_w_per_mk / diameter_m;
}

double radiation_w_per_m2k(double surface_k, double ambient_k, double emissivity) {
  constexpr double stefan_w_per_m2k4 = 5.670374419e-8;
  return emissivity * stefan_w_per_m2k4 * (surface_k * surface_k + ambient_k * ambient_k) *
         (surface_k + ambient_k);
}

}  // namespace

FreeAirBalance free_air_balance(const WireInAir& wire, double conductor_c, double ambient_c) {
  FreeAirBalance balance;
  balance.surface_c = ambient_c;
  if (conductor_c <= ambient_c) return balance;
  const double conductor_k = conductor_c + zero_c_k;
  const double ambient_k = ambient_c + zero_c_k;
  const double ratio = wire.outer_diameter_m / wire.conductor_diameter_m;
  const double inside_w_per_mk =
      ratio > 1.0 ? 2.0 * std::numbers::pi * wire.insulation_w_per_mk / std::log(ratio) : 1e9;
  const double perimeter_m = std::numbers::pi * wire.outer_diameter_m;
  const auto outside_w_per_mk = [&](double surface_k) {
    return perimeter_m * (convection_w_per_m2k(surface_k, ambient_k, wire.outer_diameter_m) +
                          radiation_w_per_m2k(surface_k, ambient_k, wire.emissivity));
  };
  double low_k = ambient_k;
  double high_k = conductor_k;
  for (int step = 0; step < 60; ++step) {
    const double surface_k = 0.5 * (low_k + high_k);
    const double arriving = inside_w_per_mk * (conductor_k - surface_k);
    const double leaving = outside_w_per_mk(surface_k) * (surface_k - ambient_k);
    (arriving > leaving ? low_k : high_k) = surface_k;
  }
  const double surface_k = 0.5 * (low_k + high_k);
  balance.surface_c = surface_k - zero_c_k;
  balance.convection_w_per_m2k = convection_w_per_m2k(surface_k, ambient_k, wire.outer_diameter_m);
  balance.radiation_w_per_m2k = radiation_w_per_m2k(surface_k, ambient_k, wire.emissivity);
  balance.heat_w_per_m = outside_w_per_mk(surface_k) * (surface_k - ambient_k);
  const double hot_ohm_per_m = wire.resistance_ohm_per_m * (wire.zero_resistance_k + conductor_c) /
                               (wire.zero_resistance_k + 20.0);
  balance.current_a = std::sqrt(balance.heat_w_per_m / hot_ohm_per_m);
  return balance;
}

}  // namespace nightbus
