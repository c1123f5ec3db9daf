/// Operating point of a radial feeder, one case after the other. From no-load voltage,
///
///   i(draw) = P/v + I + G v         currents gathered towards the root, out and back apart
///   v(root) = E - R i(total)        volts handed out again: v(end) = v(root) - out - back
///
/// until no voltage moves. A converter's stage is gathered before what it hangs on and takes what
/// stage_input_w() says at the volts of its input. Without generation the voltages fall
/// monotonically to the upper of the two solutions, where one exists (Taheri and Kekatos); where
/// none does they fall through half the EMF, or the count runs out.

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

void gather_through(const FeederModel& model, std::size_t which, std::span<double> draw_a,
                    std::span<const double> least_edge_a, std::span<double> edge_a,
                    std::span<double> return_a, std::span<double> total_a) {
  std::fill(edge_a.begin(), edge_a.end(), 0.0);
  std::fill(return_a.begin(), return_a.end(), 0.0);
  std::fill(total_a.begin(), total_a.end(), 0.0);
  const auto add = [&](std::size_t k, double current_a) {
    const FeederDraw& draw = model.draws[k];
    if (draw.edge < 0) {
      total_a[source_of(draw.stage)] += current_a;
      return;
    }
    edge_a[static_cast<std::size_t>(draw.edge)] += current_a;
    return_a[static_cast<std::size_t>(draw.edge)] += current_a;
  };
  for (std::size_t k = 0; k < model.draws.size(); ++k) {
    if (!model.draws[k].converter) add(k, draw_a[k]);
  }
  int stage = static_cast<int>(model.stages.size()) - 1;
  const auto close_down_to = [&](int next) {
    for (; stage > next; --stage) {
      const FeederStage& closed = model.stages[static_cast<std::size_t>(stage)];
      const double input_w = stage_input_w(closed, which, total_a[source_of(stage)]);
      draw_a[closed.draw] = input_w > 0.0 ? input_w / draw_a[closed.draw] : 0.0;
      add(closed.draw, draw_a[closed.draw]);
    }
  };
  for (std::size_t e = model.edges.size(); e-- > 0;) {
    const FeederEdge& edge = model.edges[e];
    close_down_to(edge.stage);
    if (!least_edge_a.empty() && edge_a[e] < least_edge_a[e]) {
      edge_a[e] = least_edge_a[e];
      return_a[e] = std::max(return_a[e], least_edge_a[e]);
    }
    if (edge.parent >= 0) {
      edge_a[static_cast<std::size_t>(edge.parent)] += edge_a[e];
    } else {
      total_a[source_of(edge.stage)] += edge_a[e];
    }
    if (edge.home >= 0) return_a[static_cast<std::size_t>(edge.home)] += return_a[e];
  }
  close_down_to(-1);
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
  const std::size_t sources = source_count(model);
  const auto edge_a = std::span(state.edge_a).subspan(which * n, n);
  const auto return_a = std::span(state.return_a).subspan(which * n, n);
  const auto draw_v = std::span(state.draw_v).subspan(which * m, m);
  const auto drop_v = std::span(state.drop_v).subspan(which * m, m);
  scratch.resize(2 * n + m + 2 * sources);
  const auto out_v = std::span(scratch).first(n);
  const auto back_v = std::span(scratch).subspan(n, n);
  const auto draw_a = std::span(scratch).subspan(2 * n, m);
  const auto total_a = std::span(scratch).subspan(2 * n + m, sources);
  const auto root_v = std::span(scratch).subspan(2 * n + m + sources, sources);
  for (std::size_t k = 0; k < m; ++k) draw_v[k] = emf_of(model, model.draws[k].stage, which);
  for (int sweep = 0; sweep < most_sweeps; ++sweep) {
    for (std::size_t k = 0; k < m; ++k) {
      draw_a[k] =
          model.draws[k].converter ? draw_v[k] : draw_current_a(model.draws[k], which, draw_v[k]);
    }
    gather_through(model, which, draw_a, {}, edge_a, return_a, total_a);
    for (std::size_t e = 0; e < n; ++e) {
      const FeederEdge& edge = model.edges[e];
      const FeederOption& chosen = edge.options[option[e]];
      const double ambient_c = edge.ambient_c[which];
      out_v[e] = at_end(out_v, edge.parent) +
                 pole_drop_v(chosen.out, edge_a[e], ambient_c, model.alpha_per_k);
      back_v[e] = at_end(back_v, edge.home) +
                  pole_drop_v(chosen.back, return_a[e], ambient_c, model.alpha_per_k);
    }
    for (int stage = -1; stage < static_cast<int>(model.stages.size()); ++stage) {
      const double emf_v = emf_of(model, stage, which);
      root_v[source_of(stage)] = emf_v - ohm_of(model, stage, which) * total_a[source_of(stage)];
      if (stage >= 0 && root_v[source_of(stage)] < 0.5 * emf_v) return false;
    }
    double moved_v = 0.0;
    for (std::size_t k = 0; k < m; ++k) {
      drop_v[k] = at_end(out_v, model.draws[k].edge) + at_end(back_v, model.draws[k].edge);
      const int stage = model.draws[k].stage;
      const double now_v = root_v[source_of(stage)] - drop_v[k];
      if (!(now_v > least_volts_share * emf_of(model, stage, which))) return false;
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
