/// Defaults that were taken, and the rules that had a say.

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <map>
#include <set>

#include "nightbus/fields.hpp"
#include "scenario/evidence.hpp"

namespace nightbus::scenario_detail {

namespace {

std::string words(bool value) {
  return value ? "true" : "false";
}

template <class List, class Print>
std::string listed(const List& list, Print print) {
  std::vector<std::string> parts;
  for (const auto& one : list) {
    parts.push_back(print(one));
  }
  return parts.empty() ? "none" : fmt::format("{}", fmt::join(parts, ", "));
}

/// A value as an author would write it.
struct Printer {
  const Field& field;
  std::string operator()(std::monostate) const { return "none"; }
  std::string operator()(bool each) const { return words(each); }
  std::string operator()(std::int64_t each) const { return std::to_string(each); }
  std::string operator()(double each) const { return print_quantity(each, field.dimension); }
  std::string operator()(const std::string& each) const { return each.empty() ? "none" : each; }
  std::string operator()(const Range& each) const { return print_range(each, field.dimension); }
  std::string operator()(const ConductorSize& each) const { return print_size(each); }
  std::string operator()(const std::vector<double>& each) const {
    return listed(each, [this](double one) { return print_quantity(one, field.dimension); });
  }
  std::string operator()(const std::vector<std::string>& each) const {
    return listed(each, [](const std::string& one) { return one; });
  }
  std::string operator()(const std::vector<ConductorSize>& each) const {
    return listed(each, [](const ConductorSize& one) { return print_size(one); });
  }
  std::string operator()(const std::vector<EfficiencyPoint>& each) const {
    return listed(each, [](const EfficiencyPoint& one) {
      return fmt::format("{} % at {} % of its rating", 100 * one.efficiency, 100 * one.share);
    });
  }
};

std::string value_text(const Field& field, const FieldValue& value) {
  return std::visit(Printer{field}, value);
}

std::string name_of(const RecordType& type, const void* record) {
  const Field* name = type.find("name");
  if (!name || !type.many) {
    return {};
  }
  const FieldValue value = name->get(record);
  const auto* text = std::get_if<std::string>(&value);
  return text ? *text : std::string();
}

}  // namespace

std::vector<Assumption> assumptions_of(const System& system) {
  // The field table works on records that can be changed; a copy keeps the caller's untouched.
  System copy = system;
  std::vector<Assumption> assumptions;
  for (const RecordType& type : record_types()) {
    for (const Field& field : type.fields) {
      if (!field.assumption) {
        continue;
      }
      Assumption made;
      made.kind = type.key;
      made.key = field.key;
      made.help = field.help;
      bool any = false;
      for (std::size_t k = 0; k < type.count(system); ++k) {
        const void* record = type.at(copy, k);
        if (!is_assumed(type, field, record)) {
          continue;
        }
        any = true;
        made.value = value_text(field, field.get(record));
        const std::string name = name_of(type, record);
        if (!name.empty()) {
          made.names.push_back(name);
        }
      }
      if (any) {
        assumptions.push_back(std::move(made));
      }
    }
  }
  return assumptions;
}

namespace {

std::string line_of(const Pedigree& table) {
  return fmt::format("{}: {} ({})", table.cite(), table.purpose,
                     confidence_words(table.confidence));
}

/// What the findings cite, and the rule against each size that was rejected; with the forms of the
/// devices that it was cited for.
using Cited = std::map<std::string, std::set<std::string>>;

Cited cited_by(const Plan& plan) {
  Cited cited;
  for (const Finding& finding : plan.findings) cited[finding.rule];
  for (const RunPlan& run : plan.wiring.runs) {
    for (const Candidate& candidate : run.candidates) {
      const bool chosen = &candidate == run.choice();
      const Verdict* failed = candidate.first_failure();
      for (const Verdict& check : candidate.checks) {
        if (!chosen && &check != failed) continue;
        auto& forms = cited[check.rule];
        if (candidate.device) forms.insert(candidate.device->form);
      }
    }
  }
  return cited;
}

/// The forms that a table was cited for; null when nothing cites it.
const std::set<std::string>* forms_citing(const Cited& cited, const std::string& cite) {
  // A row follows after a comma; "Table 5" is not "Table 52".
  const auto first = cited.lower_bound(cite);
  const bool found =
      first != cited.end() && (first->first == cite || first->first.starts_with(cite + ","));
  return found ? &first->second : nullptr;
}

}  // namespace

void add_cited_rules(const Catalogue& catalogue, Plan& plan) {
  std::set<std::string> listed;
  for (const RuleUse& rule : plan.rules) {
    listed.insert(rule.citations.begin(), rule.citations.end());
  }
  std::set<std::string> forms;
  for (const OvercurrentForm& form : catalogue.overcurrent_forms()) forms.insert(form.name);
  const Cited cited = cited_by(plan);
  std::set<std::string> of_forms;  // what was cited for a form is of no other table
  // Forms first.
  for (const bool form : {true, false}) {
    for (const TableText& table : catalogue.tables()) {
      const Pedigree& pedigree = *table.pedigree;
      if (pedigree.standard == "common practice, no source") continue;
      if (forms.contains(pedigree.owner) != form) continue;
      const std::string cite = pedigree.cite();
      const std::set<std::string>* citing = forms_citing(cited, cite);
      if (!citing || (form ? !citing->contains(pedigree.owner) : of_forms.contains(cite))) continue;
      if (form) of_forms.insert(cite);
      std::string line = line_of(pedigree);
      if (!listed.insert(line).second) continue;
      const auto own = std::find_if(plan.rules.begin(), plan.rules.end(), [&](const RuleUse& rule) {
        return rule.name == pedigree.owner;
      });
      if (own != plan.rules.end()) {
        own->citations.push_back(std::move(line));
      } else {
        plan.rules.push_back(
            {pedigree.owner, pedigree.purpose, pedigree.limits, {std::move(line)}});
      }
    }
  }
}

std::vector<RuleUse> rules_of(const System& system, const Catalogue& catalogue) {
  std::vector<RuleUse> rules;
  const auto cite = [](const std::vector<PedigreeRef>& tables) {
    std::vector<std::string> lines;
    std::set<std::string> seen;
    for (const PedigreeRef& table : tables) {
      std::string line = line_of(*table);
      if (seen.insert(line).second) {
        lines.push_back(std::move(line));
      }
    }
    return lines;
  };
  for (const std::string& name : system.rules.sets) {
    const RuleSet& set = catalogue.rule_set(name);
    rules.push_back({set.name(), set.purpose(), set.limits(), cite(set.tables())});
  }
  const ConductorFamily& family = catalogue.conductor_family(system.rules.sizes);
  rules.push_back({family.name, family.construction, {}, cite(family.tables)});
  std::set<std::string> chemistries;
  for (const Bank& bank : system.banks) {
    const BatteryChemistry& chemistry = catalogue.chemistry(bank.chemistry);
    if (chemistries.insert(chemistry.name).second) {
      rules.push_back({chemistry.name, chemistry.purpose, {}, cite(chemistry.tables)});
    }
  }
  if (!system.poe_links.empty() && !catalogue.poe_types().empty()) {
    const Citation& from = catalogue.poe_types().front().from;
    rules.push_back({from.pedigree->standard,
                     from.pedigree->purpose,
                     from.pedigree->limits,
                     {from.pedigree->cite()}});
  }
  return rules;
}

}  // namespace nightbus::scenario_detail
