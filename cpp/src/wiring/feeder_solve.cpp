/// Operating point of a radial feeder, one case after the other. From no-load voltage,
///
///   i(draw) = P/v + I + G v         currents gathered towards the root, out and back apart
///   v(root) = E - R i(total)        volts handed out again: v(end) = v(root) - out - back
///
/// until no voltage moves. Without generation the voltages fall monotonically to the upper of the
/// two solutions, where one exists (Taheri and Kekatos); where none does they fall through half the
/// EMF, or the count runs out.

#include <algorithm>
#include <cmath>

#include "wiring/feeder.hpp"

namespace nightbus {

namespace wiring_detail {

void gather_currents(const FeederModel& model, std::span<const double> draw_a,
                     std::span<double> edge_a, std::span<double> return_a) {
  std::fill(edge_a.begin(), edge_a.end(), 0.0);
  std::fill(return_a.begin(), return_a.end(), 0.0);
  for (std::size_t k = 0; k < model.draws.size(); ++k) {
    if (const int edge = model.draws[k].edge; edge >= 0) {
      edge_a[static_cast<std::size_t>(edge)] += draw_a[k];
      return_a[static_cast<std::size_t>(edge)] += draw_a[k];
    }
  }
  for (std::size_t e = model.edges.size(); e-- > 0;) {
    const FeederEdge& edge = model.edges[e];
    if (edge.parent >= 0) edge_a[static_cast<std::size_t>(edge.parent)] += edge_a[e];
    if (edge.home >= 0) return_a[static_cast<std::size_t>(edge.home)] += return_a[e];
  }
}

FaultPaths fault_paths(const FeederModel& model, std::span<const std::uint32_t> option) {
  const std::size_t n = model.edges.size();
  FaultPaths paths;
  for (auto* path : {&paths.hot_out, &paths.hot_back, &paths.cold_out, &paths.cold_back}) {
    path->resize(n);
  }
  for (std::size_t e = 0; e < n; ++e) {
    const FeederEdge& edge = model.edges[e];
    const FeederOption& chosen = edge.options[option[e]];
    paths.hot_out[e] = at_end(paths.hot_out, edge.parent) + chosen.out.hot_ohm;
    paths.hot_back[e] = at_end(paths.hot_back, edge.home) + chosen.back.hot_ohm;
    paths.cold_out[e] = at_end(paths.cold_out, edge.parent) + chosen.out.cold_ohm;
    paths.cold_back[e] = at_end(paths.cold_back, edge.home) + chosen.back.cold_ohm;
  }
  return paths;
}

namespace {

/// One case. False when it has no solution.
bool solve_case_of(const FeederModel& model, std::span<const std::uint32_t> option,
                   std::size_t which, FeederState& state, std::vector<double>& scratch) {
  constexpr int most_sweeps = 400;
  constexpr double still_v = 1e-11;
  const std::size_t n = model.edges.size();
  const std::size_t m = model.draws.size();
  const double emf_v = model.emf_v[which];
  const auto edge_a = std::span(state.edge_a).subspan(which * n, n);
  const auto return_a = std::span(state.return_a).subspan(which * n, n);
  const auto draw_v = std::span(state.draw_v).subspan(which * m, m);
  const auto drop_v = std::span(state.drop_v).subspan(which * m, m);
  scratch.resize(2 * n + m);
  const auto out_v = std::span(scratch).first(n);
  const auto back_v = std::span(scratch).subspan(n, n);
  const auto draw_a = std::span(scratch).subspan(2 * n, m);
  std::fill(draw_v.begin(), draw_v.end(), emf_v);
  for (int sweep = 0; sweep < most_sweeps; ++sweep) {
    double total_a = 0.0;
    for (std::size_t k = 0; k < m; ++k) {
      draw_a[k] = draw_current_a(model.draws[k], which, draw_v[k]);
      total_a += draw_a[k];
    }
    gather_currents(model, draw_a, edge_a, return_a);
    for (std::size_t e = 0; e < n; ++e) {
      const FeederEdge& edge = model.edges[e];
      const FeederOption& chosen = edge.options[option[e]];
      const double ambient_c = edge.ambient_c[which];
      out_v[e] = at_end(out_v, edge.parent) +
                 pole_drop_v(chosen.out, edge_a[e], ambient_c, model.alpha_per_k);
      back_v[e] = at_end(back_v, edge.home) +
                  pole_drop_v(chosen.back, return_a[e], ambient_c, model.alpha_per_k);
    }
    const double root_v = emf_v - model.source_ohm[which] * total_a;
    double moved_v = 0.0;
    for (std::size_t k = 0; k < m; ++k) {
      drop_v[k] = at_end(out_v, model.draws[k].edge) + at_end(back_v, model.draws[k].edge);
      const double now_v = root_v - drop_v[k];
      if (!(now_v > 0.2 * emf_v)) return false;
      moved_v = std::max(moved_v, std::abs(now_v - draw_v[k]));
      draw_v[k] = now_v;
    }
    if (moved_v <= still_v) return true;
  }
  return false;
}

}  // namespace

}  // namespace wiring_detail

FeederState solve_feeder(const FeederModel& model, std::span<const std::uint32_t> option) {
  const std::size_t n = model.edges.size();
  const std::size_t m = model.draws.size();
  FeederState state;
  state.edge_a.resize(model.cases * n);
  state.return_a.resize(model.cases * n);
  state.drop_v.resize(model.cases * m);
  state.draw_v.resize(model.cases * m);
  state.design_a.resize(n);
  state.solved = true;
  std::vector<double> scratch;
  for (std::size_t e = 0; e < n; ++e) state.design_a[e] = model.edges[e].fixed_a;
  for (std::size_t which = 0; which < model.cases; ++which) {
    if (!wiring_detail::solve_case_of(model, option, which, state, scratch)) {
      state.solved = false;
      return state;
    }
    for (std::size_t e = 0; e < n; ++e) {
      state.design_a[e] =
          std::max({state.design_a[e], state.edge_a[which * n + e], state.return_a[which * n + e]});
    }
  }
  return state;
}

FeederViolation check_feeder(const FeederModel& model, std::span<const std::uint32_t> option,
                             const FeederState& state) {
  using wiring_detail::above;
  const std::size_t n = model.edges.size();
  const std::size_t m = model.draws.size();
  if (!state.solved) return {.limit = FeederLimit::no_solution};
  for (std::size_t which = 0; which < model.cases; ++which) {
    for (std::size_t k = 0; k < m; ++k) {
      const double drop_v = state.drop_v[which * m + k];
      const double volts = state.draw_v[which * m + k];
      if (above(drop_v, model.draws[k].drop_limit_v)) {
        return {FeederLimit::drop, which, k, 0, drop_v, model.draws[k].drop_limit_v};
      }
      if (above(model.draws[k].lowest_v, volts)) {
        return {FeederLimit::window, which, k, 0, volts, model.draws[k].lowest_v};
      }
    }
  }
  const auto paths = wiring_detail::fault_paths(model, option);
  for (std::size_t e = 0; e < n; ++e) {
    const FeederEdge& edge = model.edges[e];
    const FeederOption& chosen = edge.options[option[e]];
    if (above(state.design_a[e], chosen.carries_a)) {
      return {FeederLimit::carries, 0, 0, e, state.design_a[e], chosen.carries_a};
    }
    if (model.lowest_emf_v > 0.0 && chosen.needs_fault_a > 0.0) {
      const double fault_a =
          model.lowest_emf_v / (model.lowest_ohm + paths.hot_out[e] + paths.hot_back[e]);
      if (above(chosen.needs_fault_a, fault_a)) {
        return {FeederLimit::fault, 0, 0, e, fault_a, chosen.needs_fault_a};
      }
    }
    const double near_ohm = model.highest_ohm + wiring_detail::at_end(paths.cold_out, edge.parent) +
                            wiring_detail::at_end(paths.cold_back, edge.parent);
    if (above(model.highest_emf_v, chosen.breaks_a * near_ohm)) {
      return {FeederLimit::breaks, 0, 0, e, model.highest_emf_v / near_ohm, chosen.breaks_a};
    }
    const double far_ohm = model.highest_ohm + paths.cold_out[e] + paths.cold_back[e];
    if (above(chosen.least_inrush_ohm, far_ohm)) {
      return {FeederLimit::inrush, 0, 0, e, far_ohm, chosen.least_inrush_ohm};
    }
  }
  return {};
}

}  // namespace nightbus
