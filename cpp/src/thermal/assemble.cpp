// The heat balance of all spaces as b - A·T (W), at given fan flows.
//
//   walls     G (T_j - T_i)                        symmetric
//   outside   G (T_out - T_i)
//   fan       m = ρ(T_i) cp Q;  m (Σ x_j T_j + (1 - Σ x_j) T_out - T_i), x_j the inlets' shares
//             the air taken from space j is made up from outside: m x_j (T_out - T_j) in j
//   held      T_i = given: the row is replaced by the identity

#include <cmath>

#include "nightbus/source.hpp"
#include "thermal/thermal_internal.hpp"

namespace nightbus {

namespace thermal_detail {

void eliminate(std::span<double> matrix, std::span<double> right, std::size_t n) {
  if (n == 0) return;  // a system without compartments
  const std::size_t columns = right.size() / n;
  for (std::size_t k = 0; k < n; ++k) {
    const double pivot = 1.0 / matrix[k * n + k];
    for (std::size_t i = k + 1; i < n; ++i) {
      const double factor = matrix[i * n + k] * pivot;
      if (factor == 0.0) continue;
      for (std::size_t j = k + 1; j < n; ++j) matrix[i * n + j] -= factor * matrix[k * n + j];
      for (std::size_t c = 0; c < columns; ++c) right[c * n + i] -= factor * right[c * n + k];
    }
  }
  for (std::size_t c = 0; c < columns; ++c) {
    for (std::size_t k = n; k-- > 0;) {
      double sum = right[c * n + k];
      for (std::size_t j = k + 1; j < n; ++j) sum -= matrix[k * n + j] * right[c * n + j];
      right[c * n + k] = sum / matrix[k * n + k];
    }
  }
}

}  // namespace thermal_detail

namespace {

void check_model(const ThermalModel& model) {
  const auto spaces = static_cast<int>(model.spaces.size());
  const auto known = [&](int space) { return space >= 0 && space < spaces; };
  for (const AirSpace& space : model.spaces) {
    if (!(space.heat_capacity_j_per_k > 0.0))
      throw Error("a space needs a heat capacity above 0 J/K");
    if (!(space.outside_w_per_k >= 0.0)) throw Error("a wall conductance below 0 W/K");
    for (const SpaceFan& fan : space.fans) {
      if (fan.steps.empty()) throw Error("a fan needs at least the step 'off'");
      if (fan.control.lowest < 0 || fan.control.lowest >= static_cast<int>(fan.steps.size())) {
        throw Error("a fan's lowest step is not in its table");
      }
      double shares = 0.0;
      for (const AirInlet& inlet : fan.inlets) {
        if (inlet.from != outside_air && !known(inlet.from))
          throw Error("an inlet from no known space");
        if (!(inlet.share >= 0.0)) throw Error("an inlet share below 0");
        shares += inlet.share;
      }
      if (shares > 1.0 + 1e-12) throw Error("the inlet shares of a fan exceed 1");
    }
  }
  for (const ThermalLink& link : model.links) {
    if (!known(link.a) || !known(link.b) || link.a == link.b) {
      throw Error("a wall must join two different known spaces");
    }
    if (!(link.w_per_k >= 0.0)) throw Error("a wall conductance below 0 W/K");
  }
}

}  // namespace

ThermalNetwork::ThermalNetwork(ThermalModel model) : model_(std::move(model)) {
  check_model(model_);
  pressure_ratio_ = air_pressure_ratio(model_.altitude_m);
  for (std::size_t s = 0; s < model_.spaces.size(); ++s) {
    for (std::size_t f = 0; f < model_.spaces[s].fans.size(); ++f) {
      fans_.push_back({static_cast<int>(s), static_cast<int>(f)});
    }
  }
}

const SpaceFan& ThermalNetwork::fan(std::size_t index) const {
  const FanRef& ref = fans_[index];
  return model_.spaces[static_cast<std::size_t>(ref.space)].fans[static_cast<std::size_t>(ref.fan)];
}

ThermalNetwork::Flows ThermalNetwork::flows_at(std::span<const double> fractional_steps,
                                               const ExtraAir& extra) const {
  Flows flows{{}, {}, extra};
  for (std::size_t f = 0; f < fans_.size(); ++f) {
    const SpaceFan& one = fan(f);
    const double whole = std::floor(fractional_steps[f]);
    const double share = fractional_steps[f] - whole;
    const auto low = static_cast<std::size_t>(whole);
    const std::size_t high = share > 0.0 ? low + 1 : low;
    const auto mix = [&](double FanStep::*m) {
      return one.count * ((1.0 - share) * one.steps[low].*m + share * one.steps[high].*m);
    };
    // A wished-for flow stands in for the space's own fans.
    const bool replaced = extra.space == fans_[f].space;
    flows.flow_m3s.push_back(replaced ? 0.0 : mix(&FanStep::flow_m3s));
    flows.heat_w.push_back(replaced ? 0.0 : mix(&FanStep::power_w) * one.heat_share);
  }
  return flows;
}

void ThermalNetwork::assemble(std::span<const double> temp_c, const Flows& flows,
                              const ThermalDrive& drive, std::span<double> matrix,
                              std::span<double> right) const {
  const std::size_t n = model_.spaces.size();
  for (double& entry : matrix) entry = 0.0;
  for (std::size_t i = 0; i < n; ++i) {
    const AirSpace& space = model_.spaces[i];
    matrix[i * n + i] = space.outside_w_per_k;
    right[i] = space.outside_w_per_k * drive.outside_c + space.sun_gain_m2 * drive.sun_wm2 +
               (i < drive.heat_w.size() ? drive.heat_w[i] : 0.0);
  }
  for (const ThermalLink& link : model_.links) {
    const auto a = static_cast<std::size_t>(link.a);
    const auto b = static_cast<std::size_t>(link.b);
    matrix[a * n + a] += link.w_per_k;
    matrix[b * n + b] += link.w_per_k;
    matrix[a * n + b] -= link.w_per_k;
    matrix[b * n + a] -= link.w_per_k;
  }
  const auto move_air = [&](std::size_t i, double flow, const std::vector<AirInlet>& inlets) {
    if (flow <= 0.0) return;
    const double m =
        air_density_kg_per_m3(temp_c[i], pressure_ratio_) * air_heat_capacity_j_per_kgk * flow;
    matrix[i * n + i] += m;
    double from_outside = 1.0;
    for (const AirInlet& inlet : inlets) {
      if (inlet.from == outside_air) continue;
      const auto j = static_cast<std::size_t>(inlet.from);
      from_outside -= inlet.share;
      matrix[i * n + j] -= m * inlet.share;
      if (j == i) continue;
      matrix[j * n + j] += m * inlet.share;
      right[j] += m * inlet.share * drive.outside_c;
    }
    right[i] += m * from_outside * drive.outside_c;
  };
  for (std::size_t f = 0; f < fans_.size(); ++f) {
    const auto i = static_cast<std::size_t>(fans_[f].space);
    right[i] += flows.heat_w[f];
    move_air(i, flows.flow_m3s[f], fan(f).inlets);
  }
  if (flows.extra.space >= 0) {
    const auto i = static_cast<std::size_t>(flows.extra.space);
    static const std::vector<AirInlet> outside{};
    const auto& own = model_.spaces[i].fans;
    move_air(i, flows.extra.flow_m3s, own.empty() ? outside : own.front().inlets);
  }
  for (std::size_t i = 0; i < n; ++i) {
    const AirSpace& space = model_.spaces[i];
    if (!space.held_c) continue;
    for (std::size_t j = 0; j < n; ++j) matrix[i * n + j] = i == j ? 1.0 : 0.0;
    right[i] = *space.held_c;
  }
}

}  // namespace nightbus
