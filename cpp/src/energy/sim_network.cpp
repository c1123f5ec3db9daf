// The bus as a compiled circuit, solved at every step. Every point starts from the circuit as built
// and so depends on its own numbers alone; see network_points.hpp.
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
constexpr int most_turns = 8;  // of parts of laws, before all of them are given
constexpr double supply_slack = 1e-10;
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

/// The last point that a lane solved, once more, for its volts.
void NetworkBus::find_good_start() {
  good_v_.clear();
  if (good_numbers_.empty()) return;
  for (std::size_t c = 0; c < good_numbers_.size(); ++c) own_.set(c, 0, good_numbers_[c]);
  own_version_ = ~std::uint64_t{0};
  if (own_.run(1) == 0) return;
  for (std::uint32_t node = 0; node < circuit_.node_count(); ++node)
    good_v_.push_back(*own_.potential_v(own_.place(NodeId{node}, NodeId{node}).p, 0));
}

/// Solves for the present numbers. A bus that is starved asks the same again and again.
void NetworkBus::call(bool tried) {
  solved_modes_ = modes_;
  if (numbers_ == careful_numbers_) {
    see_careful();
    return;
  }
  const Lane own{&own_, 0};
  if (!tried) {
    bring(own, own_version_);
    if (own_.run(1) != 0) {
      see(own);
      return;
    }
  }
  // With parts of laws nothing is proved yet.
  for (std::size_t k = 0; k < supply_modes_.size(); ++k) {
    if (supply_modes_[k] == SupplyMode::whole || !supply_laws_[k].gives()) continue;
    status_ = SolveStatus::not_converged;
    return;
  }
  for (std::size_t c = 0; c < numbers_.size(); ++c)
    parameters_.set(columns_.parameters[c], numbers_[c]);
  // A starved bus is followed from step to step; a lane has looked for a fed one before. Else the
  // last point that a lane solved is a good place to start from.
  options_.follow_start = !starved_v_.empty();
  if (starved_v_.empty()) find_good_start();
  options_.start_v = options_.follow_start ? starved_v_ : good_v_;
  nightbus::solve(circuit_, parameters_, workspace_, options_, careful_);
  careful_numbers_ = numbers_;
  if (careful_.status == SolveStatus::solved)
    starved_v_.assign(careful_.node_v.begin(), careful_.node_v.end());
  else
    starved_v_.clear();
  see_careful();
}

bool NetworkBus::bank_agrees(const BusProblem& problem, std::size_t b) {
  const BankPort& port = problem.banks[b];
  const double i = bank_a_[b];
  const double over = bank_v_[b] - port.emf_v;
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

/// Puts each supply on the part of its law that its volts ask for; false when one changed.
bool NetworkBus::supplies_agree() {
  bool agree = true;
  for (std::size_t s = 0; s < supply_modes_.size(); ++s) {
    const SupplyLaw& law = supply_laws_[s];
    SupplyMode& mode = supply_modes_[s];
    const double limit = law.by_limits(supply_v_[s]);
    const double ceiling = law.by_ceiling(supply_v_[s]);
    if (mode == SupplyMode::limited && limit > 0.0 && ceiling < limit * (1.0 - supply_slack)) {
      mode = SupplyMode::held;
    } else if (mode == SupplyMode::held && ceiling > limit * (1.0 + supply_slack)) {
      mode = SupplyMode::limited;
    } else {
      continue;
    }
    set_supply_numbers(s);
    agree = false;
  }
  return agree;
}

/// Gives every supply the whole of its law; false when all of them had it.
bool NetworkBus::whole_laws() {
  bool changed = false;
  for (std::size_t s = 0; s < supply_modes_.size(); ++s) {
    if (supply_modes_[s] == SupplyMode::whole || !supply_laws_[s].gives()) continue;
    supply_modes_[s] = SupplyMode::whole;
    set_supply_numbers(s);
    changed = true;
  }
  return changed;
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
    const double v = supply_v_[s];
    if (std::abs(v - module_v_[s]) > 1e-6) agree = false;
    module_v_[s] = v;
  }
  return agree;
}

void NetworkBus::balance_banks(const BusProblem& problem, Point point) {
  bool connected = false;
  agreed_ = true;
  for (int round = 0; round < most_rounds; ++round) {
    if (point != Point::answered) {
      if (point != Point::failed) set_banks(problem);
      call(point == Point::failed);
    }
    point = Point::wanted;
    if (round == most_turns) whole_laws();
    if (status_ == SolveStatus::solved) {
      const bool supplies = supplies_agree();
      if (banks_agree(problem) && supplies) return;
    } else if (!whole_laws()) {
      if (connected || !connect_banks(problem)) return;
      connected = true;
    }
  }
  agreed_ = false;
}

double NetworkBus::worst_excess_a(const BusProblem& problem) const {
  double worst = -1e30;
  for (std::size_t b = 0; b < input_.banks.size(); ++b) {
    worst = std::max(worst, bank_a_[b] - problem.banks[b].turn_down_a);
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
    balance_banks(problem, Point::wanted);
    f_high = worst_excess_a(problem);
  }
  for (int k = 0; k < 60 && std::abs(f_high) > 1e-7 && f_high < 0.0; ++k) {
    double next = (low * f_high - high * f_low) / (f_high - f_low);
    if (k % 3 == 2) next = 0.5 * (low + high);
    set_supplies(problem, next);
    balance_banks(problem, Point::wanted);
    const double f = worst_excess_a(problem);
    (f > 0.0 ? low : high) = next;
    (f > 0.0 ? f_low : f_high) = f;
    if (std::abs(f) <= 1e-7) break;
  }
}

/// Brings the numbers of the first point; false where it needs no solving to know the answer.
bool NetworkBus::begin(const BusProblem& problem) {
  if (!fed(problem) || failed_before(problem) || over_asked(problem)) return false;
  set_loads(problem);
  for (LimitSearch& limit : limits_) limit.restart();
  for (std::size_t b = 0; b < modes_.size(); ++b) {
    if (modes_[b] == BankMode::discharge && !problem.banks[b].can_discharge)
      modes_[b] = BankMode::open;
  }
  for (std::size_t s = 0; s < supply_modes_.size(); ++s) {
    if (supply_modes_[s] != SupplyMode::whole) continue;
    const SupplyLaw& law = supply_laws_[s];
    const double v = supply_v_[s];
    supply_modes_[s] =
        law.by_ceiling(v) < law.by_limits(v) ? SupplyMode::held : SupplyMode::limited;
  }
  set_supplies(problem, 0.0);
  set_banks(problem);
  return true;
}

void NetworkBus::settle(const BusProblem& problem, Point point, BusSolution& out) {
  for (int round = 0; round < 20; ++round) {
    if (round > 0) set_supplies(problem, 0.0);
    balance_banks(problem, point);
    point = Point::wanted;
    if (status_ != SolveStatus::solved || modules_agree(problem)) break;
  }
  out.turned_down = false;
  if (status_ == SolveStatus::solved && worst_excess_a(problem) > 1e-7) {
    turn_down(problem);
    out.turned_down = true;
  }
  read(problem, out);
}

void NetworkBus::solve(const BusProblem& problem, BusSolution& out) {
  if (begin(problem)) {
    settle(problem, Point::wanted, out);
  } else {
    go_dark(fed(problem) ? BusStatus::collapsed : BusStatus::dead, problem, out);
  }
}

void NetworkBus::stand_in(Lane lane) {
  lane_ = lane;
  lane_volts_ = volts_in(lane, load_lines_);
  lane_version_ = ~std::uint64_t{0};
}

bool NetworkBus::pose(const BusProblem& problem) {
  can_be_solved_ = begin(problem);
  posed_ = can_be_solved_ && lane_.points != nullptr && numbers_ != careful_numbers_;
  if (posed_) bring(lane_, lane_version_);
  return posed_;
}

void NetworkBus::take(const BusProblem& problem, bool answered, BusSolution& out) {
  if (!can_be_solved_) {
    go_dark(fed(problem) ? BusStatus::collapsed : BusStatus::dead, problem, out);
    return;
  }
  if (answered) {
    solved_modes_ = modes_;
    see(lane_);
  }
  settle(problem, !posed_ ? Point::wanted : answered ? Point::answered : Point::failed, out);
}

}  // namespace nightbus::sim_detail
