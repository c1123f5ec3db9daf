// Ampacity and its corrections, searched in a rule set's tables.
//
//   I = I_table · f_ambient · f_grouping
//   f_ambient = table, else sqrt((Tc - Ta)/(Tc - T0))      Tc insulation, Ta ambient, T0 table's
//   base
//
// Never to the optimistic side: a size between two rows takes the one with less metal, an
// insulation between two columns the cooler column, a method without a table the table of a hotter
// method.

#include <fmt/format.h>

#include <algorithm>

#include "catalogue/owner.hpp"
#include "catalogue/rule_data.hpp"

namespace nightbus {

namespace catalogue_detail {

bool AmpacityTable::serves_method(Installation installation) const {
  return std::find(serves.begin(), serves.end(), installation) != serves.end();
}

namespace {

// Labels of metal area are rounded; a tenth of a percent tells no two trade sizes apart.
constexpr double area_slack = 1.001;
constexpr double same_temp_k = 1e-9;

struct Pick {
  const AmpacityTable* table = nullptr;
  const AmpacityRow* row = nullptr;
  const AmpacityCell* cell = nullptr;

  /// More metal first, then the hotter column.
  bool better_than(const Pick& other) const {
    if (!other.cell) return true;
    if (row->area_mm2 != other.row->area_mm2) return row->area_mm2 > other.row->area_mm2;
    return cell->column_c > other.cell->column_c;
  }
};

const AmpacityCell* hottest_cell(const AmpacityRow& row, double insulation_c) {
  const AmpacityCell* best = nullptr;
  for (const auto& cell : row.cells) {
    if (cell.column_c > insulation_c + same_temp_k) continue;
    if (!best || cell.column_c > best->column_c) best = &cell;
  }
  return best;
}

/// True when a conductor of this area may go by the row's own name. Aircraft and vehicle wire of
/// one number differ in metal; without a stated area the name decides.
bool goes_by_name(const AmpacityRow& row, const ConductorSize& size,
                  std::optional<double> stated_area_mm2) {
  return row.size == size && (!stated_area_mm2 || *stated_area_mm2 * area_slack >= row.area_mm2);
}

/// Best cell among the tables of one method; by name, or by area.
Pick pick(const std::vector<AmpacityTable>& tables, const AmpacityQuery& query,
          std::optional<double> area_mm2, Installation method, bool by_name) {
  Pick best;
  for (const auto& table : tables) {
    if (!table.serves_method(method) || table.material != query.material) continue;
    if (table.solar && !query.solar) continue;
    for (const auto& row : table.rows) {
      const bool fits = by_name ? goes_by_name(row, query.size, query.area_mm2)
                                : area_mm2 && row.area_mm2 <= *area_mm2 * area_slack;
      if (!fits) continue;
      const Pick candidate{&table, &row, hottest_cell(row, query.insulation_c)};
      if (candidate.cell && candidate.better_than(best)) best = candidate;
    }
  }
  return best;
}

void add_note(std::string& note, std::string_view words) {
  if (!note.empty()) note += "; ";
  note += words;
}

}  // namespace

}  // namespace catalogue_detail

using namespace catalogue_detail;

namespace {

Installation hotter(Installation installation) {
  return static_cast<Installation>(static_cast<int>(installation) + 1);
}

}  // namespace

std::optional<Ampacity> RuleSet::ampacity(const AmpacityQuery& query) const {
  const auto area = query.area_mm2 ? query.area_mm2 : formula_area_mm2(query.size);
  for (auto method = query.installation;; method = hotter(method)) {
    auto found = pick(data_->ampacities, query, area, method, true);
    const bool by_name = found.cell != nullptr;
    if (!by_name) found = pick(data_->ampacities, query, area, method, false);
    if (found.cell) {
      Ampacity out;
      out.value = found.cell->value_a;
      out.column_c = found.cell->column_c;
      out.base_ambient_c = found.table->base_ambient_c;
      out.installation = method;
      out.from = found.row->from;
      const auto& cautious = found.table->caution_for;
      if (std::find(cautious.begin(), cautious.end(), query.installation) != cautious.end()) {
        out.caution = found.table->caution;
      }
      if (!by_name) {
        add_note(out.from.note, fmt::format("largest listed size of no more metal than {}",
                                            print_size(query.size)));
      }
      if (out.column_c < query.insulation_c - same_temp_k) {
        add_note(out.from.note, fmt::format("{} °C column", out.column_c));
      }
      if (method != query.installation) {
        add_note(out.from.note,
                 fmt::format("table for {} taken, none for {}", installation_name(method),
                             installation_name(query.installation)));
      }
      return out;
    }
    if (method == Installation::insulation) return std::nullopt;
  }
}

std::optional<Ampacity> RuleSet::ampacity(const ConductorSize& size, double insulation_c,
                                          Installation installation) const {
  AmpacityQuery query;
  query.size = size;
  query.insulation_c = insulation_c;
  query.installation = installation;
  return ampacity(query);
}

std::optional<ConductorSize> RuleSet::Data::listed_as(const ConductorSize& size,
                                                      std::optional<double> stated_area_mm2) const {
  const auto area = stated_area_mm2 ? stated_area_mm2 : formula_area_mm2(size);
  const AmpacityRow* best = nullptr;
  for (const auto& table : ampacities) {
    for (const auto& row : table.rows) {
      if (goes_by_name(row, size, stated_area_mm2)) return size;
      if (!area || row.area_mm2 > *area * area_slack) continue;
      if (!best || row.area_mm2 > best->area_mm2) best = &row;
    }
  }
  return best ? std::optional(best->size) : std::nullopt;
}

std::vector<ConductorSize> RuleSet::listed_sizes(std::string_view material) const {
  std::vector<const AmpacityRow*> rows;
  for (const auto& table : data_->ampacities) {
    if (table.material != material) continue;
    for (const auto& row : table.rows) {
      const bool known = std::any_of(rows.begin(), rows.end(), [&](const AmpacityRow* other) {
        return other->size == row.size;
      });
      if (!known) rows.push_back(&row);
    }
  }
  std::stable_sort(rows.begin(), rows.end(), [](const AmpacityRow* a, const AmpacityRow* b) {
    return a->area_mm2 < b->area_mm2;
  });
  std::vector<ConductorSize> out;
  for (const auto* row : rows) out.push_back(row->size);
  return out;
}

std::optional<TableValue> RuleSet::terminal_ampacity(const AmpacityQuery& query, double circuit_a,
                                                     std::optional<double> listed_c) const {
  if (!data_->terminals || data_->terminals->rows.empty()) return std::nullopt;
  const auto& rule = *data_->terminals;
  const auto row = std::find_if(rule.rows.begin(), rule.rows.end(), [&](const TerminalRow& entry) {
    return circuit_a <= entry.up_to_a;
  });
  if (row == rule.rows.end()) return std::nullopt;
  auto capped = query;
  capped.insulation_c = std::min(query.insulation_c, listed_c.value_or(row->column_c));
  capped.installation = rule.installation;
  capped.solar = false;
  const auto limit = ampacity(capped);
  if (!limit) return std::nullopt;
  TableValue out{limit->value, row->from};
  add_note(out.from.note, fmt::format("{} °C column of {}", limit->column_c, limit->from.text()));
  if (listed_c) add_note(out.from.note, fmt::format("terminals marked {} °C", *listed_c));
  return out;
}

}  // namespace nightbus
