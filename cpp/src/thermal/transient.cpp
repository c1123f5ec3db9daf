// In time: C dT/dt = b - A T by the two-stage, L-stable, second-order implicit rule of Alexander
// (SIAM J. Numer. Anal. 14 (1977) 1006), γ = 1 - 1/√2:
//
//   (C + γ h A) k1 = b - A T
//   (C + γ h A) k2 = b - A (T + (1 - γ) h k1)
//   T ← T + h ((1 - γ) k1 + γ k2)
//
// A small mass next to a long step relaxes without ringing. Where air moves, A holds its density,
// so the step is made twice: first with the density at T, then with that half way.

#include <algorithm>
#include <cmath>
#include <limits>

#include "thermal/thermal_internal.hpp"

namespace nightbus {

using thermal_detail::eliminate;

ThermalState ThermalNetwork::start(double temp_c) const {
  ThermalState state;
  for (const AirSpace& space : model_.spaces) state.temp_c.push_back(space.held_c.value_or(temp_c));
  for (std::size_t f = 0; f < fans_.size(); ++f) {
    state.fans.push_back({fans_[f].space, fans_[f].fan, fan(f).control.lowest, 1e30});
  }
  return state;
}

void ThermalNetwork::advance(ThermalState& state, const ThermalDrive& drive, double dt_s) const {
  const std::size_t n = model_.spaces.size();
  if (n == 0 || dt_s <= 0.0) return;
  // Room for A, the stage matrix, b, k1, k2 and the densities' temperatures.
  state.scratch.resize(2 * n * n + 4 * n);
  const std::span<double> all(state.scratch);
  const auto a = all.subspan(0, n * n);
  const auto stage = all.subspan(n * n, n * n);
  const auto b = all.subspan(2 * n * n, n);
  const auto k1 = all.subspan(2 * n * n + n, n);
  const auto k2 = all.subspan(2 * n * n + 2 * n, n);
  const auto density_temp = all.subspan(2 * n * n + 3 * n, n);
  std::copy(state.temp_c.begin(), state.temp_c.end(), density_temp.begin());

  static thread_local Flows flows;
  flows.flow_m3s.resize(fans_.size());
  flows.heat_w.resize(fans_.size());
  flows.extra = {};
  bool air_moves = false;
  for (std::size_t f = 0; f < fans_.size(); ++f) {
    const SpaceFan& one = fan(f);
    const FanStep& step = one.steps[static_cast<std::size_t>(state.fans[f].step)];
    flows.flow_m3s[f] = one.count * step.flow_m3s;
    flows.heat_w[f] = one.count * step.power_w * one.heat_share;
    air_moves = air_moves || flows.flow_m3s[f] > 0.0;
  }

  constexpr double gamma = 0.29289321881345247;  // 1 - 1/√2
  const int rounds = air_moves ? 2 : 1;
  for (int round = 0; round < rounds; ++round) {
    assemble(density_temp, flows, drive, a, b);
    for (std::size_t i = 0; i < n; ++i) {
      const AirSpace& space = model_.spaces[i];
      const bool fixed = space.held_c.has_value();
      const double c = fixed ? 1.0 : space.heat_capacity_j_per_k;
      for (std::size_t j = 0; j < n; ++j) stage[i * n + j] = gamma * dt_s * a[i * n + j];
      stage[i * n + i] += c;
      double rate = b[i];
      for (std::size_t j = 0; j < n; ++j) rate -= a[i * n + j] * state.temp_c[j];
      k1[i] = fixed ? 0.0 : rate;
      if (fixed) {
        for (std::size_t j = 0; j < n; ++j) stage[i * n + j] = i == j ? 1.0 : 0.0;
      }
    }
    // The matrix is used twice; eliminating a copy for k1 leaves `stage` for k2. k2 doubles as
    // room.
    static thread_local std::vector<double> copy;
    copy.assign(stage.begin(), stage.end());
    eliminate(copy, k1, n);
    for (std::size_t i = 0; i < n; ++i) {
      double rate = b[i];
      for (std::size_t j = 0; j < n; ++j) {
        rate -= a[i * n + j] * (state.temp_c[j] + (1.0 - gamma) * dt_s * k1[j]);
      }
      k2[i] = model_.spaces[i].held_c ? 0.0 : rate;
    }
    eliminate(stage, k2, n);
    if (round + 1 < rounds) {
      for (std::size_t i = 0; i < n; ++i) {
        density_temp[i] = state.temp_c[i] + 0.5 * dt_s * ((1.0 - gamma) * k1[i] + gamma * k2[i]);
      }
    }
  }
  for (std::size_t i = 0; i < n; ++i) {
    const auto& held = model_.spaces[i].held_c;
    state.temp_c[i] =
        held.value_or(state.temp_c[i] + dt_s * ((1.0 - gamma) * k1[i] + gamma * k2[i]));
  }
  for (FanState& one : state.fans) one.since_change_s += dt_s;
}

bool ThermalNetwork::switch_fans(ThermalState& state) const {
  bool changed = false;
  for (std::size_t f = 0; f < fans_.size(); ++f) {
    FanState& now = state.fans[f];
    const SpaceFan& one = fan(f);
    if (now.since_change_s < one.control.hold_s) continue;
    const double temp = state.temp_c[static_cast<std::size_t>(now.space)];
    const int wanted = one.control.wanted(temp, now.step, static_cast<int>(one.steps.size()) - 1);
    if (wanted == now.step) continue;
    now.step = wanted;
    now.since_change_s = 0.0;
    changed = true;
  }
  return changed;
}

double ThermalNetwork::distance_to_switch_k(const ThermalState& state) const {
  double nearest = std::numeric_limits<double>::infinity();
  for (std::size_t f = 0; f < fans_.size(); ++f) {
    const FanState& now = state.fans[f];
    const SpaceFan& one = fan(f);
    if (now.since_change_s < one.control.hold_s) continue;
    const double temp = state.temp_c[static_cast<std::size_t>(now.space)];
    if (now.step + 1 < static_cast<int>(one.steps.size())) {
      nearest = std::min(nearest, one.control.up_threshold_c(now.step + 1) - temp);
    }
    if (now.step > one.control.lowest) {
      nearest = std::min(nearest,
                         temp - (one.control.up_threshold_c(now.step) - one.control.hysteresis_k));
    }
  }
  return nearest;
}

double ThermalNetwork::fan_power_w(const FanState& now) const {
  const SpaceFan& one =
      model_.spaces[static_cast<std::size_t>(now.space)].fans[static_cast<std::size_t>(now.fan)];
  return one.count * one.steps[static_cast<std::size_t>(now.step)].power_w;
}

HeatBalance ThermalNetwork::balance(const ThermalState& state, const ThermalDrive& drive,
                                    std::size_t space) const {
  const AirSpace& own = model_.spaces[space];
  const double temp = state.temp_c[space];
  HeatBalance h;
  h.gear_w = space < drive.heat_w.size() ? drive.heat_w[space] : 0.0;
  h.sun_w = own.sun_gain_m2 * drive.sun_wm2;
  h.walls_w = own.outside_w_per_k * (drive.outside_c - temp);
  for (const ThermalLink& link : model_.links) {
    const auto a = static_cast<std::size_t>(link.a);
    const auto b = static_cast<std::size_t>(link.b);
    if (a == space) h.walls_w += link.w_per_k * (state.temp_c[b] - temp);
    if (b == space) h.walls_w += link.w_per_k * (state.temp_c[a] - temp);
  }
  for (std::size_t f = 0; f < fans_.size(); ++f) {
    const SpaceFan& one = fan(f);
    const auto home = static_cast<std::size_t>(fans_[f].space);
    const FanStep& step = one.steps[static_cast<std::size_t>(state.fans[f].step)];
    const double m = air_density_kg_per_m3(state.temp_c[home], pressure_ratio_) *
                     air_heat_capacity_j_per_kgk * one.count * step.flow_m3s;
    double inlet_temp = drive.outside_c;
    for (const AirInlet& inlet : one.inlets) {
      if (inlet.from == outside_air) continue;
      const auto j = static_cast<std::size_t>(inlet.from);
      inlet_temp += inlet.share * (state.temp_c[j] - drive.outside_c);
      if (j == space && j != home) h.air_w += m * inlet.share * (drive.outside_c - temp);
    }
    if (home != space) continue;
    h.fan_motor_w += one.count * step.power_w * one.heat_share;
    h.air_w += m * (inlet_temp - temp);
  }
  return h;
}

}  // namespace nightbus
