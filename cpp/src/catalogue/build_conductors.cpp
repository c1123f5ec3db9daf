// Files of kind "conductors".
//
//   R20 = R_printed / ratio(T_printed)          where a table prints resistance
//   R20 = resistivity · lay / area              where it prints an area, or only names the size
//   mass per metre = density · area · lay
//
// `lay` is the extra length of stranded wires. For metric sizes the area is the label.

#include <fmt/format.h>

#include <algorithm>

#include "catalogue/owner.hpp"

namespace nightbus::catalogue_detail {

namespace {

std::optional<SizeSystem> parse_system(std::string_view word) {
  if (word == "AWG") return SizeSystem::awg;
  if (word == "metric") return SizeSystem::metric;
  if (word == "SAE") return SizeSystem::sae;
  if (word == "kcmil") return SizeSystem::kcmil;
  return std::nullopt;
}

struct FamilySpec {
  ConductorFamily family;
  std::vector<std::string> aliases;
  std::vector<std::string> tables;
  std::string column;  ///< of resistance; empty: computed from the area
  double lay = 1.0;
};

FamilySpec read_family(Family& record, SizeSystem system) {
  FamilySpec spec;
  auto& family = spec.family;
  family.name = record.need_text("name");
  record.set_label(fmt::format("family \"{}\"", family.name));
  family.system = system;
  family.material = record.need_text("material");
  family.construction = record.need_text("construction");
  family.usual = record.flag("usual").value_or(false);
  spec.aliases = record.texts("aliases").value_or(std::vector<std::string>{});
  spec.tables = record.texts("tables").value_or(std::vector<std::string>{});
  spec.column = record.text("column").value_or("");
  spec.lay = record.number("lay").value_or(1.0);
  if (spec.tables.empty()) record.wrong("tables", "no table is named", "tables = [\"…\"]");
  if (!(spec.lay >= 1.0 && spec.lay < 1.2)) record.wrong("lay", "not between 1 and 1.2");
  record.finish();
  return spec;
}

/// One row of `table` as a conductor of `spec`; empty when the family has no such size.
std::optional<Conductor> read_conductor(Table& table, std::size_t row, const FamilySpec& spec,
                                        const Material& metal, double printed_temp_c) {
  const auto size = table.size(row, table.need("size"));
  if (!size) return std::nullopt;
  Conductor conductor;
  conductor.size = *size;
  conductor.material = metal.name;
  auto area = table.positive(row, table.find("area"), Dimension::area);
  if (!area) area = formula_area_mm2(*size);
  if (!area || *area <= 0) {
    table.wrong(row, 0, "a size without an area", "a column \"area\"");
    return std::nullopt;
  }
  conductor.area_mm2 = *area;
  if (const auto strands = table.number(row, table.find("strands"), Dimension::number)) {
    conductor.strands = static_cast<int>(*strands);
  }
  if (spec.column.empty()) {
    conductor.resistance_ohm_per_m =
        metal.resistivity_ohm_mm2_per_m * spec.lay / conductor.area_mm2;
  } else {
    const auto printed =
        table.positive(row, table.find(spec.column), Dimension::resistance_per_length);
    if (!printed) return std::nullopt;
    conductor.resistance_ohm_per_m = *printed / metal.resistance_ratio(printed_temp_c);
  }
  // mm² · kg/m³ = 1e-6 kg/m
  conductor.mass_kg_per_m = conductor.area_mm2 * metal.density_kg_per_m3 * spec.lay * 1e-6;
  conductor.from = table.cite(row, print_size(*size));
  if (spec.column.empty() || printed_temp_c != 20.0) {
    conductor.from.confidence = weaker(conductor.from.confidence, metal.from.confidence);
  }
  return conductor;
}

void fill_family(FamilySpec& spec, Owner& owner, const Material& metal) {
  auto& family = spec.family;
  for (const auto& wanted : spec.tables) {
    const auto at = std::find_if(owner.tables.begin(), owner.tables.end(), [&](const Table& table) {
      return table.local_id() == wanted || table.id() == wanted || table.replaces() == wanted ||
             table.replaces() == owner.head.name + "/" + wanted;
    });
    if (at == owner.tables.end()) {
      report(
          *owner.problems, "unknown-name",
          fmt::format("family \"{}\" names a table \"{}\" that is not there", family.name, wanted),
          owner.head.record.where());
      continue;
    }
    auto& table = *at;
    if (!spec.column.empty()) table.need(spec.column);
    const double printed_c =
        table.options.quantity("resistance_temp", Dimension::temperature).value_or(20.0);
    for (std::size_t row = 0; row < table.rows(); ++row) {
      auto conductor = read_conductor(table, row, spec, metal, printed_c);
      if (!conductor) continue;
      const auto name = print_size(conductor->size);
      if (!owner.claim(family.name + " " + name, name, table.where(row, 0))) continue;
      family.conductors.push_back(std::move(*conductor));
    }
    family.tables.push_back(table.pedigree());
  }
  std::stable_sort(family.conductors.begin(), family.conductors.end(),
                   [](const Conductor& a, const Conductor& b) { return a.area_mm2 < b.area_mm2; });
}

}  // namespace

void build_conductors(Owner& owner, Catalogue::Data& data) {
  const auto word = owner.head.record.text("system").value_or("");
  const auto system = parse_system(word);
  if (!system) {
    report(*owner.problems, "wrong-value",
           fmt::format("conductors of \"{}\" have no size system", owner.head.name),
           owner.head.record.where("system"), "system = \"AWG\", \"metric\", \"SAE\" or \"kcmil\"",
           fmt::format("\"{}\"", word));
    return;
  }
  for (auto& record : owner.families) {
    auto spec = read_family(record, *system);
    if (spec.family.name.empty()) continue;
    const auto* metal = data.find_material(spec.family.material);
    if (!metal) {
      record.wrong("material", fmt::format("unknown material \"{}\"", spec.family.material));
      continue;
    }
    fill_family(spec, owner, *metal);
    data.families.push_back(std::move(spec.family));
    data.family_aliases.push_back(std::move(spec.aliases));
  }
  for (auto& table : owner.tables) {
    if (table.holds() == "guides") {
      read_guides(table, owner, data.guides);
    } else if (table.holds() == "evidence") {
      read_evidence(table);
    } else if (table.holds() == "conductors") {
      // A table whose columns no family uses is a mistake that finish() points out.
      table.find("size");
      table.find("strands");
      table.find("area");
    } else {
      unknown_holds(table, {"conductors", "guides", "evidence"}, *owner.problems);
      continue;
    }
    table.finish();
  }
}

}  // namespace nightbus::catalogue_detail
