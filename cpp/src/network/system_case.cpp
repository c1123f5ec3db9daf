/// A case becomes numbers, numbers become parameters of the circuit.

#include <fmt/format.h>
#include <algorithm>

#include "network/system_impl.hpp"

namespace nightbus {

using namespace compile_detail;

namespace {

/// Air in named places of one case.
class Air {
 public:
  Air(const System& system, const Case& which, const std::vector<double>& given)
      : system_(system), hot_(which.ambient == Ambient::hot), outside_c_(outside_of(which)) {
    for (std::size_t k = 0; k < system.compartments.size(); ++k) {
      if (k < given.size()) {
        compartment_c_.push_back(given[k]);
        continue;
      }
      const Compartment& each = system.compartments[k];
      const double unheated = hot_ ? std::max(outside_c_, each.temp_max_c) : outside_c_;
      compartment_c_.push_back(each.held_c.value_or(unheated));
    }
  }

  double outside_c() const { return outside_c_; }
  const std::vector<double>& compartments() const { return compartment_c_; }

  std::optional<double> in(std::string_view compartment) const {
    for (std::size_t k = 0; k < system_.compartments.size(); ++k) {
      if (system_.compartments[k].name == compartment) {
        return compartment_c_[k];
      }
    }
    return std::nullopt;
  }

  /// The hottest air a run passes: its own word, its compartment, else the places of its two ends.
  double along(const Run& run, const Layout& layout, const RunEnds& ends) const {
    std::optional<double> place = in(run.compartment);
    if (!place) {
      double hottest = outside_c_;
      for (const std::size_t end : {ends.from, ends.to}) {
        hottest = std::max(hottest, in(compartment_of(layout, end)).value_or(outside_c_));
      }
      place = hottest;
    }
    if (!run.ambient_c) {
      return *place;
    }
    return hot_ ? std::max(*run.ambient_c, run.compartment.empty() ? *run.ambient_c : *place)
                : std::min(*run.ambient_c, *place);
  }

 private:
  double outside_of(const Case& which) const {
    if (which.temp_c) {
      return *which.temp_c;
    }
    switch (which.ambient) {
      case Ambient::cold:
        return system_.site.temp_cold_c;
      case Ambient::mild:
        return system_.site.temp_mild_c;
      case Ambient::hot:
        break;
    }
    return system_.site.temp_hot_c;
  }

  std::string_view compartment_of(const Layout& layout, std::size_t point) const {
    const PointNodes& at = layout.points[point];
    switch (at.kind) {
      case PointKind::bank:
        return system_.banks[at.index].compartment;
      case PointKind::bus:
        return system_.buses[at.index].compartment;
      case PointKind::load:
        return system_.loads[at.index].compartment;
      case PointKind::fan:
        return system_.fans[at.index].cools;
      case PointKind::converter:
        return system_.converters[at.index].compartment;
      case PointKind::poe_link:
        return system_.poe_links[at.index].compartment;
      case PointKind::charger:
        return system_.chargers[at.index].compartment;
      case PointKind::array:
        return system_.arrays[at.index].compartment;
    }
    return {};
  }

  const System& system_;
  bool hot_;
  double outside_c_;
  std::vector<double> compartment_c_;
};

/// A charger that is set higher than the bank's absorption voltage lifts the bus to its own.
double ceiling_v(const Layout& layout, std::size_t bank, double absorption_at_bank_v) {
  double ceiling = absorption_at_bank_v;
  const int domain = layout.points[layout.point_of(PointKind::bank, bank)].domain;
  for (std::size_t k = 0; k < layout.system.chargers.size(); ++k) {
    const Charger& charger = layout.system.chargers[k];
    if (charger.voltage_v &&
        layout.points[layout.point_of(PointKind::charger, k)].domain == domain) {
      ceiling = std::max(ceiling, *charger.voltage_v);
    }
  }
  return ceiling;
}

BankInputs bank_inputs(const Layout& layout, std::size_t k, const Case& which, double temp_c) {
  const Bank& bank = layout.system.banks[k];
  const BatteryChemistry& chemistry = layout.catalogue.chemistry(bank.chemistry);
  BankInputs in;
  in.temp_c = temp_c;
  if (which.bank == BankState::charging && !which.charge) {
    // Near the end of absorption the bank takes only its tail current at the chargers' ceiling:
    // seen from outside it is an EMF just below that voltage.
    in.charge = 1.0;
    in.held_v = ceiling_v(layout, k, bank_absorption_v(bank, chemistry, temp_c));
    in.resistance_ohm = bank_resistance_ohm(bank, chemistry, in.charge, temp_c);
    in.emf_v = *in.held_v - tail_a(bank, chemistry) * in.resistance_ohm;
    in.basis = fmt::format("end of absorption at {:.0f} °C", temp_c);
    return in;
  }
  const bool charging = which.bank == BankState::charging;
  in.charge =
      which.charge.value_or(which.bank == BankState::low ? bank.charge_low : bank.charge_rest);
  const BankNumbers numbers = bank_numbers(bank, chemistry, in.charge, temp_c,
                                           charging                       ? BankUse::charge
                                           : which.bank == BankState::low ? BankUse::discharge
                                                                          : BankUse::rest);
  in.emf_v = numbers.emf_v;
  in.resistance_ohm = numbers.resistance_ohm;
  in.basis = numbers.basis;
  if (charging) {
    in.held_v = bank_absorption_v(bank, chemistry, temp_c);
  }
  return in;
}

int fan_step_of(const Fan& fan, std::size_t k, const Case& which, const CaseAir& given) {
  const int top = static_cast<int>(fan.step_w.size());
  if (k < given.fan_step.size()) {
    return std::clamp(given.fan_step[k], 0, top);
  }
  const bool high = which.ambient == Ambient::hot || which.demand == Demand::peak;
  return high ? top : std::clamp(fan.lowest_step, 0, top);
}

}  // namespace

CaseInputs case_inputs(const CompiledSystem& compiled, const Case& which,
                       const CaseConditions& conditions) {
  const Layout& layout = *compiled.impl().layout;
  const System& system = layout.system;
  const CaseAir& given = conditions.air_of(which.name);
  const Air air(system, which, given.compartment_c);
  const bool margin = conditions.wiring_margin && which.demand != Demand::rest;
  const double factor = conditions.load_factor * (margin ? 1.0 + system.rules.load_margin : 1.0);
  CaseInputs in;
  in.name = which.name;
  in.charging = which.bank == BankState::charging;
  in.outside_c = air.outside_c();
  in.compartment_c = air.compartments();
  in.off = which.off;
  const auto on = [&](const std::string& name) {
    return std::find(which.off.begin(), which.off.end(), name) == which.off.end();
  };
  for (std::size_t k = 0; k < system.runs.size(); ++k) {
    in.run_ambient_c.push_back(air.along(system.runs[k], layout, layout.ends[k]));
  }
  for (std::size_t k = 0; k < system.banks.size(); ++k) {
    in.banks.push_back(
        bank_inputs(layout, k, which, air.in(system.banks[k].compartment).value_or(in.outside_c)));
  }
  for (const Load& load : system.loads) {
    const double each =
        demand_w(which.demand, load.typical_w, load.peak_w, load.rest_w, load.usage.night_extra_w);
    in.loads.push_back({each * load.count * factor, on(load.name)});
  }
  for (std::size_t k = 0; k < system.fans.size(); ++k) {
    const Fan& fan = system.fans[k];
    const int step = fan_step_of(fan, k, which, given);
    in.fan_step.push_back(step);
    const double each = step > 0 ? fan.step_w[static_cast<std::size_t>(step) - 1] : 0.0;
    in.fans.push_back({each * fan.count * factor, on(fan.name)});
  }
  for (const PoeLink& link : system.poe_links) {
    std::optional<double> peak = link.peak_w;
    if (!peak && link.power_class) {
      peak = std::max(link.typical_w, layout.catalogue.poe_class(*link.power_class).device_w);
    }
    const double each =
        demand_w(which.demand, link.typical_w, peak, link.rest_w, link.usage.night_extra_w);
    in.poe_links.push_back({each * factor, on(link.name)});
  }
  return in;
}

Parameters case_parameters(const CompiledSystem& compiled, const CaseInputs& inputs) {
  const Layout& layout = *compiled.impl().layout;
  const System& system = layout.system;
  Parameters parameters = compiled.circuit().parameters();
  const auto off = [&](const std::string& name) {
    return std::find(inputs.off.begin(), inputs.off.end(), name) != inputs.off.end();
  };
  const auto is_point = [&](const std::string& name) {
    return std::any_of(layout.points.begin(), layout.points.end(),
                       [&](const PointNodes& point) { return point.name == name; });
  };
  const auto disable = [&](ElementId element) {
    parameters.set(element, ParameterKind::enabled, 0.0);
  };
  for (std::size_t k = 0; k < system.runs.size(); ++k) {
    const RunElements& run = compiled.runs()[k];
    if (!run.out) {
      continue;
    }
    for (const auto& [element, pole] :
         {std::pair{run.out, &run.positive}, std::pair{run.back, &run.negative}}) {
      const bool chassis = system.runs[k].return_path == ReturnPath::chassis;
      if (element && !(chassis && pole == &run.negative)) {
        parameters.set(*element, ParameterKind::ambient_c,
                       pole->assumed_c.value_or(inputs.run_ambient_c[k]));
      }
    }
    const PointNodes& to = layout.points[run.to];
    // A feed is called after what it feeds: switched off is the device then, not its cable.
    if ((off(system.runs[k].name) && !is_point(system.runs[k].name)) ||
        (to.kind == PointKind::bus && off(to.name))) {
      disable(*run.out);
    }
  }
  for (std::size_t k = 0; k < system.banks.size(); ++k) {
    const BankElements& bank = compiled.banks()[k];
    parameters.set(bank.source, ParameterKind::emf_v, inputs.banks[k].emf_v);
    parameters.set(bank.source, ParameterKind::resistance_ohm, inputs.banks[k].resistance_ohm);
    if (off(system.banks[k].name)) {
      disable(bank.source);
      if (bank.standby) {
        disable(*bank.standby);
      }
    }
  }
  const auto draw = [&](ElementId element, const DrawInputs& wanted, Behaviour behaviour,
                        double nominal_v) {
    if (!wanted.on) {
      disable(element);
    } else if (behaviour == Behaviour::constant_power || nominal_v <= 0.0) {
      parameters.set(element, ParameterKind::power_w, wanted.power_w);
    } else if (behaviour == Behaviour::constant_current) {
      parameters.set(element, ParameterKind::current_a, wanted.power_w / nominal_v);
    } else {
      parameters.set(element, ParameterKind::conductance_s,
                     wanted.power_w / (nominal_v * nominal_v));
    }
  };
  for (std::size_t k = 0; k < system.loads.size(); ++k) {
    const PointNodes& at = compiled.point_of(PointKind::load, k);
    draw(compiled.loads()[k], inputs.loads[k], system.loads[k].behaviour,
         system.loads[k].nominal_v.value_or(layout.nominal_v(at.domain)));
  }
  for (std::size_t k = 0; k < system.fans.size(); ++k) {
    draw(compiled.fans()[k], inputs.fans[k], Behaviour::constant_power, 0.0);
  }
  for (std::size_t k = 0; k < system.poe_links.size(); ++k) {
    draw(compiled.poe_links()[k].device, inputs.poe_links[k], Behaviour::constant_power, 0.0);
    for (const ElementId half : {compiled.poe_links()[k].out, compiled.poe_links()[k].back}) {
      // The cable passes through the warmest place that is known of: its device's.
      double air = inputs.outside_c;
      for (std::size_t c = 0; c < system.compartments.size(); ++c) {
        if (system.compartments[c].name == system.poe_links[k].compartment) {
          air = std::max(air, inputs.compartment_c[c]);
        }
      }
      parameters.set(half, ParameterKind::ambient_c, air);
    }
  }
  for (std::size_t k = 0; k < system.converters.size(); ++k) {
    if (off(system.converters[k].name)) {
      disable(compiled.converters()[k]);
    }
  }
  const auto held_v = [&](const PointNodes& at) {
    const Domain& domain = layout.domains[static_cast<std::size_t>(at.domain)];
    double ceiling = 0.0;
    for (const std::size_t bank : domain.banks) {
      const double held = inputs.banks[bank].held_v.value_or(inputs.banks[bank].emf_v);
      ceiling = ceiling > 0.0 ? std::min(ceiling, held) : held;
    }
    return ceiling > 0.0 ? ceiling : 1.2 * domain.nominal_v;
  };
  for (std::size_t k = 0; k < system.chargers.size(); ++k) {
    const ElementId element = compiled.chargers()[k];
    const PointNodes& at = compiled.point_of(PointKind::charger, k);
    if (!inputs.charging || off(at.name)) {
      disable(element);
    }
    parameters.set(element, ParameterKind::ceiling_v,
                   system.chargers[k].voltage_v.value_or(held_v(at)));
  }
  for (std::size_t k = 0; k < system.arrays.size(); ++k) {
    const ElementId element = compiled.arrays()[k];
    const PointNodes& at = compiled.point_of(PointKind::array, k);
    parameters.set(element, ParameterKind::ceiling_v, held_v(at));
    if (!inputs.charging || off(at.name)) {
      disable(element);
    } else {
      disable(compiled.array_standby()[k]);
    }
  }
  return parameters;
}

}  // namespace nightbus
