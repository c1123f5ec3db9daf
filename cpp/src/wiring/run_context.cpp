/// From a solved system to what each run's checks may look at.
///
/// The dangerous end of a run is the one a bank feeds: its `from` end, but the `to` end of a run
/// that starts at a charger or an array controller. The highest fault stands right behind the
/// device there, the lowest at the other end.

#include "nightbus/wiring_context.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace nightbus::wiring_detail {

namespace {

/// A converter may give this much more than its rating for as long as a fuse takes to open (common
/// practice, no source).
constexpr double converter_surge = 1.25;

bool starts_at_charger(const CompiledSystem& compiled, const RunElements& run) {
  const PointKind kind = compiled.points()[run.from].kind;
  return kind == PointKind::charger || kind == PointKind::array;
}

struct FaultEnds {
  std::vector<FaultCurrent> highest, lowest;  ///< at the dangerous end of each run
};

FaultEnds faults_at_ends(const CompiledSystem& compiled) {
  std::vector<FaultPoint> points;
  for (const RunElements& run : compiled.runs()) {
    if (starts_at_charger(compiled, run)) {
      const PointNodes& point = compiled.points()[run.to];
      points.push_back({point.positive, point.negative});
    } else {
      const PointNodes& point = compiled.points()[run.from];
      points.push_back({point.out_positive, point.out_negative});
    }
  }
  return {
      fault_currents(compiled.circuit(), fault_parameters(compiled, FaultExtreme::highest), points),
      fault_currents(compiled.circuit(), fault_parameters(compiled, FaultExtreme::lowest), points)};
}

/// Highest voltage a charger may hold the run's domain at, in any case.
double highest_voltage(const Solved& solved, const RunElements& run) {
  const CompiledSystem& compiled = solved.compiled;
  if (run.domain < 0) return run.nominal_v;
  const Domain& domain = compiled.domains()[static_cast<std::size_t>(run.domain)];
  double highest = domain.nominal_v;
  for (std::size_t bank : domain.banks) {
    for (const CaseInputs& inputs : solved.inputs) {
      highest = std::max(highest, inputs.banks[bank].emf_v);
      highest = std::max(highest, inputs.banks[bank].held_v.value_or(0.0));
    }
    const Bank& described = compiled.system().banks[bank];
    highest = std::max(
        highest, bank_absorption_v(described, compiled.catalogue().chemistry(described.chemistry),
                                   compiled.system().site.temp_cold_c));
  }
  return highest;
}

void fill_fault(RunContext& context, const Solved& solved, const RunElements& run,
                const FaultCurrent& highest, const FaultCurrent& lowest) {
  const CompiledSystem& compiled = solved.compiled;
  const System& system = compiled.system();
  context.highest_emf_v = highest.open_circuit_v;
  context.highest_source_ohm = highest.resistance_ohm;
  context.lowest_emf_v = lowest.open_circuit_v;
  context.lowest_source_ohm = lowest.resistance_ohm;
  context.lowest_far_ohm = run.positive.joints_ohm + run.positive.switch_ohm +
                           run.negative.joints_ohm + run.negative.switch_ohm;
  if (run.domain < 0) {
    context.fault = FaultSource::none;
    return;
  }
  const Domain& domain = compiled.domains()[static_cast<std::size_t>(run.domain)];
  if (domain.banks.empty()) {
    context.fault = domain.converters.empty() ? FaultSource::none : FaultSource::limited;
    for (std::size_t index : domain.converters) {
      const Converter& converter = system.converters[index];
      context.limited_a += converter_surge * converter.power_w / converter.output_v;
    }
    context.fault_basis = "converters limit their own current";
    return;
  }
  std::string basis;
  for (std::size_t index : domain.banks) {
    const Bank& bank = system.banks[index];
    context.connected_ah += bank.capacity_ah * bank.strings;
    if (bank.cold_cranking_a) {
      context.cold_cranking_a =
          context.cold_cranking_a.value_or(0.0) + *bank.cold_cranking_a * bank.strings;
    }
    if (!basis.empty()) basis += "; ";
    basis += fmt::format("bank \"{}\" by its {}", bank.name,
                         bank.short_circuit_a  ? "stated short-circuit current"
                         : bank.resistance_ohm ? "stated resistance"
                                               : "chemistry's least resistance");
  }
  context.fault_basis = basis;
}

void fill_inrush(RunContext& context, const CompiledSystem& compiled, std::size_t point) {
  const PointNodes& where = compiled.points()[point];
  const System& system = compiled.system();
  if (where.kind == PointKind::load) {
    const Load& load = system.loads[where.index];
    context.inrush_f = load.inrush_f.value_or(0.0) * load.count;
    context.inrush_known = load.inrush_f.has_value();
    context.capacitive = load.behaviour != Behaviour::resistance;
  } else if (where.kind == PointKind::converter) {
    const Converter& converter = system.converters[where.index];
    context.inrush_f = converter.inrush_f.value_or(0.0);
    context.inrush_known = converter.inrush_f.has_value();
  } else {
    context.inrush_known = where.kind != PointKind::fan;
  }
}

/// What a spare run must be ready for: half of what its source end's wiring is used to is no fact,
/// so the smallest blade's worth is taken and said.
constexpr double spare_design_a = 5.0;

void fill_loading(RunContext& context, const Solved& solved, std::size_t index,
                  const RunElements& run) {
  const bool at_charger = starts_at_charger(solved.compiled, run);
  for (std::size_t c = 0; c < solved.results.size(); ++c) {
    const CaseResult& result = solved.results[c];
    const CaseInputs& inputs = solved.inputs[c];
    RunCase entry;
    entry.name = inputs.name;
    entry.ambient_c = inputs.run_ambient_c[index];
    entry.fuse_ambient_c = entry.ambient_c;
    if (result.readable() && run.connected) {
      entry.current_a = std::abs(result.runs[index].current_a);
      entry.return_current_a = std::abs(result.runs[index].return_current_a);
      entry.source_v = result.points[at_charger ? run.to : run.from].out_voltage_v;
      if (entry.source_v <= 0.0) entry.source_v = result.points[run.from].voltage_v;
    }
    if (!run.connected) entry.current_a = entry.return_current_a = spare_design_a;
    context.ambient_c = c == 0 ? entry.ambient_c : std::max(context.ambient_c, entry.ambient_c);
    context.cases.push_back(entry);
  }
  const System& system = solved.compiled.system();
  const PointNodes& from = solved.compiled.points()[run.from];
  if (from.kind == PointKind::charger) {
    context.design_a = system.chargers[from.index].current_a;
  } else if (from.kind == PointKind::array) {
    context.design_a = system.arrays[from.index].controller_a;
  }
  for (std::size_t c = 0; c < context.cases.size(); ++c) {
    const double worst = std::max(context.cases[c].current_a, context.cases[c].return_current_a);
    if (worst > context.design_a) {
      context.design_a = worst;
      context.design_case = c;
    }
  }
}

}  // namespace

Solved solve_all(const CompiledSystem& compiled, const std::vector<Case>& cases,
                 const CaseConditions& conditions) {
  Solved solved{compiled, {}, {}};
  Workspace workspace(compiled.circuit());
  for (const Case& each : cases) {
    solved.inputs.push_back(case_inputs(compiled, each, conditions));
    solved.results.push_back(solve_inputs(compiled, solved.inputs.back(), workspace));
  }
  return solved;
}

std::vector<RunContext> run_contexts(const Solved& solved) {
  const CompiledSystem& compiled = solved.compiled;
  const System& system = compiled.system();
  const Catalogue& catalogue = compiled.catalogue();
  const FaultEnds ends = faults_at_ends(compiled);
  std::vector<const RuleSet*> rules;
  for (const std::string& name : system.rules.sets) rules.push_back(&catalogue.rule_set(name));

  std::vector<RunContext> contexts;
  for (std::size_t i = 0; i < system.runs.size(); ++i) {
    const Run& run = system.runs[i];
    const RunElements& elements = compiled.runs()[i];
    RunContext context;
    context.system = &system;
    context.catalogue = &catalogue;
    context.run = &run;
    context.index = i;
    context.rules = rules;
    context.nominal_v = elements.nominal_v > 0.0 ? elements.nominal_v : 12.0;
    context.highest_v = std::max(context.nominal_v, highest_voltage(solved, elements));
    context.device_at_far_end = starts_at_charger(compiled, elements);
    const std::size_t fed_end = context.device_at_far_end ? elements.to : elements.from;
    context.source = compiled.points()[fed_end].kind == PointKind::bank ? SourceKind::battery
                                                                        : SourceKind::other;
    context.needs_device = run.overcurrent;
    context.solar = compiled.points()[elements.from].kind == PointKind::array;
    fill_loading(context, solved, i, elements);
    context.insulation_c = run.insulation_c.value_or(system.rules.insulation_c);
    context.terminal_c = system.rules.terminal_c;
    const bool enclosed = run.enclosed.value_or(system.rules.enclosed);
    context.installation = installation_of(enclosed, run.bundle);
    context.fuse_ambient_c = run.fuse_ambient_c.value_or(context.ambient_c);
    context.bundle.conductors = std::max(run.bundle, 1);
    context.bundle.bus_voltage_v = context.nominal_v;
    context.bundle.installation = context.installation;
    context.bundle.length_m = run.length_m;
    context.parallel = std::max(run.parallel, 1);
    fill_fault(context, solved, elements, ends.highest[i], ends.lowest[i]);
    fill_inrush(context, compiled, elements.to);
    contexts.push_back(std::move(context));
  }
  return contexts;
}

std::vector<int> parents_of(const CompiledSystem& compiled) {
  const auto& runs = compiled.runs();
  std::vector<int> leads_to(compiled.points().size(), -1);
  for (std::size_t i = 0; i < runs.size(); ++i) {
    if (runs[i].connected && !starts_at_charger(compiled, runs[i]) && leads_to[runs[i].to] < 0) {
      leads_to[runs[i].to] = static_cast<int>(i);
    }
  }
  std::vector<int> parents(runs.size(), -1);
  for (std::size_t i = 0; i < runs.size(); ++i) {
    if (!runs[i].connected || starts_at_charger(compiled, runs[i])) continue;
    // A converter starts a new tree: what is lost before it is not lost behind it.
    if (compiled.points()[runs[i].from].kind == PointKind::converter) continue;
    const int parent = leads_to[runs[i].from];
    int above = parent;
    std::size_t steps = 0;
    while (above >= 0 && above != static_cast<int>(i) && steps++ < runs.size()) {
      const RunElements& run = runs[static_cast<std::size_t>(above)];
      if (compiled.points()[run.from].kind == PointKind::converter) {
        above = -1;
        break;
      }
      above = leads_to[run.from];
    }
    parents[i] = above < 0 ? parent : -1;
  }
  return parents;
}

int pieces_of(const Run& run) {
  const int poles = run.return_path == ReturnPath::own ? 2 : 1;
  return poles * std::max(run.parallel, 1);
}

double metal_kg(const Run& run, const Conductor& out, const Conductor& back) {
  const double there = out.mass_kg_per_m * run.length_m;
  const double home = run.return_path == ReturnPath::own
                          ? back.mass_kg_per_m * run.return_length_m.value_or(run.length_m)
                          : 0.0;
  return (there + home) * std::max(run.parallel, 1);
}

double cost_of(const System& system, const Run& run, const ConductorSize& out,
               const ConductorSize& back) {
  const auto per_m = [&](const ConductorSize& size) {
    for (const Price& price : system.prices) {
      if (price.size == size) return price.per_m;
    }
    return 0.0;
  };
  const double home = run.return_path == ReturnPath::own
                          ? per_m(back) * run.return_length_m.value_or(run.length_m)
                          : 0.0;
  return (per_m(out) * run.length_m + home) * std::max(run.parallel, 1);
}

}  // namespace nightbus::wiring_detail
