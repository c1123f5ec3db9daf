/// From a system to its plan: the exact choice, then what the plan tells about it.

#include <algorithm>
#include <utility>

#include "wiring/choose_exact.hpp"

namespace nightbus {

namespace detail = wiring_detail;

namespace {

std::vector<TradeOffPoint> trade_off(const detail::ExactAsk& ask, int points) {
  std::vector<TradeOffPoint> curve;
  for (int k = 0; k < points; ++k) {
    TradeOffPoint point;
    point.limit_share = 0.4 + 1.2 * k / std::max(1, points - 1);
    const detail::ExactAsk part{ask.start,   ask.cases,   ask.options,
                                ask.devices, ask.weights, point.limit_share};
    const detail::ExactChoice found = detail::choose_exact(part);
    point.value = found.facts.value;
    point.feasible = found.feasible;
    const System& system = ask.start.system();
    for (std::size_t i = 0; i < found.picked.size(); ++i) {
      const Run& run = system.runs[i];
      const Conductor& out = conductor_for(system, ask.start.catalogue(), run,
                                           found.sizes[i][found.picked[i].size].size);
      const Conductor& back =
          run.return_size ? conductor_for(system, ask.start.catalogue(), run, *run.return_size)
                          : out;
      point.metal_kg += detail::metal_kg(run, out, back);
    }
    for (const EndVolts& end : detail::ends_of(found.solved)) {
      if (end.limit_ratio <= 0.0) continue;
      point.worst_drop_ratio = std::max(point.worst_drop_ratio, end.drop_ratio);
    }
    curve.push_back(point);
  }
  return curve;
}

detail::ChoiceState tell(const detail::ExactChoice& found, const DeviceRules* devices,
                         detail::Telling telling) {
  detail::ChoiceState state;
  state.feasible = found.feasible;
  for (std::size_t i = 0; i < found.picked.size(); ++i) {
    const detail::Picked& picked = found.picked[i];
    state.chosen.push_back(picked.size);
    state.candidates.push_back(detail::tell_candidates(
        found.contexts[i], found.sizes[i], picked.size, picked.device, devices, telling));
  }
  return state;
}

}  // namespace

WiringPlan choose_wiring(const System& system, const Catalogue& catalogue,
                         const WiringOptions& options, const DeviceRules* devices) {
  const CompiledSystem start =
      compile_system(system, catalogue, starting_choices(system, catalogue));
  const std::vector<Case> cases = cases_of(system);
  const Weights weights = detail::weights_of(system, options);
  const detail::ExactAsk ask{start, cases, options, devices, weights};
  detail::ExactChoice found =
      weights.per_size > 0.0 ? detail::choose_few_sizes(ask) : detail::choose_exact(ask);

  WiringPlan plan;
  plan.objective = system.rules.objective;
  plan.weights = weights;
  plan.rule_sets = system.rules.sets;
  plan.feasible = found.feasible;
  plan.optimality = found.facts;
  detail::ChoiceState state =
      tell(found, devices, options.explain ? detail::Telling::all : detail::Telling::near_by);
  if (options.size_ups) detail::fill_size_ups(plan, found.solved, state);
  plan.ends = detail::ends_of(found.solved);
  plan.cases = found.solved.results;
  detail::fill_runs(plan, found.solved, found.contexts, std::move(state), options.explain);
  detail::fill_findings(plan, system);
  if (options.trade_off_points > 0) plan.trade_off = trade_off(ask, options.trade_off_points);
  return plan;
}

}  // namespace nightbus
