#pragma once
/// One function per kind of table that a rule set may hold.

#include "catalogue/owner.hpp"
#include "catalogue/rule_data.hpp"

namespace nightbus::catalogue_detail {

void read_ampacity(Table& table, Owner& owner, RuleSet::Data& rules);
void read_ambient(Table& table, Owner& owner, RuleSet::Data& rules);
void read_ambient_formula(Table& table, Owner& owner, RuleSet::Data& rules);
void read_grouping(Table& table, Owner& owner, RuleSet::Data& rules);
void read_terminals(Table& table, Owner& owner, RuleSet::Data& rules);

void read_ceiling(Table& table, Owner& owner, RuleSet::Data& rules);
void read_ceiling_by_size(Table& table, Owner& owner, RuleSet::Data& rules);
void read_small_conductors(Table& table, Owner& owner, RuleSet::Data& rules);
void read_standard_ratings(Table& table, Owner& owner, RuleSet::Data& rules);
void read_placement(Table& table, Owner& owner, RuleSet::Data& rules);
void read_interrupt(Table& table, Owner& owner, RuleSet::Data& rules);
void read_drop(Table& table, Owner& owner, RuleSet::Data& rules);
void read_minimum_size(Table& table, Owner& owner, RuleSet::Data& rules);
void read_rule_guides(Table& table, Owner& owner, RuleSet::Data& rules);
void read_rule_evidence(Table& table, Owner& owner, RuleSet::Data& rules);

}  // namespace nightbus::catalogue_detail
