// The bus as a compiled circuit, solved at every step from the volts of the step before.
//
// Banks are sources. What the circuit's source cannot know is brought in by its resistance, in a
// few rounds: charging and discharging have their own; a bank that takes no more than its
// acceptance gets the resistance that gives just that current at its voltage; one whose path is
// open is taken out. When a bank's charge-current limit is passed the ceilings of all supplies are
// lowered until it is kept.
//
// Lock-outs are the engine's business (it cuts its steps at them), so the circuit's own are held.

#include <algorithm>
#include <cmath>
#include <optional>

#include "energy/array_internal.hpp"
#include "energy/sim_bus.hpp"
#include "nightbus/network.hpp"

namespace nightbus::sim_detail {

namespace {

enum class Mode : std::uint8_t { charge, discharge, limited, open };

/// The resistance at which a limited bank takes its limit: a secant on ln i over ln R, kept between
/// a resistance that lets in too much and one that lets in too little. Supplies at their current
/// limits leave two answers; the bracket stays with the one above the bank's EMF.
struct Limited {
  double ohm = 1.0;
  double last_ln_ohm = 0.0, last_miss = 0.0;
  double low_ln_ohm = -1e300, high_ln_ohm = 1e300;
  bool started = false;

  void restart() { *this = Limited{ohm}; }
  void aim(double i, double limit) {
    const double ln_ohm = std::log(ohm);
    const double miss = std::log(i / limit);
    (miss > 0.0 ? low_ln_ohm : high_ln_ohm) = ln_ohm;
    double step = miss;  // as if the voltage stood still
    if (started && miss != last_miss) {
      step = std::clamp(-miss * (ln_ohm - last_ln_ohm) / (miss - last_miss), -1.0, 1.0);
    }
    double next = ln_ohm + step;
    if (next <= low_ln_ohm || next >= high_ln_ohm) {
      const bool closed = low_ln_ohm > -1e299 && high_ln_ohm < 1e299;
      next = closed ? 0.5 * (low_ln_ohm + high_ln_ohm) : ln_ohm + std::copysign(0.1, miss);
    }
    last_ln_ohm = ln_ohm;
    last_miss = miss;
    started = true;
    ohm = std::exp(next);
  }
};

class NetworkBus final : public BusSolver {
 public:
  explicit NetworkBus(const SimulationInput& input)
      : input_(input),
        network_(*input.network),
        workspace_(network_.circuit),
        parameters_(network_.circuit.parameters()),
        modes_(input.banks.size(), Mode::discharge),
        limited_ohm_(input.banks.size()) {
    for (std::size_t e = 0; e < network_.circuit.element_count(); ++e) {
      const ElementKind kind = network_.circuit.kind(id(static_cast<int>(e)));
      if (kind == ElementKind::resistor || kind == ElementKind::diode) wires_.push_back(e);
      if (kind == ElementKind::source || kind == ElementKind::charger) ++sources_;
    }
    options_.hold_states = true;
    options_.diagnose = false;
  }

  void solve(const BusProblem& problem, BusSolution& out) override;

 private:
  static ElementId id(int element) { return ElementId{static_cast<std::uint32_t>(element)}; }
  static std::size_t at(int element) { return static_cast<std::size_t>(element); }
  void set(int element, ParameterKind kind, double value) {
    parameters_.set(id(element), kind, value);
  }
  void set_loads(const BusProblem& problem);
  void set_supplies(const BusProblem& problem, double lowered_v);
  void set_banks(const BusProblem& problem);
  void call();
  bool banks_agree(const BusProblem& problem);
  bool connect_banks(const BusProblem& problem);
  void balance_banks(const BusProblem& problem);
  bool modules_agree(const BusProblem& problem);
  double worst_excess_a(const BusProblem& problem) const;
  bool fed(const BusProblem& problem) const;
  bool failed_before(const BusProblem& problem) const;
  void go_dark(BusStatus status, const BusProblem& problem, BusSolution& out) const;
  void read(const BusProblem& problem, BusSolution& out);
  double bank_current(std::size_t b) const { return point_.current_a[at(input_.banks[b].element)]; }

  const SimulationInput& input_;
  const SimNetwork& network_;
  Workspace workspace_;
  Parameters parameters_;
  OperatingPoint point_;
  SolveOptions options_;
  std::vector<double> start_v_;
  std::vector<Mode> modes_;
  std::vector<Limited> limited_ohm_;
  std::vector<std::size_t> wires_;
  std::size_t sources_ = 0;
  std::optional<BusProblem> failed_;  // the last one, if it had no answer
  std::vector<double> module_v_;
  std::uint64_t version_ = ~std::uint64_t{0};
};

void NetworkBus::set_loads(const BusProblem& problem) {
  if (version_ == problem.version) return;
  version_ = problem.version;
  for (std::size_t k = 0; k < input_.loads.size(); ++k) {
    const SimLoad& load = input_.loads[k];
    const double watts = problem.loads[k].on ? problem.loads[k].power_w : 0.0;
    switch (load.law) {
      case DrawLaw::power:
        set(load.element, ParameterKind::power_w, watts);
        break;
      case DrawLaw::current:
        set(load.element, ParameterKind::current_a, watts / load.nominal_v);
        break;
      case DrawLaw::resistance:
        set(load.element, ParameterKind::conductance_s, watts / (load.nominal_v * load.nominal_v));
        break;
    }
  }
  for (std::size_t c = 0; c < input_.converters.size(); ++c) {
    set(input_.converters[c].element, ParameterKind::scale, problem.converter_on[c] ? 1.0 : 0.0);
  }
  if (network_.standby_element >= 0) {
    set(network_.standby_element, ParameterKind::power_w, problem.standby_w);
  }
}

void NetworkBus::set_supplies(const BusProblem& problem, double lowered_v) {
  module_v_.resize(problem.supplies.size(), 0.0);
  for (std::size_t s = 0; s < problem.supplies.size(); ++s) {
    const SupplyPort& port = problem.supplies[s];
    const int element = s < input_.arrays.size()
                            ? input_.arrays[s].element
                            : input_.chargers[s - input_.arrays.size()].element;
    set(element, ParameterKind::ceiling_v, std::max(port.set_v - lowered_v, 0.0));
    double amps = port.on ? port.current_limit_a : 0.0;
    double watts = no_limit;
    if (port.kind == SupplyPort::Kind::power) watts = port.on ? port.power_w : 0.0;
    if (port.kind == SupplyPort::Kind::module && port.on) {
      const double v = module_v_[s] > 0.0 ? module_v_[s] : port.set_v;
      amps = std::min(amps, array_detail::pwm_current_a(*port.module, port.light_wm2, port.cell_c,
                                                        port.loss, v));
    }
    set(element, ParameterKind::current_limit_a, amps);
    set(element, ParameterKind::power_limit_w, watts);
  }
}

void NetworkBus::set_banks(const BusProblem& problem) {
  for (std::size_t b = 0; b < input_.banks.size(); ++b) {
    const BankPort& port = problem.banks[b];
    const int element = input_.banks[b].element;
    double ohm = port.discharge_ohm;
    if (modes_[b] == Mode::charge) ohm = port.charge_ohm;
    // A bank that takes a fixed current is nearest to a plain resistance, moved until it takes just
    // that.
    const bool limited = modes_[b] == Mode::limited;
    if (limited) ohm = limited_ohm_[b].ohm;
    set(element, ParameterKind::enabled, modes_[b] == Mode::open ? 0.0 : 1.0);
    set(element, ParameterKind::emf_v, limited ? 0.0 : port.emf_v);
    set(element, ParameterKind::resistance_ohm, ohm);
  }
}

void NetworkBus::call() {
  options_.start_v = start_v_;
  nightbus::solve(network_.circuit, parameters_, workspace_, options_, point_);
  if (point_.status == SolveStatus::solved)
    start_v_.assign(point_.node_v.begin(), point_.node_v.end());
}

/// Puts each bank into the mode its own current asks for; false when one changed.
bool NetworkBus::banks_agree(const BusProblem& problem) {
  bool agree = true;
  for (std::size_t b = 0; b < input_.banks.size(); ++b) {
    const BankPort& port = problem.banks[b];
    const double i = bank_current(b);
    const double over = point_.voltage_v[at(input_.banks[b].element)] - port.emf_v;
    const double limit = port.charge_limit_a;
    Mode wanted = modes_[b];
    if (modes_[b] == Mode::open) {
      if (over > 1e-9 && limit > 0.0) wanted = Mode::charge;
      if (over < -1e-9 && port.can_discharge) wanted = Mode::discharge;
    } else if (i < -1e-9 || (modes_[b] == Mode::limited && over < -1e-9)) {
      // A limited bank stands as a plain resistance: below its EMF it is asked to give.
      wanted = port.can_discharge ? Mode::discharge : Mode::open;
    } else if (i > 1e-9) {
      if (limit <= 0.0) {
        wanted = Mode::open;
      } else if (over <= limit * port.charge_ohm * (1.0 + 1e-12)) {
        wanted = Mode::charge;
      } else {
        wanted = Mode::limited;
        if (modes_[b] == Mode::limited && std::abs(i - limit) > 1e-10 * std::max(limit, 1.0)) {
          limited_ohm_[b].aim(i, limit);
          agree = false;
        }
      }
    }
    if (wanted == modes_[b]) continue;
    if (wanted == Mode::limited) limited_ohm_[b] = Limited{(over + port.emf_v) / limit};
    modes_[b] = wanted;
    agree = false;
  }
  return agree;
}

/// A bank left open because it may not be charged still carries the loads when the sun does not:
/// without an answer the modes of the step before are given up once. False when none was.
bool NetworkBus::connect_banks(const BusProblem& problem) {
  bool changed = false;
  for (std::size_t b = 0; b < input_.banks.size(); ++b) {
    if (modes_[b] == Mode::discharge || !problem.banks[b].can_discharge) continue;
    modes_[b] = Mode::discharge;
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
  constexpr int rounds = 40;
  bool connected = false;
  for (int round = 0; round < rounds; ++round) {
    set_banks(problem);
    call();
    if (point_.status == SolveStatus::solved) {
      if (banks_agree(problem)) return;
    } else {
      if (connected || !connect_banks(problem)) return;
      connected = true;
    }
  }
}

double NetworkBus::worst_excess_a(const BusProblem& problem) const {
  double worst = -1e30;
  for (std::size_t b = 0; b < input_.banks.size(); ++b) {
    worst = std::max(worst, bank_current(b) - problem.banks[b].turn_down_a);
  }
  return worst;
}

/// Can anything give at all? Without a source there is nothing to solve.
bool NetworkBus::fed(const BusProblem& problem) const {
  if (sources_ > problem.banks.size() + problem.supplies.size()) return true;  // one of its own
  const auto gives = [](const SupplyPort& port) {
    const bool by_power = port.kind != SupplyPort::Kind::power || port.power_w > 0.0;
    return port.on && by_power && port.current_limit_a > 0.0;
  };
  return std::any_of(problem.banks.begin(), problem.banks.end(),
                     [](const BankPort& port) { return port.can_discharge; }) ||
         std::any_of(problem.supplies.begin(), problem.supplies.end(), gives);
}

/// The same loads on the same supplies, banks out of it: a shorter step changes nothing.
bool NetworkBus::failed_before(const BusProblem& problem) const {
  if (!failed_ || failed_->version != problem.version) return false;
  const auto discharges = [](const BankPort& port) { return port.can_discharge; };
  const auto same = [](const SupplyPort& a, const SupplyPort& b) {
    return a.on == b.on && a.power_w == b.power_w && a.current_limit_a == b.current_limit_a &&
           a.set_v == b.set_v && a.light_wm2 == b.light_wm2 && a.cell_c == b.cell_c &&
           a.loss == b.loss;
  };
  return std::none_of(problem.banks.begin(), problem.banks.end(), discharges) &&
         std::none_of(failed_->banks.begin(), failed_->banks.end(), discharges) &&
         std::equal(problem.supplies.begin(), problem.supplies.end(), failed_->supplies.begin(),
                    failed_->supplies.end(), same);
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

void NetworkBus::solve(const BusProblem& problem, BusSolution& out) {
  if (!fed(problem)) {
    go_dark(BusStatus::dead, problem, out);
    return;
  }
  if (failed_before(problem)) {
    go_dark(BusStatus::collapsed, problem, out);
    return;
  }
  failed_.reset();
  set_loads(problem);
  for (Limited& limited : limited_ohm_) limited.restart();
  for (int round = 0; round < 20; ++round) {
    set_supplies(problem, 0.0);
    balance_banks(problem);
    if (point_.status != SolveStatus::solved || modules_agree(problem)) break;
  }
  out.turned_down = false;
  if (point_.status == SolveStatus::solved && worst_excess_a(problem) > 1e-7) {
    // Regula falsi on how far the ceilings are lowered.
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
    out.turned_down = true;
  }
  read(problem, out);
}

void NetworkBus::read(const BusProblem& problem, BusSolution& out) {
  if (point_.status != SolveStatus::solved) {
    const bool collapsed = point_.status == SolveStatus::collapsed;
    if (collapsed) failed_ = problem;
    go_dark(collapsed ? BusStatus::collapsed : BusStatus::dead, problem, out);
    return;
  }
  out.overdrawn_load = -1;
  out.overdrawn_converter = -1;
  out.wire_loss_w = 0.0;
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
    const double i = modes_[b] == Mode::open ? 0.0 : point_.current_a[e];
    out.banks[b] = {point_.voltage_v[e], i, modes_[b] == Mode::limited};
  }
  for (std::size_t s = 0; s < problem.supplies.size(); ++s) {
    const auto e = at(s < input_.arrays.size() ? input_.arrays[s].element
                                               : input_.chargers[s - input_.arrays.size()].element);
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
  for (const std::size_t e : wires_) {
    out.wire_loss_w += point_.loss_w[e];
    if (e < network_.space_of_element.size() && network_.space_of_element[e] >= 0) {
      out.space_heat_w[at(network_.space_of_element[e])] += point_.loss_w[e];
    }
  }
}

}  // namespace

std::unique_ptr<BusSolver> make_network_bus(const SimulationInput& input) {
  return std::make_unique<NetworkBus>(input);
}

}  // namespace nightbus::sim_detail
