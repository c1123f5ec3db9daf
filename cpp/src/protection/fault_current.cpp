#include <cmath>
#include <limits>

#include "nightbus/protection_fault.hpp"

namespace nightbus {

double short_circuit_a(double emf_v, double loop_ohm) {
  return loop_ohm > 0.0 ? emf_v / loop_ohm : std::numeric_limits<double>::infinity();
}

double bank_loop_ohm(double cell_ohm, int cells, int strings, double links_ohm) {
  return (cell_ohm * cells + links_ohm) / strings;
}

double short_circuit_from_capacity_a(double capacity_ah, double multiple) {
  return multiple * capacity_ah;
}

double fault_rise_a(double final_a, double resistance_ohm, double inductance_h, double time_s) {
  if (inductance_h <= 0.0) return final_a;
  return -final_a * std::expm1(-time_s * resistance_ohm / inductance_h);
}

double inductive_energy_j(double inductance_h, double current_a) {
  return 0.5 * inductance_h * current_a * current_a;
}

double onderdonk_fusing_a(double area_mm2, double time_s, double ambient_c) {
  constexpr double mm2_per_circular_mil = 5.067075e-4;
  constexpr double copper_melts_c = 1083.0;
  const double circular_mils = area_mm2 / mm2_per_circular_mil;
  const double heat = std::log10((copper_melts_c - ambient_c) / (234.0 + ambient_c) + 1.0);
  return circular_mils * std::sqrt(heat / (33.0 * time_s));
}

double preece_fusing_a(double diameter_m) {
  return 10244.0 * std::pow(diameter_m / 0.0254, 1.5);
}

}  // namespace nightbus
