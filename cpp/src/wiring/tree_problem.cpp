#include <algorithm>
#include <optional>

#include "nightbus/wiring_tree.hpp"

namespace nightbus {

std::size_t TreeProblem::add_edge(int parent) {
  parents_.push_back(parent);
  first_.push_back(values_.size());
  budgets_.resize(budgets_.size() + dimensions_, unlimited);
  return parents_.size() - 1;
}

void TreeProblem::add_option(double value, std::span<const double> spend,
                             std::span<const double> own_budget) {
  values_.push_back(value);
  spends_.insert(spends_.end(), spend.begin(), spend.end());
  if (own_budget.empty()) {
    own_budgets_.resize(own_budgets_.size() + dimensions_, unlimited);
  } else {
    own_budgets_.insert(own_budgets_.end(), own_budget.begin(), own_budget.end());
  }
}

void TreeProblem::set_budget(std::size_t edge, std::size_t dimension, double budget) {
  budgets_[edge * dimensions_ + dimension] = budget;
}

void TreeProblem::lower_budget(std::size_t edge, std::size_t dimension, double budget) {
  double& now = budgets_[edge * dimensions_ + dimension];
  now = std::min(now, budget);
}

std::size_t TreeProblem::option_count(std::size_t edge) const {
  const std::size_t end = edge + 1 < first_.size() ? first_[edge + 1] : values_.size();
  return end - first_[edge];
}

TreeChoice choose_by_equal_shares(const TreeProblem& problem) {
  const std::size_t n = problem.edges();
  const std::size_t dims = problem.dimensions();
  std::vector<std::size_t> depth(n, 1);
  for (std::size_t e = 0; e < n; ++e) {
    const int parent = problem.parent(e);
    if (parent >= 0) depth[e] = depth[static_cast<std::size_t>(parent)] + 1;
  }
  // Smallest share any draw behind an edge leaves it; children come after their parents.
  std::vector<double> share(n * dims, unlimited);
  for (std::size_t e = n; e-- > 0;) {
    const int parent = problem.parent(e);
    for (std::size_t d = 0; d < dims; ++d) {
      double& mine = share[e * dims + d];
      mine = std::min(mine, problem.budget(e, d) / static_cast<double>(depth[e]));
      if (parent >= 0) {
        double& above = share[static_cast<std::size_t>(parent) * dims + d];
        above = std::min(above, mine);
      }
    }
  }
  TreeChoice choice;
  choice.option.assign(n, 0);
  choice.value = 0.0;
  choice.feasible = true;
  for (std::size_t e = 0; e < n; ++e) {
    std::optional<std::size_t> best;
    const std::size_t first = problem.first_option(e);
    for (std::size_t k = 0; k < problem.option_count(e); ++k) {
      bool fits = true;
      for (std::size_t d = 0; d < dims; ++d) {
        fits = fits && problem.spend(first + k, d) <= share[e * dims + d];
      }
      if (fits && (!best || problem.value(first + k) < problem.value(first + *best))) best = k;
    }
    if (!best) {
      choice.feasible = false;
      choice.value = unlimited;
      return choice;
    }
    choice.option[e] = static_cast<std::uint32_t>(*best);
    choice.value += problem.value(first + *best);
  }
  return choice;
}

}  // namespace nightbus
