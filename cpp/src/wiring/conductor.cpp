/// One conductor. With R(T) = R₂₀ (z + T)/(z + 20) and heat leaving in proportion to the rise,
///
///   T - Ta = h I² (z + T),   and at the known point   Tc - Tb = h Ir² (z + Tc)
///   =>  a = h I² = (I/Ir)² (Tc - Tb)/(z + Tc),   T = (Ta + a z)/(1 - a),   no balance from a = 1
///   on.

#include <cmath>
#include <limits>

#include "nightbus/wiring_conductor.hpp"

namespace nightbus {

double loop_drop_v(double current_a, double resistance_ohm_per_m, double length_m) {
  return 2.0 * length_m * resistance_ohm_per_m * current_a;
}

double longest_run_m(double drop_v, double current_a, double resistance_ohm_per_m) {
  const double per_m = 2.0 * resistance_ohm_per_m * current_a;
  return per_m > 0.0 ? drop_v / per_m : std::numeric_limits<double>::infinity();
}

double area_for_drop_mm2(double resistivity_ohm_mm2_per_m, double current_a, double length_m,
                         double drop_v) {
  if (drop_v <= 0.0) return std::numeric_limits<double>::infinity();
  return resistivity_ohm_mm2_per_m * current_a * 2.0 * length_m / drop_v;
}

std::vector<double> parallel_shares(std::span<const double> resistances_ohm) {
  double conductance_s = 0.0;
  for (const double resistance_ohm : resistances_ohm) conductance_s += 1.0 / resistance_ohm;
  std::vector<double> shares;
  shares.reserve(resistances_ohm.size());
  for (const double resistance_ohm : resistances_ohm) {
    shares.push_back(1.0 / resistance_ohm / conductance_s);
  }
  return shares;
}

std::optional<double> conductor_temperature_c(double current_a, double ambient_c, double rated_a,
                                              double rated_c, double base_c,
                                              double zero_resistance_k) {
  if (current_a == 0.0) return ambient_c;
  if (rated_a <= 0.0) return std::nullopt;
  const double use = current_a / rated_a;
  const double a = use * use * (rated_c - base_c) / (zero_resistance_k + rated_c);
  if (a >= 1.0) return std::nullopt;
  return (ambient_c + a * zero_resistance_k) / (1.0 - a);
}

double square_root_estimate_c(double current_a, double ambient_c, double rated_a, double rated_c) {
  return ambient_c + (rated_c - ambient_c) * std::sqrt(current_a / rated_a);
}

double hot_length_m(double length_m, double conductor_c, double zero_resistance_k) {
  return (zero_resistance_k + 20.0) * length_m / (zero_resistance_k + conductor_c);
}

double ambient_factor(double ambient_c, double rated_c, double base_c) {
  if (ambient_c >= rated_c || base_c >= rated_c) return 0.0;
  return std::sqrt((rated_c - ambient_c) / (rated_c - base_c));
}

}  // namespace nightbus
