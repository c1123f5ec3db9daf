// One bus, solved for its voltage V:
//
//   F(V) = Σ supplies(V) - Σ banks(V) - Σ loads(V) = 0
//
//   bank      I = (V - E)/R, R by the direction; at most what it accepts, at least 0 when it is
//   open supply    constant power through r: I = 2 P/(V + √(V² + 4 P r)); constant current; module
//   curve;
//             full below its set voltage, nothing above, anything between at it
//   load      constant power behind r: I = 2 P/(V + √(V² - 4 P r)), none beyond V²/4r; current;
//   ohms
//
// F falls with V on the branch that is stable. If F >= 0 at a set voltage with its supplies at full
// and F <= 0 without them, V is that set voltage and the supplies share what is needed. Otherwise
// Newton inside a bracket; below half the EMF there is no stable point: the demand is beyond the
// sources.
//
// Loads behind a converter see its fixed output, so the converter is one constant-power load here.

#include <algorithm>
#include <cmath>

#include "energy/array_internal.hpp"
#include "energy/sim_lumped_bus.hpp"

namespace nightbus::sim_detail {

Value LumpedBus::loads_at(double v) const {
  Value sum{plain_w_ / v + constant_a_ + conductance_s_ * v, -plain_w_ / (v * v) + conductance_s_};
  for (const PowerLoad& load : power_loads_) {
    const double square = v * v - 4.0 * load.power_w * load.path_ohm;
    if (square <= 0.0) {  // beyond its own nose: the most its path can carry
      sum.f += load.path_ohm > 0.0 ? 0.5 * v / load.path_ohm : load.power_w / v;
      continue;
    }
    const double root = std::sqrt(square);
    const double current = 2.0 * load.power_w / (v + root);
    sum.f += current;
    sum.slope -= current / root;
  }
  return sum;
}

Value LumpedBus::banks_at(const BusProblem& problem, double v) const {
  Value sum;
  for (const BankPort& bank : problem.banks) {
    const double over = v - bank.emf_v;
    if (over >= 0.0) {
      const double g = 1.0 / (bank.charge_ohm + bank.path_ohm);
      const bool limited = over * g > bank.charge_limit_a;
      sum.f += limited ? bank.charge_limit_a : over * g;
      sum.slope += limited ? 0.0 : g;
    } else if (bank.can_discharge) {
      const double g = 1.0 / (bank.discharge_ohm + bank.path_ohm);
      sum.f += over * g;
      sum.slope += g;
    }
  }
  return sum;
}

Value supply_at(const SupplyPort& s, double v) {
  Value out;
  if (!s.on) return out;
  switch (s.kind) {
    case SupplyPort::Kind::current:
      out.f = s.current_limit_a;
      return out;
    case SupplyPort::Kind::power: {
      const double root = std::sqrt(v * v + 4.0 * s.power_w * s.path_ohm);
      out.f = 2.0 * s.power_w / (v + root);
      out.slope = -out.f / root;
      break;
    }
    case SupplyPort::Kind::module:
      // Its slope is far below a bank's; Newton does without.
      out.f = array_detail::pwm_current_a(*s.module, s.light_wm2, s.cell_c, s.loss, v);
      break;
  }
  if (out.f > s.current_limit_a) out = {s.current_limit_a, 0.0};
  return out;
}

Value LumpedBus::supplies_at(const BusProblem& problem, double v, double pushed_out_below) const {
  Value sum;
  for (const SupplyPort& s : problem.supplies) {
    if (!s.on || set_of(s) < pushed_out_below) continue;
    const Value one = supply_at(s, v);
    sum.f += one.f;
    sum.slope += one.slope;
  }
  return sum;
}

Value LumpedBus::total(const BusProblem& problem, double v, double pushed_out_below) const {
  const Value s = supplies_at(problem, v, pushed_out_below);
  const Value b = banks_at(problem, v);
  const Value l = loads_at(v);
  return {s.f - b.f - l.f, s.slope - b.slope - l.slope};
}

bool LumpedBus::find(const BusProblem& problem, double low, double high, double pushed_out_below,
                     double& v) {
  if (total(problem, low, pushed_out_below).f < 0.0) return false;
  v = last_v_ > low && last_v_ < high ? last_v_ : high;
  // A limited bank is a corner between a steep and a flat piece, over which Newton jumps to and
  // fro: a bracket that has not halved in three steps is halved.
  double width = high - low;
  for (int k = 0; k < 400; ++k) {
    const Value now = total(problem, v, pushed_out_below);
    (now.f > 0.0 ? low : high) = v;
    double next = now.slope < 0.0 ? v - now.f / now.slope : -1.0;
    bool newton = next >= low && next <= high;
    if (k % 3 == 2) {
      newton = newton && (high - low <= 0.5 * width || std::abs(next - v) <= 1e-8 * v);
      width = high - low;
    }
    if (!newton) next = 0.5 * (low + high);
    const double moved = std::abs(next - v);
    v = next;
    // Newton's last step leaves an error of its square; a halved bracket leaves its width.
    if (moved <= (newton ? 1e-11 : 1e-15) * v) break;
  }
  return true;
}

void LumpedBus::solve(const BusProblem& problem, BusSolution& out) {
  if (packed_version_ != problem.version) pack(problem, out);
  out.overdrawn_load = packed_overdrawn_load_;
  out.overdrawn_converter = packed_overdrawn_converter_;

  double highest_emf = 0.0;
  bool bank_holds = false;
  turned_down_v_ = 1e30;
  for (const BankPort& bank : problem.banks) {
    turned_down_v_ =
        std::min(turned_down_v_, bank.emf_v + bank.turn_down_a * (bank.charge_ohm + bank.path_ohm));
  }
  for (const BankPort& bank : problem.banks) {
    if (!bank.can_discharge && bank.charge_limit_a <= 0.0) continue;
    highest_emf = std::max(highest_emf, bank.emf_v);
    bank_holds = bank_holds || bank.can_discharge;
  }
  // Set voltages from the lowest up: is the bus held at one of them?
  double pushed_out_below = 0.0;
  double ceiling = 0.0;
  while (true) {
    double set = 1e30;
    for (const SupplyPort& s : problem.supplies) {
      if (s.on && set_of(s) >= pushed_out_below) set = std::min(set, set_of(s));
    }
    if (set >= 1e30) break;
    ceiling = set;
    if (total(problem, set, pushed_out_below).f < 0.0)
      break;  // the bus stands below this set voltage
    const double above = std::nextafter(set, 1e30);
    if (total(problem, set, above).f <= 0.0) {
      write(problem, set, set, pushed_out_below, out);
      return;
    }
    pushed_out_below = above;
    ceiling = 0.0;
  }
  // The bus floats below `ceiling`, or has no ceiling at all.
  const double reference = std::max(highest_emf, bank_holds ? 0.0 : ceiling);
  out.status = BusStatus::dead;
  if (reference > 0.0) {
    double high = ceiling > 0.0 ? ceiling : 2.0 * reference;
    if (ceiling <= 0.0) {
      while (total(problem, high, pushed_out_below).f > 0.0 && high < 1e4) high *= 2.0;
    }
    double v = 0.0;
    if (find(problem, 0.5 * reference, high, pushed_out_below, v)) {
      last_v_ = v;
      write(problem, v, -1.0, pushed_out_below, out);
      return;
    }
    out.status = bank_holds ? BusStatus::collapsed : BusStatus::dead;
  }
  out.bus_v = 0.0;
  out.lift = 0.0;
  out.wire_loss_w = 0.0;
  out.banks.assign(problem.banks.size(), {});
  out.supplies.assign(problem.supplies.size(), {});
}

std::unique_ptr<BusSolver> make_lumped_bus(const SimulationInput& input) {
  return std::make_unique<LumpedBus>(input);
}

}  // namespace nightbus::sim_detail
