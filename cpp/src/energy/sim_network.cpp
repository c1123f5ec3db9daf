// The bus as a compiled circuit, solved at every step from the volts of the step before.
//
// Banks are sources, E behind R. What such a source cannot know is brought in by its resistance, in
// a few rounds: charging and discharging have their own; a bank that takes no more than its limit
// stands behind a larger one, found so that just the limit flows; one whose path is open stands
// behind half a gigaohm. With the circuit's own current i at terminal volts V the law of a bank is
//
//   V < E    i = (V - E)/Rd                      (open: 0)
//   V >= E   i = min((V - E)/Rc, limit)          limit 0: open
//
// a rising curve, so limited is the same as R = max(Rc, (V - E)/limit): continuous where the limit
// begins. When a bank's charge-current limit is passed (the charger's business, not the plates')
// the ceilings of all supplies are lowered until it is kept.
//
// Lock-outs are the engine's business (it cuts its steps at them), so the circuit's own are held.

#include <algorithm>
#include <cmath>

#include "energy/sim_network_bus.hpp"

namespace nightbus::sim_detail {

namespace {
constexpr int most_rounds = 60;
constexpr double no_current_a = 1e-9;
constexpr double no_volts = 1e-9;
constexpr double open_leak_a = 1e-12;
constexpr double limit_slack = 1e-10;
}  // namespace

void LimitSearch::aim(double ratio) {
  const double here = std::log(ohm_);
  const double miss = std::log(ratio);
  (miss > 0.0 ? low_ : high_) = here;
  (miss > 0.0 ? has_low_ : has_high_) = true;
  double step = miss;  // as if the volts stood still
  if (has_last_ && miss != last_miss_) step = -miss * (here - last_) / (miss - last_miss_);
  if (has_low_ && has_high_) {
    double next = here + step;
    if (!(next > low_ && next < high_) || ++rounds_ % 5 == 0) next = 0.5 * (low_ + high_);
    step = next - here;
  } else {
    const double towards = std::clamp(std::copysign(step, miss), -3.0, 3.0);
    step = std::abs(towards) < 1e-12 ? std::copysign(1e-9, miss) : towards;
  }
  last_ = here;
  last_miss_ = miss;
  has_last_ = true;
  ohm_ = std::exp(here + step);
}

void NetworkBus::call() {
  options_.start_v = start_v_;
  nightbus::solve(circuit_, parameters_, workspace_, options_, point_);
  solved_modes_ = modes_;
  if (point_.status == SolveStatus::solved)
    start_v_.assign(point_.node_v.begin(), point_.node_v.end());
}

bool NetworkBus::bank_agrees(const BusProblem& problem, std::size_t b) {
  const BankPort& port = problem.banks[b];
  const auto element = at(input_.banks[b].element);
  const double i = point_.current_a[element];
  const double over = point_.voltage_v[element] - port.emf_v;
  const double limit = port.charge_limit_a;
  BankMode& mode = modes_[b];
  const auto go = [&](BankMode wanted) {
    const bool agree = mode == wanted;
    mode = wanted;
    return agree;
  };
  const BankMode giving = port.can_discharge ? BankMode::discharge : BankMode::open;
  switch (mode) {
    case BankMode::open:
      if (over > no_volts && limit > 0.0) return go(BankMode::charge);
      if (over < -no_volts && port.can_discharge) return go(giving);
      // What the large resistance lets through is nothing once its EMF has followed.
      return std::abs(i) <= open_leak_a;
    case BankMode::discharge:
      if (i > no_current_a) return go(limit > 0.0 ? BankMode::charge : BankMode::open);
      return go(giving);
    case BankMode::charge:
      if (i < -no_current_a) return go(giving);
      if (limit <= 0.0) return go(BankMode::open);
      if (i <= limit * (1.0 + limit_slack)) return true;
      limits_[b].start_at(port.charge_ohm);
      limits_[b].aim(i / limit);
      return go(BankMode::limited);
    case BankMode::limited:
      if (i < no_current_a) return go(giving);
      if (limit <= 0.0) return go(BankMode::open);
      // Below the bank's own resistance there is no limit left to keep.
      if (limits_[b].ohm() < port.charge_ohm * (1.0 - 1e-12)) return go(BankMode::charge);
      if (std::abs(i - limit) <= limit_slack * std::max(limit, 1.0)) return true;
      limits_[b].aim(i / limit);
      if (limits_[b].ohm() < port.charge_ohm && !limits_[b].has_low()) return go(BankMode::charge);
      return false;
  }
  return true;
}

/// Puts each bank into the mode its own current asks for; false when one changed.
bool NetworkBus::banks_agree(const BusProblem& problem) {
  bool agree = true;
  for (std::size_t b = 0; b < input_.banks.size(); ++b) {
    if (!bank_agrees(problem, b)) agree = false;
  }
  return agree;
}

/// A bank left open because it may not be charged still carries the loads when the sun does not:
/// without an answer the modes of the step before are given up once. False when none was.
bool NetworkBus::connect_banks(const BusProblem& problem) {
  bool changed = false;
  for (std::size_t b = 0; b < input_.banks.size(); ++b) {
    if (modes_[b] == BankMode::discharge || !problem.banks[b].can_discharge) continue;
    modes_[b] = BankMode::discharge;
    changed = true;
  }
  return changed;
}

/// PWM: the module's current belongs to the volts at its controller.
bool NetworkBus::modules_agree(const BusProblem& problem) {
  bool agree = true;
  for (std::size_t s = 0; s < problem.supplies.size(); ++s) {
    if (problem.supplies[s].kind != SupplyPort::Kind::module || !problem.supplies[s].on) continue;
    const double v = point_.voltage_v[at(input_.arrays[s].element)];
    if (std::abs(v - module_v_[s]) > 1e-6) agree = false;
    module_v_[s] = v;
  }
  return agree;
}

void NetworkBus::balance_banks(const BusProblem& problem) {
  bool connected = false;
  agreed_ = true;
  for (int round = 0; round < most_rounds; ++round) {
    set_banks(problem);
    call();
    if (point_.status == SolveStatus::solved) {
      if (banks_agree(problem)) return;
    } else {
      if (connected || !connect_banks(problem)) return;
      connected = true;
    }
  }
  agreed_ = false;
}

double NetworkBus::worst_excess_a(const BusProblem& problem) const {
  double worst = -1e30;
  for (std::size_t b = 0; b < input_.banks.size(); ++b) {
    worst = std::max(worst,
                     point_.current_a[at(input_.banks[b].element)] - problem.banks[b].turn_down_a);
  }
  return worst;
}

/// Regula falsi on how far the ceilings are lowered.
void NetworkBus::turn_down(const BusProblem& problem) {
  double low = 0.0;
  double f_low = worst_excess_a(problem);
  double high = 0.5;
  double f_high = f_low;
  for (int k = 0; k < 40 && f_high > 0.0; ++k) {
    high *= 2.0;
    set_supplies(problem, high);
    balance_banks(problem);
    f_high = worst_excess_a(problem);
  }
  for (int k = 0; k < 60 && std::abs(f_high) > 1e-7 && f_high < 0.0; ++k) {
    double next = (low * f_high - high * f_low) / (f_high - f_low);
    if (k % 3 == 2) next = 0.5 * (low + high);
    set_supplies(problem, next);
    balance_banks(problem);
    const double f = worst_excess_a(problem);
    (f > 0.0 ? low : high) = next;
    (f > 0.0 ? f_low : f_high) = f;
    if (std::abs(f) <= 1e-7) break;
  }
}

void NetworkBus::solve(const BusProblem& problem, BusSolution& out) {
  if (!fed(problem)) {
    go_dark(BusStatus::dead, problem, out);
    return;
  }
  if (failed_before(problem) || over_asked(problem)) {
    go_dark(BusStatus::collapsed, problem, out);
    return;
  }
  set_loads(problem);
  for (LimitSearch& limit : limits_) limit.restart();
  for (std::size_t b = 0; b < modes_.size(); ++b) {
    if (modes_[b] == BankMode::discharge && !problem.banks[b].can_discharge)
      modes_[b] = BankMode::open;
  }
  for (int round = 0; round < 20; ++round) {
    set_supplies(problem, 0.0);
    balance_banks(problem);
    if (point_.status != SolveStatus::solved || modules_agree(problem)) break;
  }
  out.turned_down = false;
  if (point_.status == SolveStatus::solved && worst_excess_a(problem) > 1e-7) {
    turn_down(problem);
    out.turned_down = true;
  }
  read(problem, out);
}

std::unique_ptr<BusSolver> make_network_bus(const SimulationInput& input) {
  return std::make_unique<NetworkBus>(input);
}

}  // namespace nightbus::sim_detail
