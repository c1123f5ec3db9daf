/// Conductors and devices together, then what concerns more than one run.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "nightbus/protection.hpp"
#include "nightbus/protection_fuse.hpp"
#include "nightbus/wiring_context.hpp"

namespace nightbus {

namespace {

/// One device above another: the run that leads to `from` of the lower one.
const RunPlan* upstream_of(const WiringPlan& plan, const CompiledSystem& compiled,
                           std::size_t run) {
  const std::vector<int> parents = wiring_detail::parents_of(compiled);
  for (int above = parents[run]; above >= 0; above = parents[static_cast<std::size_t>(above)]) {
    const RunPlan& candidate = plan.runs[static_cast<std::size_t>(above)];
    if (candidate.device) return &candidate;
  }
  return nullptr;
}

void check_selectivity(const Catalogue& catalogue, const WiringPlan& plan,
                       const CompiledSystem& compiled, std::vector<Finding>& findings) {
  std::map<std::string, std::vector<std::string>> doubtful;
  for (const RunPlan& lower : plan.runs) {
    if (!lower.device || lower.need.prospective_a <= 0.0) continue;
    const RunPlan* upper = upstream_of(plan, compiled, lower.index);
    if (!upper) continue;
    const Selective answer =
        selective(catalogue.overcurrent_form(upper->device->form), upper->device->rating_a,
                  catalogue.overcurrent_form(lower.device->form), lower.device->rating_a,
                  lower.need.prospective_a);
    if (answer != Selective::yes) doubtful[upper->run].push_back(lower.run);
  }
  for (const auto& [upper, lower] : doubtful) {
    Finding finding = make_finding("selectivity", "run", upper);
    // It costs light, not safety: a larger upstream device may be the greater harm.
    finding.severity = Severity::notice;
    std::string names;
    for (const std::string& name : lower) names += (names.empty() ? "" : ", ") + name;
    finding.detail = fmt::format("A short right behind the device of {} may open both.", names);
    finding.rule = "published bands and melting figures of the two forms";
    findings.push_back(std::move(finding));
  }
}

void check_buses(const System& system, const WiringPlan& plan, const CompiledSystem& compiled,
                 std::vector<Finding>& findings) {
  for (std::size_t b = 0; b < system.buses.size(); ++b) {
    const Bus& bus = system.buses[b];
    int circuits = 0;
    double through_a = 0.0;
    for (const CaseResult& result : plan.cases) {
      if (!result.readable()) continue;
      double in = 0.0, out = 0.0;
      for (std::size_t i = 0; i < system.runs.size(); ++i) {
        const RunElements& run = compiled.runs()[i];
        if (!run.connected) continue;
        const double current = result.runs[i].current_a;
        if (compiled.points()[run.to].name == bus.name)
          (current > 0 ? in : out) += std::abs(current);
        if (compiled.points()[run.from].name == bus.name) {
          (current > 0 ? out : in) += std::abs(current);
        }
      }
      through_a = std::max(through_a, std::max(in, out));
    }
    for (const Run& run : system.runs) circuits += run.from == bus.name;
    if (bus.rated_a) {
      Finding finding = make_finding("connector", "bus", bus.name);
      finding.value = through_a;
      finding.limit = bus.rated_a;
      finding.dimension = Dimension::current;
      finding.rule = "rating of the bus in the system file";
      finding.where = bus.written.where;
      if (through_a <= *bus.rated_a) finding.severity = Severity::passed;
      findings.push_back(std::move(finding));
    }
    if (bus.ways && circuits > *bus.ways) {
      Finding finding = make_finding("terminal-count", "bus", bus.name);
      finding.value = circuits;
      finding.limit = *bus.ways;
      finding.rule = "places of the bus in the system file";
      finding.where = bus.written.where;
      findings.push_back(std::move(finding));
    }
  }
}

void check_returns(const System& system, const WiringPlan& plan, const CompiledSystem& compiled,
                   std::vector<Finding>& findings) {
  for (const RunPlan& run : plan.runs) {
    const RunElements& elements = compiled.runs()[run.index];
    if (!elements.back || system.runs[run.index].return_path != ReturnPath::own) continue;
    double most = 0.0;
    std::string case_name;
    for (const CaseResult& result : plan.cases) {
      if (!result.readable()) continue;
      const double back = std::abs(result.runs[run.index].return_current_a);
      if (back > most) {
        most = back;
        case_name = result.name;
      }
    }
    if (most <= run.ampacity_a * (1.0 + 1e-9) || run.ampacity_a <= 0.0) continue;
    Finding finding = make_finding("return-shared", "run", run.run);
    finding.value = most;
    finding.limit = run.ampacity_a;
    finding.dimension = Dimension::current;
    finding.case_name = case_name;
    finding.severity = Severity::danger;
    finding.rule = run.ampacity_rule;
    finding.where = system.runs[run.index].written.where;
    findings.push_back(std::move(finding));
  }
}

void check_bank_sides(const System& system, const CompiledSystem& compiled,
                      std::vector<Finding>& findings) {
  for (std::size_t i = 0; i < system.runs.size(); ++i) {
    const PointNodes& from = compiled.points()[compiled.runs()[i].from];
    const bool charger = from.kind == PointKind::charger || from.kind == PointKind::array;
    if (!charger || system.runs[i].overcurrent) continue;
    Finding finding = make_finding("charger-protection", "run", system.runs[i].name);
    finding.where = system.runs[i].written.where;
    finding.rule = "ISO 13297:2020 12.3";
    findings.push_back(std::move(finding));
  }
}

void check_rules_agree(const WiringPlan& plan, std::vector<Finding>& findings) {
  if (plan.rule_sets.size() < 2) return;
  std::size_t differ = 0;
  for (const RunPlan& run : plan.runs) {
    const Candidate* choice = run.choice();
    if (!choice) continue;
    std::optional<double> first;
    for (const Verdict& verdict : choice->checks) {
      if ((verdict.code != "ampacity" && verdict.code != "terminal-limit") || !verdict.limit)
        continue;
      if (first && std::abs(*first - *verdict.limit) > 1e-6) {
        ++differ;
        break;
      }
      first = verdict.limit;
    }
  }
  if (differ == 0) return;
  Finding finding = make_finding("rules-disagree", "system", "");
  finding.value = static_cast<double>(differ);
  finding.detail = differ == 1 ? "On one run." : fmt::format("On {} runs.", differ);
  findings.push_back(std::move(finding));
}

}  // namespace

std::vector<Finding> check_protection(const System& system, const Catalogue& catalogue,
                                      const WiringPlan& plan, const ProtectionOptions&) {
  const CompiledSystem compiled = compile_system(system, catalogue, plan.choices());
  std::vector<Finding> findings;
  check_selectivity(catalogue, plan, compiled, findings);
  check_buses(system, plan, compiled, findings);
  check_returns(system, plan, compiled, findings);
  check_bank_sides(system, compiled, findings);
  check_rules_agree(plan, findings);
  return findings;
}

WiringPlan plan_wiring(const System& system, const Catalogue& catalogue,
                       const WiringOptions& options, const ProtectionOptions& protection) {
  const auto devices = device_rules(system, catalogue, protection);
  WiringPlan plan = choose_wiring(system, catalogue, options, devices.get());
  for (RunPlan& run : plan.runs) {
    if (!run.device || run.need.least_fault_a <= 0.0) continue;
    const OvercurrentForm& form = catalogue.overcurrent_form(run.device->form);
    if (const OpeningBand* band = form.opening_of(run.device->rating_a)) {
      run.need.opens_in_s =
          opening_time_s(*band, run.need.least_fault_a / run.device->rating_a, BandSide::slowest);
    }
  }
  std::vector<Finding> more = check_protection(system, catalogue, plan, protection);
  std::move(more.begin(), more.end(), std::back_inserter(plan.findings));
  order_findings(plan.findings);
  return plan;
}

Candidate check_run(const System& system, const Catalogue& catalogue, const WiringPlan& plan,
                    std::string_view run, const ConductorSize& size,
                    const std::optional<Device>& device, const ProtectionOptions& protection) {
  const RunPlan& planned = plan.run(run);
  std::vector<RunChoice> choices = plan.choices();
  choices[planned.index].size = size;
  choices[planned.index].fuse_form = device ? device->form : std::string{};
  choices[planned.index].fuse_a.reset();
  if (device) choices[planned.index].fuse_a = device->rating_a;
  const CompiledSystem compiled = compile_system(system, catalogue, std::move(choices));
  // The air each case was planned with stands in its results.
  wiring_detail::Solved solved{compiled, {}, {}};
  Workspace workspace(compiled.circuit());
  for (const CaseResult& result : plan.cases) {
    solved.inputs.push_back(result.inputs);
    solved.results.push_back(solve_inputs(compiled, result.inputs, workspace));
  }
  const std::vector<RunContext> contexts = wiring_detail::run_contexts(solved);
  const RunContext& context = contexts[planned.index];
  Candidate candidate = wiring_detail::candidate_of(context, size);
  candidate.device = device;
  const auto devices = device_rules(system, catalogue, protection);
  wiring_detail::judge_candidate(context, devices.get(), candidate);
  return candidate;
}

}  // namespace nightbus
