#pragma once
// Sparse LU on a fixed symmetric pattern with a fixed order, values unsymmetric (converters that
// are out of regulation feed back). No pivoting: on the branch of solutions that can be held, every
// pivot is positive, and a pivot that is not says "wrong branch" to the caller.
//
//   A = L U,  L unit lower triangular, U upper:  eliminating position k with pivot d = u_kk,
//     l_ik = a_ik / d,   a_ij -= l_ik u_kj   for all i, j > k in the pattern of column k.

#include <cstdint>
#include <span>
#include <vector>

#include "network/ordering.hpp"

namespace nightbus::network_detail {

// Where the four entries of a two-terminal stamp live in Factor::values().
struct Stamp {
  std::uint32_t uu = 0, uw = 0, wu = 0, ww = 0;
};

class Factor {
 public:
  Factor(const Elimination& elimination, bool symmetric);

  // Index of entry (row, column) in values(); rows at or beyond `count` are known and share one
  // place that is never read.
  std::uint32_t entry(std::uint32_t row, std::uint32_t column) const;
  Stamp stamp(std::uint32_t u, std::uint32_t w) const {
    return {entry(u, u), entry(u, w), entry(w, u), entry(w, w)};
  }

  void clear();
  std::vector<double>& values() { return values_; }
  double diagonal(std::uint32_t row) const { return values_[position_[row]]; }
  void add_diagonal(std::uint32_t row, double value) { values_[position_[row]] += value; }

  // False when a pivot is not finite; `positive`: the signs are those of the right branch.
  bool factorise();
  bool positive() const { return positive_; }

  // In place; vectors by row. solve: A x = b. solve_transposed: Aᵀ x = b.
  void solve(std::span<double> b);
  void solve_transposed(std::span<double> b);

 private:
  std::uint32_t count_;
  const std::uint32_t* starts_;
  const std::uint32_t* rows_;
  std::vector<std::uint32_t> order_, position_;
  std::vector<std::uint32_t> start_store_, row_store_;
  std::vector<std::uint32_t> targets_;  // entry (i, j) of each update, in the order of elimination
  std::vector<double> values_;          // diagonal, lower, upper, one unread place
  std::vector<double> before_;          // diagonal before elimination
  std::vector<double> work_;
  bool symmetric_;
  bool positive_ = false;
};

}  // namespace nightbus::network_detail
