// Tables about devices, distances, drop and least sizes.

#include <fmt/format.h>

#include <algorithm>
#include <limits>

#include "catalogue/rule_readers.hpp"

namespace nightbus::catalogue_detail {

namespace {

constexpr double unbounded = std::numeric_limits<double>::infinity();

}  // namespace

void read_ceiling(Table& table, Owner& owner, RuleSet::Data& rules) {
  if (!owner.claim("ceiling", "the largest device", table)) return;
  const auto from = table.need("from voltage");
  const auto below = table.need("below voltage");
  const auto share = table.need("share");
  const auto next = table.need("next size");
  const auto next_share = table.need("next size share");
  const auto next_up_to = table.need("next size up to");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    CeilingRow out;
    out.from_v = table.number(row, from, Dimension::voltage).value_or(0.0);
    out.below_v = table.number(row, below, Dimension::voltage).value_or(unbounded);
    const auto ratio = table.need_number(row, share, Dimension::ratio);
    const auto allowed = table.yes_no(row, next);
    out.next_share = table.number(row, next_share, Dimension::ratio);
    out.next_up_to_a = table.number(row, next_up_to, Dimension::current);
    if (!ratio || !allowed) continue;
    out.share = *ratio;
    out.next_size = *allowed;
    std::string label;
    if (out.from_v > 0) label = fmt::format("from {} V", out.from_v);
    if (out.below_v < unbounded) label = fmt::format("below {} V", out.below_v);
    out.from = table.cite(row, label);
    rules.ceilings.push_back(std::move(out));
  }
}

void read_ceiling_by_size(Table& table, Owner& owner, RuleSet::Data& rules) {
  const auto size = table.need("size");
  const auto fuse = table.need("fuse");
  const auto breaker = table.need("breaker");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const auto named = table.size(row, size);
    if (!named) continue;
    const auto name = print_size(*named);
    if (!owner.claim("ceiling " + name, "the largest device on " + name, table.where(row, *size))) {
      continue;
    }
    rules.ceilings_by_size.push_back({*named, table.number(row, fuse, Dimension::current),
                                      table.number(row, breaker, Dimension::current),
                                      table.cite(row, name)});
  }
}

void read_small_conductors(Table& table, Owner& owner, RuleSet::Data& rules) {
  const auto material = table.need("material");
  const auto size = table.need("size");
  const auto device = table.need("device");
  const auto continuous = table.need("continuous");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const auto named = table.size(row, size);
    const auto limit = table.need_number(row, device, Dimension::current);
    if (!named || !limit) continue;
    const auto metal = table.text(row, material);
    const auto name = fmt::format("{} {}", print_size(*named), metal);
    if (!owner.claim("small " + name, "the limit of " + name, table.where(row, *size))) continue;
    rules.small_conductors.push_back({metal, *named, *limit,
                                      table.number(row, continuous, Dimension::current),
                                      table.cite(row, name)});
  }
}

void read_standard_ratings(Table& table, Owner& owner, RuleSet::Data& rules) {
  if (!owner.claim("standard ratings", "the list of ratings", table)) return;
  const auto rating = table.need("rating");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    if (const auto value = table.positive(row, rating, Dimension::current)) {
      rules.standard_ratings_a.push_back(*value);
    }
  }
  std::sort(rules.standard_ratings_a.begin(), rules.standard_ratings_a.end());
  rules.standard_ratings_from = table.cite();
}

void read_placement(Table& table, Owner& /*owner*/, RuleSet::Data& rules) {
  const auto distance = table.need("distance");
  const auto sheathed = table.need("sheathed");
  const auto source = table.need("source");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    PlacementLimit out;
    const auto length = table.need_number(row, distance, Dimension::length);
    const auto in_sheath = table.yes_no(row, sheathed);
    const auto word = table.text(row, source);
    if (!length || !in_sheath || !source) continue;
    if (word == "battery") {
      out.source = SourceKind::battery;
    } else if (word == "other") {
      out.source = SourceKind::other;
    } else if (word != "any") {
      table.wrong(row, *source, "unknown source", "\"battery\", \"other\" or \"any\"");
      continue;
    }
    out.distance_m = *length;
    out.sheathed = *in_sheath;
    out.from = table.cite(row, fmt::format("{}{}", *in_sheath ? "in sheath" : "without sheath",
                                           word == "any" ? "" : ", source: " + word));
    rules.placements.push_back(std::move(out));
  }
}

void read_interrupt(Table& table, Owner& owner, RuleSet::Data& rules) {
  if (!owner.claim("interrupt", "the interrupt tiers", table)) return;
  const auto cranking = table.need("up to cranking");
  const auto main = table.need("main");
  const auto branch = table.need("branch");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const auto up_to = table.number(row, cranking, Dimension::current).value_or(unbounded);
    const auto main_a = table.need_number(row, main, Dimension::current);
    const auto branch_a = table.need_number(row, branch, Dimension::current);
    if (!main_a || !branch_a) continue;
    rules.interrupt_tiers.push_back(
        {up_to, *main_a, *branch_a, table.cite(row, fmt::format("up to {} A cranking", up_to))});
  }
  std::sort(rules.interrupt_tiers.begin(), rules.interrupt_tiers.end(),
            [](const InterruptTier& a, const InterruptTier& b) {
              return a.up_to_cranking_a < b.up_to_cranking_a;
            });
}

void read_drop(Table& table, Owner& owner, RuleSet::Data& rules) {
  const auto load_class = table.need("class");
  const auto drop = table.need("drop");
  const auto binding = table.need("binding");
  const auto applies = table.need("applies to");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    DropLimit out;
    out.load_class = table.text(row, load_class);
    const auto ratio = table.need_number(row, drop, Dimension::ratio);
    const auto binds = table.yes_no(row, binding);
    out.applies_to = table.text(row, applies);
    if (out.load_class.empty() || !ratio || !binds) continue;
    if (!owner.claim("drop " + out.load_class, "the drop of class " + out.load_class,
                     table.where(row, *load_class))) {
      continue;
    }
    out.ratio = *ratio;
    out.binding = *binds;
    out.from = table.cite(row, out.load_class);
    rules.drop_limits.push_back(std::move(out));
  }
}

void read_minimum_size(Table& table, Owner& owner, RuleSet::Data& rules) {
  const auto situation = table.need("situation");
  const auto size = table.need("size");
  const auto applies = table.need("applies to");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    MinimumSize out;
    out.situation = table.text(row, situation);
    const auto named = table.size(row, size);
    out.applies_to = table.text(row, applies);
    if (out.situation.empty() || !named) continue;
    const auto area = formula_area_mm2(*named);
    if (!area) {
      table.wrong(row, *size, "a SAE number", "AWG, kcmil or mm²");
      continue;
    }
    if (!owner.claim("least " + out.situation, "the least size \"" + out.situation + "\"",
                     table.where(row, *situation))) {
      continue;
    }
    out.size = *named;
    out.area_mm2 = *area;
    out.from = table.cite(row, out.situation);
    rules.minimum_sizes.push_back(std::move(out));
  }
}

}  // namespace nightbus::catalogue_detail
