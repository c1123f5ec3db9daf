#pragma once
/// Private: fronts of partial plans, and the programme over them.

#include <cstddef>
#include <vector>

#include "nightbus/wiring_tree.hpp"

namespace nightbus::wiring_detail {

/// Labels in two parallel arrays; with one dimension ascending in both value and allow.
struct Front {
  std::vector<double> value;
  std::vector<double> allow;  ///< [label × dimensions]

  std::size_t size() const { return value.size(); }
  void clear() {
    value.clear();
    allow.clear();
  }
  void push(double of_value, const double* of_allow, std::size_t dims) {
    value.push_back(of_value);
    allow.insert(allow.end(), of_allow, of_allow + dims);
  }
};

/// Those of `all` that none beats (at most as dear, allowing at least as much in every dimension).
void keep_best(const Front& all, std::size_t dims, Front& best);

/// One dimension: adds `more` labels (ascending in both) to a front, linear in both sizes.
void join_staircases(const Front& a, const Front& b, Front& joined);
/// One dimension: both must be served; value adds, the smaller allowance holds.
void serve_both(const Front& a, const Front& b, Front& merged);

struct Floors {
  std::vector<double> above;    ///< [edge × dimensions] least spending nearer the root
  std::vector<double> outside;  ///< [edge] least value of all that is not the edge or behind it
};

/// What each option costs the whole plan at least, and what stands outside each part at least.
struct Marginals {
  std::vector<double> least_with;  ///< [option of the problem]; unlimited: not below the cut-off
  std::vector<double> outside;     ///< [edge]
  /// [edge × dimensions] least spent up to the end of the edge by any plan below the cut-off: to
  /// spend less here would cost too much here or leave too little elsewhere.
  std::vector<double> least_spent;
};

class Programme {
 public:
  /// `outside`: least values outside each edge's part that are known already; may be empty.
  Programme(const TreeProblem& problem, double cut_off, std::vector<double> outside = {});
  void run();
  TreeChoice choice() const;
  Marginals marginals() const;
  /// Least value of what lies beyond the end of an edge when `spent` is used up to there.
  double least_beyond(std::size_t edge, const double* spent) const {
    return value_at(ends_[edge], spent);
  }

 private:
  /// Least value of a label of `front` that allows what has been spent.
  double value_at(const Front& front, const double* spent) const;
  bool useful(std::size_t edge, double value, const double* allow) const;
  void add_options(std::size_t edge);
  void add_options_staircase(std::size_t edge);
  void add_child(std::size_t edge, std::size_t child);

  const TreeProblem& problem_;
  double cut_off_;
  Floors floors_;
  std::vector<Front> ends_;   ///< of what lies beyond the end of each edge
  std::vector<Front> parts_;  ///< the same with the edge
  Front scratch_;
  std::vector<Front> steps_;
  std::size_t labels_ = 0;
  bool empty_ = false;
};

}  // namespace nightbus::wiring_detail
