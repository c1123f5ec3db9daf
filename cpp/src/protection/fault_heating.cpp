/// Wire during a fault. No heat leaves (up to about 5 s):
///
///   I² R(T) dt = C dT   =>   I²t = K² S² ln((Tf + β)/(Ti + β)),   k² = K² ln(…)
///
/// For longer overloads one heat capacity stands behind one thermal resistance. With K² = c (z +
/// 20) /ρ₂₀ the capacity per metre is c S = K² S² r₂₀ /(z + 20), r₂₀ = ρ₂₀/S, and with u = z + T
///
///   c S du/dt = I² r u/(z+20) - g (u - ua),   g (Tc - Tb) = Ir² r (z + Tc)/(z + 20)
///   =>  du/dt = m - n u,   n = (G - I²)/(K²S²),  m = G ua /(K²S²),  G = Ir² (z + Tc)/(Tc - Tb)
///   u(t) = m/n + (u0 - m/n) e^(-n t)      (n < 0: it runs away; n = 0: linear)
///
/// so the resistance drops out: only K, S and the rated point remain.

#include <cmath>

#include "nightbus/protection_fault.hpp"

namespace nightbus {

double adiabatic_k(const Material& material, double initial_c, double final_c) {
  const double beta = material.adiabatic_beta_k;
  if (final_c <= initial_c) return 0.0;
  return material.adiabatic_k * std::sqrt(std::log((final_c + beta) / (initial_c + beta)));
}

double withstand_a2s(double k, double area_mm2) {
  return k * k * area_mm2 * area_mm2;
}

double area_for_fault_mm2(double current_a, double time_s, double k) {
  return current_a * std::sqrt(time_s) / k;
}

double fault_temperature_c(const Material& material, double area_mm2, double initial_c,
                           double i2t_a2s) {
  const double beta = material.adiabatic_beta_k;
  const double ks = material.adiabatic_k * area_mm2;
  return (initial_c + beta) * std::exp(i2t_a2s / (ks * ks)) - beta;
}

double heat_loss_factor(double time_s, double area_mm2, double x, double y) {
  const double t_over_s = time_s / area_mm2;
  return std::sqrt(1.0 + x * std::sqrt(t_over_s) + y * t_over_s);
}

namespace {

/// du/dt = m - n u, u = β + T.
struct Rates {
  double m, n;
};

Rates rates_of(const Material& material, const SlowHeating& wire, double current_a) {
  const double beta = material.adiabatic_beta_k;
  const double ks = material.adiabatic_k * wire.area_mm2;
  const double loss_a2 =
      wire.rated_a * wire.rated_a * (beta + wire.rated_c) / (wire.rated_c - wire.base_c);
  return {loss_a2 * (beta + wire.ambient_c) / (ks * ks),
          (loss_a2 - current_a * current_a) / (ks * ks)};
}

}  // namespace

double slow_temperature_c(const Material& material, const SlowHeating& wire, double current_a,
                          double time_s) {
  const double beta = material.adiabatic_beta_k;
  const auto [m, n] = rates_of(material, wire, current_a);
  const double u0 = beta + wire.initial_c;
  const double x = n * time_s;
  // (1 - e^-x)/x · t, which stays exact near x = 0.
  const double gain_s = std::abs(x) < 1e-12 ? time_s : -std::expm1(-x) / n;
  return u0 * std::exp(-x) + m * gain_s - beta;
}

std::optional<double> time_to_temperature_s(const Material& material, const SlowHeating& wire,
                                            double current_a, double limit_c) {
  const double beta = material.adiabatic_beta_k;
  const auto [m, n] = rates_of(material, wire, current_a);
  const double u0 = beta + wire.initial_c;
  const double limit = beta + limit_c;
  if (limit <= u0) return 0.0;
  if (m - n * u0 <= 0.0) return std::nullopt;  // does not even warm
  if (std::abs(n) < 1e-15) return (limit - u0) / m;
  const double settled = m / n;  // of u; beyond reach when n > 0 and below the limit
  if (n > 0.0 && limit >= settled) return std::nullopt;
  return -std::log((limit - settled) / (u0 - settled)) / n;
}

}  // namespace nightbus
