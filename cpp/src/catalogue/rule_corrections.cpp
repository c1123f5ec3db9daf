// Ambient and grouping factors. See rule_ampacity.cpp for the formula.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "catalogue/rule_data.hpp"

namespace nightbus {

using namespace catalogue_detail;

namespace {

constexpr double same_temp_k = 1e-9;

double root_factor(double ambient_c, double column_c, double base_c) {
  if (ambient_c >= column_c || column_c <= base_c) return 0.0;
  return std::sqrt((column_c - ambient_c) / (column_c - base_c));
}

/// The formula, cited as the rule set cites it, or as the table's own continuation.
TableValue by_formula(const RuleSet::Data& rules, const AmbientTable* table, double ambient_c,
                      double column_c) {
  const auto& formula = rules.ambient_formula;
  const double base_c = table ? table->base_c : formula->base_c;
  TableValue out{root_factor(ambient_c, column_c, base_c), formula ? formula->from : table->from};
  out.from.row = fmt::format("{:.4g} °C", ambient_c);
  out.from.note = "square-root formula, the table has no such cell";
  out.from.confidence = weaker(out.from.confidence, Confidence::computed);
  return out;
}

TableValue at_base(const Citation& from, double base_c) {
  TableValue out{1.0, from};
  out.from.row = {};
  out.from.note = fmt::format("at or below the table's {} °C", base_c);
  return out;
}

/// Rows are upper edges of bands: the first row at or above the ambient counts.
TableValue by_next_row(const RuleSet::Data& rules, const AmbientTable& table, std::size_t column,
                       double ambient_c) {
  const double column_c = table.columns_c[column];
  const auto row = std::find_if(table.rows.begin(), table.rows.end(), [&](const AmbientRow& entry) {
    return entry.ambient_c >= ambient_c - same_temp_k;
  });
  const double edge_c = row == table.rows.end() ? ambient_c : row->ambient_c;
  if (row != table.rows.end() && row->factors[column]) {
    return {*row->factors[column], row->from};
  }
  if (!table.formula) return {0.0, table.from};
  auto out = by_formula(rules, &table, edge_c, column_c);
  // A factor may not rise with the ambient where the table's rounding and the formula meet.
  for (auto before = table.rows.begin(); before != row; ++before) {
    if (before->factors[column]) out.value = std::min(out.value, *before->factors[column]);
  }
  return out;
}

/// Rows are points; between them the formula, never above a point at a cooler ambient.
TableValue by_points(const RuleSet::Data& rules, const AmbientTable& table, std::size_t column,
                     double ambient_c) {
  if (ambient_c <= table.base_c) return at_base(table.from, table.base_c);
  for (const auto& row : table.rows) {
    if (std::abs(row.ambient_c - ambient_c) <= same_temp_k && row.factors[column]) {
      return {*row.factors[column], row.from};
    }
  }
  auto out = by_formula(rules, &table, ambient_c, table.columns_c[column]);
  for (const auto& row : table.rows) {
    if (row.ambient_c < ambient_c && row.factors[column]) {
      out.value = std::min(out.value, *row.factors[column]);
    }
  }
  return out;
}

}  // namespace

std::optional<TableValue> RuleSet::ambient_factor(double ambient_c, double column_c,
                                                  bool cold_credit) const {
  for (const auto& table : data_->ambients) {
    for (std::size_t column = 0; column < table.columns_c.size(); ++column) {
      if (std::abs(table.columns_c[column] - column_c) > same_temp_k) continue;
      if (ambient_c >= column_c) return by_formula(*data_, &table, ambient_c, column_c);
      auto out = table.next_row ? by_next_row(*data_, table, column, ambient_c)
                                : by_points(*data_, table, column, ambient_c);
      if (out.value > 1.0 && !(cold_credit && table.cold_credit)) {
        out = at_base(out.from, table.base_c);
        out.from.note = "no credit taken for cold";
      }
      return out;
    }
  }
  if (!data_->ambient_formula) return std::nullopt;
  const auto& formula = *data_->ambient_formula;
  if (ambient_c < column_c && ambient_c <= formula.base_c) {
    return at_base(formula.from, formula.base_c);
  }
  return by_formula(*data_, nullptr, ambient_c, column_c);
}

bool RuleSet::gives_cold_credit() const {
  return std::any_of(data_->ambients.begin(), data_->ambients.end(),
                     [](const AmbientTable& table) { return table.cold_credit; });
}

namespace {

/// How closely a grouping table is made for this bundle; nothing when it does not apply.
std::optional<int> fit(const GroupingTable& table, const Bundle& bundle,
                       std::optional<double> area_mm2) {
  if (table.single_layer && !bundle.single_layer) return std::nullopt;
  if (!table.only_for.empty() && std::find(table.only_for.begin(), table.only_for.end(),
                                           bundle.installation) == table.only_for.end()) {
    return std::nullopt;
  }
  // Tables by size: without a size the one for the fewest conductors is met first, by its low end.
  if (area_mm2) {
    if (table.from_area_mm2 && *area_mm2 < *table.from_area_mm2 * 0.999) return std::nullopt;
    if (table.to_area_mm2 && *area_mm2 > *table.to_area_mm2 * 1.001) return std::nullopt;
  } else if (table.to_area_mm2) {
    return std::nullopt;
  }
  return (table.single_layer ? 2 : 0) + (table.only_for.empty() ? 0 : 1);
}

TableValue no_grouping(const GroupingTable& table, std::string note) {
  TableValue out{1.0, table.from};
  out.from.note = std::move(note);
  return out;
}

}  // namespace

std::optional<TableValue> RuleSet::grouping_factor(const Bundle& bundle) const {
  std::optional<double> area;
  if (bundle.size) {
    if (bundle.size->system != SizeSystem::sae) area = nominal_area_mm2(*bundle.size);
  }
  const GroupingTable* best = nullptr;
  int best_fit = -1;
  for (const auto& table : data_->groupings) {
    const auto how = fit(table, bundle, area);
    if (how && *how > best_fit) {
      best = &table;
      best_fit = *how;
    }
  }
  if (!best) return std::nullopt;
  if (best->from_voltage_v && bundle.bus_voltage_v < *best->from_voltage_v) {
    return no_grouping(*best, best->below_note.empty()
                                  ? fmt::format("binds from {} V", *best->from_voltage_v)
                                  : best->below_note);
  }
  if (best->from_length_m && bundle.length_m && *bundle.length_m <= *best->from_length_m) {
    return no_grouping(
        *best, fmt::format("together for no more than {:.0f} mm", *best->from_length_m * 1000.0));
  }
  if (best->clear_diameters && bundle.diameters_apart &&
      *bundle.diameters_apart > *best->clear_diameters) {
    return no_grouping(*best, "spaced clear of each other");
  }
  const int circuits = bundle.circuits.value_or((bundle.conductors + 1) / 2);
  const int count = best->counts_circuits ? circuits : bundle.conductors;
  for (const auto& row : best->rows) {
    if (count <= row.up_to) return TableValue{row.factor, row.from};
  }
  return std::nullopt;
}

}  // namespace nightbus
