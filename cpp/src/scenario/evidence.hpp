#pragma once
/// Private: what the plan rests on, in words.

#include "nightbus/scenario.hpp"

namespace nightbus::scenario_detail {

std::vector<std::string> cautions_for(const System& system, const Catalogue& catalogue);
std::vector<std::string> not_modelled();
std::vector<Assumption> assumptions_of(const System& system);
std::vector<RuleUse> rules_of(const System& system, const Catalogue& catalogue);
/// Adds the tables that a finding or a rejected size cites and that are not among the rules yet.
void add_cited_rules(const Catalogue& catalogue, Plan& plan);

}  // namespace nightbus::scenario_detail
