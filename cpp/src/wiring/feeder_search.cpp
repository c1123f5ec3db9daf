/// Branch and bound over option lists. Of a branch:
///
///   least currents -> linear programme -> its optimum x, whose value bounds the branch from below
///   value(x) ≥ best known            nothing better here
///   x verified on its own currents   best of the branch, which is closed
///   else                             the branch is split where the bound was too kind
///
/// The bound was too kind because somewhere an option with less loss than x's still stands in the
/// list and keeps the currents low. Splitting there puts such options in one part (dearer, so its
/// bound rises) and makes x's loss the least of the other part (so its currents rise). Lists only
/// shrink, and with one option each the bound is the plan itself: the search ends.

#include <algorithm>
#include <cmath>
#include <queue>

#include "wiring/feeder_bounds.hpp"
#include "wiring/feeder_coupled.hpp"
#include "wiring/feeder_search.hpp"
#include "wiring/tree_fronts.hpp"

namespace nightbus {

namespace {

using wiring_detail::LeastCurrents;
using wiring_detail::OptionLists;
using wiring_detail::Relaxation;
using wiring_detail::ReturnPatterns;

struct Branch {
  OptionLists lists;
  double bound = 0.0;
  wiring_detail::Proved proved{};
};
struct DearerBound {
  bool operator()(const Branch& a, const Branch& b) const { return a.bound > b.bound; }
};

double loss_ohm(const FeederOption& option) {
  return option.out.wire_ohm + option.out.fixed_ohm + option.back.wire_ohm + option.back.fixed_ohm;
}

class Search {
 public:
  /// `known`: operating point of the plan whose value is the cut-off, if there is one.
  Search(const FeederModel& model, const FeederSearch& settings, const FeederState& known)
      : model_(model), settings_(settings), patterns_(wiring_detail::find_patterns(model)) {
    best_.value = settings.cut_off;
    best_.state = known;
  }

  FeederChoice run() {
    Branch root;
    for (const FeederEdge& edge : model_.edges) {
      std::vector<std::uint32_t> all(edge.options.size());
      for (std::size_t k = 0; k < all.size(); ++k) all[k] = static_cast<std::uint32_t>(k);
      root.lists.push_back(std::move(all));
    }
    open_.push(std::move(root));
    while (!open_.empty() && best_.branches < settings_.most_branches &&
           best_.labels < settings_.most_labels) {
      Branch branch = open_.top();
      open_.pop();
      if (branch.bound >= wanted_below()) break;  // so is every other
      ++best_.branches;
      expand(std::move(branch));
    }
    const bool finished = open_.empty() || open_.top().bound >= wanted_below();
    best_.open_left_out = unresolved_ < wanted_below();
    best_.proven = finished && !best_.open_left_out;
    best_.bound = finished ? best_.value : std::min(open_.top().bound, best_.value);
    best_.bound = std::min(best_.bound, unresolved_);
    return std::move(best_);
  }

 private:
  /// Plans that differ by rounding only are equal.
  double wanted_below() const {
    return best_.value == unlimited ? unlimited
                                    : best_.value - 1e-12 * (1.0 + std::abs(best_.value));
  }

  bool verify(const std::vector<std::uint32_t>& option, double value, FeederState& state) {
    ++best_.solves;
    state = solve_feeder(model_, option);
    const auto violation = check_feeder(model_, option, state);
    if (violation.limit != FeederLimit::none) return false;
    if (value < wanted_below()) {
      best_.feasible = true;
      best_.value = value;
      best_.option = option;
      best_.state = state;
    }
    return true;
  }

  std::vector<std::uint32_t> options_of(const Relaxation& relaxed, const TreeChoice& choice) const {
    std::vector<std::uint32_t> option(choice.option.size());
    for (std::size_t e = 0; e < option.size(); ++e) {
      option[e] = relaxed.kept[e][choice.option[e]];
    }
    return option;
  }

  /// The linear programme with as few dimensions as its optimum needs. The set grows for the whole
  /// search: what was tight once is likely to be again.
  struct Solved {
    TreeChoice choice;
    std::vector<std::size_t> dims{};
    wiring_detail::Marginals marginals{};
  };
  Solved solve_linear(const Relaxation& relaxed, bool with_marginals) {
    if (dims_.empty()) dims_.push_back(relaxed.tightest(model_));
    std::vector<double> outside;
    while (true) {
      std::vector<std::size_t> dims;
      for (const std::size_t d : dims_) {
        if (std::find(relaxed.useful.begin(), relaxed.useful.end(), d) != relaxed.useful.end()) {
          dims.push_back(d);
        }
      }
      const TreeProblem problem = relaxed.problem(model_, dims);
      wiring_detail::Programme programme(problem, wanted_below(), outside);
      programme.run();
      Solved solved{programme.choice(), dims};
      best_.labels += solved.choice.labels;
      if (!solved.choice.feasible) return solved;
      const auto more = relaxed.overstepped(model_, solved.choice.option);
      if (!more || std::find(dims_.begin(), dims_.end(), *more) != dims_.end()) {
        if (with_marginals) solved.marginals = programme.marginals();
        return solved;
      }
      dims_.push_back(*more);
      // What stood outside a part with fewer dimensions is a floor for more of them.
      outside = programme.marginals().outside;
    }
  }

  /// Bounds, shortens the lists by what cannot be in a better plan, and bounds again with the
  /// higher currents that the shorter lists bring, as long as that helps; then splits.
  void expand(Branch branch) {
    std::vector<std::uint32_t> option;
    constexpr int most_turns = 12;
    for (int turn = 0; turn < most_turns; ++turn) {
      ++best_.rounds;
      const LeastCurrents least =
          wiring_detail::least_currents(model_, branch.lists, branch.proved);
      if (!least.possible) return;
      Relaxation relaxed =
          wiring_detail::relax(model_, patterns_, branch.lists, least, branch.proved);
      if (!relaxed.possible) return;
      Solved solved = solve_linear(relaxed, false);
      if (!solved.choice.feasible) return;
      option = options_of(relaxed, solved.choice);
      branch.bound = std::max(branch.bound, solved.choice.value);
      FeederState state;
      if (verify(option, solved.choice.value, state)) return;
      if ((best_.branches <= 4 || !best_.feasible) && state.solved) repair(relaxed.kept, state);
      if (branch.bound >= wanted_below()) return;
      const std::size_t before = count(branch.lists);
      const double bound_before = branch.bound;
      solved = solve_linear(relaxed, true);  // against the best plan now known
      if (!solved.choice.feasible) return;
      branch.bound = std::max(branch.bound, solved.choice.value);
      raise_drops(relaxed, solved, branch.proved.drop_v);
      for (const std::size_t d : solved.dims) {
        wiring_detail::raise_currents(model_, relaxed, least, d, best_.value,
                                      solved.marginals.outside, solved.choice.option,
                                      branch.proved);
      }
      shorten(relaxed, solved.marginals.least_with, branch.lists);
      if (std::any_of(branch.lists.begin(), branch.lists.end(),
                      [](const auto& list) { return list.empty(); })) {
        return;
      }
      const bool shorter = count(branch.lists) < before;
      const bool tighter = branch.bound > bound_before + 1e-7 * (1.0 + std::abs(bound_before));
      if (shorter || tighter || turn == 0) continue;
      const double coupled_before = branch.bound;
      if (couple(relaxed, least, solved, branch, option)) return;
      if (branch.bound <= coupled_before + 1e-6 * (1.0 + std::abs(coupled_before))) break;
    }
    split(branch, option);
  }

  /// The sharper programme, when the simple one has nothing more to give. True: the branch is done.
  bool couple(const Relaxation& relaxed, const LeastCurrents& least, const Solved& solved,
              Branch& branch, std::vector<std::uint32_t>& option) {
    if (relaxed.patterns > 1 || best_.state.draw_v.empty()) return false;
    for (const std::size_t d : solved.dims) {
      const auto which = relaxed.case_of(d, model_.cases);
      if (!which) continue;
      wiring_detail::CoupledAsk ask;
      ask.dimension = d;
      ask.cut_off = wanted_below();
      ask.outside = solved.marginals.outside;
      const std::size_t m = model_.draws.size();
      ask.tangent_v.assign(
          best_.state.draw_v.begin() + static_cast<std::ptrdiff_t>(*which * m),
          best_.state.draw_v.begin() + static_cast<std::ptrdiff_t>((*which + 1) * m));
      const auto coupled = wiring_detail::choose_coupled(model_, relaxed, least, ask);
      best_.labels += coupled.labels;
      if (coupled.gave_up) continue;
      if (!coupled.feasible) return true;
      branch.bound = std::max(branch.bound, coupled.value);
      if (branch.proved.edge_a.empty()) {
        branch.proved.edge_a.assign(model_.cases * option.size(), 0.0);
      }
      for (std::size_t e = 0; e < option.size(); ++e) {
        double& known = branch.proved.edge_a[*which * option.size() + e];
        known = std::max(known, coupled.least_a[e] * (1.0 - 1e-12));
      }
      for (std::size_t e = 0; e < option.size(); ++e) {
        option[e] = relaxed.kept[e][coupled.of_kept[e]];
      }
      FeederState state;
      if (verify(option, coupled.value, state)) return true;
    }
    return false;
  }

  /// Drops no plan of the branch below the best known can undercut.
  void raise_drops(const Relaxation& relaxed, const Solved& solved,
                   std::vector<double>& least_drop_v) const {
    const std::size_t n = model_.edges.size();
    const std::size_t dims = std::max<std::size_t>(solved.dims.size(), 1);
    if (least_drop_v.empty()) least_drop_v.assign(model_.cases * n, 0.0);
    for (std::size_t j = 0; j < solved.dims.size(); ++j) {
      const auto which = relaxed.case_of(solved.dims[j], model_.cases);
      if (!which) continue;
      const std::size_t pattern = solved.dims[j] % relaxed.patterns;
      for (std::size_t e = 0; e < n; ++e) {
        if (patterns_.of_edge[e] != pattern) continue;
        double& known = least_drop_v[*which * n + e];
        known = std::max(known, solved.marginals.least_spent[e * dims + j] - 1e-12);
      }
    }
  }

  static std::size_t count(const OptionLists& lists) {
    std::size_t all = 0;
    for (const auto& list : lists) all += list.size();
    return all;
  }

  /// Leaves the options that some plan below the best known could take.
  void shorten(const Relaxation& relaxed, const std::vector<double>& least,
               OptionLists& lists) const {
    std::size_t at = 0;
    for (std::size_t e = 0; e < lists.size(); ++e) {
      lists[e].clear();
      for (const std::uint32_t k : relaxed.kept[e]) {
        if (least[at++] < wanted_below()) lists[e].push_back(k);
      }
    }
  }

  /// Looks for a plan that holds: the currents found, a little raised, until a plan agrees.
  void repair(const OptionLists& lists, FeederState state) {
    for (const double share : {0.0, 0.0, 0.002, 0.01, 0.03, 0.1}) {
      const Relaxation tried = wiring_detail::guess(model_, patterns_, lists, state, share);
      if (!tried.possible) continue;
      const TreeChoice choice = solve_linear(tried, false).choice;
      if (!choice.feasible) return;
      const auto option = options_of(tried, choice);
      FeederState found;
      if (verify(option, choice.value, found)) return;
      if (found.solved) state = std::move(found);
    }
  }

  void split(const Branch& branch, const std::vector<std::uint32_t>& option) {
    const OptionLists& lists = branch.lists;
    // Where the least loss in the list lies furthest below the chosen one, by the volts it hides.
    std::size_t where = lists.size();
    double most = 0.0;
    for (std::size_t e = 0; e < lists.size(); ++e) {
      const auto& options = model_.edges[e].options;
      const double mine = loss_ohm(options[option[e]]);
      double least = mine;
      for (const std::uint32_t k : lists[e]) least = std::min(least, loss_ohm(options[k]));
      double largest_a = model_.edges[e].fixed_a;
      largest_a = std::max(largest_a, load_a(e));
      const double hidden = (mine - least) * largest_a * largest_a;
      if (hidden > most) {
        most = hidden;
        where = e;
      }
    }
    Branch less = branch, rest = branch;
    if (where < lists.size()) {
      const auto& options = model_.edges[where].options;
      const double mine = loss_ohm(options[option[where]]);
      const auto lower = [&](std::uint32_t k) { return loss_ohm(options[k]) < mine; };
      std::erase_if(less.lists[where], [&](std::uint32_t k) { return !lower(k); });
      std::erase_if(rest.lists[where], lower);
    } else {
      // Nothing has less loss: the plan fails for another reason (a device that may not see so
      // much current). Part from it one edge at a time.
      where = 0;
      while (where < lists.size() && lists[where].size() < 2) ++where;
      if (where == lists.size()) {
        const auto left_out = [](const FeederEdge& edge) { return !edge.left_out.empty(); };
        if (std::any_of(model_.edges.begin(), model_.edges.end(), left_out)) {
          unresolved_ = std::min(unresolved_, branch.bound);
        }
        return;
      }
      less.lists[where] = {option[where]};
      std::erase(rest.lists[where], option[where]);
    }
    open_.push(std::move(less));
    open_.push(std::move(rest));
  }

  double load_a(std::size_t e) {
    if (loads_a_.empty()) {
      loads_a_.assign(model_.edges.size(), 0.0);
      std::vector<double> draw_a(model_.draws.size()), edge_a(loads_a_.size()),
          return_a(loads_a_.size()), total_a(wiring_detail::source_count(model_));
      for (std::size_t which = 0; which < model_.cases; ++which) {
        for (std::size_t k = 0; k < draw_a.size(); ++k) {
          const FeederDraw& draw = model_.draws[k];
          const double emf_v = wiring_detail::emf_of(model_, draw.stage, which);
          draw_a[k] = draw.converter ? emf_v : wiring_detail::draw_current_a(draw, which, emf_v);
        }
        wiring_detail::gather_through(model_, which, draw_a, {}, edge_a, return_a, total_a);
        for (std::size_t k = 0; k < loads_a_.size(); ++k) {
          loads_a_[k] = std::max(loads_a_[k], edge_a[k]);
        }
      }
    }
    return loads_a_[e];
  }

  const FeederModel& model_;
  const FeederSearch settings_;
  const ReturnPatterns patterns_;
  std::priority_queue<Branch, std::vector<Branch>, DearerBound> open_;
  std::vector<std::size_t> dims_;  ///< dimensions that have been tight
  std::vector<double> loads_a_;
  double unresolved_ = unlimited;  ///< least bound of plans whose options left out are not tried
  FeederChoice best_;
};

}  // namespace

namespace wiring_detail {

FeederChoice search_feeder(const FeederModel& model, const FeederSearch& search,
                           const FeederState& known) {
  return Search(model, search, known).run();
}

}  // namespace wiring_detail

}  // namespace nightbus
