/// The tree programme at given currents, for the worst of all cases and for each case alone.
///
/// Edges are runs, parents nearer the source. In case c an option of run e spends the volts that
/// its two poles lose at the run's currents, wire at its own temperature. A device at the end of a
/// run may lose, root to device,
///
///   share · limit(drop class) · nominal      and      volts at its source - lower end of its
///   window.
///
/// A limit that even the thickest wires cannot meet is left out here and told as a finding. Where
/// the return lands elsewhere than the run starts, its parents' returns are counted although they
/// may be spared: never less drop than there is.

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <span>
#include <utility>

#include "wiring/choose.hpp"
#include "wiring/feeder.hpp"

namespace nightbus::wiring_detail {

namespace {

FeederOption::Pole pole_of(const RunResistance& resistance, double device_ohm) {
  FeederOption::Pole pole;
  pole.wire_ohm = resistance.conductor_20c_ohm;
  pole.kelvin_per_watt = resistance.kelvin_per_watt;
  pole.fixed_ohm = resistance.joints_ohm + resistance.switch_ohm + device_ohm;
  return pole;
}

/// Volts lost in each case by one option of one run.
std::vector<double> spend_of(const RunContext& context, const Choosable& option,
                             double alpha_per_k) {
  const double device_ohm = option.candidate.device ? option.candidate.device->resistance_ohm : 0.0;
  const auto out = pole_of(option.option.positive, device_ohm);
  const auto back = pole_of(option.option.negative, 0.0);
  std::vector<double> spend;
  for (const RunCase& entry : context.cases) {
    const double there = pole_drop_v(out, entry.current_a, entry.ambient_c, alpha_per_k);
    const double home = pole_drop_v(back, entry.return_current_a, entry.ambient_c, alpha_per_k);
    spend.push_back(there + home);
  }
  return spend;
}

struct Limit {
  std::size_t run = 0;  ///< that leads to the device
  std::size_t case_index = 0;
  double budget_v = 0.0;
};

void add_limits(const Solved& solved, std::size_t run, DropClass drop_class, double nominal_v,
                const std::optional<Range>& window, std::optional<double> off_v, double share,
                const std::vector<double>& volts, const std::vector<double>& drops,
                std::vector<Limit>& limits) {
  const Rules& rules = solved.compiled.system().rules;
  const double ratio = drop_class == DropClass::critical ? rules.drop_critical : rules.drop_general;
  const double low_v = std::max(window ? window->low : 0.0, off_v.value_or(0.0));
  for (std::size_t c = 0; c < solved.results.size(); ++c) {
    const bool charging = solved.results[c].inputs.charging;
    double budget = charging ? unlimited : share * ratio * nominal_v;
    const double source_v = volts[c] + drops[c];
    if (low_v > 0.0 && source_v > low_v) budget = std::min(budget, source_v - low_v);
    limits.push_back({run, c, budget});
  }
}

template <class Get>
std::pair<std::vector<double>, std::vector<double>> volts_and_drops(const Solved& solved,
                                                                    const Get& get) {
  std::vector<double> volts, drops;
  for (const CaseResult& result : solved.results) {
    const bool known = result.readable();
    volts.push_back(known ? get(result).first : 0.0);
    drops.push_back(known ? get(result).second : 0.0);
  }
  return {std::move(volts), std::move(drops)};
}

std::vector<Limit> all_limits(const Solved& solved, double share) {
  const System& system = solved.compiled.system();
  std::vector<Limit> limits;
  for (std::size_t i = 0; i < solved.compiled.runs().size(); ++i) {
    const RunElements& run = solved.compiled.runs()[i];
    if (!run.connected) continue;
    const PointNodes& end = solved.compiled.points()[run.to];
    const std::size_t k = end.index;
    const auto take = [&](DropClass drop_class, const std::optional<Range>& window,
                          std::optional<double> off_v, const auto& get) {
      const auto [volts, drops] = volts_and_drops(solved, get);
      add_limits(solved, i, drop_class, run.nominal_v, window, off_v, share, volts, drops, limits);
    };
    if (end.kind == PointKind::load) {
      const Load& load = system.loads[k];
      take(load.drop_class, load.window_v, load.off_v, [k](const CaseResult& result) {
        return std::pair(result.loads[k].voltage_v, result.loads[k].drop_v);
      });
    } else if (end.kind == PointKind::fan) {
      const Fan& fan = system.fans[k];
      take(fan.drop_class, fan.window_v, {}, [k](const CaseResult& result) {
        return std::pair(result.fans[k].voltage_v, result.fans[k].drop_v);
      });
    } else if (end.kind == PointKind::converter) {
      const Converter& converter = system.converters[k];
      take(converter.drop_class, converter.window_v, converter.off_v,
           [k](const CaseResult& result) {
             return std::pair(result.converters[k].input_v, result.converters[k].drop_v);
           });
    }
  }
  return limits;
}

/// Edges in an order with parents first, and where each run went.
struct Order {
  std::vector<std::size_t> runs;  ///< [edge]
  std::vector<int> edge;          ///< [run]
};
Order parents_first(const std::vector<int>& parents) {
  Order order;
  order.edge.assign(parents.size(), -1);
  while (order.runs.size() < parents.size()) {
    for (std::size_t i = 0; i < parents.size(); ++i) {
      const bool ready = parents[i] < 0 || order.edge[static_cast<std::size_t>(parents[i])] >= 0;
      if (order.edge[i] >= 0 || !ready) continue;
      order.edge[i] = static_cast<int>(order.runs.size());
      order.runs.push_back(i);
    }
  }
  return order;
}

}  // namespace

ChoiceState choose_at(const Solved& solved, const std::vector<RunContext>& contexts,
                      std::vector<std::vector<Choosable>> candidates, double share) {
  const std::vector<int> parents = parents_of(solved.compiled);
  const Order order = parents_first(parents);
  const std::size_t cases = solved.results.size();
  const double alpha_per_k =
      1.0 / (solved.compiled.catalogue().material("copper").zero_resistance_k + 20.0);

  // Options that stay: those that pass their own checks; where none does, the thickest, so that
  // the rest of the plan can still be worked out and the failure is told with it.
  std::vector<std::vector<std::size_t>> kept(candidates.size());
  std::vector<std::vector<std::vector<double>>> spends(candidates.size());
  for (std::size_t i = 0; i < candidates.size(); ++i) {
    for (std::size_t k = 0; k < candidates[i].size(); ++k) {
      if (candidates[i][k].candidate.feasible()) kept[i].push_back(k);
    }
    if (kept[i].empty()) kept[i].push_back(candidates[i].size() - 1);
    for (std::size_t k : kept[i]) {
      spends[i].push_back(spend_of(contexts[i], candidates[i][k], alpha_per_k));
    }
  }
  // Least drop that any choice can reach, root to the end of each run.
  std::vector<std::vector<double>> least(candidates.size(), std::vector<double>(cases, 0.0));
  for (std::size_t i : order.runs) {
    for (std::size_t c = 0; c < cases; ++c) {
      double best = std::numeric_limits<double>::infinity();
      for (const auto& spend : spends[i]) best = std::min(best, spend[c]);
      const double before = parents[i] < 0 ? 0.0 : least[static_cast<std::size_t>(parents[i])][c];
      least[i][c] = before + best;
    }
  }

  std::vector<std::vector<double>> budgets(candidates.size(),
                                           std::vector<double>(cases, unlimited));
  for (const Limit& limit : all_limits(solved, share)) {
    if (limit.budget_v < least[limit.run][limit.case_index]) continue;
    double& budget = budgets[limit.run][limit.case_index];
    budget = std::min(budget, limit.budget_v);
  }
  // One front in many cases at once grows out of hand. The worst of all cases on every edge is on
  // the safe side; each case alone is a bound. Where the two agree, as they do when one case is the
  // worst everywhere, the choice is the optimum.
  const auto problem_of = [&](std::optional<std::size_t> only) {
    TreeProblem problem(1);
    for (std::size_t i : order.runs) {
      const auto edge = problem.edges();
      problem.add_edge(parents[i] < 0 ? -1 : order.edge[static_cast<std::size_t>(parents[i])]);
      for (std::size_t n = 0; n < kept[i].size(); ++n) {
        const auto& spend = spends[i][n];
        const double volts = only ? spend[*only] : *std::max_element(spend.begin(), spend.end());
        problem.add_option(candidates[i][kept[i][n]].value, std::span(&volts, 1));
      }
      const auto& budget = budgets[i];
      problem.set_budget(edge, 0,
                         only ? budget[*only] : *std::min_element(budget.begin(), budget.end()));
    }
    return problem;
  };
  ChoiceState state;
  state.tree = choose_exactly(problem_of({}));
  std::optional<TreeChoice> hardest;
  for (std::size_t c = 0; c < cases; ++c) {
    TreeChoice alone = choose_exactly(problem_of(c));
    if (!alone.feasible) continue;
    state.bound = std::max(state.bound, alone.value);
    if (!hardest || alone.value > hardest->value) hardest = std::move(alone);
  }
  // The worst of all cases mixed may have no answer where every single case has one.
  if (!state.tree.feasible && hardest) state.tree = std::move(*hardest);
  state.feasible = state.tree.feasible;
  state.chosen.resize(candidates.size());
  for (std::size_t i = 0; i < candidates.size(); ++i) {
    const auto edge = static_cast<std::size_t>(order.edge[i]);
    state.chosen[i] = state.tree.feasible ? kept[i][state.tree.option[edge]] : kept[i].back();
  }
  state.candidates = std::move(candidates);
  return state;
}

std::vector<RunChoice> choices_of(const CompiledSystem& compiled, const ChoiceState& state) {
  std::vector<RunChoice> choices = compiled.choices();
  for (std::size_t i = 0; i < choices.size(); ++i) {
    const Candidate& candidate = state.candidates[i][state.chosen[i]].candidate;
    choices[i].size = candidate.size;
    choices[i].return_size = candidate.return_size;
    choices[i].fuse_form = candidate.device ? candidate.device->form : std::string{};
    choices[i].fuse_a.reset();
    if (candidate.device) choices[i].fuse_a = candidate.device->rating_a;
  }
  return choices;
}

}  // namespace nightbus::wiring_detail
