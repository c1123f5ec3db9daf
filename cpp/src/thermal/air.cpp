// Air, boxes and fan laws.
//   sensible heat   P = ρ cp Q ΔT
//   box             P = (U A + ρ cp Q) ΔT
//   ISO 2533        p/p0 = (1 - 2.25577e-5 h)^5.25588, ρ/ρ0 with the exponent 4.25588 (free air)
//   fan laws        Q ~ n, p ~ n² ρ, P ~ n³ ρ

#include <algorithm>
#include <cmath>

#include "nightbus/thermal.hpp"

namespace nightbus {

namespace {
double lapse(double altitude_m) {
  return std::max(1.0 - 2.25577e-5 * altitude_m, 0.0);
}
}  // namespace

double air_pressure_ratio(double altitude_m) {
  return std::pow(lapse(altitude_m), 5.25588);
}

double air_density_ratio(double altitude_m) {
  return std::pow(lapse(altitude_m), 4.25588);
}

double air_density_kg_per_m3(double temp_c, double pressure_ratio) {
  return standard_air_kg_per_m3 * pressure_ratio * 293.15 / (temp_c + 273.15);
}

double airflow_m3s(double heat_w, double rise_k, double density_kg_per_m3) {
  return heat_w / (density_kg_per_m3 * air_heat_capacity_j_per_kgk * rise_k);
}

double temperature_rise_k(double heat_w, double ua_w_per_k, double flow_m3s,
                          double density_kg_per_m3) {
  return heat_w / (ua_w_per_k + density_kg_per_m3 * air_heat_capacity_j_per_kgk * flow_m3s);
}

double surface_for_rise_m2(double heat_w, double rise_k, double transmittance_w_per_m2k) {
  return heat_w / (transmittance_w_per_m2k * rise_k);
}

FanPoint fan_at_speed(const FanPoint& known, double speed_ratio, double density_ratio) {
  const double n = speed_ratio;
  return {known.flow_m3s * n, known.pressure_pa * n * n * density_ratio,
          known.power_w * n * n * n * density_ratio};
}

double capacitor_life_h(double rated_h, double rated_c, double run_c, double cap_h) {
  return std::min(rated_h * std::exp2((rated_c - run_c) / 10.0), cap_h);
}

}  // namespace nightbus
