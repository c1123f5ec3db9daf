/// What each option costs the whole plan. Above the part of edge e lies everything else; its front
///
///   outside(e) = labels (value, spent):  least value outside e's part when `spent` is used before
///   e
///
/// comes top down: for a label of outside(e) and an option k of e that leaves s = spent + spend(k),
///
///   least_with(e, k)   = value + value(k) + end(e) at s
///   outside(child)    ∋ (value + value(k) + end(e) at s - part(child) at s,  s)
///
/// since what the other children cost at s is their sum without the child.

#include <algorithm>

#include "wiring/tree_fronts.hpp"

namespace nightbus::wiring_detail {

double Programme::value_at(const Front& front, const double* spent) const {
  const std::size_t dims = problem_.dimensions();
  constexpr double rounding = 1e-12;
  if (dims == 1) {  // a staircase: the first step that allows it
    const auto found =
        std::lower_bound(front.allow.begin(), front.allow.end(), spent[0] - rounding);
    if (found == front.allow.end()) return unlimited;
    return front.value[static_cast<std::size_t>(found - front.allow.begin())];
  }
  double least = unlimited;
  for (std::size_t label = 0; label < front.size(); ++label) {
    if (front.value[label] >= least) continue;
    const double* allow = &front.allow[label * dims];
    bool fits = true;
    for (std::size_t d = 0; d < dims && fits; ++d) fits = spent[d] <= allow[d] + rounding;
    if (fits) least = front.value[label];
  }
  return least;
}

Marginals Programme::marginals() const {
  const std::size_t n = problem_.edges();
  const std::size_t dims = problem_.dimensions();
  Marginals result;
  std::vector<double>& least = result.least_with;
  least.assign(problem_.first_option(n - 1) + problem_.option_count(n - 1), unlimited);
  result.outside.assign(n, unlimited);
  result.least_spent.assign(n * dims, unlimited);
  if (empty_) return result;
  std::vector<std::vector<std::size_t>> children(n);
  std::vector<std::size_t> roots;
  for (std::size_t e = 0; e < n; ++e) {
    if (problem_.parent(e) < 0) {
      roots.push_back(e);
    } else {
      children[static_cast<std::size_t>(problem_.parent(e))].push_back(e);
    }
  }
  // Fronts of labels that spend little are kept like fronts that allow much: negated.
  std::vector<Front> outside(n);
  const std::vector<double> nothing(dims, 0.0);
  double all_roots = 0.0;
  for (const std::size_t root : roots) all_roots += value_at(parts_[root], nothing.data());
  if (all_roots == unlimited) return result;
  for (const std::size_t root : roots) {
    const double others = all_roots - value_at(parts_[root], nothing.data());
    outside[root].push(others, nothing.data(), dims);
  }
  Front raw, after;
  std::vector<double> spent(dims), negated(dims);
  for (std::size_t e = 0; e < n; ++e) {
    raw.clear();
    const std::size_t first = problem_.first_option(e);
    for (std::size_t label = 0; label < outside[e].size(); ++label) {
      for (std::size_t k = first; k < first + problem_.option_count(e); ++k) {
        bool fits = true;
        for (std::size_t d = 0; d < dims && fits; ++d) {
          spent[d] = problem_.spend(k, d) - outside[e].allow[label * dims + d];
          negated[d] = -spent[d];
          fits = spent[d] <= problem_.own_budget(k, d) + 1e-12;
        }
        if (!fits) continue;
        const double before = outside[e].value[label] + problem_.value(k);
        const double total = before + value_at(ends_[e], spent.data());
        least[k] = std::min(least[k], total);
        if (total >= cut_off_) continue;
        for (std::size_t d = 0; d < dims; ++d) {
          double& spent_here = result.least_spent[e * dims + d];
          spent_here = std::min(spent_here, spent[d]);
        }
        if (!children[e].empty()) raw.push(before, negated.data(), dims);
      }
    }
    if (raw.size() == 0) continue;
    keep_best(raw, dims, after);
    for (const std::size_t child : children[e]) {
      for (std::size_t label = 0; label < after.size(); ++label) {
        for (std::size_t d = 0; d < dims; ++d) spent[d] = -after.allow[label * dims + d];
        const double all = value_at(ends_[e], spent.data());
        const double mine = value_at(parts_[child], spent.data());
        if (all == unlimited || mine == unlimited) continue;
        outside[child].push(after.value[label] + (all - mine), &after.allow[label * dims], dims);
      }
    }
  }
  for (std::size_t e = 0; e < n; ++e) {
    for (const double value : outside[e].value) {
      result.outside[e] = std::min(result.outside[e], value);
    }
  }
  return result;
}

}  // namespace nightbus::wiring_detail
