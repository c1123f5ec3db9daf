#include <algorithm>
#include <string>
#include <utility>

#include "nightbus/wiring.hpp"

namespace nightbus {

std::optional<double> Verdict::use() const {
  if (!value || !limit) return std::nullopt;
  if (at_least) return *value > 0.0 ? std::optional<double>(*limit / *value) : std::nullopt;
  return *limit > 0.0 ? std::optional<double>(*value / *limit) : std::nullopt;
}

Finding to_finding(const Verdict& verdict, const std::string& subject_kind,
                   const std::string& subject, const Span& where) {
  Finding finding = make_finding(verdict.code, subject_kind, subject);
  finding.severity = verdict.passed ? Severity::passed : verdict.severity;
  finding.value = verdict.value;
  finding.limit = verdict.limit;
  finding.dimension = verdict.dimension;
  finding.case_name = verdict.case_name;
  finding.rule = verdict.rule;
  finding.detail = as_sentence(verdict.detail);
  finding.where = where;
  return finding;
}

const Candidate* RunPlan::choice() const {
  return chosen < candidates.size() ? &candidates[chosen] : nullptr;
}

const RunPlan& WiringPlan::run(std::string_view name) const {
  std::vector<std::string> names;
  for (const RunPlan& each : runs) {
    if (each.run == name) return each;
    names.push_back(each.run);
  }
  std::string message = "there is no run called \"" + std::string(name) + "\"";
  const auto near = near_misses(name, names);
  if (!near.empty()) message += "; did you mean \"" + near.front() + "\"?";
  throw LookupError(message);
}

std::vector<RunChoice> WiringPlan::choices() const {
  std::vector<RunChoice> all;
  for (const RunPlan& run : runs) {
    RunChoice choice;
    choice.size = run.size;
    choice.return_size = run.return_size;
    if (run.device) {
      choice.fuse_form = run.device->form;
      choice.fuse_a = run.device->rating_a;
    }
    all.push_back(std::move(choice));
  }
  return all;
}

System wired_system(const System& system, const WiringPlan& plan) {
  System wired = system;
  for (const RunPlan& chosen : plan.runs) {
    Run& run = wired.runs[chosen.index];
    run.size = chosen.size;
    if (chosen.return_size) run.return_size = chosen.return_size;
    if (chosen.device) {
      run.fuse_form = chosen.device->form;
      run.fuse_a = chosen.device->rating_a;
    }
  }
  return wired;
}

std::string_view change_kind_name(ChangeKind kind) {
  switch (kind) {
    case ChangeKind::choose_anew:
      return "choose anew";
    case ChangeKind::other_form:
      return "other form";
    case ChangeKind::nearer_device:
      return "nearer device";
    case ChangeKind::sheath:
      return "sheath";
    case ChangeKind::allow_size:
      return "allow size";
    case ChangeKind::shorten:
      return "shorten";
    case ChangeKind::insulation:
      return "insulation";
    case ChangeKind::unbundle:
      return "unbundle";
    case ChangeKind::double_up:
      return "double up";
    case ChangeKind::split:
      return "split";
    case ChangeKind::cooler:
      return "cooler";
    case ChangeKind::lower_load:
      return "lower load";
    case ChangeKind::raise_voltage:
      return "raise voltage";
  }
  return "";
}

}  // namespace nightbus
