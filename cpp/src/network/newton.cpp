// Solving f(x) = 0 with care.
//
// 1. Newton with back-tracking.  J(x) dx = -f(x),  x += t dx,  t = 1, 1/2, 1/4 … until the merit
//    sum (f_u / s_u)² falls, s_u the stiffness of row u (so the merit is in volts and a stiff bus
//    bar does not drown a thin wire). Quadratic near the answer.
//
// 2. The right solution.  Constant power gives two: P/v = (E - v)/R is a quadratic. For one bank,
// loads
//    convex and falling in v, f is convex with a Jacobian whose off-diagonal entries are <= 0. Two
//    solutions x1, x2 with J an M-matrix at both satisfy, by convexity,
//      0 = f(x2) >= f(x1) + J(x1)(x2 - x1)  =>  J(x1)(x2 - x1) <= 0  =>  x2 <= x1,
//    and the same with 1 and 2 exchanged: x1 = x2. So the solution where every pivot is positive is
//    unique, it is the upper one, and positive pivots are the test. Newton from the no-load
//    voltages (above every solution) runs down to it monotonically.
//
// 3. When back-tracking stalls (kinks of chargers, diodes, limits; no solution at all) time helps:
//    think of a capacitor s_u at every row and step implicitly, (J + diag(s)/tau) dx = -f, with tau
//    growing while steps succeed, faster as the residual falls. Starting at the no-load voltages
//    this follows what the network would do after switching on, and ends in the upper solution or
//    in the collapsed state.
#include "network/newton.hpp"

#include <algorithm>
#include <cmath>

namespace nightbus::network_detail {

namespace {
constexpr int newton_limit = 60;
}  // namespace

Newton::Newton(Equations& equations) : equations_(equations) {
  const std::size_t rows = equations.net().rows;
  f_.resize(rows);
  step_.resize(rows);
  trial_.resize(rows);
  start_.resize(rows);
}

Newton::Measure Newton::measure(std::span<const double> x, bool jacobian) {
  equations_.evaluate(x, f_, jacobian);
  Measure m;
  m.balanced = true;
  residual_ = 0.0;
  const auto stiffness = equations_.stiffness();
  for (std::uint32_t row = 0; row < equations_.net().unknowns; ++row) {
    const double scaled = f_[row] / stiffness[row];
    m.merit += scaled * scaled;
    residual_ = std::max(residual_, std::abs(f_[row]));
    if (!(std::abs(f_[row]) <= equations_.tolerance(row))) m.balanced = false;
  }
  m.finite = std::isfinite(m.merit);
  return m;
}

bool Newton::backtracking(std::span<double> x) {
  Factor& factor = equations_.factor();
  const std::uint32_t unknowns = equations_.net().unknowns;
  Measure now = measure(x, true);
  bool polished = false;
  for (int k = 0; k < newton_limit && now.finite; ++k) {
    if (!factor.factorise()) return false;
    if (!factor.positive()) return false;
    if (now.balanced && polished) return true;
    for (std::uint32_t row = 0; row < unknowns; ++row) step_[row] = -f_[row];
    factor.solve(step_);
    ++iterations_;
    double t = 1.0;
    Measure next;
    for (;; t *= 0.5) {
      std::copy(x.begin(), x.end(), trial_.begin());
      for (std::uint32_t row = 0; row < unknowns; ++row) trial_[row] += t * step_[row];
      next = measure(trial_, true);
      if (next.finite && (next.balanced || next.merit <= (1.0 - 1e-3 * t) * now.merit)) break;
      if (now.balanced) break;  // as good as rounding allows
      if (t < 1e-3) return false;
    }
    if (now.balanced && !(next.finite && next.merit < now.merit)) {
      measure(x, true);
      return factor.factorise() && factor.positive();
    }
    polished = now.balanced;
    std::copy(trial_.begin(), trial_.end(), x.begin());
    now = next;
  }
  return false;
}

bool Newton::pseudo_transient(std::span<double> x, int patience) {
  Factor& factor = equations_.factor();
  const std::uint32_t unknowns = equations_.net().unknowns;
  const auto stiffness = equations_.stiffness();
  double tau = 1.0;
  Measure now = measure(x, true);
  for (int k = 0; k < patience && now.finite; ++k) {
    if (now.balanced || tau > 1e6) {
      std::copy(x.begin(), x.end(), start_.begin());
      if (backtracking(x)) return true;
      std::copy(start_.begin(), start_.end(), x.begin());
      now = measure(x, true);
      tau = std::min(tau, 1e3);
    }
    for (std::uint32_t row = 0; row < unknowns; ++row)
      factor.add_diagonal(row, stiffness[row] / tau);
    if (!factor.factorise() || !factor.positive()) {
      tau *= 0.25;
      if (tau < 1e-12) return false;
      now = measure(x, true);
      continue;
    }
    for (std::uint32_t row = 0; row < unknowns; ++row) step_[row] = -f_[row];
    factor.solve(step_);
    ++iterations_;
    std::copy(x.begin(), x.end(), trial_.begin());
    for (std::uint32_t row = 0; row < unknowns; ++row) trial_[row] += step_[row];
    const Measure next = measure(trial_, true);
    if (!next.finite || next.merit > 4.0 * now.merit) {
      tau *= 0.25;
      if (tau < 1e-12) return false;
      now = measure(x, true);
      continue;
    }
    const double gain = std::sqrt(now.merit / std::max(next.merit, 1e-300));
    tau *= std::clamp(2.0 * gain, 1.3, 10.0);
    std::copy(trial_.begin(), trial_.end(), x.begin());
    now = next;
  }
  return false;
}

bool Newton::settle(std::span<double> x, int patience) {
  if (equations_.net().unknowns == 0) return measure(x, true).finite;
  const std::vector<double> start(x.begin(), x.end());
  if (backtracking(x)) return true;
  std::copy(start.begin(), start.end(), x.begin());
  return patience > 0 && pseudo_transient(x, patience);
}

bool Newton::no_load(const Equations::Setting& setting, std::span<double> x) {
  Equations::Setting unloaded = setting;
  unloaded.multiplier = 0.0;
  equations_.set(unloaded);
  std::fill(x.begin(), x.end(), 0.0);
  equations_.fill_known(x);
  equations_.evaluate_start(x, f_);
  if (equations_.factor().factorise()) {
    const std::uint32_t unknowns = equations_.net().unknowns;
    for (std::uint32_t row = 0; row < unknowns; ++row) step_[row] = -f_[row];
    equations_.factor().solve(step_);
    for (std::uint32_t row = 0; row < unknowns; ++row) x[row] += step_[row];
  }
  const bool found = settle(x);
  equations_.set(setting);
  return found;
}

}  // namespace nightbus::network_detail
