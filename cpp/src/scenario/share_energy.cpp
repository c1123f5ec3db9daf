/// Watt-hours of devices become watt-hours at the bank: each carries its part of the losses.

#include <algorithm>

#include "scenario/energy_plan.hpp"

namespace nightbus::scenario_detail {

namespace {

std::size_t point_index(const CompiledSystem& compiled, const Consumer& consumer) {
  const PointNodes& point = compiled.point_of(consumer.kind, consumer.index);
  return compiled.find_point(point.name).value();
}

/// The excess over the devices' own watt-hours is scaled so that all shares add up to `total`.
std::vector<double> at_bank(const std::vector<double>& own, const std::vector<double>& factor,
                            double total) {
  double sum = 0.0, excess = 0.0;
  for (std::size_t k = 0; k < own.size(); ++k) {
    sum += own[k];
    excess += own[k] * (factor[k] - 1.0);
  }
  const double scale = excess > 0.0 && total > sum ? (total - sum) / excess : 1.0;
  std::vector<double> result;
  for (std::size_t k = 0; k < own.size(); ++k) {
    result.push_back(own[k] * (1.0 + scale * (factor[k] - 1.0)));
  }
  return result;
}

}  // namespace

void share_energy(const CompiledSystem& compiled, const CaseConditions& conditions,
                  const std::vector<Consumer>& consumers, const std::vector<double>& day_wh,
                  const std::vector<double>& night_wh, double day_total_wh, double night_total_wh,
                  EnergyPlan& plan) {
  Case ordinary;
  ordinary.name = "ordinary day";
  ordinary.bank = BankState::rest;
  ordinary.demand = Demand::typical;
  ordinary.ambient = Ambient::mild;
  CaseConditions plain;
  plain.wiring_margin = false;
  static_cast<CaseAir&>(plain) = conditions.air_of(ordinary.name);
  const CaseResult result = solve_case(compiled, ordinary, plain);
  const LossShares shares = loss_shares(compiled, result);
  const double bank_v =
      result.ok() ? result.banks.front().voltage_v : compiled.system().banks.front().nominal_v;

  std::vector<double> factor;
  std::vector<std::size_t> at;
  for (const Consumer& consumer : consumers) {
    at.push_back(point_index(compiled, consumer));
    factor.push_back(std::max(1.0, shares.factor[at.back()]));
  }
  const std::vector<double> day = at_bank(day_wh, factor, day_total_wh);
  const std::vector<double> night = at_bank(night_wh, factor, night_total_wh);
  for (std::size_t k = 0; k < consumers.size(); ++k) {
    const PointKind kind = consumers[k].kind;
    EnergyShare share;
    share.kind = kind == PointKind::bank    ? "bank standby"
                 : kind == PointKind::array ? "controller standby"
                                            : std::string(point_kind_name(kind));
    share.name = compiled.points()[at[k]].name;
    share.day_wh = day_wh[k];
    share.night_wh = night_wh[k];
    share.day_at_bank_wh = day[k];
    share.night_at_bank_wh = night[k];
    share.day_ah = day[k] / bank_v;
    share.night_ah = night[k] / bank_v;
    plan.loads.push_back(std::move(share));
  }
  for (std::size_t b = 0; b < compiled.system().buses.size(); ++b) {
    const PointNodes& bus = compiled.point_of(PointKind::bus, b);
    const std::size_t bus_at = compiled.find_point(bus.name).value();
    EnergyShare share;
    share.kind = "bus";
    share.name = bus.name;
    for (std::size_t k = 0; k < consumers.size(); ++k) {
      int p = static_cast<int>(at[k]);
      for (std::size_t guard = 0; p >= 0 && guard < compiled.points().size(); ++guard) {
        if (static_cast<std::size_t>(p) == bus_at) {
          share.day_at_bank_wh += day[k];
          share.night_at_bank_wh += night[k];
          break;
        }
        p = shares.parent[static_cast<std::size_t>(p)];
      }
    }
    const double to_bank = std::max(1.0, shares.factor[bus_at]);
    share.day_wh = share.day_at_bank_wh / to_bank;
    share.night_wh = share.night_at_bank_wh / to_bank;
    share.day_ah = share.day_at_bank_wh / bank_v;
    share.night_ah = share.night_at_bank_wh / bank_v;
    plan.buses.push_back(std::move(share));
  }
}

}  // namespace nightbus::scenario_detail
