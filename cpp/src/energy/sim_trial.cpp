// One step of dt, worked out but not yet taken.
//
// A bank over the step, with s its charge, c the share of its terminal current that counts
// (coulombic efficiency while charging, Peukert's factor while discharging), Is the self-discharge,
// Q in Ah:
//
//   Δs = (c I - Is) dt/3600/Q
//   EMF at the middle = EMF0 + k Δs/2,  k = d(EMF)/ds on the present segment of the table
//                     = [EMF0 - k Is dt/7200/Q] + [k c dt/7200/Q] I
//
// The first bracket is an EMF and the second a resistance, so the midpoint rule costs one solve of
// the circuit, is of second order, and is exact in energy as long as s stays on one segment; steps
// are cut at the table's corners. What else varies slowly (resistance, efficiency, temperature) is
// taken half a step ahead by the rates of the step before.

#include <algorithm>
#include <cmath>

#include "energy/sim_engine.hpp"

namespace nightbus::sim_detail {

namespace {
constexpr double nudge = 1e-9;  // of charge: to stand clearly on the next segment of a table

/// Mean of the EMF table between two charges. A step that was cut at a corner ends a little behind
/// it: both parts count, so that the sum over all steps is the stored energy exactly.
double mean_emf_over(BankTables& model, double from, double to) {
  const double at_from = model.mean_emf_v(from);
  const double at_to = model.mean_emf_v(to);
  const bool rises = to > from;
  const double corner = model.next_corner(rises ? from + nudge : from - nudge, rises);
  if (!((corner - from) * (to - corner) > 0.0)) return 0.5 * (at_from + at_to);
  const double at_corner = model.mean_emf_v(corner);
  const double first = (corner - from) * (at_from + at_corner);
  return 0.5 * (first + (to - corner) * (at_corner + at_to)) / (to - from);
}
}  // namespace

void Engine::fill_ports(double dt_s) {
  for (std::size_t b = 0; b < banks_.size(); ++b) {
    const BankModel& model = in_.banks[b].model;
    BankTables& tables = tables_[b];
    const BankState& state = banks_[b];
    BankPort& port = problem_.banks[b];
    const double half_h = 0.5 * dt_s / 3600.0;
    const double per_ah = half_h / model.usable_ah();
    const double temp = state.temp_c + 0.5 * dt_s * state.temp_rate_k_per_s;
    const double ahead = std::clamp(state.soc + state.net_a * per_ah, 0.0, 1.0);
    const bool full = state.soc >= 1.0 - 1e-12;
    const double coulombic = full ? 0.0 : tables.coulombic_at(ahead);
    const bool empty = state.soc <= 1e-12;
    const double leak = full || empty ? 0.0 : tables.self_discharge_a(temp);
    const double up = tables.emf_slope_v(std::min(state.soc + nudge, 1.0), state.h, true);
    const double down = tables.emf_slope_v(std::max(state.soc - nudge, 0.0), state.h, false);
    const double r = tables.resistance_at(ahead, temp);
    port.emf_v = tables.emf_v(state.soc, temp, state.h) - down * leak * per_ah;
    port.charge_ohm = r + up * coulombic * per_ah;
    port.discharge_ohm = r + down * peukert_[b] * per_ah;
    port.path_ohm = in_.network ? 0.0 : in_.banks[b].path_resistance_ohm;
    port.can_discharge = !state.cut && !state.discharge_blocked;
    port.charge_limit_a = state.charge_blocked ? 0.0 : model.acceptance_a(state.soc);
    if (!state.charge_blocked && !full && model.acceptance_hours > 0.0) {
      // The missing charge shrinks during the step: its middle counts.
      port.charge_limit_a /= 1.0 + coulombic * half_h / model.acceptance_hours;
    }
    port.turn_down_a = state.charge_blocked ? 1e30 : model.charge_limit_a(temp);

    BankStep& step = trial_.banks[b];
    step.resistance_ohm = r;
    step.coulombic = coulombic;
    step.self_discharge_a = leak;
    step.peukert = peukert_[b];
  }

  const double set = set_v_ = stage_v();
  offered_ = false;
  std::size_t s = 0;
  for (std::size_t k = 0; k < in_.arrays.size(); ++k, ++s) {
    const ArrayModel& array = in_.arrays[k].model;
    const ArrayDrive& drive = arrays_[k];
    SupplyPort& port = problem_.supplies[s];
    port.on = set > 0.0 && drive.best.power_w > 0.0;
    offered_ = offered_ || port.on;
    port.set_v = set;
    port.path_ohm = in_.network ? 0.0 : array.controller.path_resistance_ohm;
    port.current_limit_a = array.controller.max_current_a;
    // A tracking controller steps down: the bus cannot be lifted to the array's own voltage.
    const bool tracks = array.controller.kind == ControllerKind::mppt;
    if (tracks && drive.best.mpp_v > 0.0) {
      port.set_v = std::min(port.set_v, drive.best.mpp_v - array.controller.headroom_v);
    }
    if (!tracks) {
      port.kind = SupplyPort::Kind::module;
      port.module = &array;
      port.light_wm2 = drive.light_wm2;
      port.cell_c = drive.cell_c;
      port.loss = drive.loss;
    } else {
      port.kind = SupplyPort::Kind::power;
      port.power_w = drive.best.power_w * array.controller.efficiency;
    }
  }
  for (std::size_t k = 0; k < in_.chargers.size(); ++k, ++s) {
    const SimCharger& charger = in_.chargers[k];
    SupplyPort& port = problem_.supplies[s];
    port.kind = SupplyPort::Kind::current;
    const bool powered = charger.always || charger_players_[k].power_w() > 0.0 || generator_on_[k];
    port.set_v = charger.fixed_v.value_or(set);
    port.on = powered && port.set_v > 0.0;
    offered_ = offered_ || port.on;
    port.path_ohm = in_.network ? 0.0 : charger.path_resistance_ohm;
    port.current_limit_a = charger.max_current_a;
  }
}

bool Engine::advance_banks(double dt_s) {
  bool settled = true;
  double lift_sum = 0.0;
  double weight = 0.0;
  for (std::size_t b = 0; b < banks_.size(); ++b) {
    const BankModel& model = in_.banks[b].model;
    BankTables& tables = tables_[b];
    const BankState& state = banks_[b];
    const BankPort& port = problem_.banks[b];
    BankStep& step = trial_.banks[b];
    const BankFlow& flow = trial_.bus.banks[b];
    const double i = flow.current_a;
    const double per_ah = dt_s / 3600.0 / tables.usable_ah();
    const double peukert = i < 0.0 ? model.peukert_factor(-i) : 1.0;
    if (i < 0.0 && std::abs(peukert - peukert_[b]) > 1e-10) {
      peukert_[b] = peukert;
      settled = false;
    }
    const double counted = i >= 0.0 ? step.coulombic * i : step.peukert * i;
    step.current_a = i;
    step.net_a = counted - step.self_discharge_a;
    step.soc_end = state.soc + step.net_a * per_ah;
    const double march = std::exp(-std::abs(counted) * per_ah / model.hysteresis_charge);
    step.h_end = i >= 0.0 ? 1.0 - (1.0 - state.h) * march : -1.0 + (1.0 + state.h) * march;
    const double moved = i >= 0.0 ? (port.charge_ohm - step.resistance_ohm) * i
                                  : (port.discharge_ohm - step.resistance_ohm) * i;
    step.emf_v = port.emf_v + moved;
    step.mean_emf_v = mean_emf_over(tables, state.soc, step.soc_end);
    step.terminal_v = trial_.bus.bus_v > 0.0 ? flow.terminal_v : step.emf_v;
    step.start_emf_v = tables.emf_v(state.soc, state.temp_c, state.h);
    const double g = 1.0 / (step.resistance_ohm + port.path_ohm);
    lift_sum += g * (step.emf_v - step.start_emf_v);
    weight += g;
  }
  const double rise = weight > 0.0 ? trial_.bus.lift * lift_sum / weight : 0.0;
  trial_.bus_end_v = trial_.bus.bus_v > 0.0 ? trial_.bus.bus_v + rise : 0.0;
  for (std::size_t b = 0; b < banks_.size(); ++b) {
    BankStep& step = trial_.banks[b];
    const BankPort& port = problem_.banks[b];
    const double further = step.emf_v - step.start_emf_v;
    const double g = 1.0 / (step.resistance_ohm + port.path_ohm);
    const bool flows = step.current_a != 0.0 && !trial_.bus.banks[b].limited;
    step.current_end_a = step.current_a + (flows ? g * (rise - further) : 0.0);
    step.terminal_end_v =
        trial_.bus_end_v > 0.0
            ? step.terminal_v + rise - (step.current_end_a - step.current_a) * port.path_ohm
            : step.emf_v + further;
  }
  return settled;
}

void Engine::try_step(double dt_s) {
  fill_ports(dt_s);
  solver_->solve(problem_, trial_.bus);
  finish_try(dt_s);
}

/// From the first solution of a step to its end.
void Engine::finish_try(double dt_s) {
  trial_.dt_s = dt_s;
  ++out_.solves;
  for (int round = 1; !advance_banks(dt_s) && round < 6; ++round) {
    fill_ports(dt_s);
    solver_->solve(problem_, trial_.bus);
    ++out_.solves;
  }
  trial_.held = false;
  for (std::size_t s = 0; s < problem_.supplies.size(); ++s) {
    const bool fixed = s >= in_.arrays.size() && in_.chargers[s - in_.arrays.size()].fixed_v;
    const bool by_stage = !fixed && problem_.supplies[s].set_v >= set_v_;
    if (by_stage && problem_.supplies[s].on && trial_.bus.supplies[s].at_set) trial_.held = true;
  }
  if (trial_.bus.turned_down || (!banks_.empty() && banks_.front().charge_blocked))
    trial_.held = false;
  heat_spaces(dt_s);
}

}  // namespace nightbus::sim_detail
