/// Most of what a device or a size asks of a plan is met by every plan there is. Against the
/// kindest and the harshest paths and currents each limit of an option is either hopeless (the
/// option goes), always met (the limit goes) or open. What then is beaten by another option in
/// value, losses and open limits goes as well: many ratings on one size become one option. Less
/// loss raises what a resistance takes, so that others may lose by it: the losses of what went stay
/// known.

#include "wiring/feeder_reduce.hpp"

#include <algorithm>

namespace nightbus::wiring_detail {

namespace {

/// Largest current of each edge while every draw keeps its limits; unlimited where one has none.
std::vector<double> most_currents(const FeederModel& model) {
  const std::size_t n = model.edges.size();
  const std::size_t m = model.draws.size();
  std::vector<double> most(n), draw_a(m), draw_w(m), edge_a(n), return_a(n);
  for (std::size_t e = 0; e < n; ++e) most[e] = model.edges[e].fixed_a;
  for (std::size_t which = 0; which < model.cases; ++which) {
    for (std::size_t k = 0; k < m; ++k) draw_w[k] = model.draws[k].power_w[which];
    for (int stage = static_cast<int>(model.stages.size()) - 1; stage >= -1; --stage) {
      const double emf_v = emf_of(model, stage, which);
      const auto with_volts = [&](const FeederDraw& draw, double power_w, double low_v) {
        const double power_a = power_w <= 0.0 ? 0.0 : low_v > 0.0 ? power_w / low_v : unlimited;
        return power_a + draw.current_a[which] + draw.conductance_s[which] * emf_v;
      };
      // No draw is below its window; where it has none, half the EMF is as low as things go well.
      double total_a = 0.0;
      for (std::size_t k = 0; k < m; ++k) {
        const FeederDraw& draw = model.draws[k];
        if (draw.stage != stage) continue;
        total_a += with_volts(draw, draw_w[k], std::max(draw.lowest_v, 0.5 * emf_v));
      }
      const double root_v =
          total_a < unlimited ? emf_v - ohm_of(model, stage, which) * total_a : -unlimited;
      double most_a = 0.0;
      for (std::size_t k = 0; k < m; ++k) {
        const FeederDraw& draw = model.draws[k];
        if (draw.stage != stage) continue;
        draw_a[k] =
            with_volts(draw, draw_w[k], std::max(draw.lowest_v, root_v - draw.drop_limit_v));
        most_a += draw_a[k];
      }
      if (stage < 0) continue;
      const FeederStage& converter = model.stages[static_cast<std::size_t>(stage)];
      draw_w[converter.draw] =
          most_a < unlimited ? stage_input_w(converter, which, most_a) : unlimited;
    }
    gather_currents(model, draw_a, edge_a, return_a);
    for (std::size_t e = 0; e < n; ++e) most[e] = std::max({most[e], edge_a[e], return_a[e]});
  }
  return most;
}

struct PathRange {
  std::vector<double> least_hot, most_hot, least_cold, most_cold;  ///< to the end of each edge
};

PathRange path_range(const FeederModel& model) {
  const std::size_t n = model.edges.size();
  PathRange range;
  // Out and back apart, then together: the way back may part from the way out.
  struct Pole {
    std::vector<double> least_hot, most_hot, least_cold, most_cold;
  };
  const auto sum = [&](bool out) {
    Pole sums;
    for (auto* values : {&sums.least_hot, &sums.most_hot, &sums.least_cold, &sums.most_cold}) {
      values->resize(n);
    }
    for (std::size_t e = 0; e < n; ++e) {
      const FeederEdge& edge = model.edges[e];
      double low_hot = unlimited, high_hot = 0.0, low_cold = unlimited, high_cold = 0.0;
      for (const FeederOption& option : edge.options) {
        const FeederOption::Pole& pole = out ? option.out : option.back;
        low_hot = std::min(low_hot, pole.hot_ohm);
        high_hot = std::max(high_hot, pole.hot_ohm);
        low_cold = std::min(low_cold, pole.cold_ohm);
        high_cold = std::max(high_cold, pole.cold_ohm);
      }
      const int before = out ? edge.parent : edge.home;
      sums.least_hot[e] = at_end(sums.least_hot, before) + low_hot;
      sums.most_hot[e] = at_end(sums.most_hot, before) + high_hot;
      sums.least_cold[e] = at_end(sums.least_cold, before) + low_cold;
      sums.most_cold[e] = at_end(sums.most_cold, before) + high_cold;
    }
    return sums;
  };
  const Pole out = sum(true), back = sum(false);
  for (std::size_t e = 0; e < n; ++e) {
    range.least_hot.push_back(out.least_hot[e] + back.least_hot[e]);
    range.most_hot.push_back(out.most_hot[e] + back.most_hot[e]);
    range.least_cold.push_back(out.least_cold[e] + back.least_cold[e]);
    range.most_cold.push_back(out.most_cold[e] + back.most_cold[e]);
  }
  return range;
}

bool no_worse(const FeederOption::Pole& a, const FeederOption::Pole& b, bool cold_counts) {
  return a.wire_ohm <= b.wire_ohm && a.fixed_ohm <= b.fixed_ohm &&
         a.kelvin_per_watt * a.wire_ohm <= b.kelvin_per_watt * b.wire_ohm &&
         a.hot_ohm <= b.hot_ohm && (!cold_counts || a.cold_ohm >= b.cold_ohm);
}

bool covers(const FeederOption& a, const FeederOption& b, bool cold_counts) {
  return a.value <= b.value && a.carries_a >= b.carries_a && a.needs_fault_a <= b.needs_fault_a &&
         a.breaks_a >= b.breaks_a && a.least_inrush_ohm <= b.least_inrush_ohm &&
         no_worse(a.out, b.out, cold_counts) && no_worse(a.back, b.back, cold_counts);
}

/// Edges with a resistance somewhere behind them, through converters as well.
std::vector<char> resistive_behind(const FeederModel& model) {
  std::vector<char> found(model.edges.size(), 0);
  std::vector<char> behind_stage(model.stages.size(), 0);
  const auto mark = [&](std::size_t k) {
    if (model.draws[k].edge >= 0)
      found[static_cast<std::size_t>(model.draws[k].edge)] = 1;
    else if (model.draws[k].stage >= 0) {
      behind_stage[static_cast<std::size_t>(model.draws[k].stage)] = 1;
    }
  };
  for (std::size_t k = 0; k < model.draws.size(); ++k) {
    if (is_resistive(model.draws[k])) mark(k);
  }
  std::size_t stage = model.stages.size();
  const auto close_down_to = [&](int next) {
    for (; static_cast<int>(stage) - 1 > next; --stage) {
      if (behind_stage[stage - 1]) mark(model.stages[stage - 1].draw);
    }
  };
  for (std::size_t e = model.edges.size(); e-- > 0;) {
    const FeederEdge& edge = model.edges[e];
    close_down_to(edge.stage);
    if (!found[e]) continue;
    if (edge.parent >= 0) found[static_cast<std::size_t>(edge.parent)] = 1;
    if (edge.home >= 0) found[static_cast<std::size_t>(edge.home)] = 1;
    if (edge.parent < 0 && edge.stage >= 0) behind_stage[static_cast<std::size_t>(edge.stage)] = 1;
  }
  return found;
}

}  // namespace

ReducedFeeder reduce_feeder(const FeederModel& model, bool every_option) {
  const std::size_t n = model.edges.size();
  ReducedFeeder reduced;
  reduced.model = model;
  reduced.origin.resize(n);
  OptionLists all;
  for (const FeederEdge& edge : model.edges) {
    all.emplace_back();
    for (std::uint32_t k = 0; k < edge.options.size(); ++k) all.back().push_back(k);
  }
  const LeastCurrents least = least_currents(model, all);
  if (!least.possible) {
    reduced.possible = false;
    return reduced;
  }
  const std::vector<double> most = most_currents(model);
  const PathRange range = path_range(model);
  std::vector<char> open_below(n, 0);  // a limit that asks for more ohms nearer the root
  std::vector<std::vector<FeederOption>> kept(n);
  for (std::size_t e = n; e-- > 0;) {
    const FeederEdge& edge = model.edges[e];
    const auto before = [&](const std::vector<double>& path) { return at_end(path, edge.parent); };
    // The other end of a way back that parts: between the two extremes of the parent's path.
    const bool parted = edge.home != edge.parent;
    bool open_here = false;
    for (std::uint32_t k = 0; k < edge.options.size(); ++k) {
      FeederOption option = edge.options[k];
      if (above(least.design_a[e], option.carries_a)) continue;
      if (!above(most[e] * (1.0 + 1e-6), option.carries_a)) option.carries_a = unlimited;
      const double own_hot = option.out.hot_ohm + option.back.hot_ohm;
      const double own_cold = option.out.cold_ohm + option.back.cold_ohm;
      if (model.lowest_emf_v <= 0.0) option.needs_fault_a = 0.0;
      if (option.needs_fault_a > 0.0 && !parted) {
        const double loop = model.lowest_ohm + own_hot;
        const double best_a = model.lowest_emf_v / (loop + before(range.least_hot));
        if (above(option.needs_fault_a, best_a)) continue;
        const double worst_a = model.lowest_emf_v / (loop + before(range.most_hot));
        if (option.needs_fault_a <= worst_a) option.needs_fault_a = 0.0;
      }
      if (above(model.highest_emf_v,
                option.breaks_a * (model.highest_ohm + before(range.most_cold)))) {
        continue;
      }
      if (model.highest_emf_v <= option.breaks_a * (model.highest_ohm + before(range.least_cold))) {
        option.breaks_a = unlimited;
      }
      if (!parted) {
        const double loop = model.highest_ohm + own_cold;
        if (above(option.least_inrush_ohm, loop + before(range.most_cold))) continue;
        if (option.least_inrush_ohm <= loop + before(range.least_cold)) {
          option.least_inrush_ohm = 0.0;
        }
      }
      open_here = open_here || option.breaks_a < unlimited || option.least_inrush_ohm > 0.0;
      kept[e].push_back(option);
      reduced.origin[e].push_back(k);
    }
    if (kept[e].empty()) {
      reduced.possible = false;
      return reduced;
    }
    if (edge.parent >= 0 && (open_here || open_below[e])) {
      open_below[static_cast<std::size_t>(edge.parent)] = 1;
      if (parted && edge.home >= 0) open_below[static_cast<std::size_t>(edge.home)] = 1;
    }
    if (parted && edge.home >= 0) open_below[static_cast<std::size_t>(edge.home)] = 1;
  }
  const std::vector<char> resistive = resistive_behind(model);
  for (std::size_t e = 0; e < n; ++e) {
    // Cheapest and least lossy first, so that what stays is found early.
    std::vector<std::size_t> order(kept[e].size());
    for (std::size_t k = 0; k < order.size(); ++k) order[k] = k;
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      const FeederOption& x = kept[e][a];
      const FeederOption& y = kept[e][b];
      if (x.value != y.value) return x.value < y.value;
      return x.out.fixed_ohm < y.out.fixed_ohm;
    });
    std::vector<FeederOption> best;
    std::vector<std::uint32_t> origin;
    for (const std::size_t k : order) {
      bool covered = false;
      for (std::size_t j = best.size(); j-- > 0 && !covered;) {
        covered = covers(best[j], kept[e][k], open_below[e] != 0) &&
                  (!every_option || !resistive[e] || covers(kept[e][k], best[j], false));
      }
      if (covered) {
        if (resistive[e] && !every_option) leave_out(reduced.model.edges[e], kept[e][k]);
        continue;
      }
      best.push_back(kept[e][k]);
      origin.push_back(reduced.origin[e][k]);
    }
    reduced.model.edges[e].options = std::move(best);
    reduced.origin[e] = std::move(origin);
  }
  return reduced;
}

}  // namespace nightbus::wiring_detail
