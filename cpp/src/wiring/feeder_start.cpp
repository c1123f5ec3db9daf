/// Before branches are made: a good plan, and short lists.
///
/// One dimension at a time the tree programme is a sweep over staircases. It bounds the feeder as
/// well (all other dimensions left out), so it drops every option whose best plan already costs as
/// much as the good plan. Shorter lists narrow the ranges of paths and currents, by which more
/// limits are settled and more options fall: reduce, drop, reduce again. A case whose volts cannot
/// be the tightest anywhere and that brings no edge its largest current is left out as well:
/// whoever takes a plan from here holds it against every case once more.
///
/// The good plan comes from one dimension, too, that stands for the volts of all cases:
///
///   spend = max over d of spend_d        budget = min over d of budget_d
///
/// A sum of maxima is at least each of the sums, so what keeps this budget keeps all of them. The
/// plan is verified; where it fails by a little, the budget is cut by a little, and options that
/// break a limit of their own beside it are not offered again.

#include "wiring/feeder_start.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "wiring/feeder_reduce.hpp"
#include "wiring/tree_fronts.hpp"

namespace nightbus::wiring_detail {

namespace {

class Starter {
 public:
  Starter(const FeederModel& whole, double cut_off, bool every_case, bool every_option)
      : whole_(whole), every_case_(every_case), every_option_(every_option) {
    made_.value = cut_off;
  }

  StartedFeeder run() {
    made_.model = whole_;
    for (std::size_t which = 0; which < whole_.cases; ++which) made_.cases.push_back(which);
    for (const FeederEdge& edge : whole_.edges) {
      made_.origin.emplace_back();
      for (std::uint32_t k = 0; k < edge.options.size(); ++k) made_.origin.back().push_back(k);
    }
    constexpr int most_passes = 6;
    for (int pass = 0; pass < most_passes && made_.possible; ++pass) {
      const std::size_t before = count();
      if (!pass_over()) made_.possible = false;
      if (pass > 0 && count() * 20 > before * 19) break;
    }
    return std::move(made_);
  }

 private:
  std::size_t count() const {
    std::size_t all = 0;
    for (const auto& list : made_.origin) all += list.size();
    return all;
  }

  double wanted_below() const {
    return made_.value == unlimited ? unlimited
                                    : made_.value - 1e-12 * (1.0 + std::abs(made_.value));
  }

  /// False: nothing is left below the best value.
  bool pass_over() {
    ReducedFeeder reduced = reduce_feeder(made_.model, every_option_);
    if (!reduced.possible) return false;
    for (std::size_t e = 0; e < made_.origin.size(); ++e) {
      for (std::uint32_t& k : reduced.origin[e]) k = made_.origin[e][k];
    }
    made_.origin = std::move(reduced.origin);
    made_.model = std::move(reduced.model);

    OptionLists all;
    for (const FeederEdge& edge : made_.model.edges) {
      all.emplace_back();
      for (std::uint32_t k = 0; k < edge.options.size(); ++k) all.back().push_back(k);
    }
    const ReturnPatterns patterns = find_patterns(made_.model);
    LeastCurrents least = least_currents(made_.model, all);
    if (!least.possible) return false;
    Relaxation relaxed = relax(made_.model, patterns, all, least);
    if (!relaxed.possible) return false;
    if (!every_case_ && leave_cases(relaxed, least)) {
      least = least_currents(made_.model, all);
      relaxed = relax(made_.model, patterns, all, least);
    }
    if (relaxed.useful.empty()) {
      look_for_plan(relaxed);
      keep(relaxed, {});
      return true;
    }
    std::vector<char> in(relaxed.table.first.back(), 1);
    look_for_plan(relaxed);
    if (!drop(relaxed, in)) return false;
    keep(relaxed, in);
    return std::none_of(made_.origin.begin(), made_.origin.end(),
                        [](const auto& list) { return list.empty(); });
  }

  /// True when some case was left out.
  bool leave_cases(const Relaxation& relaxed, const LeastCurrents& least) {
    FeederModel& model = made_.model;
    const std::size_t n = model.edges.size();
    std::vector<char> needed(model.cases, 0);
    for (const std::size_t d : relaxed.useful) {
      if (const auto which = relaxed.case_of(d, model.cases)) needed[*which] = 1;
    }
    for (std::size_t e = 0; e < n; ++e) {
      const auto& options = model.edges[e].options;
      if (std::all_of(options.begin(), options.end(),
                      [](const FeederOption& option) { return option.carries_a == unlimited; })) {
        continue;
      }
      const auto current_a = [&](std::size_t which) {
        return std::max(least.edge_a[which * n + e], least.return_a[which * n + e]);
      };
      std::size_t largest = 0;
      for (std::size_t which = 1; which < model.cases; ++which) {
        if (current_a(which) > current_a(largest)) largest = which;
      }
      if (model.cases > 0 && current_a(largest) > model.edges[e].fixed_a) needed[largest] = 1;
    }
    std::vector<std::size_t> left;
    for (std::size_t which = 0; which < model.cases; ++which) {
      if (needed[which]) left.push_back(which);
    }
    if (left.size() == model.cases) return false;
    for (FeederEdge& edge : model.edges) keep_cases(edge.ambient_c, left);
    for (FeederDraw& draw : model.draws) {
      for (auto* values : {&draw.power_w, &draw.current_a, &draw.conductance_s}) {
        keep_cases(*values, left);
      }
    }
    keep_cases(model.emf_v, left);
    keep_cases(model.source_ohm, left);
    for (FeederStage& stage : model.stages) {
      for (auto* values : {&stage.emf_v, &stage.source_ohm, &stage.standby_w}) {
        keep_cases(*values, left);
      }
    }
    for (std::size_t& which : left) which = made_.cases[which];
    made_.cases = std::move(left);
    model.cases = made_.cases.size();
    return true;
  }

  /// Options that some plan below the best value can take, each dimension by itself.
  bool drop(const Relaxation& relaxed, std::vector<char>& in) {
    for (const std::size_t d : relaxed.useful) {
      const TreeProblem problem = relaxed.problem(made_.model, {d});
      Programme programme(problem, wanted_below());
      programme.run();
      const TreeChoice choice = programme.choice();
      made_.labels += choice.labels;
      if (!choice.feasible) return false;
      const Marginals marginals = programme.marginals();
      for (std::size_t k = 0; k < in.size(); ++k) {
        if (marginals.least_with[k] >= wanted_below()) in[k] = 0;
      }
    }
    return true;
  }

  /// Only options that are `in` (empty: all that the relaxation kept) stay in the model.
  void keep(const Relaxation& relaxed, const std::vector<char>& in) {
    for (std::size_t e = 0; e < made_.origin.size(); ++e) {
      std::vector<FeederOption> options;
      std::vector<std::uint32_t> origin;
      for (std::size_t k = 0; k < relaxed.kept[e].size(); ++k) {
        if (!in.empty() && !in[relaxed.table.first[e] + k]) continue;
        options.push_back(made_.model.edges[e].options[relaxed.kept[e][k]]);
        origin.push_back(made_.origin[e][relaxed.kept[e][k]]);
      }
      made_.model.edges[e].options = std::move(options);
      made_.origin[e] = std::move(origin);
    }
  }

  void look_for_plan(const Relaxation& relaxed) {
    Attempt attempt;
    attempt.usable.assign(relaxed.table.first.back(), 1);
    constexpr int most_attempts = 8;
    for (int k = 0; k < most_attempts && try_plan(relaxed, attempt); ++k) {
    }
  }

  struct Attempt {
    double slack = 1.0;        ///< share of the volts that may be spent
    std::vector<char> usable;  ///< [option] keeps its own limits beside the plans tried so far
  };

  /// True when another attempt may do better.
  bool try_plan(const Relaxation& relaxed, Attempt& attempt) {
    const SpendTable& table = relaxed.table;
    const std::size_t n = made_.model.edges.size();
    std::vector<std::size_t> volts;
    for (const std::size_t d : relaxed.useful) {
      if (relaxed.case_of(d, made_.model.cases)) volts.push_back(d);
    }
    TreeProblem problem(1);
    std::vector<std::vector<std::uint32_t>> offered(n);  // of those kept
    for (std::size_t e = 0; e < n; ++e) {
      const FeederEdge& edge = made_.model.edges[e];
      problem.add_edge(edge.parent);
      double budget = unlimited;
      for (const std::size_t d : volts) {
        if (!relaxed.counts_at(edge, d)) continue;
        budget = std::min(budget, table.budget[e * table.dims + d]);
      }
      problem.set_budget(e, 0, budget * attempt.slack);
      for (std::size_t k = 0; k < relaxed.kept[e].size(); ++k) {
        if (!attempt.usable[table.first[e] + k]) continue;
        const std::size_t row = (table.first[e] + k) * table.dims;
        double spend = 0.0;
        for (const std::size_t d : volts) {
          if (relaxed.counts_at(edge, d)) spend = std::max(spend, table.spend[row + d]);
        }
        problem.add_option(edge.options[relaxed.kept[e][k]].value, std::array{spend});
        offered[e].push_back(static_cast<std::uint32_t>(k));
      }
      if (offered[e].empty()) return false;
    }
    Programme programme(problem, wanted_below());
    programme.run();
    const TreeChoice choice = programme.choice();
    made_.labels += choice.labels;
    if (!choice.feasible) return false;
    std::vector<std::uint32_t> option(n), reduced(n);
    for (std::size_t e = 0; e < n; ++e) {
      reduced[e] = relaxed.kept[e][offered[e][choice.option[e]]];
      option[e] = made_.origin[e][reduced[e]];
    }
    ++made_.solves;
    FeederState state = solve_feeder(whole_, option);
    const FeederViolation violation = check_feeder(whole_, option, state);
    if (violation.limit == FeederLimit::none) {
      made_.found = true;
      made_.value = choice.value;
      made_.option = std::move(option);
      made_.state = std::move(state);
      return false;
    }
    if (violation.limit == FeederLimit::no_solution) {
      attempt.slack *= 0.9;
    } else if (violation.limit == FeederLimit::drop) {
      attempt.slack *= std::min(0.999, violation.bound / violation.value);
    } else if (violation.limit == FeederLimit::window) {
      attempt.slack *= 0.98;
    } else {
      keep_usable(relaxed, reduced, state, attempt);
    }
    return true;
  }

  /// Beside a plan: its currents and its ohms on the way to each edge.
  void keep_usable(const Relaxation& relaxed, const std::vector<std::uint32_t>& option,
                   const FeederState& state, Attempt& attempt) const {
    const FeederModel& model = made_.model;
    const FaultPaths paths = fault_paths(model, option);
    for (std::size_t e = 0; e < model.edges.size(); ++e) {
      const FeederEdge& edge = model.edges[e];
      const double hot_ohm =
          model.lowest_ohm + at_end(paths.hot_out, edge.parent) + at_end(paths.hot_back, edge.home);
      const double near_ohm = model.highest_ohm + at_end(paths.cold_out, edge.parent) +
                              at_end(paths.cold_back, edge.parent);
      const double cold_ohm = model.highest_ohm + at_end(paths.cold_out, edge.parent) +
                              at_end(paths.cold_back, edge.home);
      for (std::size_t k = 0; k < relaxed.kept[e].size(); ++k) {
        const FeederOption& each = edge.options[relaxed.kept[e][k]];
        const double far_ohm = hot_ohm + each.out.hot_ohm + each.back.hot_ohm;
        const double far_cold_ohm = cold_ohm + each.out.cold_ohm + each.back.cold_ohm;
        if (above(state.design_a[e], each.carries_a) ||
            above(each.needs_fault_a * far_ohm, model.lowest_emf_v) ||
            above(model.highest_emf_v, each.breaks_a * near_ohm) ||
            above(each.least_inrush_ohm, far_cold_ohm)) {
          attempt.usable[relaxed.table.first[e] + k] = 0;
        }
      }
    }
  }

  const FeederModel& whole_;
  const bool every_case_, every_option_;
  StartedFeeder made_;
};

}  // namespace

StartedFeeder start_feeder(const FeederModel& whole, double cut_off, bool every_case,
                           bool every_option) {
  return Starter(whole, cut_off, every_case, every_option).run();
}

}  // namespace nightbus::wiring_detail
