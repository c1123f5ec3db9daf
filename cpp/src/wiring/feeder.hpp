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

inline bool loses_no_more(const FeederOption::Pole& a, const FeederOption::Pole& b) {
  return a.wire_ohm <= b.wire_ohm && a.fixed_ohm <= b.fixed_ohm &&
         a.kelvin_per_watt * a.wire_ohm <= b.kelvin_per_watt * b.wire_ohm;
}
inline bool loses_no_less(const FeederOption::Pole& a, const FeederOption::Pole& b) {
  return loses_no_more(b, a);
}

/// Adds a pole to those from index `from` on, unless one of them makes it superfluous.
template <class NoWorse>
void keep_extreme(std::vector<FeederOption::Pole>& poles, std::size_t from,
                  const FeederOption::Pole& pole, NoWorse no_worse) {
  for (std::size_t k = from; k < poles.size(); ++k) {
    if (no_worse(poles[k], pole)) return;
  }
  poles.erase(std::remove_if(poles.begin() + static_cast<std::ptrdiff_t>(from), poles.end(),
                             [&](const auto& other) { return no_worse(pole, other); }),
              poles.end());
  poles.push_back(pole);
}

/// Notes the poles of an option that another one covers; see FeederEdge::left_out.
inline void leave_out(FeederEdge& edge, const FeederOption& option) {
  keep_extreme(edge.left_out, 0, option.out, loses_no_less);
  keep_extreme(edge.left_back, 0, option.back, loses_no_less);
}

inline bool is_resistive(const FeederDraw& draw) {
  return std::any_of(draw.conductance_s.begin(), draw.conductance_s.end(),
                     [](double conductance_s) { return conductance_s > 0.0; });
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

/// Sums of currents behind every edge of a stage, from the currents of the draws of one case.
void gather_currents(const FeederModel& model, std::span<const double> draw_a,
                     std::span<double> edge_a, std::span<double> return_a);

/// The same through converters: of their inputs `draw_a` holds the volts, and what they take
/// afterwards. No edge carries less than `least_edge_a` (empty: nothing is known). `total_a` is
/// what the root and each stage give, the root first.
void gather_through(const FeederModel& model, std::size_t which, std::span<double> draw_a,
                    std::span<const double> least_edge_a, std::span<double> edge_a,
                    std::span<double> return_a, std::span<double> total_a);

/// Root and stages; the root is source 0.
inline std::size_t source_count(const FeederModel& model) {
  return model.stages.size() + 1;
}
inline std::size_t source_of(int stage) {
  return stage < 0 ? 0 : static_cast<std::size_t>(stage) + 1;
}
inline double emf_of(const FeederModel& model, int stage, std::size_t which) {
  return stage < 0 ? model.emf_v[which]
                   : model.stages[static_cast<std::size_t>(stage)].emf_v[which];
}
inline double ohm_of(const FeederModel& model, int stage, std::size_t which) {
  return stage < 0 ? model.source_ohm[which]
                   : model.stages[static_cast<std::size_t>(stage)].source_ohm[which];
}

/// Below this share of the EMF no operating point is taken for one.
inline constexpr double least_volts_share = 0.2;

/// What a converter takes at its input. It grows with what it gives down to half its volts, and no
/// plan goes below that.
inline double stage_input_w(const FeederStage& stage, std::size_t which, double total_a) {
  const double emf_v = stage.emf_v[which];
  double output_v = emf_v - stage.source_ohm[which] * total_a;
  if (output_v < 0.5 * emf_v) {
    output_v = 0.5 * emf_v;
    total_a = output_v / stage.source_ohm[which];
  }
  const double output_w = output_v * total_a;
  return stage.standby_w[which] +
         (1.0 + stage.loss_fraction + stage.loss_per_watt * output_w) * output_w;
}

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
