/// From the final choice to the plan that is handed out: runs, ends, one size more, findings.

#include <algorithm>
#include <cmath>
#include <set>
#include <utility>

#include "wiring/choose.hpp"

namespace nightbus::wiring_detail {

namespace {

/// The check that rules out the next size down: what the run's size is owed to.
void fill_governing(RunPlan& run, const std::vector<Choosable>& candidates, std::size_t chosen) {
  if (run.size_given) {
    run.governing_code = "given";
    return;
  }
  if (chosen == 0) {
    run.governing_code = "thinnest";
    return;
  }
  const Candidate& thinner = candidates[chosen - 1].candidate;
  if (const Verdict* first = thinner.first_failure()) {
    run.governing_code = first->code;
    run.governing_case = first->case_name;
    run.governing_rule = first->rule;
    return;
  }
  run.governing_code = "drop";
}

void fill_need(RunPlan& run, const RunContext& context, const Choosable& chosen) {
  DeviceNeed& need = run.need;
  need.interrupt_v = context.highest_v;
  need.switch_v = context.highest_v;
  need.holder_a = context.design_a;
  need.at_far_end = context.device_at_far_end;
  const double device_ohm = chosen.candidate.device ? chosen.candidate.device->resistance_ohm : 0.0;
  if (context.fault == FaultSource::battery) {
    if (context.highest_source_ohm > 0.0) {
      need.prospective_a = context.highest_emf_v / context.highest_source_ohm;
    }
    const double hot = context.catalogue->material("copper").resistance_ratio(context.insulation_c);
    const double loop =
        context.lowest_source_ohm + context.lowest_far_ohm + device_ohm +
        hot * (chosen.option.positive.conductor_20c_ohm + chosen.option.negative.conductor_20c_ohm);
    if (loop > 0.0) need.least_fault_a = context.lowest_emf_v / loop;
  } else if (context.fault == FaultSource::limited) {
    need.prospective_a = need.least_fault_a = context.limited_a;
  }
  need.interrupt_a = need.prospective_a;
  for (const RuleSet* rules : context.rules) {
    if (const auto limit = rules->placement(context.source, context.run->sheathed)) {
      need.within_m = need.within_m ? std::min(*need.within_m, limit->value) : limit->value;
    }
    if (context.cold_cranking_a) {
      const auto tier =
          rules->interrupt_minimum(*context.cold_cranking_a, context.source == SourceKind::battery);
      if (tier) need.interrupt_a = std::max(need.interrupt_a, tier->value);
    }
  }
}

void fill_operation(RunPlan& run, const Solved& solved, std::size_t index) {
  double worst_drop = -1.0;
  for (const CaseResult& result : solved.results) {
    if (!result.readable()) continue;
    const RunResult& found = result.runs[index];
    run.conductor_c = std::max(run.conductor_c, found.conductor_c);
    if (found.drop_v > worst_drop) {
      worst_drop = found.drop_v;
      run.drop_v = found.drop_v;
      run.loss_w = found.loss_w;
    }
  }
}

EndVolts end_of(const Solved& solved, const char* kind, const std::string& name,
                DropClass drop_class, double nominal_v, const std::optional<Range>& window,
                std::optional<double> off_v, const auto& get) {
  const Rules& rules = solved.compiled.system().rules;
  EndVolts end;
  end.kind = kind;
  end.name = name;
  end.drop_class = drop_class;
  end.nominal_v = nominal_v;
  end.limit_ratio = drop_class == DropClass::critical ? rules.drop_critical : rules.drop_general;
  if (window) end.window_low_v = window->low;
  if (off_v) end.window_low_v = std::max(end.window_low_v.value_or(0.0), *off_v);
  bool first = true;
  for (const CaseResult& result : solved.results) {
    if (!result.readable()) continue;
    const auto [voltage_v, drop_v, drop_ratio] = get(result);
    // While something charges, chargers hold the volts up and the way from a charger is no supply
    // to speak of: drop counts where the bank feeds the device, the window counts always.
    if (!result.inputs.charging && (end.drop_case.empty() || drop_ratio > end.drop_ratio)) {
      end.drop_v = drop_v;
      end.drop_ratio = drop_ratio;
      end.drop_case = result.name;
    }
    if (first || voltage_v < end.lowest_v) {
      end.lowest_v = voltage_v;
      end.lowest_case = result.name;
    }
    first = false;
  }
  end.passed = end.drop_ratio <= end.limit_ratio * (1.0 + 1e-9) &&
               (!end.window_low_v || end.lowest_v >= *end.window_low_v);
  return end;
}

}  // namespace

std::vector<EndVolts> ends_of(const Solved& solved) {
  const System& system = solved.compiled.system();
  std::vector<EndVolts> ends;
  const auto nominal = [&](PointKind kind, std::size_t k) {
    const int domain = solved.compiled.point_of(kind, k).domain;
    return domain < 0 ? 0.0 : solved.compiled.domains()[static_cast<std::size_t>(domain)].nominal_v;
  };
  for (std::size_t k = 0; k < system.loads.size(); ++k) {
    const Load& load = system.loads[k];
    ends.push_back(end_of(solved, "load", load.name, load.drop_class, nominal(PointKind::load, k),
                          load.window_v, load.off_v, [k](const CaseResult& result) {
                            const LoadResult& found = result.loads[k];
                            return std::tuple(found.voltage_v, found.drop_v, found.drop_ratio);
                          }));
  }
  for (std::size_t k = 0; k < system.fans.size(); ++k) {
    const Fan& fan = system.fans[k];
    ends.push_back(end_of(solved, "fan", fan.name, fan.drop_class, nominal(PointKind::fan, k),
                          fan.window_v, {}, [k](const CaseResult& result) {
                            const LoadResult& found = result.fans[k];
                            return std::tuple(found.voltage_v, found.drop_v, found.drop_ratio);
                          }));
  }
  for (std::size_t k = 0; k < system.converters.size(); ++k) {
    const Converter& converter = system.converters[k];
    ends.push_back(end_of(solved, "converter", converter.name, converter.drop_class,
                          nominal(PointKind::converter, k), converter.window_v, converter.off_v,
                          [k](const CaseResult& result) {
                            const ConverterResult& found = result.converters[k];
                            return std::tuple(found.input_v, found.drop_v, found.drop_ratio);
                          }));
  }
  for (std::size_t k = 0; k < system.poe_links.size(); ++k) {
    const PoeLink& link = system.poe_links[k];
    EndVolts end =
        end_of(solved, "PoE link", link.name, DropClass::general, nominal(PointKind::poe_link, k),
               link.window_v, {}, [k](const CaseResult& result) {
                 const LoadResult& found = result.poe_links[k].device;
                 return std::tuple(found.voltage_v, found.drop_v, found.drop_ratio);
               });
    // Its standard limits the cable by resistance and voltage, not by a share of the port's volts.
    end.limit_ratio = 0.0;
    end.passed = !end.window_low_v || end.lowest_v >= *end.window_low_v;
    ends.push_back(std::move(end));
  }
  return ends;
}

void fill_runs(WiringPlan& plan, const Solved& solved, const std::vector<RunContext>& contexts,
               ChoiceState&& state, bool explain) {
  const System& system = solved.compiled.system();
  const Catalogue& catalogue = solved.compiled.catalogue();
  std::set<std::pair<int, double>> sizes;
  for (std::size_t i = 0; i < system.runs.size(); ++i) {
    const Run& described = system.runs[i];
    const RunContext& context = contexts[i];
    const Choosable& chosen = state.candidates[i][state.chosen[i]];
    RunPlan run;
    run.run = described.name;
    run.index = i;
    run.size_given = described.size.has_value();
    run.spare = described.spare;
    run.feasible = chosen.candidate.feasible();
    run.size = chosen.candidate.size;
    run.return_size = chosen.candidate.return_size;
    run.family = described.family.empty() ? system.rules.sizes : described.family;
    run.area_mm2 = chosen.candidate.area_mm2;
    run.conductors = pieces_of(described);
    run.length_m = described.length_m;
    run.return_length_m = described.return_path == ReturnPath::own
                              ? described.return_length_m.value_or(described.length_m)
                              : 0.0;
    run.metal_kg = chosen.candidate.metal_kg;
    run.cost = chosen.candidate.cost;
    run.current_a = context.design_a;
    if (!context.cases.empty()) run.current_case = context.cases[context.design_case].name;
    const ConductorJudgement judged =
        judge_conductor(context, conductor_for(system, catalogue, described, run.size), nullptr);
    run.ampacity_a = judged.ampacity_a;
    run.ampacity_rule = chosen.ampacity_rule;
    run.device = chosen.candidate.device;
    fill_operation(run, solved, i);
    fill_need(run, context, chosen);
    fill_governing(run, state.candidates[i], state.chosen[i]);
    plan.metal_kg += run.metal_kg;
    plan.cost += run.cost;
    plan.feasible = plan.feasible && run.feasible;
    sizes.emplace(static_cast<int>(run.size.system), run.size.number);
    run.chosen = state.chosen[i];
    if (explain) {
      for (Choosable& each : state.candidates[i]) {
        run.candidates.push_back(std::move(each.candidate));
      }
    }
    plan.runs.push_back(std::move(run));
  }
  plan.distinct_sizes = static_cast<int>(sizes.size());
  for (const EndVolts& end : plan.ends) {
    // A device below its window because the bank itself is low is told by its own finding.
    if (end.limit_ratio > 0.0 && end.drop_ratio > end.limit_ratio * (1.0 + 1e-9)) {
      plan.feasible = false;
    }
  }
}

void fill_findings(WiringPlan& plan, const System& system) {
  for (const RunPlan& run : plan.runs) {
    const Span& where = system.runs[run.index].written.where;
    const Candidate* choice = run.choice();
    if (!choice) continue;
    for (const Verdict& verdict : choice->checks) {
      plan.findings.push_back(to_finding(verdict, "run", run.run, where));
    }
    if (!run.feasible && !run.size_given && run.candidates.size() > 1) {
      Finding finding = make_finding("no-size-fits", "run", run.run);
      finding.where = where;
      if (const Verdict* first = choice->first_failure()) {
        finding.rule = first->rule;
        finding.detail = as_sentence("Even the thickest fails: " + first->detail);
      }
      plan.findings.push_back(std::move(finding));
    }
  }
  for (const EndVolts& end : plan.ends) {
    if (end.limit_ratio <= 0.0) continue;
    Finding finding = make_finding("drop", end.kind, end.name);
    if (end.drop_ratio <= end.limit_ratio * (1.0 + 1e-9)) finding.severity = Severity::passed;
    finding.value = end.drop_ratio;
    finding.limit = end.limit_ratio;
    finding.dimension = Dimension::ratio;
    finding.case_name = end.drop_case;
    finding.rule = end.drop_class == DropClass::critical ? "drop_critical of the rules section"
                                                         : "drop_general of the rules section";
    plan.findings.push_back(std::move(finding));
  }
}

void fill_size_ups(WiringPlan& plan, const Solved& solved, const ChoiceState& state) {
  const System& system = solved.compiled.system();
  const std::vector<EndVolts> before = ends_of(solved);
  for (std::size_t i = 0; i < system.runs.size(); ++i) {
    const std::size_t k = state.chosen[i];
    if (system.runs[i].size || system.runs[i].spare || k + 1 >= state.candidates[i].size()) {
      continue;
    }
    const Candidate& now = state.candidates[i][k].candidate;
    const Candidate& up = state.candidates[i][k + 1].candidate;
    if (!up.feasible()) continue;
    std::vector<RunChoice> choices = solved.compiled.choices();
    choices[i].size = up.size;
    const CompiledSystem thicker = solved.compiled.with_choices(std::move(choices));
    Workspace workspace(thicker.circuit());
    Solved other{thicker, solved.inputs, {}};
    for (const CaseInputs& inputs : solved.inputs) {
      other.results.push_back(solve_inputs(thicker, inputs, workspace));
    }
    SizeUp entry;
    entry.run = system.runs[i].name;
    entry.from = now.size;
    entry.to = up.size;
    entry.more_kg = up.metal_kg - now.metal_kg;
    entry.more_cost = up.cost - now.cost;
    const std::vector<EndVolts> after = ends_of(other);
    for (std::size_t e = 0; e < before.size(); ++e) {
      const double gain = before[e].drop_v - after[e].drop_v;
      if (gain > entry.drop_gain_v) {
        entry.drop_gain_v = gain;
        entry.device = before[e].name;
      }
    }
    for (std::size_t c = 0; c < solved.results.size(); ++c) {
      if (!solved.results[c].readable() || !other.results[c].readable()) continue;
      entry.saved_w = std::max(entry.saved_w,
                               solved.results[c].balance.loss_w - other.results[c].balance.loss_w);
    }
    plan.size_ups.push_back(std::move(entry));
  }
}

}  // namespace nightbus::wiring_detail
