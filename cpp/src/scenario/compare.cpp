/// What changed between two plans: findings that came and went, and the figures people ask for.

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "scenario/compare.hpp"

namespace nightbus {

using namespace scenario_detail;

namespace {

using Key = std::tuple<std::string, std::string, std::string>;

/// The worst finding of one code about one subject; notices and passed checks are left out.
std::map<Key, Finding> serious(const std::vector<Finding>& findings) {
  std::map<Key, Finding> kept;
  for (const Finding& each : findings) {
    if (each.severity == Severity::danger || each.severity == Severity::warning) {
      kept.try_emplace({each.code, each.subject_kind, each.subject}, each);
    }
  }
  return kept;
}

std::vector<FindingChange> finding_changes(const Plan& before, const Plan& after) {
  const auto old = serious(before.findings), now = serious(after.findings);
  std::vector<FindingChange> changes;
  for (const auto& [key, finding] : now) {
    const auto found = old.find(key);
    if (found == old.end()) {
      changes.push_back({ChangeOf::appeared, std::nullopt, finding});
    } else if (found->second.severity != finding.severity || found->second.value != finding.value ||
               found->second.limit != finding.limit) {
      changes.push_back({ChangeOf::changed, found->second, finding});
    }
  }
  for (const auto& [key, finding] : old) {
    if (!now.contains(key)) {
      changes.push_back({ChangeOf::gone, finding, std::nullopt});
    }
  }
  std::stable_sort(
      changes.begin(), changes.end(), [](const FindingChange& a, const FindingChange& b) {
        const auto rank = [](const FindingChange& each) {
          return std::pair(each.what, each.after ? each.after->severity : each.before->severity);
        };
        return rank(a) < rank(b);
      });
  return changes;
}

}  // namespace

Comparison compare(const Plan& before, const Plan& after) {
  Comparison comparison;
  comparison.before = before.verdict();
  comparison.after = after.verdict();
  comparison.findings = finding_changes(before, after);
  const std::vector<Figure> old = figures_of(before), now = figures_of(after);
  std::map<Key, const Figure*> by_key;
  for (const Figure& each : old) {
    by_key.try_emplace({each.kind, each.name, each.figure}, &each);
  }
  const auto made = [](const Figure& each) {
    FigureChange change;
    change.kind = each.kind;
    change.name = each.name;
    change.figure = each.figure;
    change.dimension = each.dimension;
    return change;
  };
  for (const Figure& each : now) {
    const auto found = by_key.find({each.kind, each.name, each.figure});
    const Figure* was = found == by_key.end() ? nullptr : found->second;
    if (was) {
      by_key.erase(found);
      if (was->text == each.text) {
        continue;
      }
    }
    FigureChange change = made(each);
    change.after = each.text;
    change.after_value = each.value;
    if (was) {
      change.before = was->text;
      change.before_value = was->value;
    }
    comparison.figures.push_back(std::move(change));
  }
  for (const Figure& each : old) {
    if (by_key.contains({each.kind, each.name, each.figure})) {
      FigureChange change = made(each);
      change.before = each.text;
      change.before_value = each.value;
      comparison.figures.push_back(std::move(change));
    }
  }
  return comparison;
}

}  // namespace nightbus
