/// The one word of a plan. It is taken from what was found, never stored.

#include <algorithm>

#include "nightbus/scenario.hpp"

namespace nightbus {

PlanVerdict Plan::verdict() const {
  const bool unsolved =
      std::any_of(cases.begin(), cases.end(), [](const CaseResult& each) { return !each.ok(); });
  const Severity severity = worst(findings);
  if (severity == Severity::danger || unsolved || cases.empty()) {
    return PlanVerdict::danger;
  }
  const bool care = severity == Severity::warning || !wiring.feasible;
  return care ? PlanVerdict::care : PlanVerdict::good;
}

std::size_t Plan::count(Severity severity) const {
  return static_cast<std::size_t>(
      std::count_if(findings.begin(), findings.end(),
                    [&](const Finding& each) { return each.severity == severity; }));
}

std::string_view verdict_name(PlanVerdict verdict) {
  switch (verdict) {
    case PlanVerdict::good:
      return "good";
    case PlanVerdict::care:
      return "care";
    case PlanVerdict::danger:
      return "danger";
  }
  return "";
}

std::string_view verdict_sentence(PlanVerdict verdict) {
  switch (verdict) {
    case PlanVerdict::good:
      return "No danger and no warning was found. That is not an approval: read the cautions and "
             "have it checked.";
    case PlanVerdict::care:
      return "No danger was found, but there are warnings: read each of them before building.";
    case PlanVerdict::danger:
      return "Do not build or run this as it stands: there is at least one danger.";
  }
  return "";
}

}  // namespace nightbus
