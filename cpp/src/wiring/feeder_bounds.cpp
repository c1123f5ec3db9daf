/// Bounds of a branch, as intervals. With every edge at its least loss and every draw at its least
/// current the volts are highest; with the largest of both they are lowest:
///
///   Vlo ≤ V ≤ Vhi      P/Vhi + I + G Vlo  ≤  i  ≤  P/Vlo + I + G Vhi
///
/// Every turn of the iteration is a valid bound, so it may stop anywhere. A plan that keeps its
/// limits is not below them either: Vlo ≥ window, and Vlo ≥ lowest root voltage - drop limit.
///
/// Of a branch more may be proved: the drop D(e) to the end of an edge, beyond(e) more than the
/// least losses of the lists on the way. An option k of edge e whose loss is d(k) more than the
/// least then lowers the volts V of every draw j behind e by at least
///
///   x = beyond(parent) + d(k) - max over j of beyond(j),
///
/// for what is proved of j may have the loss of k in it already. It raises what e carries:
///
///   Σ P/(V - x) ≥ (Σ P/V) / (1 - x/Vend),   Vend the highest volts at the end of e.

#include "wiring/feeder_bounds.hpp"

#include <algorithm>
#include <cmath>

namespace nightbus::wiring_detail {

namespace {

struct Pair {
  double out = 0.0, back = 0.0;
};

using Pole = FeederOption::Pole;

/// Of the poles of each edge those that lose least, or most, at some current.
struct ExtremePoles {
  std::vector<Pole> out, back;  ///< edge after edge
  std::vector<std::size_t> out_from,
      back_from;  ///< where those of an edge begin; one more at the end
};

template <class NoWorse>
ExtremePoles extreme_poles(const FeederModel& model, const OptionLists& lists, NoWorse no_worse,
                           bool with_left_out) {
  ExtremePoles poles;
  for (std::size_t e = 0; e < lists.size(); ++e) {
    poles.out_from.push_back(poles.out.size());
    poles.back_from.push_back(poles.back.size());
    for (const std::uint32_t k : lists[e]) {
      const FeederOption& option = model.edges[e].options[k];
      keep_extreme(poles.out, poles.out_from[e], option.out, no_worse);
      keep_extreme(poles.back, poles.back_from[e], option.back, no_worse);
    }
    if (!with_left_out) continue;
    for (const Pole& pole : model.edges[e].left_out) {
      keep_extreme(poles.out, poles.out_from[e], pole, no_worse);
    }
    for (const Pole& pole : model.edges[e].left_back) {
      keep_extreme(poles.back, poles.back_from[e], pole, no_worse);
    }
  }
  poles.out_from.push_back(poles.out.size());
  poles.back_from.push_back(poles.back.size());
  return poles;
}

/// Extreme loss of an edge, each pole for itself.
template <class Better>
Pair extreme_drop_v(const FeederModel& model, std::size_t e, const ExtremePoles& poles,
                    double out_a, double back_a, std::size_t which, Better better) {
  const double ambient_c = model.edges[e].ambient_c[which];
  const auto extreme = [&](const std::vector<Pole>& of, const std::vector<std::size_t>& from,
                           double current_a) {
    double found = pole_drop_v(of[from[e]], current_a, ambient_c, model.alpha_per_k);
    for (std::size_t k = from[e] + 1; k < from[e + 1]; ++k) {
      found = better(found, pole_drop_v(of[k], current_a, ambient_c, model.alpha_per_k));
    }
    return found;
  };
  return {extreme(poles.out, poles.out_from, out_a), extreme(poles.back, poles.back_from, back_a)};
}

/// Most that a draw takes whatever its volts; `converters_w` as found for the stages.
double most_w(const FeederModel& model, std::size_t k, std::size_t which,
              std::span<const double> converters_w) {
  if (!model.draws[k].converter) return model.draws[k].power_w[which];
  for (std::size_t stage = 0; stage < model.stages.size(); ++stage) {
    if (model.stages[stage].draw == k) return converters_w[stage];
  }
  return 0.0;
}

/// Lowest voltage at the root and at the begin of each stage of any plan that keeps its limits:
/// every draw at its lowest volts. 0: nothing is known. `converters_w`: most that each takes.
std::vector<double> lowest_roots_v(const FeederModel& model, std::size_t which,
                                   std::vector<double>& converters_w) {
  std::vector<double> roots_v(source_count(model), 0.0);
  converters_w.assign(model.stages.size(), unlimited);
  for (int stage = static_cast<int>(model.stages.size()) - 1; stage >= -1; --stage) {
    const double emf_v = emf_of(model, stage, which);
    double root_v = emf_v;
    double total_a = 0.0;
    for (int turn = 0; turn < 30 && root_v > 0.0; ++turn) {
      total_a = 0.0;
      for (std::size_t k = 0; k < model.draws.size(); ++k) {
        const FeederDraw& draw = model.draws[k];
        if (draw.stage != stage) continue;
        const double least_v =
            std::max({draw.lowest_v, root_v - draw.drop_limit_v, least_volts_share * emf_v});
        total_a += draw.current_a[which] + draw.conductance_s[which] * emf_v;
        const double power_w = most_w(model, k, which, converters_w);
        if (power_w > 0.0) total_a += power_w / least_v;
      }
      const double ohm = ohm_of(model, stage, which);
      const double next_v = total_a < unlimited ? emf_v - ohm * total_a : 0.0;
      const bool settled = next_v >= root_v - 1e-9;
      root_v = next_v;
      if (settled) break;
    }
    // The iteration falls towards the bound from above; what is left of the way is well below this.
    if (root_v > 1e-6) roots_v[source_of(stage)] = root_v - 1e-6;
    if (stage >= 0 && root_v > 0.0) {
      const auto at = static_cast<std::size_t>(stage);
      converters_w[at] = stage_input_w(model.stages[at], which, total_a * (1.0 + 1e-6));
    }
  }
  return roots_v;
}

/// The intervals of one case while they tighten.
class CaseBounds {
 public:
  CaseBounds(const FeederModel& model, const ExtremePoles& kindest, const ExtremePoles& harshest,
             std::size_t which, std::span<const double> least_drop_v,
             std::span<const double> least_edge_a, LeastCurrents& least)
      : model_(model),
        kindest_(kindest),
        harshest_(harshest),
        which_(which),
        least_drop_v_(least_drop_v),
        least_edge_a_(least_edge_a),
        least_(least) {
    const std::size_t n = model.edges.size();
    const std::size_t m = model.draws.size();
    root_low_v_ = lowest_roots_v(model, which, converters_w_);
    for (const FeederDraw& draw : model.draws) {
      high_v_.push_back(emf_of(model, draw.stage, which));
      low_v_.push_back(
          std::max({draw.lowest_v, root_low_v_[source_of(draw.stage)] - draw.drop_limit_v,
                    least_volts_share * high_v_.back()}));
      resistive_ = resistive_ || draw.conductance_s[which] > 0.0;
    }
    for (auto* values : {&draw_a_, &power_a_}) values->resize(m);
    for (auto* values : {&total_a_, &root_v_}) values->resize(source_count(model));
    for (auto* values :
         {&out_v_, &back_v_, &drop_v_, &most_a_, &most_return_a_, &most_out_v_, &most_back_v_}) {
      values->resize(n);
    }
  }

  /// False when even the kindest choice collapses.
  bool run() {
    constexpr int most_turns = 16;
    for (int turn = 0; turn < most_turns; ++turn) {
      double moved_v = raise_least();
      if (moved_v < 0.0) return false;
      if (resistive_) moved_v = std::max(moved_v, lower_most());
      if (moved_v < 1e-9 * model_.emf_v[which_]) break;
    }
    finish();
    return true;
  }

 private:
  std::span<double> row(std::vector<double>& values) const {
    const std::size_t n = model_.edges.size();
    return std::span(values).subspan(which_ * n, n);
  }

  /// Least drop from the root to the end of edge e, by the lists and by what is proved beyond them.
  double drop_to_v(std::size_t e) const {
    const FeederEdge& edge = model_.edges[e];
    double drop_v = out_v_[e] + back_v_[e];
    if (least_drop_v_.empty()) return drop_v;
    drop_v = std::max(drop_v, least_drop_v_[e]);
    if (edge.home != edge.parent || edge.parent < 0) return drop_v;
    // What is proved of the parent goes on behind it.
    const auto p = static_cast<std::size_t>(edge.parent);
    const double own_v = out_v_[e] + back_v_[e] - out_v_[p] - back_v_[p];
    return std::max(drop_v, drop_v_[p] + own_v);
  }

  /// Least currents, highest volts; returns how far the volts moved, -1 for a collapse.
  double raise_least() {
    const auto edge_a = row(least_.edge_a);
    const auto return_a = row(least_.return_a);
    for (std::size_t k = 0; k < draw_a_.size(); ++k) {
      const FeederDraw& draw = model_.draws[k];
      power_a_[k] = draw.power_w[which_] / high_v_[k];
      draw_a_[k] = draw.converter ? high_v_[k]
                                  : power_a_[k] + draw.current_a[which_] +
                                        draw.conductance_s[which_] * low_v_[k];
    }
    gather_through(model_, which_, draw_a_, least_edge_a_, edge_a, return_a, total_a_);
    for (const FeederStage& stage : model_.stages) {
      power_a_[stage.draw] = draw_a_[stage.draw];
      least_.draw_w[which_ * draw_a_.size() + stage.draw] =
          draw_a_[stage.draw] * high_v_[stage.draw];
    }
    for (std::size_t e = 0; e < out_v_.size(); ++e) {
      const FeederEdge& edge = model_.edges[e];
      const Pair drop = extreme_drop_v(model_, e, kindest_, edge_a[e], return_a[e], which_,
                                       [](double a, double b) { return std::min(a, b); });
      out_v_[e] = at_end(out_v_, edge.parent) + drop.out;
      back_v_[e] = at_end(back_v_, edge.home) + drop.back;
      drop_v_[e] = drop_to_v(e);
    }
    for (int stage = -1; stage < static_cast<int>(model_.stages.size()); ++stage) {
      const std::size_t source = source_of(stage);
      root_v_[source] =
          emf_of(model_, stage, which_) - ohm_of(model_, stage, which_) * total_a_[source];
    }
    double moved_v = 0.0;
    for (std::size_t k = 0; k < high_v_.size(); ++k) {
      const int stage = model_.draws[k].stage;
      const double now_v = root_v_[source_of(stage)] - at_end(drop_v_, model_.draws[k].edge);
      if (!(now_v > least_volts_share * emf_of(model_, stage, which_))) return -1.0;
      moved_v = std::max(moved_v, std::abs(now_v - high_v_[k]));
      high_v_[k] = now_v;
    }
    return moved_v;
  }

  /// Largest currents, lowest volts. Only resistive draws take more from it.
  double lower_most() {
    std::vector<double>& most_draw_a = scratch_;
    most_draw_a.resize(draw_a_.size());
    for (std::size_t k = 0; k < draw_a_.size(); ++k) {
      const FeederDraw& draw = model_.draws[k];
      const double power_a = draw.power_w[which_] > 0.0 ? draw.power_w[which_] / low_v_[k] : 0.0;
      most_draw_a[k] = draw.converter ? low_v_[k]
                                      : power_a + draw.current_a[which_] +
                                            draw.conductance_s[which_] * high_v_[k];
    }
    gather_through(model_, which_, most_draw_a, {}, most_a_, most_return_a_, total_a_);
    for (std::size_t e = 0; e < most_a_.size(); ++e) {
      const FeederEdge& edge = model_.edges[e];
      const Pair drop = extreme_drop_v(model_, e, harshest_, most_a_[e], most_return_a_[e], which_,
                                       [](double a, double b) { return std::max(a, b); });
      most_out_v_[e] = at_end(most_out_v_, edge.parent) + drop.out;
      most_back_v_[e] = at_end(most_back_v_, edge.home) + drop.back;
    }
    for (int stage = -1; stage < static_cast<int>(model_.stages.size()); ++stage) {
      const std::size_t source = source_of(stage);
      root_low_v_[source] =
          std::max(root_low_v_[source], emf_of(model_, stage, which_) -
                                            ohm_of(model_, stage, which_) * total_a_[source]);
    }
    double moved_v = 0.0;
    for (std::size_t k = 0; k < low_v_.size(); ++k) {
      const FeederDraw& draw = model_.draws[k];
      const double root_low_v = root_low_v_[source_of(draw.stage)];
      const double now_v =
          std::max(root_low_v - at_end(most_out_v_, draw.edge) - at_end(most_back_v_, draw.edge),
                   root_low_v - draw.drop_limit_v);
      if (now_v <= low_v_[k]) continue;
      moved_v = std::max(moved_v, now_v - low_v_[k]);
      low_v_[k] = now_v;
    }
    return moved_v;
  }

  void finish() {
    std::vector<double>& unused = most_a_;
    const auto power_a = row(least_.constant_power_a);
    gather_currents(model_, power_a_, power_a, unused);
    gather_currents(model_, draw_a_, row(least_.of_draws_a), unused);
    const auto edge_a = row(least_.edge_a);
    const auto return_a = row(least_.return_a);
    const auto end_v = row(least_.end_v);
    const std::size_t m = model_.draws.size();
    std::copy(high_v_.begin(), high_v_.end(),
              least_.draw_v.begin() + static_cast<std::ptrdiff_t>(which_ * m));
    std::copy(draw_a_.begin(), draw_a_.end(),
              least_.draw_a.begin() + static_cast<std::ptrdiff_t>(which_ * m));
    std::copy(root_v_.begin(), root_v_.end(),
              least_.root_v.begin() + static_cast<std::ptrdiff_t>(which_ * root_v_.size()));
    for (std::size_t k = 0; k < m; ++k) {
      if (!model_.draws[k].converter) {
        least_.draw_w[which_ * m + k] = model_.draws[k].power_w[which_];
      }
    }
    const auto beyond_v = row(least_.beyond_v);
    const auto counted_v = row(least_.counted_v);
    for (std::size_t e = out_v_.size(); e-- > 0;) {
      end_v[e] = root_v_[source_of(model_.edges[e].stage)] - drop_v_[e];
      least_.design_a[e] = std::max({least_.design_a[e], edge_a[e], return_a[e]});
      beyond_v[e] = drop_v_[e] - out_v_[e] - back_v_[e];
      counted_v[e] = std::max(counted_v[e], beyond_v[e]);
      if (const int parent = model_.edges[e].parent; parent >= 0) {
        double& up = counted_v[static_cast<std::size_t>(parent)];
        up = std::max(up, counted_v[e]);
      }
    }
  }

  const FeederModel& model_;
  const ExtremePoles& kindest_;
  const ExtremePoles& harshest_;  ///< empty where nothing is resistive
  const std::size_t which_;
  const std::span<const double> least_drop_v_;  ///< [edge] of this case, or empty
  const std::span<const double> least_edge_a_;  ///< the same
  LeastCurrents& least_;
  bool resistive_ = false;
  std::vector<double> root_low_v_, converters_w_, total_a_, root_v_;
  std::vector<double> low_v_, high_v_, draw_a_, power_a_, out_v_, back_v_, drop_v_, scratch_;
  std::vector<double> most_a_, most_return_a_, most_out_v_, most_back_v_;
};

}  // namespace

LeastCurrents least_currents(const FeederModel& model, const OptionLists& lists,
                             const Proved& proved) {
  const std::size_t n = model.edges.size();
  LeastCurrents least;
  for (auto* values : {&least.edge_a, &least.return_a, &least.of_draws_a, &least.constant_power_a,
                       &least.end_v, &least.beyond_v, &least.counted_v}) {
    values->assign(model.cases * n, 0.0);
  }
  for (auto* values : {&least.draw_v, &least.draw_a, &least.draw_w}) {
    values->assign(model.cases * model.draws.size(), 0.0);
  }
  least.root_v.assign(model.cases * source_count(model), 0.0);
  least.design_a.resize(n);
  for (std::size_t e = 0; e < n; ++e) least.design_a[e] = model.edges[e].fixed_a;
  const ExtremePoles kindest = extreme_poles(model, lists, loses_no_more, false);
  ExtremePoles harshest;
  if (std::any_of(model.draws.begin(), model.draws.end(), is_resistive)) {
    harshest = extreme_poles(model, lists, loses_no_less, true);
  }
  for (std::size_t which = 0; which < model.cases && least.possible; ++which) {
    const auto row = [&](const std::vector<double>& values) {
      return values.empty() ? std::span<const double>{} : std::span(values).subspan(which * n, n);
    };
    least.possible =
        CaseBounds(model, kindest, harshest, which, row(proved.drop_v), row(proved.edge_a), least)
            .run();
  }
  return least;
}

ReturnPatterns find_patterns(const FeederModel& model) {
  const std::size_t n = model.edges.size();
  ReturnPatterns patterns;
  patterns.count = 0;
  patterns.of_edge.assign(n, 0);
  constexpr char unset = 2;
  std::vector<std::vector<char>> rows;
  for (std::size_t e = 0; e < n; ++e) {
    std::vector<char> mine(n, unset);
    for (int at = static_cast<int>(e); at >= 0;
         at = model.edges[static_cast<std::size_t>(at)].parent) {
      mine[static_cast<std::size_t>(at)] = 0;
    }
    for (int at = static_cast<int>(e); at >= 0;
         at = model.edges[static_cast<std::size_t>(at)].home) {
      mine[static_cast<std::size_t>(at)] = 1;
    }
    std::size_t row = 0;
    const auto agrees = [&](const std::vector<char>& other) {
      for (std::size_t k = 0; k < n; ++k) {
        if (mine[k] != unset && other[k] != unset && mine[k] != other[k]) return false;
      }
      return true;
    };
    while (row < rows.size() && !agrees(rows[row])) ++row;
    if (row == rows.size()) rows.emplace_back(n, unset);
    for (std::size_t k = 0; k < n; ++k) {
      if (mine[k] != unset) rows[row][k] = mine[k];
    }
    patterns.of_edge[e] = static_cast<std::uint32_t>(row);
  }
  patterns.count = std::max<std::size_t>(rows.size(), 1);
  patterns.counts.assign(patterns.count * n, 0);
  for (std::size_t row = 0; row < rows.size(); ++row) {
    for (std::size_t k = 0; k < n; ++k) patterns.counts[row * n + k] = rows[row][k] == 1 ? 1 : 0;
  }
  return patterns;
}

}  // namespace nightbus::wiring_detail
