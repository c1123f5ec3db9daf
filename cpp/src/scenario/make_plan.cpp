/// The arrows of the header, in order.

#include <algorithm>
#include <chrono>
#include <cmath>

#include "nightbus/reader.hpp"
#include "scenario/checks.hpp"
#include "scenario/energy_plan.hpp"
#include "scenario/evidence.hpp"
#include "scenario/heat.hpp"

namespace nightbus {

using namespace scenario_detail;

namespace {

/// Wiring and heat, each given the other, until neither changes.
struct Coupled {
  WiringPlan wiring;
  std::vector<CaseHeat> heats;
  CaseConditions conditions;
  int rounds = 0;
  double last_change_k = 0.0;
  bool settled = false;
};

double largest_change_k(const std::vector<CaseHeat>& before, const std::vector<CaseHeat>& after) {
  double change = 0.0;
  for (std::size_t c = 0; c < after.size(); ++c) {
    const auto& now = after[c].air.compartment_c;
    for (std::size_t k = 0; k < now.size(); ++k) {
      const double was = c < before.size() ? before[c].air.compartment_c[k] : now[k] + 1e3;
      change = std::max(change, std::abs(now[k] - was));
    }
  }
  return change;
}

CaseConditions conditions_of(const std::vector<Case>& cases, const std::vector<CaseHeat>& heats) {
  CaseConditions conditions;
  for (std::size_t c = 0; c < cases.size(); ++c) {
    conditions.by_case[cases[c].name] = heats[c].air;
  }
  return conditions;
}

std::vector<CaseHeat> settle_all(const CompiledSystem& compiled, const std::vector<Case>& cases,
                                 const HeatModel& model, const std::vector<CaseHeat>& before) {
  Workspace workspace(compiled.circuit());
  std::vector<CaseHeat> heats;
  for (std::size_t c = 0; c < cases.size(); ++c) {
    const CaseAir start = c < before.size() ? before[c].air : CaseAir{};
    heats.push_back(settle_case(compiled, cases[c], model, workspace, start));
  }
  return heats;
}

/// The warmer of two states of the air, where sizes swing between two plans.
void keep_warmer(std::vector<CaseHeat>& heats, const std::vector<CaseHeat>& other) {
  for (std::size_t c = 0; c < heats.size(); ++c) {
    for (std::size_t k = 0; k < heats[c].air.compartment_c.size(); ++k) {
      double& air = heats[c].air.compartment_c[k];
      air = std::max(air, other[c].air.compartment_c[k]);
    }
  }
}

Coupled couple(const System& system, const Catalogue& catalogue, const std::vector<Case>& cases,
               const PlanOptions& options) {
  constexpr double settled_k = 0.05;
  Coupled state;
  const HeatModel model = heat_model(system);
  CompiledSystem compiled = compile_system(system, catalogue, starting_choices(system, catalogue));
  state.heats = settle_all(compiled, cases, model, {});
  std::vector<RunChoice> choices;
  WiringOptions quick = options.wiring;
  quick.explain = false;
  quick.size_ups = false;
  quick.trade_off_points = 0;
  quick.changes = false;
  for (state.rounds = 1; state.rounds <= options.most_rounds; ++state.rounds) {
    quick.conditions = conditions_of(cases, state.heats);
    std::vector<RunChoice> next =
        plan_wiring(system, catalogue, quick, options.protection).choices();
    const bool same = next == choices;
    choices = std::move(next);
    compiled = compiled.with_choices(choices);
    std::vector<CaseHeat> heats = settle_all(compiled, cases, model, state.heats);
    state.last_change_k = largest_change_k(state.heats, heats);
    if (!same && state.rounds > options.most_rounds / 2) {
      keep_warmer(heats, state.heats);
    }
    state.heats = std::move(heats);
    if (same && state.last_change_k < settled_k) {
      state.settled = true;
      break;
    }
  }
  state.rounds = std::min(state.rounds, options.most_rounds);
  state.conditions = conditions_of(cases, state.heats);
  WiringOptions full = options.wiring;
  full.conditions = state.conditions;
  state.wiring = plan_wiring(system, catalogue, full, options.protection);
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
  Coupled coupled = couple(system, catalogue, cases, options);
  plan.wiring = std::move(coupled.wiring);
  plan.wired = wired_system(system, plan.wiring);
  plan.conditions = std::move(coupled.conditions);

  const CompiledSystem compiled = compile_system(system, catalogue, plan.wiring.choices());
  plan.points = compiled.points();
  const HeatModel model = heat_model(system);
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
  check_heat(in, plan.heat, findings);
  if (!plan.heat.settled) {
    Finding finding = make_finding("temperature-runaway", "", "");
    finding.value = plan.heat.last_change_k;
    finding.dimension = Dimension::temperature_difference;
    finding.detail = "Sizes and temperatures did not settle together; the warmer air was kept.";
    finding.severity = Severity::warning;
    findings.push_back(std::move(finding));
  }
  if (options.energy) {
    plan.energy = energy_plan(compiled, plan, options, findings);
    check_energy(in, plan.energy, findings);
  }
  order_findings(findings);
  plan.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
  return plan;
}

}  // namespace nightbus
