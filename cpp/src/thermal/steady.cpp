// Steady state. With the fans fixed the balance is linear but for the air's density; a few rounds
// settle it. The thermostats are then brought in one step at a time from below:
//
//   climb   raise the fan that is furthest above its next threshold until none asks for more
//   check   fan at step s is at rest when T_s >= threshold(s) - hysteresis
//   else    it alternates between s-1 and s round the threshold; the mean state has a fractional
//   step
//           such that T = threshold(s) - hysteresis/2, found by bisection (T falls as the step
//           rises)

#include <algorithm>
#include <cmath>
#include <limits>

#include "thermal/thermal_internal.hpp"

namespace nightbus {

using thermal_detail::eliminate;

namespace {
constexpr double absurd_c = 1e5;
constexpr double unbounded_c = std::numeric_limits<double>::infinity();
}  // namespace

void ThermalNetwork::settle(std::vector<double>& temp_c, const Flows& flows,
                            const ThermalDrive& drive) const {
  const std::size_t n = temp_c.size();
  std::vector<double> matrix(n * n);
  std::vector<double> right(n);
  for (int round = 0; round < 60; ++round) {
    assemble(temp_c, flows, drive, matrix, right);
    for (std::size_t i = 0; i < n; ++i) {
      if (matrix[i * n + i] > 0.0) continue;  // else it touches nothing at all
      matrix[i * n + i] = 1.0;
      right[i] = right[i] > 0.0 ? unbounded_c : drive.outside_c;
    }
    eliminate(matrix, right, n);
    double moved = 0.0;
    for (double& temp : right) {
      // Spaces that lose heat only to each other make the matrix singular, give or take rounding.
      if (!(std::abs(temp) < absurd_c)) temp = unbounded_c;
    }
    for (std::size_t i = 0; i < n; ++i) {
      if (right[i] != temp_c[i]) moved = std::max(moved, std::abs(right[i] - temp_c[i]));
    }
    temp_c.assign(right.begin(), right.end());
    if (moved < 1e-10) break;
  }
}

SteadyHeat ThermalNetwork::steady(const ThermalDrive& drive, std::span<const int> steps) const {
  return steady_with(drive, steps, {});
}

SteadyHeat ThermalNetwork::steady_with(const ThermalDrive& drive, std::span<const int> steps,
                                       const ExtraAir& extra) const {
  const std::size_t count = fans_.size();
  std::vector<double> at(count);
  SteadyHeat out;
  out.temp_c.assign(model_.spaces.size(), drive.outside_c);
  const auto solve = [&] { settle(out.temp_c, flows_at(at, extra), drive); };
  const auto space_temp = [&](std::size_t f) {
    return out.temp_c[static_cast<std::size_t>(fans_[f].space)];
  };

  for (std::size_t f = 0; f < count; ++f) {
    at[f] = steps.empty() ? fan(f).control.lowest
                          : std::clamp(steps[f], 0, static_cast<int>(fan(f).steps.size()) - 1);
  }
  solve();
  if (steps.empty()) {
    for (bool climbing = true; climbing;) {
      climbing = false;
      double furthest = -1.0;
      std::size_t which = 0;
      for (std::size_t f = 0; f < count; ++f) {
        if (at[f] + 1.0 >= static_cast<double>(fan(f).steps.size())) continue;
        const double over =
            space_temp(f) - fan(f).control.up_threshold_c(static_cast<int>(at[f]) + 1);
        if (over >= 0.0 && over > furthest) {
          furthest = over;
          which = f;
          climbing = true;
        }
      }
      if (climbing) {
        at[which] += 1.0;
        solve();
      }
    }
    for (int round = 0; round < 8; ++round) {
      bool moved = false;
      for (std::size_t f = 0; f < count; ++f) {
        const StagedThermostat& control = fan(f).control;
        const double upper = std::ceil(at[f]);
        const double threshold = control.up_threshold_c(static_cast<int>(upper));
        const bool fractional = at[f] != upper;
        if (upper <= control.lowest) continue;
        if (!fractional && space_temp(f) >= threshold - control.hysteresis_k) continue;
        const double target = threshold - 0.5 * control.hysteresis_k;
        if (fractional && std::abs(space_temp(f) - target) < 1e-6) continue;
        double low = upper - 1.0;
        double high = upper;
        for (int k = 0; k < 60 && high - low > 1e-12; ++k) {
          at[f] = 0.5 * (low + high);
          solve();
          (space_temp(f) > target ? low : high) = at[f];
        }
        out.status = SteadyStatus::cycling;
        moved = true;
      }
      if (!moved) break;
    }
  }
  for (const double temp : out.temp_c) {
    if (std::isinf(temp)) out.status = SteadyStatus::unbounded;
  }
  out.fan_step = at;
  for (std::size_t f = 0; f < count; ++f) {
    const double whole = std::floor(at[f]);
    const double share = at[f] - whole;
    const auto low = static_cast<std::size_t>(whole);
    const SpaceFan& one = fan(f);
    const double top = share > 0.0 ? one.steps[low + 1].power_w : 0.0;
    out.fan_power_w.push_back(one.count * ((1.0 - share) * one.steps[low].power_w + share * top));
  }
  return out;
}

std::optional<double> ThermalNetwork::airflow_for_limit(const ThermalDrive& drive,
                                                        std::size_t space, double limit_c) const {
  const auto temp_with = [&](double flow) {
    return steady_with(drive, {}, {static_cast<int>(space), flow}).temp_c[space];
  };
  if (temp_with(0.0) <= limit_c) return 0.0;
  double low = 0.0;
  double high = 0.01;
  while (temp_with(high) > limit_c) {
    low = high;
    high *= 2.0;
    if (high > 1000.0) return std::nullopt;  // the inlet air itself is too warm
  }
  while (high - low > 1e-9 * high) {
    const double middle = 0.5 * (low + high);
    (temp_with(middle) > limit_c ? low : high) = middle;
  }
  return high;
}

FanAdvice fan_advice(const ThermalNetwork& network, const ThermalDrive& drive, std::size_t space,
                     double limit_c) {
  FanAdvice advice;
  const SteadyHeat usual = network.steady(drive);
  std::vector<int> steps;
  std::size_t own = usual.fan_step.size();
  std::size_t entry = 0;
  const auto& spaces = network.model().spaces;
  for (std::size_t s = 0; s < spaces.size(); ++s) {
    for (std::size_t f = 0; f < spaces[s].fans.size(); ++f, ++entry) {
      if (s == space && f == 0) own = entry;
      steps.push_back(static_cast<int>(std::ceil(usual.fan_step[entry])));
    }
  }
  if (own == usual.fan_step.size()) {
    advice.temp_at_step_c.push_back(usual.temp_c[space]);
    if (usual.temp_c[space] <= limit_c) advice.smallest_step = 0;
  } else {
    const int count = static_cast<int>(spaces[space].fans.front().steps.size());
    for (int step = 0; step < count; ++step) {
      steps[own] = step;
      const double temp = network.steady(drive, steps).temp_c[space];
      advice.temp_at_step_c.push_back(temp);
      if (temp <= limit_c && !advice.smallest_step) advice.smallest_step = step;
    }
  }
  advice.needed_flow_m3s = network.airflow_for_limit(drive, space, limit_c);
  advice.margin_k = limit_c - advice.temp_at_step_c.back();
  return advice;
}

}  // namespace nightbus
