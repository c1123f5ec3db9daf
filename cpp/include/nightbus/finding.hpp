#pragma once
/// A finding is one checked statement, as data. Text is made from it last.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "nightbus/quantity.hpp"
#include "nightbus/source.hpp"

namespace nightbus {

/// Ordered, worst first. `danger`: do not build or run it so. `warning`: works, but outside a rule,
/// a window or good practice. `notice`: an assumption made, or data that is missing and was taken
/// on the safe side. `passed`: a check that holds (kept as evidence).
enum class Severity { danger, warning, notice, passed };
std::string_view severity_name(Severity severity);

/// Every finding the program can make is listed once, with its words. In a template {subject} reads
/// as `run "router feed"`, {value} and {limit} as "18.2 A", {case} as ` in case "night peak"` with
/// its own leading space (nothing when no case governs), {detail} as the caller's words with a
/// leading space.
struct FindingKind {
  std::string_view code;      ///< stable, kebab-case: "ampacity", "interrupt-rating"
  Severity severity;          ///< when the check fails
  std::string_view aspect;    ///< what is checked: "conductor temperature"
  std::string_view title;     ///< "Current above the conductor's ampacity"
  std::string_view sentence;  ///< fmt template over {subject} {value} {limit} {case} {detail}
  std::string_view mend;      ///< default advice, same template fields
  std::string_view help;      ///< two or three sentences for a network engineer: what it means
};

const std::vector<FindingKind>& finding_kinds();
const FindingKind& finding_kind(std::string_view code);  ///< throws LookupError

struct Finding {
  std::string code;  ///< of its FindingKind
  Severity severity = Severity::notice;
  std::string subject_kind;                 ///< "run", "load", "bank", "converter", "site" …
  std::string subject;                      ///< its name in the system file
  std::optional<double> value;              ///< what was found, in the inside unit of `dimension`
  std::optional<double> limit;              ///< what it is held against, likewise
  Dimension dimension = Dimension::number;  ///< of value and limit
  std::string case_name;                    ///< governing case; empty when none
  std::string rule;    ///< "33 CFR 183.425 Table 5, note 1"; "common practice, no source"
  std::string detail;  ///< whole sentences that the kind's own may end with; may be empty
  std::string mend;    ///< overrides the kind's advice when not empty
  Span where;          ///< the subject's line in the system file
};

/// A finding of `code` with the kind's severity; the caller fills in the rest.
Finding make_finding(std::string_view code, std::string_view subject_kind,
                     std::string_view subject);

/// Capital first letter and a full stop at the end, where they are missing.
std::string as_sentence(std::string text);

std::string sentence(const Finding& finding);  ///< what, in one line
std::string advice(const Finding& finding);    ///< what to do about it

/// Worst first, then by code, subject and case; stable.
void order_findings(std::vector<Finding>& findings);

/// The verdict a plan may carry: the worst severity present, `passed` when empty.
Severity worst(const std::vector<Finding>& findings);

}  // namespace nightbus
