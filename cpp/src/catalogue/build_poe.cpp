// Files of kind "poe": types, classes, cables.

#include <fmt/format.h>

#include <algorithm>

#include "catalogue/owner.hpp"

namespace nightbus::catalogue_detail {

namespace {

std::optional<int> whole(Table& table, std::size_t row, std::optional<std::size_t> column) {
  const auto value = table.need_number(row, column, Dimension::number);
  if (!value) return std::nullopt;
  const auto number = static_cast<int>(*value);
  if (static_cast<double>(number) == *value && number >= 0) return number;
  table.wrong(row, *column, "not a whole number", "0, 1, 2, …");
  return std::nullopt;
}

void read_types(Table& table, Owner& owner, Catalogue::Data& data) {
  const auto number = table.need("type");
  const auto name = table.need("name");
  const auto source = table.need("source power");
  const auto device = table.need("device power");
  const auto source_low = table.need("source low");
  const auto source_high = table.need("source high");
  const auto device_low = table.need("device low");
  const auto device_high = table.need("device high");
  const auto current = table.need("pair set current");
  const auto least = table.need("least pairs");
  const auto most = table.need("most pairs");
  const auto loop = table.need("pair set loop");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const auto which = whole(table, row, number);
    const auto pairs_low = whole(table, row, least);
    const auto pairs_high = whole(table, row, most);
    if (!which || !pairs_low || !pairs_high) continue;
    if (!owner.claim(fmt::format("type {}", *which), fmt::format("type {}", *which),
                     table.where(row, *number))) {
      continue;
    }
    PoeTypeData out;
    const auto value = [&](std::optional<std::size_t> column, Dimension dimension) {
      return table.need_number(row, column, dimension).value_or(0.0);
    };
    out.number = *which;
    out.name = table.text(row, name);
    out.source_w = value(source, Dimension::power);
    out.device_w = value(device, Dimension::power);
    out.source_v = {value(source_low, Dimension::voltage), value(source_high, Dimension::voltage)};
    out.device_v = {value(device_low, Dimension::voltage), value(device_high, Dimension::voltage)};
    out.pair_set_a = value(current, Dimension::current);
    out.pairs_low = *pairs_low;
    out.pairs_high = *pairs_high;
    out.pair_set_loop_ohm = value(loop, Dimension::resistance);
    out.from = table.cite(row, out.name);
    data.poe_types.push_back(std::move(out));
  }
  std::sort(data.poe_types.begin(), data.poe_types.end(),
            [](const PoeTypeData& a, const PoeTypeData& b) { return a.number < b.number; });
}

/// The lowest type with enough power serves a class; two pairs are enough when one pair set carries
/// it at the type's lowest port voltage.
void place_class(PoeClassData& out, const std::vector<PoeTypeData>& types) {
  constexpr double rounding = 1.001;
  for (const auto& type : types) {
    if (type.source_w * rounding < out.source_w) continue;
    out.type = type.number;
    const double one_pair_set_w = type.pair_set_a * type.source_v.low;
    const bool one_is_enough = type.pairs_low == 2 && out.source_w <= one_pair_set_w * rounding;
    out.pairs = one_is_enough ? 2 : type.pairs_high;
    return;
  }
}

void read_classes(Table& table, Owner& owner, Catalogue::Data& data) {
  const auto number = table.need("class");
  const auto source = table.need("source power");
  const auto device = table.need("device power");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const auto which = whole(table, row, number);
    const auto source_w = table.need_number(row, source, Dimension::power);
    const auto device_w = table.need_number(row, device, Dimension::power);
    if (!which || !source_w || !device_w) continue;
    if (!owner.claim(fmt::format("class {}", *which), fmt::format("class {}", *which),
                     table.where(row, *number))) {
      continue;
    }
    PoeClassData out;
    out.number = *which;
    out.source_w = *source_w;
    out.device_w = *device_w;
    out.from = table.cite(row, fmt::format("class {}", *which));
    place_class(out, data.poe_types);
    data.poe_classes.push_back(std::move(out));
  }
}

void read_cables(Table& table, Owner& owner, Catalogue::Data& data) {
  const auto name = table.need("cable");
  const auto area = table.need("area");
  const auto limit = table.need("limit");
  const auto* copper = data.find_material("copper");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    PoeCable out;
    out.name = table.text(row, name);
    const auto mm2 = table.need_number(row, area, Dimension::area);
    const auto ohm = table.number(row, limit, Dimension::resistance_per_length);
    if (out.name.empty() || !mm2 || *mm2 <= 0 || !copper) continue;
    if (!owner.claim("cable " + out.name, "cable " + out.name, table.where(row, *name))) continue;
    out.area_mm2 = *mm2;
    out.ideal_ohm_per_m = copper->resistivity_ohm_mm2_per_m / *mm2;
    out.resistance_ohm_per_m = std::max(out.ideal_ohm_per_m, ohm.value_or(0.0));
    out.from = table.cite(row, out.name);
    data.poe_cables.push_back(std::move(out));
  }
}

}  // namespace

void build_poe(Owner& owner, Catalogue::Data& data) {
  for (auto& table : owner.tables) {
    if (table.holds() == "poe types") read_types(table, owner, data);
  }
  for (auto& table : owner.tables) {
    const auto& holds = table.holds();
    if (holds == "poe classes") {
      read_classes(table, owner, data);
    } else if (holds == "poe cables") {
      read_cables(table, owner, data);
    } else if (holds == "guides") {
      read_guides(table, owner, data.guides);
    } else if (holds == "evidence") {
      read_evidence(table);
    } else if (holds != "poe types") {
      unknown_holds(table, {"poe types", "poe classes", "poe cables", "guides", "evidence"},
                    *owner.problems);
      continue;
    }
    table.finish();
  }
}

}  // namespace nightbus::catalogue_detail
