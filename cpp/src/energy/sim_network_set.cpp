// What the engine asks becomes numbers of the circuit, and what can be told without solving.

#include <algorithm>
#include <cmath>
#include <limits>

#include "energy/array_internal.hpp"
#include "energy/sim_network_bus.hpp"

namespace nightbus::sim_detail {

namespace {
/// A bank whose path is open: no current to speak of, yet the circuit keeps its shape.
constexpr double open_bank_ohm = 0.5 * open_resistance_ohm;
/// As built: a load that draws by its law, so that the circuit is folded for it.
constexpr double some_w = 1.0;

double worth(DrawLaw law, double watts, double nominal_v) {
  switch (law) {
    case DrawLaw::power:
      break;
    case DrawLaw::current:
      return watts / nominal_v;
    case DrawLaw::resistance:
      return watts / (nominal_v * nominal_v);
  }
  return watts;
}

ParameterKind kind_of(DrawLaw law) {
  switch (law) {
    case DrawLaw::power:
      break;
    case DrawLaw::current:
      return ParameterKind::current_a;
    case DrawLaw::resistance:
      return ParameterKind::conductance_s;
  }
  return ParameterKind::power_w;
}
}  // namespace

/// The circuit with numbers as built that have the kinds a run will set: every bank connected,
/// every load drawing by its own law. Otherwise the fast way of solving would not fit.
Circuit NetworkBus::fitting(const SimulationInput& input) {
  const Circuit& circuit = input.network->circuit;
  Parameters built = circuit.parameters();
  for (const SimBank& bank : input.banks) {
    built.set(id(bank.element), ParameterKind::enabled, 1.0);
    built.set(id(bank.element), ParameterKind::resistance_ohm, bank.model.resistance_ohm);
    built.set(id(bank.element), ParameterKind::emf_v,
              bank.model.emf_v(bank.soc, 25.0, bank.hysteresis));
  }
  for (const SimLoad& load : input.loads) {
    built.set(id(load.element), ParameterKind::enabled, 1.0);
    for (const DrawLaw law : {DrawLaw::power, DrawLaw::current, DrawLaw::resistance}) {
      const bool own = law == load.law;
      const double present = built.get(id(load.element), kind_of(law));
      const double wanted = own ? std::max(present, worth(law, some_w, load.nominal_v)) : 0.0;
      built.set(id(load.element), kind_of(law), wanted);
    }
  }
  return circuit.rebuilt(built);
}

NetworkBus::NetworkBus(const SimulationInput& input)
    : input_(input),
      network_(*input.network),
      circuit_(fitting(input)),
      workspace_(circuit_),
      parameters_(circuit_.parameters()),
      modes_(input.banks.size(), BankMode::discharge),
      solved_modes_(modes_),
      limits_(input.banks.size()) {
  for (std::size_t e = 0; e < circuit_.element_count(); ++e) {
    const ElementKind kind = circuit_.kind(id(static_cast<int>(e)));
    const bool wire = kind == ElementKind::resistor || kind == ElementKind::diode;
    const std::vector<int>& spaces = network_.space_of_element;
    if (wire && e < spaces.size() && spaces[e] >= 0) warming_wires_.push_back(e);
    if (kind == ElementKind::source || kind == ElementKind::charger) ++sources_;
  }
  options_.hold_states = true;
  options_.diagnose = false;
  options_.read_wires = !warming_wires_.empty();
  for (const SimLoad& load : input_.loads) {
    eases_.push_back(parameters_.get(id(load.element), ParameterKind::minimum_v) > 0.0);
  }
}

void NetworkBus::set_loads(const BusProblem& problem) {
  if (version_ == problem.version) return;
  version_ = problem.version;
  for (std::size_t k = 0; k < input_.loads.size(); ++k) {
    const SimLoad& load = input_.loads[k];
    const double watts = problem.loads[k].on ? problem.loads[k].power_w : 0.0;
    set(load.element, kind_of(load.law), worth(load.law, watts, load.nominal_v));
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
    const int element = supply_element(s);
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
    double emf = port.emf_v;
    double ohm = port.discharge_ohm;
    if (modes_[b] == BankMode::charge) ohm = port.charge_ohm;
    if (modes_[b] == BankMode::limited) ohm = limits_[b].ohm();
    if (modes_[b] == BankMode::open) {
      ohm = open_bank_ohm;
      // Where it last stood: what the large resistance lets through is then nothing at all.
      if (point_.status == SolveStatus::solved) emf = std::max(point_.voltage_v[at(element)], 0.0);
    }
    set(element, ParameterKind::emf_v, emf);
    set(element, ParameterKind::resistance_ohm, ohm);
  }
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

/// More watts asked than all sources together could bring to their own terminals: E²/4R of a bank,
/// a supply's power, or its current at its set voltage. Wires only make it worse.
bool NetworkBus::over_asked(const BusProblem& problem) {
  if (sources_ > problem.banks.size() + problem.supplies.size()) return false;
  // What hangs behind a converter that is off asks for nothing; which loads these are the circuit
  // knows alone.
  if (std::find(problem.converter_on.begin(), problem.converter_on.end(), 0) !=
      problem.converter_on.end()) {
    return false;
  }
  if (asked_version_ != problem.version) {
    asked_version_ = problem.version;
    asked_w_ = asked_of(problem);
  }
  double offered_w = 0.0;
  for (const BankPort& port : problem.banks) {
    if (port.can_discharge) offered_w += 0.25 * port.emf_v * port.emf_v / port.discharge_ohm;
  }
  for (const SupplyPort& port : problem.supplies) {
    if (!port.on) continue;
    const double by_current = port.current_limit_a * port.set_v;
    offered_w +=
        port.kind == SupplyPort::Kind::power ? std::min(port.power_w, by_current) : by_current;
  }
  return asked_w_ > offered_w * (1.0 + 1e-9);
}

double NetworkBus::asked_of(const BusProblem& problem) const {
  double asked_w = 0.0;
  for (std::size_t k = 0; k < input_.loads.size(); ++k) {
    if (!problem.loads[k].on || input_.loads[k].law != DrawLaw::power) continue;
    // Below a stated voltage a load of the circuit takes less.
    if (eases_[k] == 0) asked_w += problem.loads[k].power_w;
  }
  return asked_w;
}

/// Asks at least as much of no stronger sources than a problem that had no answer: it has none
/// either. Boot loops ask the same again and again while the bank sinks.
bool NetworkBus::no_easier(const BusProblem& problem, const BusProblem& failed) const {
  if (problem.converter_on != failed.converter_on || problem.standby_w < failed.standby_w)
    return false;
  for (std::size_t k = 0; k < problem.loads.size(); ++k) {
    const LoadPort& was = failed.loads[k];
    const LoadPort& now = problem.loads[k];
    if (was.on && (!now.on || now.power_w < was.power_w)) return false;
  }
  for (std::size_t b = 0; b < problem.banks.size(); ++b) {
    const BankPort& was = failed.banks[b];
    const BankPort& now = problem.banks[b];
    if (!now.can_discharge) continue;
    if (!was.can_discharge || now.emf_v > was.emf_v || now.discharge_ohm < was.discharge_ohm)
      return false;
  }
  for (std::size_t s = 0; s < problem.supplies.size(); ++s) {
    const SupplyPort& was = failed.supplies[s];
    const SupplyPort& now = problem.supplies[s];
    if (!now.on) continue;
    const bool same_sun =
        now.light_wm2 == was.light_wm2 && now.cell_c == was.cell_c && now.loss == was.loss;
    const bool weaker =
        now.kind == SupplyPort::Kind::module ? same_sun : now.power_w <= was.power_w;
    if (!was.on || !weaker || now.current_limit_a > was.current_limit_a || now.set_v > was.set_v)
      return false;
  }
  return true;
}

bool NetworkBus::failed_before(const BusProblem& problem) const {
  return std::any_of(failed_.begin(), failed_.end(),
                     [&](const BusProblem& failed) { return no_easier(problem, failed); });
}

void NetworkBus::remember_failure(const BusProblem& problem) {
  constexpr std::size_t kept = 24;
  if (failed_.size() < kept) {
    failed_.push_back(problem);
  } else {
    failed_.back() = problem;
  }
  std::rotate(failed_.begin(), failed_.end() - 1, failed_.end());
}

}  // namespace nightbus::sim_detail
