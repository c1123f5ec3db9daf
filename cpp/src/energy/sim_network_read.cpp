// From a solved circuit to what flows where.

#include <algorithm>

#include "energy/sim_network_bus.hpp"

namespace nightbus::sim_detail {

std::vector<NetworkBus::LoadVolts> NetworkBus::volts_in(Lane lane,
                                                        const std::vector<LoadLine>& lines) {
  std::vector<LoadVolts> found;
  for (const LoadLine& line : lines) {
    found.push_back({lane.points->potential_v(line.place.p, lane.at),
                     lane.points->potential_v(line.place.n, lane.at)});
  }
  return found;
}

/// Banks and supplies of a point that a lane solved.
void NetworkBus::see(Lane lane) {
  seen_ = lane;
  status_ = SolveStatus::solved;
  starved_v_.clear();
  good_numbers_ = numbers_;
  for (std::size_t b = 0; b < bank_v_.size(); ++b) {
    bank_v_[b] = lane.points->voltage_v(bank_place_[b], lane.at);
    bank_a_[b] = (bank_v_[b] - numbers_[2 * b]) / numbers_[2 * b + 1];
  }
  for (std::size_t s = 0; s < supply_v_.size(); ++s) {
    supply_v_[s] = lane.points->voltage_v(supply_place_[s], lane.at);
    supply_a_[s] = supply_laws_[s].current_a(supply_modes_[s], supply_v_[s]);
  }
}

void NetworkBus::see_careful() {
  seen_ = {};
  status_ = careful_.status;
  for (std::size_t b = 0; b < bank_v_.size(); ++b) {
    bank_v_[b] = careful_.voltage_v[at(input_.banks[b].element)];
    bank_a_[b] = careful_.current_a[at(input_.banks[b].element)];
  }
  for (std::size_t s = 0; s < supply_v_.size(); ++s) {
    const auto e = at(supply_element(s));
    supply_v_[s] = careful_.voltage_v[e];
    supply_a_[s] = std::max(-careful_.current_a[e], 0.0);
  }
}

void NetworkBus::go_dark(BusStatus status, const BusProblem& problem, BusSolution& out) const {
  out.status = status;
  out.overdrawn_load = out.overdrawn_converter = -1;
  out.wire_loss_w = out.bus_v = out.lift = 0.0;
  out.turned_down = false;
  out.banks.assign(problem.banks.size(), {});
  out.supplies.assign(problem.supplies.size(), {});
  out.loads.assign(input_.loads.size(), {});
  out.converters.assign(input_.converters.size(), {});
  out.space_heat_w.assign(input_.thermal.spaces.size(), 0.0);
}

void NetworkBus::read(const BusProblem& problem, BusSolution& out) {
  if (status_ != SolveStatus::solved) {
    const bool collapsed = status_ == SolveStatus::collapsed;
    if (collapsed) remember_failure(problem);
    go_dark(collapsed ? BusStatus::collapsed : BusStatus::dead, problem, out);
    return;
  }
  if (!agreed_) {
    // An empty bank that charges pulls the bus below what a supply at its limit can hold; taken
    // out, the bus is high enough to charge it: no state lasts, and devices see the bus fall.
    go_dark(BusStatus::collapsed, problem, out);
    return;
  }
  out.overdrawn_load = -1;
  out.overdrawn_converter = -1;
  out.banks.resize(problem.banks.size());
  out.supplies.resize(problem.supplies.size());
  out.loads.resize(input_.loads.size());
  out.converters.resize(input_.converters.size());
  out.space_heat_w.resize(input_.thermal.spaces.size());
  if (seen_.points != nullptr)
    read_lane(out);
  else
    read_careful(out);
  out.status = out.bus_v > 0.5 ? BusStatus::fine : BusStatus::dead;
  bool held = false;
  for (std::size_t b = 0; b < problem.banks.size(); ++b) {
    const BankMode mode = solved_modes_[b];
    out.banks[b] = {bank_v_[b], mode == BankMode::open ? 0.0 : bank_a_[b],
                    mode == BankMode::limited};
  }
  for (std::size_t s = 0; s < problem.supplies.size(); ++s) {
    const SupplyLaw& law = supply_laws_[s];
    const bool by_set = law.by_ceiling(supply_v_[s]) <= law.by_limits(supply_v_[s]);
    const bool at_set = problem.supplies[s].on && (by_set || supply_modes_[s] == SupplyMode::held);
    out.supplies[s] = {supply_v_[s] * supply_a_[s], supply_a_[s], at_set};
    held = held || (at_set && supply_a_[s] > 0.0);
  }
  out.lift = held ? 0.0 : 1.0;
}

void NetworkBus::read_lane(BusSolution& out) const {
  const PointLanes& points = *seen_.points;
  const int lane = seen_.at;
  out.bus_v = points.voltage_v(bus_place_, lane);
  const std::vector<LoadVolts>& volts = seen_.points == &own_ ? own_volts_ : lane_volts_;
  const auto volts_of = [&](std::size_t k) { return *volts[k].p - *volts[k].n; };
  for (const std::size_t k : by_power_) {
    const double v = volts_of(k);
    out.loads[k] = {draw_[k] / v, v};
  }
  for (const std::size_t k : by_current_) out.loads[k] = {draw_[k], volts_of(k)};
  for (const std::size_t k : by_resistance_) {
    const double v = volts_of(k);
    out.loads[k] = {draw_[k] * v, v};
  }
  for (const std::size_t k : by_fan_) {
    const double v = out.loads[k].voltage_v;
    out.loads[k].current_a += load_lines_[k].scale * load_lines_[k].fan_a_per_v2 * v * v;
  }
  for (std::size_t c = 0; c < out.converters.size(); ++c) {
    const ElementReading r = points.read(id(input_.converters[c].element), lane);
    const double taken = r.voltage_v * r.current_a;
    const double given = r.output_voltage_v * r.output_current_a;
    out.converters[c] = {r.voltage_v, taken, given, taken - given};
  }
  out.wire_loss_w = points.loss_w(0, lane);
  std::fill(out.space_heat_w.begin(), out.space_heat_w.end(), 0.0);
  for (std::size_t g = 1; g < points.loss_groups(); ++g) {
    const double watts = points.loss_w(g, lane);
    out.wire_loss_w += watts;
    out.space_heat_w[g - 1] = watts;
  }
}

void NetworkBus::read_careful(BusSolution& out) const {
  out.bus_v = careful_.node_v[index(network_.bus_p)] - careful_.node_v[index(network_.bus_n)];
  for (std::size_t k = 0; k < out.loads.size(); ++k) {
    const auto e = at(input_.loads[k].element);
    out.loads[k] = {careful_.current_a[e], careful_.voltage_v[e]};
  }
  for (std::size_t c = 0; c < out.converters.size(); ++c) {
    const auto e = at(input_.converters[c].element);
    const double given = careful_.output_voltage_v[e] * careful_.output_current_a[e];
    out.converters[c] = {careful_.voltage_v[e], careful_.power_w[e], given,
                         careful_.power_w[e] - given};
  }
  out.wire_loss_w = careful_.wire_loss_w;
  std::fill(out.space_heat_w.begin(), out.space_heat_w.end(), 0.0);
  for (std::size_t e = 0; e < columns_.loss_groups.size(); ++e) {
    if (columns_.loss_groups[e] > 0)
      out.space_heat_w[at(columns_.loss_groups[e] - 1)] += careful_.loss_w[e];
  }
}

}  // namespace nightbus::sim_detail
