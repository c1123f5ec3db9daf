/// The choice, closed on the nonlinear network.
///
///   1  currents with the thickest wire everywhere: the least that any choice draws (a constant
///      power takes less current the higher its volts), so the tree programme at these currents is
///      a bound on every plan;
///   2  choose, solve every case with what was chosen, choose again at those currents, until the
///      choice stays and its own solution keeps every limit;
///   3  a choice that breaks a limit by what the programme could not see (currents that grew) is
///      mended by tightening all drop limits a little, and the bound says what that cost.

#include <algorithm>
#include <cmath>
#include <set>
#include <utility>

#include "wiring/choose.hpp"

namespace nightbus {

namespace detail = wiring_detail;

namespace {

constexpr int most_rounds = 12;
constexpr double own_current_room = 1.005;

double value_of(const detail::ChoiceState& state) {
  double value = 0.0;
  for (std::size_t i = 0; i < state.chosen.size(); ++i) {
    value += state.candidates[i][state.chosen[i]].value;
  }
  return value;
}

/// How far the worst device is above its drop limit, as a factor; 1 or less: all kept.
double worst_excess(const std::vector<EndVolts>& ends, const std::vector<EndVolts>& best) {
  double worst = 0.0;
  for (std::size_t k = 0; k < ends.size(); ++k) {
    if (ends[k].kind == "PoE link" || ends[k].limit_ratio <= 0.0) continue;
    // What cannot be met with the thickest wire is no fault of the choice.
    if (best[k].drop_ratio > best[k].limit_ratio) continue;
    worst = std::max(worst, ends[k].drop_ratio / ends[k].limit_ratio);
  }
  return worst;
}

struct Search {
  detail::Solved solved;
  std::vector<RunContext> contexts;
  detail::ChoiceState state;
  Optimality facts;
};

bool keeps_everything(const Search& found) {
  if (!found.state.feasible) return false;
  for (std::size_t i = 0; i < found.state.chosen.size(); ++i) {
    if (!found.state.candidates[i][found.state.chosen[i]].candidate.feasible()) return false;
  }
  return true;
}

/// Each run as thin as its own current lets it be: the other end of what may be chosen, where
/// faults are weak and small devices can break them.
std::vector<RunChoice> thinnest_choices(const detail::Solved& solved) {
  const CompiledSystem& compiled = solved.compiled;
  const System& system = compiled.system();
  std::vector<RunChoice> choices = compiled.choices();
  for (const RunContext& context : detail::run_contexts(solved)) {
    if (context.run->size) continue;
    for (const ConductorSize& size : sizes_for(system, compiled.catalogue(), *context.run)) {
      const Conductor& conductor = conductor_for(system, compiled.catalogue(), *context.run, size);
      if (!detail::judge_conductor(context, conductor, nullptr).fits) continue;
      choices[context.index].size = size;
      break;
    }
  }
  return choices;
}

bool has_loops(const CompiledSystem& compiled) {
  std::set<std::size_t> reached;
  for (const RunElements& run : compiled.runs()) {
    const PointKind kind = compiled.points()[run.from].kind;
    if (!run.connected || kind == PointKind::charger || kind == PointKind::array) continue;
    if (!reached.insert(run.to).second) return true;
  }
  return false;
}

/// Alternates choice and solution from one beginning.
Search alternate(const CompiledSystem& start, const detail::Solved& first,
                 const std::vector<EndVolts>& best_ends, const std::vector<Case>& cases,
                 const WiringOptions& options, const DeviceRules* devices, const Weights& weights,
                 double share) {
  const auto sizes = detail::size_options(start);
  Search found{first, {}, {}, {}};
  found.facts.solves = cases.size();
  double tightened = share;
  std::vector<std::vector<RunChoice>> seen;
  for (int round = 1; round <= most_rounds; ++round) {
    found.facts.rounds = round;
    found.contexts = detail::run_contexts(found.solved);
    if (round > 1) {
      // A device's own resistance moves the current a little: without this hair of room two ratings
      // would take turns at the edge.
      for (RunContext& context : found.contexts) {
        if (!context.device_at_far_end && !context.run->spare) context.design_a *= own_current_room;
      }
    }
    found.state = detail::choose_at(
        found.solved, found.contexts,
        detail::judge_all(found.solved, found.contexts, sizes, devices, weights, false), tightened);
    found.facts.labels += found.state.tree.labels;
    if (round == 1) found.facts.bound = found.state.bound;
    std::vector<RunChoice> choices = detail::choices_of(start, found.state);
    const bool same = choices == found.solved.compiled.choices();
    found.solved =
        detail::solve_all(found.solved.compiled.with_choices(choices), cases, options.conditions);
    found.facts.solves += cases.size();
    const double excess = worst_excess(detail::ends_of(found.solved), best_ends) / share;
    if (same && excess <= 1.0 + 1e-9) break;
    const bool cycling = std::find(seen.begin(), seen.end(), choices) != seen.end();
    if (excess > 1.0 + 1e-9 && (same || cycling)) {
      tightened *= std::min(0.999, 1.0 / excess);
    } else if (cycling && excess <= 1.0 + 1e-9) {
      break;  // two choices take turns and this one keeps every limit
    }
    seen.push_back(std::move(choices));
  }
  found.contexts = detail::run_contexts(found.solved);
  found.facts.value = value_of(found.state);
  if (tightened < share) {
    found.facts.note = "drop limits were tightened to keep them on the network's own solution";
  }
  return found;
}

/// From both ends: with thick feeders faults are strong and devices large, with thin ones weak and
/// small; the better plan that keeps everything is taken, the bound is that of the thick end.
Search search(const CompiledSystem& start, const std::vector<Case>& cases,
              const WiringOptions& options, const DeviceRules* devices, const Weights& weights,
              double share) {
  const detail::Solved thick = detail::solve_all(start, cases, options.conditions);
  const std::vector<EndVolts> best_ends = detail::ends_of(thick);
  Search found = alternate(start, thick, best_ends, cases, options, devices, weights, share);
  const detail::Solved thin =
      detail::solve_all(start.with_choices(thinnest_choices(thick)), cases, options.conditions);
  Search other = alternate(start, thin, best_ends, cases, options, devices, weights, share);
  const bool found_keeps = keeps_everything(found);
  const bool other_keeps = keeps_everything(other);
  // Device limits depend on the choice itself, so only the lower of the two bounds is one.
  const double bound = std::min(found.facts.bound, other.facts.bound);
  const bool better = other.facts.value < found.facts.value;
  if (other_keeps ? (!found_keeps || better) : (!found_keeps && better)) found = std::move(other);
  found.facts.bound = bound;
  return found;
}

void prove(Optimality& facts, const detail::ChoiceState& state, const CompiledSystem& compiled,
           const Weights& weights) {
  const double slack = 1e-9 * std::max(1.0, facts.value);
  facts.bound = std::min(facts.bound, facts.value);
  facts.proven = facts.value - facts.bound <= slack && state.feasible;
  if (has_loops(compiled)) {
    facts.proven = false;
    facts.note = "loops: the choice follows one tree of them, verified on the whole network";
  } else if (weights.per_size > 0.0) {
    facts.proven = false;
    facts.note = "fewest sizes: found by trying each size's absence, no bound";
  } else if (facts.proven) {
    facts.note.clear();
  } else if (facts.note.empty()) {
    facts.note = "currents grew with the thinner wire; the bound is at the least currents";
  }
}

/// Fewer different sizes: leaves out one size after another as long as the objective gains.
void merge_sizes(Search& found, const CompiledSystem& start, const std::vector<Case>& cases,
                 const WiringOptions& options, const DeviceRules* devices, const Weights& weights) {
  const auto count = [](const detail::ChoiceState& state) {
    std::set<std::pair<int, double>> sizes;
    for (std::size_t i = 0; i < state.chosen.size(); ++i) {
      const ConductorSize& size = state.candidates[i][state.chosen[i]].candidate.size;
      sizes.emplace(static_cast<int>(size.system), size.number);
    }
    return sizes;
  };
  const auto total = [&](const Search& plan) {
    return plan.facts.value + weights.per_size * static_cast<double>(count(plan.state).size());
  };
  bool gained = true;
  System system = start.system();
  while (gained) {
    gained = false;
    const auto sizes = count(found.state);
    for (const auto& left_out : sizes) {
      System fewer = system;
      fewer.rules.stock.clear();
      for (const auto& each : sizes) {
        if (each == left_out) continue;
        fewer.rules.stock.push_back({static_cast<SizeSystem>(each.first), each.second});
      }
      if (fewer.rules.stock.empty()) continue;
      const CompiledSystem compiled =
          compile_system(fewer, start.catalogue(), starting_choices(fewer, start.catalogue()));
      Search other = search(compiled, cases, options, devices, weights, 1.0);
      const bool all_fit = std::all_of(other.state.chosen.begin(), other.state.chosen.end(),
                                       [&, i = std::size_t{0}](auto k) mutable {
                                         return other.state.candidates[i++][k].candidate.feasible();
                                       });
      if (!other.state.feasible || !all_fit || total(other) >= total(found)) continue;
      found = std::move(other);
      system = std::move(fewer);
      gained = true;
      break;
    }
  }
}

std::vector<TradeOffPoint> trade_off(const CompiledSystem& start, const std::vector<Case>& cases,
                                     const WiringOptions& options, const DeviceRules* devices,
                                     const Weights& weights) {
  std::vector<TradeOffPoint> curve;
  for (int k = 0; k < options.trade_off_points; ++k) {
    TradeOffPoint point;
    point.limit_share = 0.4 + 1.2 * k / std::max(1, options.trade_off_points - 1);
    const Search found = search(start, cases, options, devices, weights, point.limit_share);
    point.value = found.facts.value;
    point.feasible = found.state.feasible;
    for (std::size_t i = 0; i < found.state.chosen.size(); ++i) {
      point.metal_kg += found.state.candidates[i][found.state.chosen[i]].candidate.metal_kg;
    }
    for (const EndVolts& end : detail::ends_of(found.solved)) {
      if (end.kind != "PoE link")
        point.worst_drop_ratio = std::max(point.worst_drop_ratio, end.drop_ratio);
    }
    curve.push_back(point);
  }
  return curve;
}

}  // namespace

WiringPlan choose_wiring(const System& system, const Catalogue& catalogue,
                         const WiringOptions& options, const DeviceRules* devices) {
  const CompiledSystem start =
      compile_system(system, catalogue, starting_choices(system, catalogue));
  const std::vector<Case> cases = cases_of(system);
  const Weights weights = detail::weights_of(system, options);
  Search found = search(start, cases, options, devices, weights, 1.0);
  if (weights.per_size > 0.0) merge_sizes(found, start, cases, options, devices, weights);

  WiringPlan plan;
  plan.objective = system.rules.objective;
  plan.weights = weights;
  plan.rule_sets = system.rules.sets;
  plan.feasible = found.state.feasible;
  plan.optimality = found.facts;
  prove(plan.optimality, found.state, start, weights);
  if (options.size_ups) detail::fill_size_ups(plan, found.solved, found.state);
  if (options.explain) {
    // The words are made once, for the contexts of the plan itself.
    const auto sizes = detail::size_options(start);
    auto told = detail::judge_all(found.solved, found.contexts, sizes, devices, weights, true);
    for (std::size_t i = 0; i < told.size() && told[i].size() == found.state.candidates[i].size();
         ++i) {
      // The device stays the one the plan was verified with.
      const std::size_t k = found.state.chosen[i];
      if (told[i][k].candidate.device == found.state.candidates[i][k].candidate.device) {
        found.state.candidates[i] = std::move(told[i]);
      } else if (devices) {
        Candidate& candidate = told[i][k].candidate;
        candidate.device = found.state.candidates[i][k].candidate.device;
        candidate.checks.clear();
        const Conductor& conductor =
            conductor_for(system, catalogue, system.runs[i], candidate.size);
        const auto judged =
            detail::judge_conductor(found.contexts[i], conductor, &candidate.checks);
        devices->explain(found.contexts[i], conductor, judged.ampacity_a,
                         candidate.device ? &*candidate.device : nullptr, candidate.checks);
        candidate.failed.reset();
        for (std::size_t n = 0; n < candidate.checks.size() && !candidate.failed; ++n) {
          if (!candidate.checks[n].passed && candidate.checks[n].rejects) candidate.failed = n;
        }
        found.state.candidates[i] = std::move(told[i]);
      }
    }
  }
  plan.ends = detail::ends_of(found.solved);
  plan.cases = found.solved.results;
  detail::fill_runs(plan, found.solved, found.contexts, std::move(found.state), options.explain);
  detail::fill_findings(plan, system);
  if (options.trade_off_points > 0) {
    plan.trade_off = trade_off(start, cases, options, devices, weights);
  }
  return plan;
}

}  // namespace nightbus
