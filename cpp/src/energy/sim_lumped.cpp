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
#include "energy/sim_bus.hpp"

namespace nightbus::sim_detail {

namespace {

struct Value {
  double f = 0.0, slope = 0.0;
};

class LumpedBus final : public BusSolver {
 public:
  explicit LumpedBus(const SimulationInput& input) : input_(input) {}
  void solve(const BusProblem& problem, BusSolution& out) override;

 private:
  /// Constant-power load at the bus.
  struct PowerLoad {
    double power_w, path_ohm;
    int load, converter;
  };

  void pack(const BusProblem& problem, BusSolution& out);
  LoadFlow behind(const SimLoad& load, double power_w, double feed_v) const;
  Value loads_at(double v) const;
  Value banks_at(const BusProblem& problem, double v) const;
  /// The supply's set voltage, or where a bank takes just its charge-current limit if that is
  /// lower.
  double set_of(const SupplyPort& s) const { return std::min(s.set_v, turned_down_v_); }
  Value supplies_at(const BusProblem& problem, double v, double pushed_out_below) const;
  Value total(const BusProblem& problem, double v, double pushed_out_below) const;
  bool find(const BusProblem& problem, double low, double high, double pushed_out_below, double& v);
  void write(const BusProblem& problem, double v, double held_set_v, double pushed_out_below,
             BusSolution& out) const;

  const SimulationInput& input_;
  std::uint64_t packed_version_ = ~std::uint64_t{0};
  std::vector<PowerLoad> power_loads_;  ///< with a path
  std::vector<int> plain_loads_;        ///< constant power without a path
  double plain_w_ = 0.0, constant_a_ = 0.0, conductance_s_ = 0.0;
  double inner_wire_w_ = 0.0;  ///< lost between converters and their loads
  int packed_overdrawn_load_ = -1, packed_overdrawn_converter_ = -1;
  double last_v_ = 0.0;
  double turned_down_v_ = 1e30;
};

LoadFlow LumpedBus::behind(const SimLoad& load, double power_w, double feed_v) const {
  const double r = load.path_resistance_ohm;
  LoadFlow flow;
  switch (load.law) {
    case DrawLaw::current:
      flow.current_a = power_w / load.nominal_v;
      break;
    case DrawLaw::resistance:
      flow.current_a =
          power_w > 0.0 ? feed_v / (load.nominal_v * load.nominal_v / power_w + r) : 0.0;
      break;
    case DrawLaw::power: {
      const double square = feed_v * feed_v - 4.0 * power_w * r;
      if (square < 0.0) return {0.5 * feed_v / r, 0.0};
      flow.current_a = feed_v > 0.0 ? 2.0 * power_w / (feed_v + std::sqrt(square)) : 0.0;
      break;
    }
  }
  flow.voltage_v = feed_v - flow.current_a * r;
  return flow;
}

void LumpedBus::pack(const BusProblem& problem, BusSolution& out) {
  packed_version_ = problem.version;
  power_loads_.clear();
  plain_loads_.clear();
  plain_w_ = problem.standby_w;
  constant_a_ = conductance_s_ = inner_wire_w_ = 0.0;
  packed_overdrawn_load_ = packed_overdrawn_converter_ = -1;
  out.loads.assign(input_.loads.size(), {});
  out.converters.assign(input_.converters.size(), {});
  for (std::size_t k = 0; k < input_.loads.size(); ++k) {
    const SimLoad& load = input_.loads[k];
    const LoadPort& port = problem.loads[k];
    if (!port.on || port.power_w <= 0.0) continue;
    if (load.feed >= 0) {
      const auto c = static_cast<std::size_t>(load.feed);
      if (!problem.converter_on[c]) continue;
      const double feed_v = input_.converters[c].output_v;
      out.loads[k] = behind(load, port.power_w, feed_v);
      if (out.loads[k].voltage_v <= 0.0) packed_overdrawn_load_ = static_cast<int>(k);
      inner_wire_w_ += out.loads[k].current_a * out.loads[k].current_a * load.path_resistance_ohm;
      out.converters[c].output_w += feed_v * out.loads[k].current_a;
      continue;
    }
    if (load.law == DrawLaw::current) {
      constant_a_ += port.power_w / load.nominal_v;
    } else if (load.law == DrawLaw::resistance) {
      conductance_s_ +=
          1.0 / (load.nominal_v * load.nominal_v / port.power_w + load.path_resistance_ohm);
    } else if (load.path_resistance_ohm > 0.0) {
      power_loads_.push_back({port.power_w, load.path_resistance_ohm, static_cast<int>(k), -1});
    } else {
      plain_w_ += port.power_w;
      plain_loads_.push_back(static_cast<int>(k));
    }
  }
  // Upstream converters have smaller indices.
  for (std::size_t c = input_.converters.size(); c-- > 0;) {
    const SimConverter& law = input_.converters[c];
    ConverterFlow& flow = out.converters[c];
    if (!problem.converter_on[c]) continue;
    if (flow.output_w > law.max_output_w) packed_overdrawn_converter_ = static_cast<int>(c);
    flow.input_w = law.standby_w + flow.output_w * (1.0 + law.a + law.b * flow.output_w);
    flow.loss_w = flow.input_w - flow.output_w;
    if (law.feed < 0) {
      power_loads_.push_back({flow.input_w, law.path_resistance_ohm, -1, static_cast<int>(c)});
      continue;
    }
    const auto up = static_cast<std::size_t>(law.feed);
    const double feed_v = input_.converters[up].output_v;
    const double square = feed_v * feed_v - 4.0 * flow.input_w * law.path_resistance_ohm;
    if (square < 0.0) packed_overdrawn_converter_ = static_cast<int>(c);
    const double current = 2.0 * flow.input_w / (feed_v + std::sqrt(std::max(square, 0.0)));
    flow.input_v = feed_v - current * law.path_resistance_ohm;
    inner_wire_w_ += current * current * law.path_resistance_ohm;
    out.converters[up].output_w += feed_v * current;
  }
}

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

namespace {

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

}  // namespace

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

void LumpedBus::write(const BusProblem& problem, double v, double held_set_v,
                      double pushed_out_below, BusSolution& out) const {
  out.status = BusStatus::fine;
  out.bus_v = v;
  out.turned_down = held_set_v > 0.0 && held_set_v == turned_down_v_;
  out.wire_loss_w = inner_wire_w_;
  out.banks.resize(problem.banks.size());
  out.supplies.resize(problem.supplies.size());

  double needed = loads_at(v).f;
  double bank_slope = 0.0;
  for (std::size_t k = 0; k < problem.banks.size(); ++k) {
    const BankPort& bank = problem.banks[k];
    BankFlow& flow = out.banks[k];
    const double over = v - bank.emf_v;
    flow = {};
    if (over >= 0.0) {
      const double g = 1.0 / (bank.charge_ohm + bank.path_ohm);
      flow.limited = over * g > bank.charge_limit_a;
      flow.current_a = flow.limited ? bank.charge_limit_a : over * g;
      bank_slope += flow.limited ? 0.0 : g;
    } else if (bank.can_discharge) {
      const double g = 1.0 / (bank.discharge_ohm + bank.path_ohm);
      flow.current_a = over * g;
      bank_slope += g;
    }
    needed += flow.current_a;
    out.wire_loss_w += flow.current_a * flow.current_a * bank.path_ohm;
  }
  const double needed_in_all = needed;
  // Those at the set voltage share what the others leave over, in proportion to what they could
  // give.
  double could = 0.0;
  for (std::size_t k = 0; k < problem.supplies.size(); ++k) {
    const SupplyPort& s = problem.supplies[k];
    out.supplies[k] = {};
    if (!s.on) continue;
    if (set_of(s) < pushed_out_below) {
      out.supplies[k].at_set = true;
      continue;
    }
    out.supplies[k].current_a = supply_at(s, v).f;
    if (set_of(s) == held_set_v) {
      could += out.supplies[k].current_a;
    } else {
      needed -= out.supplies[k].current_a;
    }
  }
  for (std::size_t k = 0; k < problem.supplies.size(); ++k) {
    const SupplyPort& s = problem.supplies[k];
    SupplyFlow& flow = out.supplies[k];
    if (s.on && set_of(s) == held_set_v && could > 0.0) {
      flow.current_a *= std::clamp(needed / could, 0.0, 1.0);
      flow.at_set = true;
    }
    const double lost = flow.current_a * flow.current_a * s.path_ohm;
    flow.power_w = v * flow.current_a + lost;
    out.wire_loss_w += lost;
  }
  // Rounding of V times a bank's conductance is what the balance of currents lacks: the banks take
  // it.
  double given = 0.0;
  for (const SupplyFlow& flow : out.supplies) given += flow.current_a;
  if (bank_slope > 0.0) {
    const double missing = given - needed_in_all;
    for (std::size_t k = 0; k < problem.banks.size(); ++k) {
      const BankPort& bank = problem.banks[k];
      BankFlow& flow = out.banks[k];
      if (flow.limited || (v < bank.emf_v && !bank.can_discharge)) continue;
      const double r = v >= bank.emf_v ? bank.charge_ohm : bank.discharge_ohm;
      flow.current_a += missing / (r + bank.path_ohm) / bank_slope;
    }
  }
  for (std::size_t k = 0; k < problem.banks.size(); ++k) {
    out.banks[k].terminal_v = v - out.banks[k].current_a * problem.banks[k].path_ohm;
  }
  for (const PowerLoad& load : power_loads_) {
    const double square = v * v - 4.0 * load.power_w * load.path_ohm;
    const double root = std::sqrt(std::max(square, 0.0));
    const double current = 2.0 * load.power_w / (v + root);
    const double volts = v - current * load.path_ohm;
    out.wire_loss_w += current * current * load.path_ohm;
    if (load.load >= 0) {
      out.loads[static_cast<std::size_t>(load.load)] = {current, volts};
      if (square < 0.0) out.overdrawn_load = load.load;
    } else {
      out.converters[static_cast<std::size_t>(load.converter)].input_v = volts;
      if (square < 0.0) out.overdrawn_converter = load.converter;
    }
  }
  for (const int k : plain_loads_) {
    const auto load = static_cast<std::size_t>(k);
    out.loads[load] = {problem.loads[load].power_w / v, v};
  }
  if (constant_a_ > 0.0 || conductance_s_ > 0.0) {
    for (std::size_t k = 0; k < input_.loads.size(); ++k) {
      const SimLoad& load = input_.loads[k];
      if (load.feed >= 0 || load.law == DrawLaw::power || !problem.loads[k].on) continue;
      out.loads[k] = behind(load, problem.loads[k].power_w, v);
      out.wire_loss_w += out.loads[k].current_a * out.loads[k].current_a * load.path_resistance_ohm;
    }
  }
  out.lift = 0.0;
  if (held_set_v < 0.0) {
    const Value all = total(problem, v, pushed_out_below);
    if (all.slope < 0.0) out.lift = std::min(bank_slope / -all.slope, 2.0);
  }
}

}  // namespace

std::unique_ptr<BusSolver> make_lumped_bus(const SimulationInput& input) {
  return std::make_unique<LumpedBus>(input);
}

}  // namespace nightbus::sim_detail
