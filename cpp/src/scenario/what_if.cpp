/// What-ifs over threads: each row has its own copy of the system and its own workspace.

#include <algorithm>
#include <atomic>
#include <cmath>
#include <limits>
#include <thread>

#include "nightbus/scenario_batch.hpp"
#include "scenario/heat.hpp"

namespace nightbus {

using namespace scenario_detail;

namespace {

/// Least room of any device to its window, over solved cases.
class Margins {
 public:
  explicit Margins(Outcome& outcome) : outcome_(outcome) {
    outcome_.window_margin_v = std::numeric_limits<double>::infinity();
  }
  void look(const std::string& name, const std::string& case_name,
            const std::optional<double>& above_low_v, const std::optional<double>& below_high_v) {
    for (const auto& room : {above_low_v, below_high_v}) {
      if (room && *room < outcome_.window_margin_v) {
        outcome_.window_margin_v = *room;
        outcome_.window_device = name;
        outcome_.window_case = case_name;
      }
    }
  }

 private:
  Outcome& outcome_;
};

void read_result(const System& system, const CaseResult& result, Margins& margins,
                 Outcome& outcome) {
  const auto drop = [&](double ratio) {
    outcome.highest_drop_ratio = std::max(outcome.highest_drop_ratio, ratio);
  };
  for (std::size_t k = 0; k < result.loads.size(); ++k) {
    const LoadResult& at = result.loads[k];
    if (result.inputs.loads[k].on) {
      margins.look(system.loads[k].name, result.name, at.above_low_v, at.below_high_v);
      drop(at.drop_ratio);
    }
  }
  for (std::size_t k = 0; k < result.fans.size(); ++k) {
    const LoadResult& at = result.fans[k];
    margins.look(system.fans[k].name, result.name, at.above_low_v, at.below_high_v);
    drop(at.drop_ratio);
  }
  for (std::size_t k = 0; k < result.converters.size(); ++k) {
    const ConverterResult& at = result.converters[k];
    margins.look(system.converters[k].name, result.name, at.above_low_v, at.below_high_v);
    drop(at.drop_ratio);
  }
  for (std::size_t k = 0; k < result.poe_links.size(); ++k) {
    const LoadResult& at = result.poe_links[k].device;
    margins.look(system.poe_links[k].name, result.name, at.above_low_v, at.below_high_v);
  }
  for (const RunResult& run : result.runs) {
    outcome.hottest_conductor_c = std::max(outcome.hottest_conductor_c, run.conductor_c);
  }
  if (!result.banks.empty()) {
    outcome.bank_a = std::max(outcome.bank_a, result.banks.front().current_a);
  }
}

/// The case nearest to an ordinary day: typical demand, mild if there is one, nothing charging.
std::optional<std::size_t> ordinary_case(const std::vector<Case>& cases) {
  std::optional<std::size_t> found;
  for (std::size_t k = 0; k < cases.size(); ++k) {
    if (cases[k].demand == Demand::typical && cases[k].bank != BankState::charging &&
        (!found || cases[k].ambient == Ambient::mild)) {
      found = k;
    }
  }
  return found;
}

void finish(const System& system, const std::vector<Case>& cases,
            const std::vector<CaseResult>& results, Outcome& outcome) {
  Margins margins(outcome);
  outcome.solved = !results.empty();
  outcome.hottest_margin_k = std::numeric_limits<double>::infinity();
  for (const CaseResult& result : results) {
    outcome.solved = outcome.solved && result.ok();
    if (result.ok()) {
      read_result(system, result, margins, outcome);
    }
    for (std::size_t k = 0; k < result.inputs.compartment_c.size(); ++k) {
      const double room = system.compartments[k].temp_max_c - result.inputs.compartment_c[k];
      if (room < outcome.hottest_margin_k) {
        outcome.hottest_margin_k = room;
        outcome.hottest_compartment = system.compartments[k].name;
      }
    }
  }
  for (double* value : {&outcome.window_margin_v, &outcome.hottest_margin_k}) {
    if (!std::isfinite(*value)) {
      *value = 0.0;  // nothing states a window, or there is no compartment
    }
  }
  if (const auto ordinary = ordinary_case(cases); ordinary && results[*ordinary].ok()) {
    outcome.typical_w = results[*ordinary].balance.supplied_w;
    outcome.loss_w = results[*ordinary].balance.loss_w;
  }
}

Outcome by_cases(const System& system, const Catalogue& catalogue,
                 const std::vector<RunChoice>& base) {
  Outcome outcome;
  // A what-if may change a size that is given; everything else stays as chosen.
  std::vector<RunChoice> choices = base;
  for (std::size_t k = 0; k < system.runs.size(); ++k) {
    if (system.runs[k].size) {
      choices[k].size = *system.runs[k].size;
    }
    if (system.runs[k].fuse_a) {
      choices[k].fuse_a = system.runs[k].fuse_a;
    }
  }
  const CompiledSystem compiled = compile_system(system, catalogue, std::move(choices));
  const std::vector<Case> cases = cases_of(system);
  const HeatModel model = heat_model(system);
  Workspace workspace(compiled.circuit());
  std::vector<CaseResult> results;
  for (const Case& which : cases) {
    const CaseHeat heat = settle_case(compiled, which, model, workspace, {});
    CaseConditions conditions;
    static_cast<CaseAir&>(conditions) = heat.air;
    results.push_back(solve_inputs(compiled, case_inputs(compiled, which, conditions), workspace));
  }
  finish(system, cases, results, outcome);
  return outcome;
}

Outcome answer(const System& base, const Catalogue& catalogue, const WhatIf& asked,
               const WhatIfOptions& options, const std::vector<RunChoice>& choices) {
  Outcome outcome;
  try {
    System system = base;
    for (const FieldChange& change : asked.changes) {
      set_field(system, change.path, change.value);
    }
    PlanOptions plan = options.plan;
    plan.wiring.size_ups = plan.wiring.changes = false;  // nothing of them is in an outcome
    outcome = options.depth == Depth::plan ? outcome_of(make_plan(system, catalogue, plan))
                                           : by_cases(system, catalogue, choices);
  } catch (const std::exception& error) {
    outcome = {};
    outcome.error = error.what();
  }
  outcome.name = asked.name;
  return outcome;
}

}  // namespace

Outcome outcome_of(const Plan& plan) {
  Outcome outcome;
  finish(plan.system, cases_of(plan.system), plan.cases, outcome);
  outcome.verdict = plan.verdict();
  outcome.dangers = plan.count(Severity::danger);
  outcome.warnings = plan.count(Severity::warning);
  outcome.metal_kg = plan.wiring.metal_kg;
  if (plan.energy.done) {
    outcome.surplus_wh = plan.energy.months[plan.energy.hardest].surplus_wh();
    outcome.charge_sunrise = 1.0;
    for (const MonthPlan& month : plan.energy.months) {
      outcome.night_ah = std::max(outcome.night_ah, month.night_ah);
      outcome.charge_sunrise = std::min(outcome.charge_sunrise, month.charge_sunrise);
    }
  }
  return outcome;
}

std::vector<Outcome> what_if(const System& system, const Catalogue& catalogue,
                             const std::vector<WhatIf>& asked, const WhatIfOptions& options) {
  std::vector<RunChoice> choices = options.choices;
  if (choices.empty() && options.depth == Depth::cases) {
    PlanOptions plan = options.plan;
    plan.energy = plan.margins = false;
    plan.wiring.explain = plan.wiring.size_ups = plan.wiring.changes = false;
    choices = make_plan(system, catalogue, plan).wiring.choices();
  }
  std::vector<Outcome> answers(asked.size());
  std::atomic<std::size_t> next{0};
  const auto work = [&] {
    for (std::size_t k = next++; k < asked.size(); k = next++) {
      answers[k] = answer(system, catalogue, asked[k], options, choices);
    }
  };
  const unsigned wanted = options.threads > 0 ? static_cast<unsigned>(options.threads)
                                              : std::max(1u, std::thread::hardware_concurrency());
  std::vector<std::thread> threads;
  for (std::size_t k = 1; k < std::min<std::size_t>(wanted, asked.size()); ++k) {
    threads.emplace_back(work);
  }
  work();
  for (std::thread& each : threads) {
    each.join();
  }
  return answers;
}

std::vector<WhatIf> scan(std::string_view path, const std::vector<double>& values) {
  std::vector<WhatIf> asked;
  for (const double value : values) {
    WhatIf one;
    one.name = std::string(path);
    one.changes.push_back({std::string(path), value});
    asked.push_back(std::move(one));
  }
  return asked;
}

}  // namespace nightbus
