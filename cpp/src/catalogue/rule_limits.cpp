// Devices, distances, drop and least sizes of a rule set.

#include <fmt/format.h>

#include <algorithm>

#include "catalogue/rule_data.hpp"

namespace nightbus {

using namespace catalogue_detail;

namespace {

std::optional<double> first_at_least(const std::vector<double>& ratings, double current_a) {
  const auto at = std::lower_bound(ratings.begin(), ratings.end(), current_a);
  return at == ratings.end() ? std::nullopt : std::optional(*at);
}

const SmallConductor* find_small(const RuleSet::Data& rules, const CeilingQuery& query) {
  const auto listed = rules.listed_as(query.size, query.area_mm2);
  for (const auto& entry : rules.small_conductors) {
    if (entry.material == query.material && listed && entry.size == *listed) return &entry;
  }
  return nullptr;
}

/// share · ampacity, or the next standard rating where the row allows it.
TableValue by_row(const CeilingRow& row, const CeilingQuery& query,
                  const std::vector<double>& ratings, bool& next_size_used) {
  TableValue out{row.share * query.ampacity_a, row.from};
  out.from.note = fmt::format("{:.0f} % of {:.4g} A", row.share * 100.0, query.ampacity_a);
  next_size_used = false;
  if (!row.next_size) return out;
  if (row.next_up_to_a && query.ampacity_a > *row.next_up_to_a) return out;
  const auto next = first_at_least(ratings, query.ampacity_a);
  if (!next || *next <= out.value) return out;
  if (row.next_share && *next > *row.next_share * query.ampacity_a) return out;
  out.value = *next;
  out.from.note = fmt::format("next standard size above {:.4g} A", query.ampacity_a);
  next_size_used = true;
  return out;
}

}  // namespace

std::optional<Ceiling> RuleSet::ceiling(const CeilingQuery& query) const {
  Ceiling out;
  const auto& own = data_->standard_ratings_a;
  const auto& ratings = own.empty() ? query.ratings_a : own;
  std::optional<std::size_t> by_ampacity;
  for (const auto& row : data_->ceilings) {
    if (query.bus_voltage_v < row.from_v || query.bus_voltage_v >= row.below_v) continue;
    by_ampacity = out.considered.size();
    out.considered.push_back(by_row(row, query, ratings, out.next_size_used));
    break;
  }
  if (const auto limit = small_conductor_limit(query)) out.considered.push_back(*limit);
  const auto listed = data_->listed_as(query.size, query.area_mm2);
  for (const auto& entry : data_->ceilings_by_size) {
    if (!listed || entry.size != *listed) continue;
    const auto limit = query.breaker ? entry.breaker_a : entry.fuse_a;
    if (limit) out.considered.push_back({*limit, entry.from});
  }
  if (out.considered.empty()) return std::nullopt;
  const auto governing =
      std::min_element(out.considered.begin(), out.considered.end(),
                       [](const TableValue& a, const TableValue& b) { return a.value < b.value; });
  if (governing - out.considered.begin() !=
      static_cast<std::ptrdiff_t>(by_ampacity.value_or(out.considered.size()))) {
    out.next_size_used = false;
  }
  std::rotate(out.considered.begin(), governing, governing + 1);
  out.value = out.considered.front().value;
  out.from = out.considered.front().from;
  return out;
}

std::optional<TableValue> RuleSet::small_conductor_limit(const CeilingQuery& query) const {
  const auto* entry = find_small(*data_, query);
  if (!entry) return std::nullopt;
  return TableValue{entry->device_a, entry->from};
}

std::optional<TableValue> RuleSet::small_conductor_continuous(const CeilingQuery& query) const {
  const auto* entry = find_small(*data_, query);
  if (!entry || !entry->continuous_a) return std::nullopt;
  return TableValue{*entry->continuous_a, entry->from};
}

std::optional<TableValue> RuleSet::next_standard_rating(double current_a) const {
  const auto next = first_at_least(data_->standard_ratings_a, current_a);
  if (!next) return std::nullopt;
  TableValue out{*next, data_->standard_ratings_from};
  out.from.row = fmt::format("{} A", *next);
  return out;
}

std::optional<TableValue> RuleSet::placement(SourceKind source, bool sheathed) const {
  const PlacementLimit* best = nullptr;
  for (const auto& limit : data_->placements) {
    if (limit.sheathed && !sheathed) continue;
    if (limit.source && *limit.source != source) continue;
    if (!best || limit.distance_m > best->distance_m) best = &limit;
  }
  if (!best) return std::nullopt;
  return TableValue{best->distance_m, best->from};
}

std::optional<TableValue> RuleSet::interrupt_minimum(double cranking_a, bool main_device) const {
  for (const auto& tier : data_->interrupt_tiers) {
    if (cranking_a > tier.up_to_cranking_a) continue;
    TableValue out{main_device ? tier.main_a : tier.branch_a, tier.from};
    out.from.note = main_device ? "main device" : "branch device";
    return out;
  }
  return std::nullopt;
}

std::optional<DropLimit> RuleSet::drop_limit(std::string_view load_class) const {
  for (const auto& limit : data_->drop_limits) {
    if (limit.load_class == load_class) return limit;
  }
  return std::nullopt;
}

std::optional<MinimumSize> RuleSet::minimum_size(std::string_view situation) const {
  const MinimumSize* best = nullptr;
  for (const auto& rule : data_->minimum_sizes) {
    if (rule.situation != situation && rule.situation != "any") continue;
    if (!best || rule.area_mm2 > best->area_mm2) best = &rule;
  }
  return best ? std::optional(*best) : std::nullopt;
}

const Guide* RuleSet::guide(std::string_view name) const {
  for (const auto& entry : data_->guides) {
    if (entry.name == name) return &entry;
  }
  return nullptr;
}

const std::string& RuleSet::name() const {
  return data_->name;
}
const std::string& RuleSet::purpose() const {
  return data_->purpose;
}
const std::string& RuleSet::limits() const {
  return data_->limits;
}
const std::vector<std::string>& RuleSet::aliases() const {
  return data_->aliases;
}
const std::vector<PedigreeRef>& RuleSet::tables() const {
  return data_->tables;
}
const std::vector<double>& RuleSet::standard_ratings_a() const {
  return data_->standard_ratings_a;
}
const std::vector<PlacementLimit>& RuleSet::placement_limits() const {
  return data_->placements;
}
const std::vector<InterruptTier>& RuleSet::interrupt_tiers() const {
  return data_->interrupt_tiers;
}
const std::vector<DropLimit>& RuleSet::drop_limits() const {
  return data_->drop_limits;
}
const std::vector<MinimumSize>& RuleSet::minimum_sizes() const {
  return data_->minimum_sizes;
}
const std::vector<Guide>& RuleSet::guides() const {
  return data_->guides;
}

}  // namespace nightbus
