/// A feeder's choice from its start to its proof: short lists and few cases, then branches, then
/// the plan held against everything that was left out on the way.

#include <algorithm>

#include "wiring/feeder_bounds.hpp"
#include "wiring/feeder_search.hpp"
#include "wiring/feeder_start.hpp"

namespace nightbus {

using wiring_detail::LeastCurrents;
using wiring_detail::OptionLists;

namespace {

/// The cases of a state that a model still holds.
FeederState of_cases(const FeederState& whole, const FeederModel& model,
                     const std::vector<std::size_t>& cases) {
  if (!whole.solved) return {};
  FeederState state = whole;
  wiring_detail::keep_cases(state.edge_a, cases, model.edges.size());
  wiring_detail::keep_cases(state.return_a, cases, model.edges.size());
  wiring_detail::keep_cases(state.drop_v, cases, model.draws.size());
  wiring_detail::keep_cases(state.draw_v, cases, model.draws.size());
  return state;
}

/// The choice, and whether it keeps what was left out on the way.
FeederChoice choose_started(const FeederModel& model, const FeederSearch& search, bool every_case,
                            bool& holds) {
  wiring_detail::StartedFeeder started =
      wiring_detail::start_feeder(model, search.cut_off, every_case, search.every_option);
  FeederSearch settings = search;
  settings.cut_off = started.value;
  FeederChoice choice;
  choice.proven = true;
  choice.bound = started.value;
  if (started.possible) {
    const FeederState known = of_cases(started.state, started.model, started.cases);
    choice = wiring_detail::search_feeder(started.model, settings, known);
  }
  choice.labels += started.labels;
  choice.solves += started.solves;
  if (choice.feasible) {
    for (std::size_t e = 0; e < choice.option.size(); ++e) {
      choice.option[e] = started.origin[e][choice.option[e]];
    }
    choice.state = solve_feeder(model, choice.option);
    holds = check_feeder(model, choice.option, choice.state).limit == FeederLimit::none;
    return choice;
  }
  holds = true;  // what the start found was held against everything
  choice.feasible = started.found;
  choice.value = started.value;
  choice.option = std::move(started.option);
  choice.state = std::move(started.state);
  return choice;
}

/// Chosen, and held against everything that was left out on the way.
FeederChoice choose_held(const FeederModel& model, const FeederSearch& search) {
  for (const bool every_case : {false, true}) {
    bool holds = false;
    FeederChoice choice = choose_started(model, search, every_case, holds);
    if (holds) return choice;
  }
  return wiring_detail::search_feeder(model, search, {});
}

}  // namespace

FeederChoice choose_feeder(const FeederModel& model, const FeederSearch& search) {
  for (const FeederEdge& edge : model.edges) {
    if (edge.options.empty()) return {.proven = true};
  }
  FeederChoice choice = choose_held(model, search);
  if (!choice.open_left_out || search.every_option) return choice;
  // Options left out may hold where what covers them does not, by a hair.
  FeederSearch full = search;
  full.every_option = true;
  full.cut_off = std::min(search.cut_off, choice.value);
  FeederChoice again = choose_held(model, full);
  again.branches += choice.branches;
  again.labels += choice.labels;
  again.solves += choice.solves;
  if (again.feasible || !choice.feasible) return again;
  choice.proven = again.proven;
  choice.bound = again.bound;
  choice.open_left_out = again.open_left_out;
  choice.branches = again.branches;
  choice.labels = again.labels;
  choice.solves = again.solves;
  return choice;
}

std::vector<std::size_t> hopeless_draws(const FeederModel& model) {
  OptionLists all;
  for (const FeederEdge& edge : model.edges) {
    all.emplace_back();
    for (std::uint32_t k = 0; k < edge.options.size(); ++k) all.back().push_back(k);
  }
  // Each draw by itself, the currents of the others as little as they can be.
  const LeastCurrents least = wiring_detail::least_currents(model, all);
  std::vector<std::size_t> hopeless;
  for (std::size_t k = 0; k < model.draws.size(); ++k) {
    const FeederDraw& draw = model.draws[k];
    bool lost = !least.possible;
    for (std::size_t which = 0; which < model.cases && !lost; ++which) {
      const double root_v = least.root_v[which * wiring_detail::source_count(model) +
                                         wiring_detail::source_of(draw.stage)];
      const double end_v =
          draw.edge < 0
              ? root_v
              : least.end_v[which * model.edges.size() + static_cast<std::size_t>(draw.edge)];
      lost = wiring_detail::above(root_v - end_v, draw.drop_limit_v) ||
             wiring_detail::above(draw.lowest_v, end_v);
    }
    if (lost) hopeless.push_back(k);
  }
  return hopeless;
}

}  // namespace nightbus
