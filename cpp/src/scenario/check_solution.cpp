/// Has every case an operating point, and how far is it from having none?

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <set>

#include "scenario/checks.hpp"

namespace nightbus::scenario_detail {

Finding Question::answer(const Span& where, std::string rule, std::string detail) const {
  Finding finding = make_finding(code_, kind_, subject_);
  if (!failed()) {
    finding.severity = Severity::passed;
  }
  finding.value = value_;
  finding.limit = limit_;
  finding.dimension = dimension_;
  finding.case_name = case_name_;
  finding.rule = std::move(rule);
  finding.detail = std::move(detail);
  finding.where = where;
  return finding;
}

namespace {

Finding about_system(std::string_view code, const CaseResult& result) {
  Finding finding = make_finding(code, "", "");
  finding.case_name = result.name;
  return finding;
}

void check_case(const CheckInput& in, const CaseResult& result, std::vector<Finding>& findings) {
  switch (result.status) {
    case SolveStatus::solved:
      break;
    case SolveStatus::collapsed: {
      Finding finding = about_system("collapse", result);
      finding.value = result.collapse_multiplier;
      finding.limit = 1.0;
      findings.push_back(std::move(finding));
      return;
    }
    case SolveStatus::no_consistent_state: {
      Finding finding = about_system("no-consistent-state", result);
      if (!result.loop.empty()) {
        finding.detail = fmt::format("It goes round: {}.", fmt::join(result.loop, ", "));
      }
      findings.push_back(std::move(finding));
      return;
    }
    default: {
      Finding finding = about_system("not-converged", result);
      finding.detail = std::string(status_sentence(result.status));
      findings.push_back(std::move(finding));
      return;
    }
  }
  if (result.margins) {
    Question question("collapse-margin", "", "", Question::Must::reach, Dimension::number);
    question.look(result.margins->collapse_multiplier.value_or(100.0), in.options.collapse_wanted,
                  result.name);
    std::string detail;
    if (!result.margins->collapse_device.empty()) {
      detail = fmt::format("It gives way at \"{}\" first.", result.margins->collapse_device);
    }
    findings.push_back(question.answer({}, {}, std::move(detail)));
  }
}

/// Points that ought to be fed in a case and are not, each once.
void check_dark(const CheckInput& in, std::vector<Finding>& findings) {
  std::set<std::string> told;
  const auto dark = [&](std::string_view kind, const std::string& name, const Written& written,
                        ElementState state, bool on, const CaseResult& result) {
    if (on && state == ElementState::dark && told.insert(name).second) {
      Finding finding = make_finding("node-isolated", kind, name);
      finding.case_name = result.name;
      finding.where = written.where;
      findings.push_back(std::move(finding));
    }
  };
  for (const CaseResult& result : in.results) {
    // Whatever stands behind a thing that is switched off is dark on purpose.
    const bool something_off = !result.inputs.off.empty();
    for (std::size_t k = 0; k < result.loads.size(); ++k) {
      const Load& load = in.system.loads[k];
      dark("load", load.name, load.written, result.loads[k].state,
           result.inputs.loads[k].on && !something_off, result);
    }
    for (std::size_t k = 0; k < result.fans.size(); ++k) {
      const Fan& fan = in.system.fans[k];
      dark("fan", fan.name, fan.written, result.fans[k].state,
           result.inputs.fans[k].on && !something_off, result);
    }
    for (std::size_t k = 0; k < result.converters.size(); ++k) {
      const Converter& converter = in.system.converters[k];
      dark("converter", converter.name, converter.written, result.converters[k].state,
           !something_off, result);
    }
    for (std::size_t k = 0; k < result.poe_links.size(); ++k) {
      const PoeLink& link = in.system.poe_links[k];
      dark("PoE link", link.name, link.written, result.poe_links[k].device.state,
           result.inputs.poe_links[k].on && !something_off, result);
    }
  }
}

}  // namespace

void check_solution(const CheckInput& in, std::vector<Finding>& findings) {
  for (const CaseResult& result : in.results) {
    check_case(in, result, findings);
  }
  check_dark(in, findings);
}

}  // namespace nightbus::scenario_detail
