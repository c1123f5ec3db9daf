/// Which changes are worth a look for which failed checks.

#include <algorithm>
#include <cmath>

#include "nightbus/wiring_context.hpp"
#include "scenario/changes.hpp"

namespace nightbus::changes_detail {

namespace {

/// Checks whose value depends on the whole way from the source: a change of any run on it counts.
bool along_the_way(const std::set<std::string>& codes) {
  return std::any_of(codes.begin(), codes.end(), [](const std::string& code) {
    return code == "drop" || code == "fault-current-low" || code == "case" ||
           code == "interrupt-rating";
  });
}

bool about_length(const std::set<std::string>& codes) {
  return along_the_way(codes) || codes.contains("charge-drop");
}

bool about_heat(const std::set<std::string>& codes) {
  return std::any_of(codes.begin(), codes.end(), [](const std::string& code) {
    return code == "ampacity" || code == "no-ampacity" || code == "terminal-limit" ||
           code == "conductor-temperature" || code.starts_with("fuse-") ||
           code == "no-protection" || code == "no-rating-fits" || code == "let-through";
  });
}

}  // namespace

double Attempt::share(double amount) const {
  const double largest = std::max(std::abs(from), std::abs(amount));
  return largest > 0.0 ? std::min(1.0, std::abs(amount - from) / largest) : 0.0;
}

Failures failures_of(const WiringPlan& plan) {
  Failures failures;
  for (const RunPlan& run : plan.runs) {
    const Candidate* choice = run.choice();
    if (run.feasible || !choice) continue;
    std::set<std::string>& codes = failures[{"run", run.run}];
    for (const Verdict& verdict : choice->checks) {
      if (!verdict.passed && verdict.rejects) codes.insert(verdict.code);
    }
  }
  for (const EndVolts& end : plan.ends) {
    if (end.limit_ratio > 0.0 && end.drop_ratio > end.limit_ratio * (1.0 + 1e-9)) {
      failures[{end.kind, end.name}].insert("drop");
    }
  }
  for (const Finding& finding : plan.findings) {
    if (finding.severity != Severity::danger || finding.subject_kind != "run") continue;
    if (finding.code != "no-size-fits") failures[{"run", finding.subject}].insert(finding.code);
  }
  for (const CaseResult& result : plan.cases) {
    if (!result.readable()) failures[{"case", result.name}].insert("case");
  }
  return failures;
}

std::size_t count(const Failures& failures) {
  std::size_t sum = 0;
  for (const auto& [subject, codes] : failures) sum += std::max<std::size_t>(codes.size(), 1);
  return sum;
}

std::map<Subject, std::vector<std::size_t>> ways_of(const System& system,
                                                    const Catalogue& catalogue,
                                                    const WiringPlan& plan,
                                                    const Failures& failures) {
  const CompiledSystem compiled = compile_system(system, catalogue, plan.choices());
  const std::vector<int> parents = wiring_detail::parents_of(compiled);
  std::map<Subject, std::vector<std::size_t>> ways;
  for (const auto& [subject, codes] : failures) {
    const bool whole_case = codes.contains("case");
    for (std::size_t k = 0; k < system.runs.size(); ++k) {
      const Run& run = system.runs[k];
      const bool ends_here = subject.second == (subject.first == "run" ? run.name : run.to);
      if (whole_case) {
        ways[subject].push_back(k);
      } else if (ends_here && ways[subject].empty()) {
        for (int at = static_cast<int>(k); at >= 0; at = parents[static_cast<std::size_t>(at)]) {
          ways[subject].push_back(static_cast<std::size_t>(at));
        }
      }
    }
  }
  return ways;
}

std::vector<Attempt> attempts_for(const System& system, const Catalogue& catalogue,
                                  const WiringPlan& plan, const Failures& failures) {
  std::vector<Attempt> all;
  std::set<std::size_t> device, route, warm, copper, load;
  bool voltage = false;
  for (const auto& [subject, way] : ways_of(system, catalogue, plan, failures)) {
    const std::set<std::string>& codes = failures.at(subject);
    if (way.empty()) continue;
    copper.insert(way.front());
    load.insert(way.front());
    if (subject.first == "run") device.insert(way.front());
    if (about_heat(codes)) warm.insert(way.front());
    if (about_length(codes)) route.insert(way.front());
    if (along_the_way(codes)) {
      route.insert(way.begin(), way.end());
      copper.insert(way.begin(), way.end());
    }
    voltage = voltage || about_length(codes) || about_heat(codes);
  }
  for (const std::size_t run : device) add_device(system, catalogue, run, plan, all);
  for (const std::size_t run : route) add_route(system, run, all);
  for (const std::size_t run : warm) add_surroundings(system, run, plan, all);
  for (const std::size_t run : copper) add_copper(system, catalogue, run, all);
  for (const std::size_t run : load) add_load(system, run, all);
  if (voltage) add_voltage(system, all);
  // A form is allowed once, whichever run asked for it.
  std::set<std::pair<ChangeKind, std::string>> seen;
  std::erase_if(all, [&](const Attempt& each) {
    return each.kind == ChangeKind::other_form && !seen.emplace(each.kind, each.subject).second;
  });
  return all;
}

}  // namespace nightbus::changes_detail
