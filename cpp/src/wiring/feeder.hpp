#pragma once
/// Private: what the solution, the bounds and the search of a feeder share.

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "nightbus/wiring_tree.hpp"

namespace nightbus::wiring_detail {

/// Volts lost in a pole at a current and air temperature, the wire at its own temperature:
///   x = K I² R₂₀,  T - 20 = (Ta - 20 + x)/(1 - α x),  R = R₂₀ (1 + α (T - 20)).
/// Infinite where the wire finds no balance.
inline double pole_drop_v(const FeederOption::Pole& pole, double current_a, double ambient_c,
                          double alpha_per_k) {
  const double watts = current_a * current_a * pole.wire_ohm;
  const double rise_k = pole.kelvin_per_watt * watts;
  const double balance = 1.0 - alpha_per_k * rise_k;
  if (balance <= 0.0) return unlimited;
  const double over_20_k = (ambient_c - 20.0 + rise_k) / balance;
  return current_a * (pole.wire_ohm * (1.0 + alpha_per_k * over_20_k) + pole.fixed_ohm);
}

/// Paths: index of the case block, then of the edge; -1 is the root.
inline double at_end(std::span<const double> of_edges, int edge) {
  return edge < 0 ? 0.0 : of_edges[static_cast<std::size_t>(edge)];
}

/// Leaves of a block of [case × width] the rows of these cases.
inline void keep_cases(std::vector<double>& block, std::span<const std::size_t> cases,
                       std::size_t width = 1) {
  for (std::size_t k = 0; k < cases.size(); ++k) {
    std::copy_n(block.begin() + static_cast<std::ptrdiff_t>(cases[k] * width), width,
                block.begin() + static_cast<std::ptrdiff_t>(k * width));
  }
  block.resize(cases.size() * width);
}

/// Sums of currents behind every edge, from the currents of the draws of one case.
void gather_currents(const FeederModel& model, std::span<const double> draw_a,
                     std::span<double> edge_a, std::span<double> return_a);

/// The ohms of both poles from the root to the end of every edge.
struct FaultPaths {
  std::vector<double> hot_out, hot_back, cold_out, cold_back;
};
FaultPaths fault_paths(const FeederModel& model, std::span<const std::uint32_t> option);

inline double draw_current_a(const FeederDraw& draw, std::size_t which, double voltage_v) {
  return draw.power_w[which] / voltage_v + draw.current_a[which] +
         draw.conductance_s[which] * voltage_v;
}

/// Room for rounding when a value is held against its limit: limits are met to a part in 10⁹.
inline bool above(double value, double limit) {
  return value > limit + 1e-9 * (1.0 + (limit < 0.0 ? -limit : limit));
}

}  // namespace nightbus::wiring_detail
