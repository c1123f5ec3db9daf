/// Margins and fault currents of a compiled system.

#include <algorithm>
#include <cmath>

#include "network/system_impl.hpp"

namespace nightbus {

using namespace compile_detail;

namespace compile_detail {

std::optional<Range> device_window(const Layout& layout, const PoeLink& link) {
  if (link.window_v) {
    return link.window_v;
  }
  const int number = link.type == PoeType::passive ? 0 : static_cast<int>(link.type) + 1;
  if (number == 0) {
    return std::nullopt;
  }
  return layout.catalogue.poe_type(number).device_v;
}

}  // namespace compile_detail

CaseMargins case_margins(const CompiledSystem& compiled, const CaseInputs& inputs,
                         Workspace& workspace) {
  const Layout& layout = *compiled.impl().layout;
  const System& system = layout.system;
  std::vector<VoltageWindow> windows;
  const auto watch = [&](ElementId element, const std::optional<Range>& window,
                         const std::optional<double>& off_v, bool on) {
    const double low = std::max(window ? window->low : 0.0, off_v.value_or(0.0));
    if (on && low > 0.0) {
      windows.push_back({element, low, no_limit});
    }
  };
  for (std::size_t k = 0; k < system.loads.size(); ++k) {
    watch(compiled.loads()[k], system.loads[k].window_v, system.loads[k].off_v, inputs.loads[k].on);
  }
  for (std::size_t k = 0; k < system.fans.size(); ++k) {
    watch(compiled.fans()[k], system.fans[k].window_v, std::nullopt, inputs.fans[k].on);
  }
  for (std::size_t k = 0; k < system.converters.size(); ++k) {
    const auto& off = inputs.off;
    const bool on = std::find(off.begin(), off.end(), system.converters[k].name) == off.end();
    watch(compiled.converters()[k], system.converters[k].window_v, system.converters[k].off_v, on);
  }
  for (std::size_t k = 0; k < system.poe_links.size(); ++k) {
    watch(compiled.poe_links()[k].device, device_window(layout, system.poe_links[k]), std::nullopt,
          inputs.poe_links[k].on);
  }
  MarginRequest request;
  request.windows = windows;
  const Margins found =
      margins(compiled.circuit(), case_parameters(compiled, inputs), workspace, request);
  CaseMargins result;
  if (found.collapse) {
    result.collapse_multiplier = found.collapse->multiplier;
    result.collapse_device = compiled.element_name(found.collapse->element);
  }
  if (found.first_window) {
    result.first_window_multiplier = found.first_window->multiplier;
    result.first_window_device = compiled.element_name(found.first_window->element);
    result.first_window_v = found.first_window->value;
  }
  return result;
}

Parameters fault_parameters(const CompiledSystem& compiled, FaultExtreme extreme) {
  const Layout& layout = *compiled.impl().layout;
  const System& system = layout.system;
  const bool highest = extreme == FaultExtreme::highest;
  Parameters parameters = compiled.circuit().parameters();
  for (std::size_t k = 0; k < system.banks.size(); ++k) {
    const Bank& bank = system.banks[k];
    const BatteryChemistry& chemistry = layout.catalogue.chemistry(bank.chemistry);
    const double temp_c =
        highest ? std::max(25.0, system.site.temp_hot_c) : std::min(25.0, system.site.temp_cold_c);
    const double charge = highest ? 1.0 : bank.charge_low;
    const BankNumbers numbers = bank_numbers(bank, chemistry, charge, temp_c,
                                             highest ? BankUse::charge : BankUse::discharge);
    double ohm = bank_resistance_ohm(bank, chemistry, charge, temp_c, highest);
    if (highest && bank.short_circuit_a && *bank.short_circuit_a > 0.0) {
      const double stated = numbers.emf_v / (*bank.short_circuit_a * std::max(bank.strings, 1));
      ohm = std::min(ohm, stated);
    }
    parameters.set(compiled.banks()[k].source, ParameterKind::emf_v, numbers.emf_v);
    parameters.set(compiled.banks()[k].source, ParameterKind::resistance_ohm, ohm);
  }
  for (std::size_t k = 0; k < system.runs.size(); ++k) {
    const RunElements& run = compiled.runs()[k];
    const bool chassis = system.runs[k].return_path == ReturnPath::chassis;
    const double hot = system.runs[k].insulation_c.value_or(system.rules.insulation_c);
    const double wire_c = highest ? std::min(20.0, system.site.temp_cold_c) : hot;
    if (run.out) {
      parameters.set(*run.out, ParameterKind::ambient_c, wire_c);
    }
    if (run.back && !chassis) {
      parameters.set(*run.back, ParameterKind::ambient_c, wire_c);
    }
  }
  return parameters;
}

std::vector<RunFault> run_faults(const CompiledSystem& compiled) {
  const std::vector<PointNodes>& points = compiled.points();
  std::vector<FaultPoint> near, far;
  for (const RunElements& run : compiled.runs()) {
    near.push_back({points[run.from].out_positive, points[run.from].out_negative});
    // A spare run is laid, not joined: its far end is reckoned from its source end below.
    far.push_back(run.connected ? FaultPoint{points[run.to].positive, points[run.to].negative}
                                : near.back());
  }
  const Parameters high = fault_parameters(compiled, FaultExtreme::highest);
  const Parameters low = fault_parameters(compiled, FaultExtreme::lowest);
  const auto near_high = fault_currents(compiled.circuit(), high, near);
  const auto far_high = fault_currents(compiled.circuit(), high, far);
  const auto far_low = fault_currents(compiled.circuit(), low, far);
  std::vector<RunFault> faults;
  for (std::size_t k = 0; k < compiled.runs().size(); ++k) {
    const RunElements& run = compiled.runs()[k];
    RunFault fault;
    fault.near_a = near_high[k].current_a;
    if (run.connected) {
      fault.far_highest_a = far_high[k].current_a;
      fault.far_a = far_low[k].current_a;
      fault.loop_ohm = far_low[k].resistance_ohm;
    } else {
      const Run& described = compiled.system().runs[k];
      const Material& metal = compiled.catalogue().material(described.material);
      const double hot = described.insulation_c.value_or(compiled.system().rules.insulation_c);
      const auto pole = [&](double temp_c) {
        return (run.positive.conductor_20c_ohm + run.negative.conductor_20c_ohm) *
                   metal.resistance_ratio(temp_c) +
               run.positive.fixed_ohm() + run.negative.fixed_ohm();
      };
      const auto through = [](const FaultCurrent& source, double ohm) {
        return source.current_a > 0.0 ? source.open_circuit_v / (source.resistance_ohm + ohm) : 0.0;
      };
      fault.far_highest_a = through(far_high[k], pole(20.0));
      fault.far_a = through(far_low[k], pole(hot));
      fault.loop_ohm = far_low[k].resistance_ohm + pole(hot);
    }
    faults.push_back(fault);
  }
  return faults;
}

}  // namespace nightbus
