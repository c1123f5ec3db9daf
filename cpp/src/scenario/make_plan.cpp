/// The arrows of the header, in order.

#include <algorithm>
#include <chrono>
#include <cmath>

#include "nightbus/reader.hpp"
#include "nightbus/scenario_changes.hpp"
#include "scenario/checks.hpp"
#include "scenario/energy_plan.hpp"
#include "scenario/evidence.hpp"
#include "scenario/heat.hpp"

namespace nightbus {

using namespace scenario_detail;

namespace {

/// Wiring and heat, each given the other. Wiring reckons with air that is rounded up and never
/// falls from one round to the next: hotter air only ever asks for more, so the rounds end, and on
/// the safe side. The first air is that of the thickest conductors, which lose least.
struct Coupled {
  WiringPlan wiring;
  std::vector<CaseHeat> heats;  ///< that the chosen conductors make
  CaseConditions conditions;    ///< that the choice was made for
  int rounds = 0;
  double last_change_k = 0.0;  ///< by which the last round's air exceeds what was reckoned with
  bool settled = false;
};

using Airs = std::vector<CaseAir>;  ///< one for each case

/// Raises `air` to what was found, rounded up to half a kelvin; returns by how much it fell short.
double raise(Airs& air, const std::vector<CaseHeat>& heats) {
  constexpr double grain_k = 0.5;
  double short_by_k = 0.0;
  for (std::size_t c = 0; c < heats.size(); ++c) {
    const CaseAir& found = heats[c].air;
    CaseAir& used = air[c];
    const bool first = used.compartment_c.empty();
    for (std::size_t k = 0; k < found.compartment_c.size(); ++k) {
      const double up = std::ceil(found.compartment_c[k] / grain_k) * grain_k;
      if (first) {
        used.compartment_c.push_back(up);
      } else if (found.compartment_c[k] > used.compartment_c[k]) {
        short_by_k = std::max(short_by_k, found.compartment_c[k] - used.compartment_c[k]);
        used.compartment_c[k] = up;
      }
    }
    used.fan_step.resize(found.fan_step.size());
    for (std::size_t k = 0; k < found.fan_step.size(); ++k) {
      used.fan_step[k] = std::max(used.fan_step[k], found.fan_step[k]);
    }
  }
  return short_by_k;
}

CaseConditions conditions_of(const std::vector<Case>& cases, const Airs& air) {
  CaseConditions conditions;
  for (std::size_t c = 0; c < cases.size(); ++c) {
    conditions.by_case[cases[c].name] = air[c];
  }
  return conditions;
}

std::vector<CaseHeat> settle_all(const CompiledSystem& compiled, const std::vector<Case>& cases,
                                 const HeatModel& model) {
  Workspace workspace(compiled.circuit());
  std::vector<CaseHeat> heats;
  for (const Case& which : cases) {
    heats.push_back(settle_case(compiled, which, model, workspace, {}));
  }
  return heats;
}

Coupled couple(const System& system, const Catalogue& catalogue, const std::vector<Case>& cases,
               const HeatModel& model, const PlanOptions& options) {
  Coupled state;
  CompiledSystem compiled = compile_system(system, catalogue, starting_choices(system, catalogue));
  state.heats = settle_all(compiled, cases, model);
  Airs air(cases.size());
  raise(air, state.heats);
  WiringOptions quick = options.wiring;
  quick.explain = false;
  quick.size_ups = false;
  quick.trade_off_points = 0;
  quick.changes = false;
  quick.most_branches = 1;
  for (state.rounds = 1; state.rounds <= std::max(options.most_rounds, 1); ++state.rounds) {
    // The first choice only tells how much heat there will be; from the second on it may stand.
    const bool may_stand = state.rounds > 1 || system.compartments.empty();
    WiringOptions wiring = may_stand ? options.wiring : quick;
    wiring.conditions = state.conditions = conditions_of(cases, air);
    state.wiring = plan_wiring(system, catalogue, wiring, options.protection);
    compiled = compiled.with_choices(state.wiring.choices());
    state.heats = settle_all(compiled, cases, model);
    state.last_change_k = raise(air, state.heats);
    if (may_stand && state.last_change_k == 0.0) {
      state.settled = true;
      break;
    }
  }
  state.rounds = std::min(state.rounds, std::max(options.most_rounds, 1));
  return state;
}

}  // namespace

Plan make_plan(const System& system, const Catalogue& catalogue, const PlanOptions& options) {
  const auto begin = std::chrono::steady_clock::now();
  std::vector<Problem> problems = check_system(system, catalogue);
  if (!problems.empty()) {
    throw InputError(std::move(problems));
  }
  Plan plan;
  plan.system = system;
  plan.cautions = cautions_for(system, catalogue);
  plan.not_modelled = not_modelled();
  plan.assumptions = assumptions_of(system);
  plan.rules = rules_of(system, catalogue);

  const std::vector<Case> cases = cases_of(system);
  const HeatModel model = heat_model(system);
  Coupled coupled = couple(system, catalogue, cases, model, options);
  plan.wiring = std::move(coupled.wiring);
  plan.wired = wired_system(system, plan.wiring);
  for (std::size_t c = 0; c < cases.size(); ++c) {
    plan.conditions.by_case[cases[c].name] = coupled.heats[c].air;
  }

  const CompiledSystem compiled = compile_system(system, catalogue, plan.wiring.choices());
  plan.points = compiled.points();
  plan.heat = heat_plan(compiled, cases, model, coupled.heats);
  plan.heat.rounds = coupled.rounds;
  plan.heat.last_change_k = coupled.last_change_k;
  plan.heat.settled = coupled.settled;
  for (const Case& each : cases) {
    plan.cases.push_back(solve_case(compiled, each, plan.conditions, options.margins));
  }

  std::vector<Finding>& findings = plan.findings;
  findings = plan.wiring.findings;
  findings.insert(findings.end(), compiled.assumptions().begin(), compiled.assumptions().end());
  const CheckInput in{compiled, system, catalogue, cases, plan.cases, options};
  check_solution(in, findings);
  check_devices(in, findings);
  check_converters(in, findings);
  check_poe(in, findings);
  check_sources(in, findings);
  check_arrays(in, findings);
  check_wiring(in, plan.wiring, findings);
  check_heat(in, plan.heat, findings);
  if (!plan.heat.settled) {
    Finding finding = make_finding("temperature-runaway", "", "");
    finding.value = plan.heat.last_change_k;
    finding.dimension = Dimension::temperature_difference;
    finding.detail = "Sizes and temperatures did not settle together.";
    finding.severity = Severity::warning;
    findings.push_back(std::move(finding));
  }
  if (options.energy) {
    plan.energy = energy_plan(compiled, plan, options, findings);
    check_energy(in, plan.energy, findings);
  }
  if (options.wiring.changes) {
    PlanOptions asked = options;
    asked.wiring.conditions = coupled.conditions;
    plan.wiring.ways = find_changes(system, catalogue, plan.wiring, asked);
    tell_changes(plan);
  }
  order_findings(findings);
  add_cited_rules(catalogue, plan);
  plan.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
  return plan;
}

}  // namespace nightbus
