// From a solved circuit to what flows where.

#include <algorithm>

#include "energy/sim_network_bus.hpp"

namespace nightbus::sim_detail {

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
  if (point_.status != SolveStatus::solved) {
    const bool collapsed = point_.status == SolveStatus::collapsed;
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
  out.space_heat_w.assign(input_.thermal.spaces.size(), 0.0);
  out.bus_v = point_.node_v[index(network_.bus_p)] - point_.node_v[index(network_.bus_n)];
  out.status = out.bus_v > 0.5 ? BusStatus::fine : BusStatus::dead;
  bool held = false;
  for (std::size_t b = 0; b < problem.banks.size(); ++b) {
    const auto e = at(input_.banks[b].element);
    const BankMode mode = solved_modes_[b];
    const double i = mode == BankMode::open ? 0.0 : point_.current_a[e];
    out.banks[b] = {point_.voltage_v[e], i, mode == BankMode::limited};
  }
  for (std::size_t s = 0; s < problem.supplies.size(); ++s) {
    const auto e = at(supply_element(s));
    const ElementState state = point_.states[e];
    const double i = std::max(-point_.current_a[e], 0.0);
    const bool at_set = problem.supplies[s].on &&
                        (state == ElementState::normal || state == ElementState::blocking);
    out.supplies[s] = {point_.voltage_v[e] * i, i, at_set};
    held = held || (at_set && i > 0.0);
  }
  out.lift = held ? 0.0 : 1.0;
  for (std::size_t k = 0; k < out.loads.size(); ++k) {
    const auto e = at(input_.loads[k].element);
    out.loads[k] = {point_.current_a[e], point_.voltage_v[e]};
  }
  for (std::size_t c = 0; c < out.converters.size(); ++c) {
    const auto e = at(input_.converters[c].element);
    const double given = point_.output_voltage_v[e] * point_.output_current_a[e];
    out.converters[c] = {point_.voltage_v[e], point_.power_w[e], given, point_.power_w[e] - given};
  }
  out.wire_loss_w = point_.wire_loss_w;
  for (const std::size_t e : warming_wires_) {
    out.space_heat_w[at(network_.space_of_element[e])] += point_.loss_w[e];
  }
}

}  // namespace nightbus::sim_detail
