// Files of kind "rules": dispatches each table to its reader.

#include <algorithm>
#include <array>

#include "catalogue/rule_readers.hpp"

namespace nightbus::catalogue_detail {

namespace {

struct Reader {
  std::string_view holds;
  void (*read)(Table&, Owner&, RuleSet::Data&);
};

constexpr std::array readers{
    Reader{"ampacity", read_ampacity},
    Reader{"ambient", read_ambient},
    Reader{"ambient formula", read_ambient_formula},
    Reader{"grouping", read_grouping},
    Reader{"terminals", read_terminals},
    Reader{"ceiling", read_ceiling},
    Reader{"ceiling by size", read_ceiling_by_size},
    Reader{"small conductors", read_small_conductors},
    Reader{"standard ratings", read_standard_ratings},
    Reader{"placement", read_placement},
    Reader{"interrupt", read_interrupt},
    Reader{"drop", read_drop},
    Reader{"minimum size", read_minimum_size},
    Reader{"guides", read_rule_guides},
    Reader{"evidence", read_rule_evidence},
};

}  // namespace

void read_rule_guides(Table& table, Owner& owner, RuleSet::Data& rules) {
  read_guides(table, owner, rules.guides);
}

void read_rule_evidence(Table& table, Owner& /*owner*/, RuleSet::Data& /*rules*/) {
  read_evidence(table);
}

void build_rules(Owner& owner, Catalogue::Data& data) {
  auto rules = std::make_shared<RuleSet::Data>();
  rules->name = owner.head.name;
  rules->purpose = owner.head.purpose;
  rules->limits = owner.head.limits;
  rules->aliases = owner.head.record.texts("aliases").value_or(std::vector<std::string>{});
  rules->tables = owner.pedigrees();
  for (auto& table : owner.tables) {
    const auto at = std::find_if(readers.begin(), readers.end(), [&](const Reader& reader) {
      return reader.holds == table.holds();
    });
    if (at == readers.end()) {
      std::vector<std::string> known;
      for (const auto& reader : readers) known.emplace_back(reader.holds);
      unknown_holds(table, known, *owner.problems);
      continue;
    }
    at->read(table, owner, *rules);
    table.finish();
  }
  data.rule_sets.emplace_back(std::move(rules));
}

}  // namespace nightbus::catalogue_detail
