/// Checks of one conductor on one run: ampacity by every rule set, terminals, its temperature at
/// load, the least size the rules allow.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "nightbus/wiring_context.hpp"

namespace nightbus::wiring_detail {

namespace {

std::string design_case_name(const RunContext& context) {
  return context.cases.empty() ? std::string{} : context.cases[context.design_case].name;
}

/// Hottest the conductor gets at its design current under this rule set's own table.
Verdict temperature_verdict(const RunContext& context, const Conductor& conductor,
                            const CorrectedAmpacity& ampacity) {
  const double rated_a =
      ampacity.table.value * ampacity.grouping.value * std::max(context.parallel, 1);
  const Material& material = context.catalogue->material(conductor.material);
  const auto reached =
      conductor_temperature_c(context.design_a, context.ambient_c, rated_a, ampacity.table.column_c,
                              ampacity.table.base_ambient_c, material.zero_resistance_k);
  Verdict verdict;
  verdict.code = "conductor-temperature";
  verdict.dimension = Dimension::temperature;
  verdict.value = reached;
  verdict.limit = context.insulation_c;
  verdict.passed = reached && *reached <= context.insulation_c + 1e-6;
  return verdict;
}

/// The current at which temperature_verdict() would be at its limit: conductor_temperature_c()
/// solved for the current.
double current_to_limit_a(const RunContext& context, const Conductor& conductor,
                          const CorrectedAmpacity& ampacity) {
  const double rated_a =
      ampacity.table.value * ampacity.grouping.value * std::max(context.parallel, 1);
  const double z = context.catalogue->material(conductor.material).zero_resistance_k;
  const double room = (context.insulation_c - context.ambient_c) / (z + context.insulation_c);
  const double per_use =
      (ampacity.table.column_c - ampacity.table.base_ambient_c) / (z + ampacity.table.column_c);
  return room > 0.0 && per_use > 0.0 ? rated_a * std::sqrt(room / per_use) : 0.0;
}

/// The run's own way out and back, conductors as hot as their insulation allows, without a device.
double hot_loop_ohm(const RunContext& context, const Conductor& conductor) {
  const Run& run = *context.run;
  const double hot =
      context.catalogue->material(conductor.material).resistance_ratio(context.insulation_c) /
      std::max(context.parallel, 1);
  const Conductor& back =
      run.return_size ? conductor_for(*context.system, *context.catalogue, run, *run.return_size)
                      : conductor;
  double ohm = hot * conductor.resistance_ohm_per_m * run.length_m + context.lowest_far_ohm;
  if (run.return_path == ReturnPath::own) {
    ohm += hot * back.resistance_ohm_per_m * run.return_length_m.value_or(run.length_m);
  } else {
    ohm += run.return_resistance_ohm.value_or(0.0);
  }
  return ohm;
}

/// A charger regulates at its own terminals: what its lead loses, the bank misses. The limit is
/// that of critical loads (common practice, no source).
Verdict charge_drop_verdict(const RunContext& context, double loop_ohm, double limit_v) {
  Verdict verdict;
  verdict.code = "charge-drop";
  verdict.severity = Severity::warning;
  verdict.dimension = Dimension::voltage;
  verdict.value = context.design_a * loop_ohm;
  verdict.limit = limit_v;
  verdict.passed = *verdict.value <= limit_v * (1.0 + 1e-9);
  return verdict;
}

}  // namespace

AmpacityAsk ampacity_ask(const RunContext& context, const Conductor& conductor) {
  AmpacityAsk ask;
  ask.size = conductor.size;
  ask.area_mm2 = conductor.area_mm2;
  ask.material = conductor.material;
  ask.insulation_c = context.insulation_c;
  ask.terminal_c = context.terminal_c;
  ask.installation = context.installation;
  ask.ambient_c = context.ambient_c;
  ask.bundle = context.bundle;
  ask.parallel = context.parallel;
  ask.solar = context.solar;
  ask.circuit_a = context.design_a;
  return ask;
}

ConductorJudgement judge_conductor(const RunContext& context, const Conductor& conductor,
                                   std::vector<Verdict>* verdicts) {
  ConductorJudgement judgement;
  const auto keep = [&](Verdict verdict) {
    if (!verdict.passed && verdict.rejects) judgement.fits = false;
    if (verdicts) verdicts->push_back(std::move(verdict));
  };
  const auto all = corrected_ampacities(context.rules, ampacity_ask(context, conductor));
  const bool any = !all.empty() && all.front().known;
  for (const CorrectedAmpacity& ampacity : all) {
    Verdict verdict;
    verdict.code = ampacity.terminal_governs ? "terminal-limit" : "ampacity";
    verdict.dimension = Dimension::current;
    verdict.value = context.design_a;
    if (ampacity.known) {
      verdict.limit = ampacity.value_a;
      verdict.passed = context.design_a <= ampacity.value_a * (1.0 + 1e-9);
    } else {
      // One silent rule set among others is a notice; where all are silent nothing is proven.
      verdict.code = "no-ampacity";
      verdict.passed = false;
      verdict.rejects = !any;
      verdict.severity = any ? Severity::notice : Severity::danger;
    }
    if (verdicts) {
      verdict.rule = ampacity.rule();
      verdict.detail = ampacity.known ? ampacity.breakdown() : ampacity.missing + ".";
      verdict.case_name = design_case_name(context);
    }
    keep(std::move(verdict));
  }
  if (any) {
    judgement.ampacity_a = all.front().value_a;
    judgement.carries_a =
        std::min(judgement.ampacity_a, current_to_limit_a(context, conductor, all.front()));
    if (verdicts) judgement.ampacity_rule = all.front().rule();
    Verdict verdict = temperature_verdict(context, conductor, all.front());
    if (verdicts) {
      verdict.rule = all.front().table.from.text();
      verdict.detail = fmt::format("air {:.0f} °C", context.ambient_c);
      verdict.case_name = design_case_name(context);
    }
    keep(std::move(verdict));
  }
  if (context.device_at_far_end && !context.run->spare) {
    const double limit_v = context.system->rules.drop_critical * context.nominal_v;
    const double loop_ohm = hot_loop_ohm(context, conductor);
    if (loop_ohm > 0.0) judgement.carries_a = std::min(judgement.carries_a, limit_v / loop_ohm);
    Verdict verdict = charge_drop_verdict(context, loop_ohm, limit_v);
    if (verdicts) {
      verdict.rule = "common practice, no source";
      verdict.case_name = design_case_name(context);
    }
    keep(std::move(verdict));
  }
  judgement.allowed = any;
  for (const RuleSet* rules : context.rules) {
    const bool sheathed = context.run->sheathed || context.installation == Installation::conduit;
    const auto least = rules->minimum_size(sheathed ? "in sheath" : "alone");
    if (!least) continue;
    Verdict verdict;
    verdict.code = "minimum-size";
    verdict.severity = Severity::warning;
    verdict.at_least = true;
    verdict.dimension = Dimension::area;
    verdict.value = conductor.area_mm2;
    verdict.limit = least->area_mm2;
    verdict.passed = conductor.area_mm2 >= least->area_mm2 * (1.0 - 1e-3);
    judgement.allowed = judgement.allowed && verdict.passed;
    if (verdicts) {
      verdict.rule = least->from.text();
      verdict.detail = least->applies_to;
    }
    keep(std::move(verdict));
  }
  return judgement;
}

}  // namespace nightbus::wiring_detail
