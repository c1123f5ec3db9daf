/// What each rule set lets a pole carry. Factors are never rounded between steps.

#include <fmt/format.h>

#include <algorithm>

#include "nightbus/wiring_conductor.hpp"

namespace nightbus {

namespace {

AmpacityQuery query_of(const AmpacityAsk& ask) {
  AmpacityQuery query;
  query.size = ask.size;
  query.insulation_c = ask.insulation_c;
  query.installation = ask.installation;
  query.material = ask.material;
  query.area_mm2 = ask.area_mm2;
  query.solar = ask.solar;
  return query;
}

std::string times(const TableValue& factor, std::string_view why) {
  return factor.value == 1.0 ? std::string{} : fmt::format(" × {:.3g} ({})", factor.value, why);
}

}  // namespace

CorrectedAmpacity corrected_ampacity(const RuleSet& rules, const AmpacityAsk& ask) {
  CorrectedAmpacity result;
  result.rules = &rules;
  const auto query = query_of(ask);
  const auto table = rules.ampacity(query);
  if (!table) {
    result.missing = fmt::format("{} has no ampacity for {} with {:.0f} °C insulation",
                                 rules.name(), print_size(ask.size), ask.insulation_c);
    return result;
  }
  result.table = *table;
  const auto ambient = rules.ambient_factor(ask.ambient_c, table->column_c);
  if (!ambient) {
    result.missing =
        fmt::format("{} has no correction for air of {:.0f} °C", rules.name(), ask.ambient_c);
    return result;
  }
  result.ambient = *ambient;
  auto bundle = ask.bundle;
  if (!bundle.size) bundle.size = ask.size;  // some bundle tables differ by size
  const auto grouping = rules.grouping_factor(bundle);
  if (grouping) {
    result.grouping = *grouping;
  } else if (ask.bundle.conductors > 2) {
    result.missing = fmt::format("{} has no factor for {} conductors together", rules.name(),
                                 ask.bundle.conductors);
    return result;
  }
  result.known = true;
  result.corrected_a =
      table->value * result.ambient.value * result.grouping.value * std::max(ask.parallel, 1);
  result.value_a = result.corrected_a;
  result.terminal = rules.terminal_ampacity(query, ask.circuit_a, ask.terminal_c);
  if (result.terminal) {
    result.terminal->value *= std::max(ask.parallel, 1);
    if (result.terminal->value < result.value_a) {
      result.value_a = result.terminal->value;
      result.terminal_governs = true;
    }
  }
  return result;
}

std::vector<CorrectedAmpacity> corrected_ampacities(std::span<const RuleSet* const> rules,
                                                    const AmpacityAsk& ask) {
  std::vector<CorrectedAmpacity> all;
  all.reserve(rules.size());
  for (const RuleSet* set : rules) all.push_back(corrected_ampacity(*set, ask));
  std::stable_sort(all.begin(), all.end(),
                   [](const CorrectedAmpacity& a, const CorrectedAmpacity& b) {
                     if (a.known != b.known) return a.known;
                     return a.known && a.value_a < b.value_a;
                   });
  return all;
}

std::string CorrectedAmpacity::rule() const {
  if (!known) return rules ? rules->name() : std::string{};
  return terminal_governs ? terminal->from.text() : table.from.text();
}

std::string CorrectedAmpacity::breakdown() const {
  if (!known) return missing;
  std::string text = fmt::format("{:.4g} A at {:.0f} °C", table.value, table.column_c);
  text += times(ambient, "air");
  text += times(grouping, "bundle");
  if (terminal_governs) text += fmt::format(", terminals {:.4g} A", terminal->value);
  if (!table.caution.empty()) text += "; " + table.caution;
  return text;
}

}  // namespace nightbus
