/// Before branches are made: a good plan, and short lists.
///
/// One dimension at a time the tree programme is a sweep over staircases. It bounds the feeder as
/// well (all other dimensions left out), so it drops every option whose best plan already costs as
/// much as the good plan. Shorter lists narrow the ranges of paths and currents, by which more
/// limits are settled and more options fall: reduce, drop, reduce again. A case whose volts cannot
/// be the tightest anywhere and that brings no edge its largest current is left out as well:
/// whoever takes a plan from here holds it against every case once more.
///
/// The good plan comes from one dimension, too, that stands for all of them:
///
///   spend = max over d of spend_d / ref_d        budget = min over d of budget_d / ref_d
///
/// A sum of maxima is at least each of the sums, so what keeps this budget keeps all of them. The
/// plan is verified; where it fails by a little, the budget is cut by a little.

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
  Starter(const FeederModel& whole, double cut_off, bool every_case)
      : whole_(whole), every_case_(every_case) {
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
    ReducedFeeder reduced = reduce_feeder(made_.model);
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
    if (!drop(relaxed, in)) return false;
    look_for_plan(relaxed);
    if (made_.found && !drop(relaxed, in)) return false;
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
    for (const double slack : {1.0, 0.99, 0.95}) {
      if (try_plan(relaxed, slack)) break;
    }
  }

  /// True when there is no need to try with less of the budgets.
  bool try_plan(const Relaxation& relaxed, double slack) {
    const SpendTable& table = relaxed.table;
    const std::size_t n = made_.model.edges.size();
    const std::vector<double> reference = references(relaxed);
    TreeProblem problem(1);
    for (std::size_t e = 0; e < n; ++e) {
      problem.add_edge(made_.model.edges[e].parent);
      double budget = unlimited;
      for (std::size_t j = 0; j < relaxed.useful.size(); ++j) {
        budget = std::min(budget, table.budget[e * table.dims + relaxed.useful[j]] / reference[j]);
      }
      problem.set_budget(e, 0, budget * slack);
      for (std::size_t k = 0; k < relaxed.kept[e].size(); ++k) {
        const std::size_t row = (table.first[e] + k) * table.dims;
        double spend = 0.0, own = unlimited;
        for (std::size_t j = 0; j < relaxed.useful.size(); ++j) {
          spend = std::max(spend, table.spend[row + relaxed.useful[j]] / reference[j]);
          own = std::min(own, table.own[row + relaxed.useful[j]] / reference[j]);
        }
        problem.add_option(made_.model.edges[e].options[relaxed.kept[e][k]].value,
                           std::array{spend}, std::array{own});
      }
    }
    Programme programme(problem, wanted_below());
    programme.run();
    const TreeChoice choice = programme.choice();
    made_.labels += choice.labels;
    if (!choice.feasible) return true;
    std::vector<std::uint32_t> option(n);
    for (std::size_t e = 0; e < n; ++e) {
      option[e] = made_.origin[e][relaxed.kept[e][choice.option[e]]];
    }
    ++made_.solves;
    FeederState state = solve_feeder(whole_, option);
    if (check_feeder(whole_, option, state).limit != FeederLimit::none) return false;
    made_.found = true;
    made_.value = choice.value;
    made_.option = std::move(option);
    made_.state = std::move(state);
    return true;
  }

  /// Of volts the tightest budget; of ohms what goes with it on the thinnest options.
  std::vector<double> references(const Relaxation& relaxed) const {
    const SpendTable& table = relaxed.table;
    std::vector<double> reference;
    double volts = 0.0, reference_v = 0.0;
    const auto sum_of = [&](std::size_t d) {
      double sum = 0.0;
      for (std::size_t e = 0; e < made_.model.edges.size(); ++e) {
        double least = unlimited;
        for (std::size_t k = table.first[e]; k < table.first[e + 1]; ++k) {
          least = std::min(least, table.spend[k * table.dims + d]);
        }
        sum += least;
      }
      return sum;
    };
    for (const std::size_t d : relaxed.useful) {
      double least = unlimited;
      if (relaxed.case_of(d, made_.model.cases)) {
        for (std::size_t e = 0; e < made_.model.edges.size(); ++e) {
          least = std::min(least, table.budget[e * table.dims + d]);
        }
        if (least < unlimited && least > 0.0 && reference_v <= 0.0) {
          volts = sum_of(d);
          reference_v = least;
        }
      } else if (reference_v > 0.0 && volts > 0.0) {
        least = reference_v * sum_of(d) / volts;
      }
      reference.push_back(least < unlimited && least > 0.0 ? least : 1.0);
    }
    return reference;
  }

  const FeederModel& whole_;
  const bool every_case_;
  StartedFeeder made_;
};

}  // namespace

StartedFeeder start_feeder(const FeederModel& whole, double cut_off, bool every_case) {
  return Starter(whole, cut_off, every_case).run();
}

}  // namespace nightbus::wiring_detail
