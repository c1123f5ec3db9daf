#pragma once
// The careful solver: see newton.cpp for the method.

#include <cstdint>
#include <span>
#include <vector>

#include "network/equations.hpp"

namespace nightbus::network_detail {

class Newton {
 public:
  explicit Newton(Equations& equations);

  // x: all rows; unknown ones are the start and the answer. False when it does not settle on a
  // solution that can be held (every pivot positive); x is then the last iterate.
  // `patience`: at most so many steps in time when Newton alone does not get there.
  bool settle(std::span<double> x, int patience = 400);
  // The voltages without any load, from nothing; the highest the loads can ever see.
  bool no_load(const Equations::Setting& setting, std::span<double> x);

  int iterations() const { return iterations_; }
  void reset_count() { iterations_ = 0; }
  double residual() const { return residual_; }  // A, largest, at the last x

 private:
  struct Measure {
    double merit = 0.0;     // sum of (f / stiffness)², V²
    bool balanced = false;  // every row within its tolerance
    bool finite = false;
  };
  Measure measure(std::span<const double> x, bool jacobian);
  bool backtracking(std::span<double> x);
  bool pseudo_transient(std::span<double> x, int patience);

  Equations& equations_;
  std::vector<double> f_, step_, trial_, start_;
  int iterations_ = 0;
  double residual_ = 0.0;
};

}  // namespace nightbus::network_detail
