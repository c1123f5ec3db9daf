/// Exact choice on a tree. For the part of the tree behind and including edge e keep the front of
///
///   labels (value, allow):  allow_d = how much may have been spent before e in dimension d,
///
/// such that no label is beaten in value and in every allow_d at once. Bottom up:
///
///   end of e      allow = budget(e), value = 0
///   + child c     value adds, allow takes the smaller           (all children must be served)
///   + option k    allow = min(allow, own budget of k) - spend of k,  value += value of k
///
/// A label whose allowance is below the least that edges nearer the root must spend can never be
/// used and is dropped; so is one whose value, with the least the rest can cost, reaches the
/// cut-off. At the root every allowance must be ≥ 0. The choice is read back top down, taking at
/// each edge the cheapest label that still allows what has been spent.
///
/// With one dimension a front is a falling staircase; merging children is a sweep over its steps.

#include <algorithm>
#include <numeric>

#include "wiring/tree_fronts.hpp"

namespace nightbus {

namespace wiring_detail {

namespace {

/// Least spending in every dimension of the edges above e, and least value outside e's part.
void find_floors(const TreeProblem& problem, Floors& floors) {
  const std::size_t n = problem.edges();
  const std::size_t dims = problem.dimensions();
  floors.above.assign(n * dims, 0.0);
  std::vector<double> part(n, unlimited);
  std::vector<double> least_spend(n * dims, unlimited);
  double total = 0.0;
  for (std::size_t e = 0; e < n; ++e) {
    const std::size_t first = problem.first_option(e);
    for (std::size_t k = first; k < first + problem.option_count(e); ++k) {
      part[e] = std::min(part[e], problem.value(k));
      for (std::size_t d = 0; d < dims; ++d) {
        least_spend[e * dims + d] = std::min(least_spend[e * dims + d], problem.spend(k, d));
      }
    }
    total += part[e];
    if (const int parent = problem.parent(e); parent >= 0) {
      const auto p = static_cast<std::size_t>(parent);
      for (std::size_t d = 0; d < dims; ++d) {
        floors.above[e * dims + d] = floors.above[p * dims + d] + least_spend[p * dims + d];
      }
    }
  }
  if (!floors.outside.empty()) return;
  for (std::size_t e = n; e-- > 0;) {
    if (const int parent = problem.parent(e); parent >= 0) {
      part[static_cast<std::size_t>(parent)] += part[e];
    }
  }
  for (const double mine : part) floors.outside.push_back(total - mine);
}

}  // namespace

Programme::Programme(const TreeProblem& problem, double cut_off, std::vector<double> outside)
    : problem_(problem), cut_off_(cut_off) {
  floors_.outside = std::move(outside);
  find_floors(problem, floors_);
}

bool Programme::useful(std::size_t edge, double value, const double* allow) const {
  const std::size_t dims = problem_.dimensions();
  // Room for rounding: labels on the very edge are kept, the final test at the root decides.
  for (std::size_t d = 0; d < dims; ++d) {
    if (allow[d] < floors_.above[edge * dims + d] - 1e-12) return false;
  }
  return value + floors_.outside[edge] < cut_off_;
}

/// Each option shifts the front at the end of the edge; shifted fronts are joined two by two.
void Programme::add_options_staircase(std::size_t edge) {
  const Front& end = ends_[edge];
  const std::size_t first = problem_.first_option(edge);
  const std::size_t count = problem_.option_count(edge);
  if (steps_.size() < count) steps_.resize(count);
  for (std::size_t k = 0; k < count; ++k) {
    Front& step = steps_[k];
    step.clear();
    const double own = problem_.own_budget(first + k, 0);
    const double spend = problem_.spend(first + k, 0);
    for (std::size_t label = 0; label < end.size(); ++label) {
      const double allow = std::min(end.allow[label], own) - spend;
      const double value = end.value[label] + problem_.value(first + k);
      if (useful(edge, value, &allow)) step.push(value, &allow, 1);
      if (end.allow[label] >= own) break;  // dearer labels cannot allow more
    }
  }
  for (std::size_t width = 1; width < count; width *= 2) {
    for (std::size_t k = 0; k + width < count; k += 2 * width) {
      join_staircases(steps_[k], steps_[k + width], scratch_);
      std::swap(steps_[k], scratch_);
    }
  }
  std::swap(parts_[edge], steps_[0]);
}

void Programme::add_options(std::size_t edge) {
  const std::size_t dims = problem_.dimensions();
  if (dims == 1) {
    add_options_staircase(edge);
    labels_ += parts_[edge].size();
    return;
  }
  const Front& end = ends_[edge];
  Front& part = parts_[edge];
  part.clear();
  scratch_.clear();
  std::vector<double> allow(dims);
  const std::size_t first = problem_.first_option(edge);
  for (std::size_t k = first; k < first + problem_.option_count(edge); ++k) {
    for (std::size_t label = 0; label < end.size(); ++label) {
      for (std::size_t d = 0; d < dims; ++d) {
        allow[d] =
            std::min(end.allow[label * dims + d], problem_.own_budget(k, d)) - problem_.spend(k, d);
      }
      const double value = end.value[label] + problem_.value(k);
      if (useful(edge, value, allow.data())) scratch_.push(value, allow.data(), dims);
    }
  }
  keep_best(scratch_, dims, part);
  labels_ += part.size();
}

void Programme::add_child(std::size_t edge, std::size_t child) {
  const std::size_t dims = problem_.dimensions();
  Front& end = ends_[edge];
  const Front& part = parts_[child];
  if (dims == 1) {
    serve_both(end, part, scratch_);
    std::swap(end, scratch_);
    return;
  }
  scratch_.clear();
  std::vector<double> allow(dims);
  for (std::size_t i = 0; i < end.size(); ++i) {
    for (std::size_t j = 0; j < part.size(); ++j) {
      for (std::size_t d = 0; d < dims; ++d) {
        allow[d] = std::min(end.allow[i * dims + d], part.allow[j * dims + d]);
      }
      scratch_.push(end.value[i] + part.value[j], allow.data(), dims);
    }
  }
  keep_best(scratch_, dims, end);
}

void Programme::run() {
  const std::size_t n = problem_.edges();
  const std::size_t dims = problem_.dimensions();
  ends_.resize(n);
  parts_.resize(n);
  std::vector<double> budget(dims);
  for (std::size_t e = 0; e < n; ++e) {
    for (std::size_t d = 0; d < dims; ++d) budget[d] = problem_.budget(e, d);
    ends_[e].clear();
    ends_[e].push(0.0, budget.data(), dims);
  }
  for (std::size_t e = n; e-- > 0;) {
    add_options(e);
    if (parts_[e].size() == 0) {
      empty_ = true;
      return;
    }
    if (const int parent = problem_.parent(e); parent >= 0) {
      add_child(static_cast<std::size_t>(parent), e);
    }
  }
}

TreeChoice Programme::choice() const {
  const std::size_t n = problem_.edges();
  const std::size_t dims = problem_.dimensions();
  TreeChoice result;
  result.labels = labels_;
  if (empty_) return result;
  result.option.assign(n, 0);
  result.value = 0.0;
  std::vector<double> spent(n * dims, 0.0);  // up to and including the edge
  const std::vector<double> nothing(dims, 0.0);
  for (std::size_t e = 0; e < n; ++e) {
    const int parent = problem_.parent(e);
    const double* before =
        parent >= 0 ? &spent[static_cast<std::size_t>(parent) * dims] : nothing.data();
    const Front& end = ends_[e];
    double best = unlimited;
    const std::size_t first = problem_.first_option(e);
    for (std::size_t k = 0; k < problem_.option_count(e); ++k) {
      const std::size_t option = first + k;
      if (problem_.value(option) >= best) continue;
      for (std::size_t label = 0; label < end.size(); ++label) {
        const double value = end.value[label] + problem_.value(option);
        if (value >= best) continue;
        bool fits = true;
        for (std::size_t d = 0; d < dims && fits; ++d) {
          const double now = before[d] + problem_.spend(option, d);
          const double room = std::min(end.allow[label * dims + d], problem_.own_budget(option, d));
          fits = now <= room + 1e-12;
        }
        if (!fits) continue;
        best = value;
        result.option[e] = static_cast<std::uint32_t>(k);
      }
    }
    if (best == unlimited) return {.labels = labels_};
    const std::size_t chosen = first + result.option[e];
    for (std::size_t d = 0; d < dims; ++d) {
      spent[e * dims + d] = before[d] + problem_.spend(chosen, d);
    }
    result.value += problem_.value(chosen);
  }
  result.feasible = result.value < cut_off_;
  return result;
}

}  // namespace wiring_detail

TreeChoice choose_exactly(const TreeProblem& problem, double cut_off) {
  if (problem.edges() == 0) return {.feasible = 0.0 < cut_off, .value = 0.0};
  wiring_detail::Programme programme(problem, cut_off);
  programme.run();
  return programme.choice();
}

}  // namespace nightbus
