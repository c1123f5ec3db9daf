#pragma once
/// What the choice knows about every run, gathered from one solved state of the system.

#include <optional>
#include <vector>

#include "nightbus/network_system.hpp"
#include "nightbus/wiring.hpp"
#include "nightbus/wiring_conductor.hpp"

namespace nightbus::wiring_detail {

/// Everything the choice starts from: the cases as numbers, and the results of a choice.
struct Solved {
  CompiledSystem compiled;
  std::vector<CaseInputs> inputs;
  std::vector<CaseResult> results;
};
Solved solve_all(const CompiledSystem& compiled, const std::vector<Case>& cases,
                 const CaseConditions& conditions);

/// One context for each run, faults and currents as the solved state has them.
std::vector<RunContext> run_contexts(const Solved& solved);

/// The run that leads to each run's source end, nearest the source first; -1: none (the source
/// itself, or a loop). Runs from chargers and arrays hang on nothing.
std::vector<int> parents_of(const CompiledSystem& compiled);

/// What the rule sets are asked about a conductor on a run.
AmpacityAsk ampacity_ask(const RunContext& context, const Conductor& conductor);

/// Conductor checks of one size; false when one rejects it. With no list the words are left out.
struct ConductorJudgement {
  bool fits = true;         ///< every check that rejects is passed
  double ampacity_a = 0.0;  ///< strictest rule set, terminals included
  double carries_a = 0.0;   ///< the same, and not hotter than its insulation by its own balance
  bool allowed = true;      ///< whatever the current: data is there, the size is thick enough
  std::string ampacity_rule;
};
ConductorJudgement judge_conductor(const RunContext& context, const Conductor& conductor,
                                   std::vector<Verdict>* verdicts);

/// One size on a run with what it weighs and costs, not yet judged.
Candidate candidate_of(const RunContext& context, const ConductorSize& size);
/// Every check of a candidate with its words, its device as it stands there.
ConductorJudgement judge_candidate(const RunContext& context, const DeviceRules* devices,
                                   Candidate& candidate);

/// Metal of all pieces of a run in kg, and its money by the price table.
double metal_kg(const Run& run, const Conductor& out, const Conductor& back);
double cost_of(const System& system, const Run& run, const ConductorSize& out,
               const ConductorSize& back);
/// Cut pieces: poles with their own conductor × parallel.
int pieces_of(const Run& run);

}  // namespace nightbus::wiring_detail
