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
/// Times its ceiling: where a supply that is given its limits alone does not come.
constexpr double far_above = 2.0;

/// About what a load draws; its hours are not looked at.
double about_w(const Draw& draw) {
  if (const auto* d = std::get_if<SteadyDraw>(&draw)) return d->power_w;
  if (const auto* d = std::get_if<WindowDraw>(&draw)) return std::max(d->on_w, d->off_w);
  if (const auto* d = std::get_if<DayNightDraw>(&draw)) return 0.5 * (d->day_w + d->night_w);
  if (const auto* d = std::get_if<BurstDraw>(&draw)) return d->idle_w;
  if (const auto* d = std::get_if<HeaterDraw>(&draw)) return d->off_w;
  if (const auto* d = std::get_if<DutyDraw>(&draw)) {
    const double share = d->period_s > 0.0 ? std::clamp(d->on_s / d->period_s, 0.0, 1.0) : 1.0;
    return share * d->on_w + (1.0 - share) * d->off_w;
  }
  const auto* d = std::get_if<TraceDraw>(&draw);
  return d != nullptr && !d->power_w.empty() ? d->power_w[d->power_w.size() / 2] : 0.0;
}

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

NetworkColumns::NetworkColumns(const SimulationInput& input) {
  const auto add = [&](int element, ParameterKind kind) {
    parameters.push_back({ElementId{static_cast<std::uint32_t>(element)}, kind});
  };
  for (const SimBank& bank : input.banks) {
    add(bank.element, ParameterKind::emf_v);
    add(bank.element, ParameterKind::resistance_ohm);
  }
  supplies = parameters.size();
  const auto supply = [&](int element) {
    add(element, ParameterKind::ceiling_v);
    add(element, ParameterKind::current_limit_a);
    add(element, ParameterKind::power_limit_w);
  };
  for (const SimArray& array : input.arrays) supply(array.element);
  for (const SimCharger& charger : input.chargers) supply(charger.element);
  loads = parameters.size();
  for (const SimLoad& load : input.loads) add(load.element, kind_of(load.law));
  converters = parameters.size();
  for (const SimConverter& converter : input.converters)
    add(converter.element, ParameterKind::scale);
  standby = parameters.size();
  if (input.network->standby_element >= 0)
    add(input.network->standby_element, ParameterKind::power_w);
  const Circuit& circuit = input.network->circuit;
  const std::vector<int>& spaces = input.network->space_of_element;
  for (std::size_t e = 0; e < circuit.element_count() && e < spaces.size(); ++e) {
    const ElementKind kind = circuit.kind(ElementId{static_cast<std::uint32_t>(e)});
    const bool wire = kind == ElementKind::resistor || kind == ElementKind::diode;
    loss_groups.push_back(wire ? std::max(spaces[e], -1) + 1 : 0);
  }
}

/// Every bank connected and half full, every load drawing by its own law about what it will:
/// a point like those that will be asked for, from which all of them start.
Parameters fitting_numbers(const SimulationInput& input) {
  constexpr double some_charge = 0.5;
  Parameters built = input.network->circuit.parameters();
  const auto id = [](int element) { return ElementId{static_cast<std::uint32_t>(element)}; };
  for (const SimBank& bank : input.banks) {
    built.set(id(bank.element), ParameterKind::enabled, 1.0);
    built.set(id(bank.element), ParameterKind::resistance_ohm, bank.model.resistance_ohm);
    built.set(id(bank.element), ParameterKind::emf_v, bank.model.emf_v(some_charge, 25.0, 0.0));
  }
  for (const SimLoad& load : input.loads) {
    built.set(id(load.element), ParameterKind::enabled, 1.0);
    const double watts = std::max(about_w(load.draw), some_w);
    for (const DrawLaw law : {DrawLaw::power, DrawLaw::current, DrawLaw::resistance}) {
      const double wanted = law == load.law ? worth(law, watts, load.nominal_v) : 0.0;
      built.set(id(load.element), kind_of(law), wanted);
    }
  }
  return built;
}

NetworkBus::NetworkBus(const SimulationInput& input, Circuit circuit)
    : input_(input),
      network_(*input.network),
      circuit_(std::move(circuit)),
      columns_(input),
      numbers_(columns_.parameters.size(), 0.0),
      own_(circuit_, columns_.parameters, columns_.loss_groups, 1),
      workspace_(circuit_),
      parameters_(circuit_.parameters()),
      bank_v_(input.banks.size()),
      bank_a_(input.banks.size()),
      supply_v_(input.arrays.size() + input.chargers.size()),
      supply_a_(supply_v_.size()),
      bus_place_(own_.place(network_.bus_p, network_.bus_n)),
      modes_(input.banks.size(), BankMode::discharge),
      solved_modes_(modes_),
      limits_(input.banks.size()),
      supply_modes_(supply_v_.size(), SupplyMode::limited),
      supply_laws_(supply_v_.size()),
      module_v_(supply_v_.size(), 0.0) {
  bool warms = false;
  for (const int group : columns_.loss_groups) warms = warms || group > 0;
  for (std::size_t e = 0; e < circuit_.element_count(); ++e) {
    const ElementKind kind = circuit_.kind(id(static_cast<int>(e)));
    if (kind == ElementKind::source || kind == ElementKind::charger) ++sources_;
  }
  options_.careful = true;
  options_.hold_states = true;
  options_.diagnose = false;
  options_.read_wires = warms;
  for (const SimBank& bank : input_.banks) bank_place_.push_back(own_.place(id(bank.element)));
  for (std::size_t s = 0; s < supply_v_.size(); ++s) {
    supply_place_.push_back(own_.place(id(supply_element(s))));
    supply_laws_[s].resistance_ohm =
        parameters_.get(id(supply_element(s)), ParameterKind::resistance_ohm);
  }
  for (const SimLoad& load : input_.loads) {
    const auto get = [&](ParameterKind kind) { return parameters_.get(id(load.element), kind); };
    eases_.push_back(get(ParameterKind::minimum_v) > 0.0);
    const std::size_t k = load_lines_.size();
    load_lines_.push_back({own_.place(id(load.element)), get(ParameterKind::scale),
                           get(ParameterKind::fan_a_per_v2)});
    (load.law == DrawLaw::power     ? by_power_
     : load.law == DrawLaw::current ? by_current_
                                    : by_resistance_)
        .push_back(k);
    if (load_lines_[k].fan_a_per_v2 != 0.0) by_fan_.push_back(k);
  }
  draw_.assign(load_lines_.size(), 0.0);
  own_volts_ = volts_in({&own_, 0}, load_lines_);
}

void NetworkBus::set_loads(const BusProblem& problem) {
  if (version_ == problem.version) return;
  version_ = problem.version;
  for (std::size_t k = 0; k < input_.loads.size(); ++k) {
    const SimLoad& load = input_.loads[k];
    const double watts = problem.loads[k].on ? problem.loads[k].power_w : 0.0;
    const double draw = worth(load.law, watts, load.nominal_v);
    numbers_[columns_.loads + k] = draw;
    draw_[k] = load_lines_[k].scale * draw;
  }
  for (std::size_t c = 0; c < input_.converters.size(); ++c)
    numbers_[columns_.converters + c] = problem.converter_on[c] ? 1.0 : 0.0;
  if (network_.standby_element >= 0) numbers_[columns_.standby] = problem.standby_w;
}

void NetworkBus::set_supplies(const BusProblem& problem, double lowered_v) {
  for (std::size_t s = 0; s < problem.supplies.size(); ++s) {
    const SupplyPort& port = problem.supplies[s];
    double amps = port.on ? port.current_limit_a : 0.0;
    double watts = no_limit;
    if (port.kind == SupplyPort::Kind::power) watts = port.on ? port.power_w : 0.0;
    if (port.kind == SupplyPort::Kind::module && port.on) {
      const double v = module_v_[s] > 0.0 ? module_v_[s] : port.set_v;
      amps = std::min(amps, array_detail::pwm_current_a(*port.module, port.light_wm2, port.cell_c,
                                                        port.loss, v));
    }
    SupplyLaw& law = supply_laws_[s];
    law.ceiling_v = std::max(port.set_v - lowered_v, 0.0);
    law.limit_a = amps;
    law.limit_w = watts;
    set_supply_numbers(s);
  }
}

void NetworkBus::set_supply_numbers(std::size_t s) {
  const SupplyLaw& law = supply_laws_[s];
  const SupplyMode mode = supply_modes_[s];
  double* numbers = &numbers_[columns_.supplies + 3 * s];
  numbers[0] = mode == SupplyMode::limited ? far_above * law.ceiling_v : law.ceiling_v;
  numbers[1] = mode == SupplyMode::held ? no_limit : law.limit_a;
  numbers[2] = mode == SupplyMode::held ? no_limit : law.limit_w;
}

void NetworkBus::set_banks(const BusProblem& problem) {
  for (std::size_t b = 0; b < input_.banks.size(); ++b) {
    const BankPort& port = problem.banks[b];
    double emf = port.emf_v;
    double ohm = port.discharge_ohm;
    if (modes_[b] == BankMode::charge) ohm = port.charge_ohm;
    if (modes_[b] == BankMode::limited) ohm = limits_[b].ohm();
    if (modes_[b] == BankMode::open) {
      ohm = open_bank_ohm;
      // Where it last stood: what the large resistance lets through is then nothing at all.
      if (status_ == SolveStatus::solved) emf = std::max(bank_v_[b], 0.0);
    }
    numbers_[2 * b] = emf;
    numbers_[2 * b + 1] = ohm;
  }
}

/// Banks and supplies move at every step, the rest when something switches.
void NetworkBus::bring(Lane lane, std::uint64_t& version) const {
  const std::size_t count = version == version_ ? columns_.loads : numbers_.size();
  for (std::size_t c = 0; c < count; ++c) lane.points->set(c, lane.at, numbers_[c]);
  version = version_;
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
/// either. Boot loops ask the same again and again while the bank sinks; at other times the bank
/// tells soonest that this is another problem.
bool NetworkBus::no_easier(const BusProblem& problem, const BusProblem& failed) const {
  for (std::size_t b = 0; b < problem.banks.size(); ++b) {
    const BankPort& was = failed.banks[b];
    const BankPort& now = problem.banks[b];
    if (!now.can_discharge) continue;
    if (!was.can_discharge || now.emf_v > was.emf_v || now.discharge_ohm < was.discharge_ohm)
      return false;
  }
  if (problem.converter_on != failed.converter_on || problem.standby_w < failed.standby_w)
    return false;
  for (std::size_t k = 0; k < problem.loads.size(); ++k) {
    const LoadPort& was = failed.loads[k];
    const LoadPort& now = problem.loads[k];
    if (was.on && (!now.on || now.power_w < was.power_w)) return false;
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
