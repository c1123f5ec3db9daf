// Files of kind "materials": metals, insulation, joints, switchgear.

#include <fmt/format.h>

#include <algorithm>
#include <sstream>

#include "catalogue/owner.hpp"

namespace nightbus::catalogue_detail {

namespace {

void read_metals(Table& table, Owner& owner, Catalogue::Data& data) {
  const auto name = table.need("material");
  const auto resistivity = table.need("resistivity");
  const auto coefficient = table.need("coefficient");
  const auto zero = table.need("zero resistance");
  const auto density = table.need("density");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    Material metal;
    metal.name = table.text(row, name);
    const auto rho = table.number(row, resistivity, "Ω·mm²/m");
    const auto alpha = table.need_number(row, coefficient, Dimension::ratio_per_kelvin);
    const auto intercept = table.need_number(row, zero, Dimension::temperature_difference);
    const auto mass = table.number(row, density, "kg/m³");
    if (metal.name.empty() || !rho || !alpha || !intercept || !mass) continue;
    if (data.find_material(metal.name)) {
      report(*owner.problems, "duplicate-entry",
             fmt::format("material \"{}\" exists already", metal.name), table.where(row, *name), {},
             {}, "give it another name, or replace the table that holds it");
      continue;
    }
    metal.resistivity_ohm_mm2_per_m = *rho;
    metal.coefficient_per_k = *alpha;
    metal.zero_resistance_k = *intercept;
    metal.density_kg_per_m3 = *mass;
    metal.from = table.cite(row, metal.name);
    data.materials.push_back(std::move(metal));
  }
}

void read_adiabatic(Table& table, Catalogue::Data& data) {
  const auto name = table.need("material");
  const auto k = table.need("K");
  const auto beta = table.need("beta");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const auto word = table.text(row, name);
    const auto at = std::find_if(data.materials.begin(), data.materials.end(),
                                 [&](const Material& metal) { return metal.name == word; });
    const auto factor = table.number(row, k, "A·√s/mm²");
    const auto intercept = table.need_number(row, beta, Dimension::temperature_difference);
    if (!factor || !intercept) continue;
    if (at == data.materials.end()) {
      table.wrong(row, *name, "no such material", "the name of a material that is in the tables");
      continue;
    }
    at->adiabatic_k = *factor;
    at->adiabatic_beta_k = *intercept;
    at->adiabatic_from = table.cite(row, word);
  }
}

void read_short_time(Table& table, Owner& owner, Catalogue::Data& data) {
  const auto name = table.need("insulation");
  const auto rated = table.need("rated");
  const auto final = table.need("final");
  const auto k = table.need("k");
  const auto above = table.need("above");
  const auto up_to = table.need("up to");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    Insulation insulation;
    insulation.name = table.text(row, name);
    const auto rated_c = table.need_number(row, rated, Dimension::temperature);
    const auto final_c = table.need_number(row, final, Dimension::temperature);
    const auto factor = table.number(row, k, "A·√s/mm²");
    if (insulation.name.empty() || !rated_c || !final_c || !factor) continue;
    if (*final_c <= *rated_c) {
      table.wrong(row, *final, "not above the rated temperature", "a higher temperature");
      continue;
    }
    if (!owner.claim("insulation " + insulation.name, insulation.name, table.where(row, *name))) {
      continue;
    }
    insulation.rated_c = *rated_c;
    insulation.final_c = *final_c;
    insulation.k = *factor;
    insulation.above_mm2 = table.number(row, above, Dimension::area).value_or(0.0);
    if (const auto area = table.number(row, up_to, Dimension::area)) insulation.up_to_mm2 = *area;
    insulation.from = table.cite(row, insulation.name);
    data.insulations.push_back(std::move(insulation));
  }
}

void read_joints(Table& table, Owner& owner, Catalogue::Data& data) {
  const auto name = table.need("joint");
  const auto resistance = table.find("resistance");
  const auto drop = table.find("drop");
  const auto rated = table.find("rated");
  if (!resistance && (!drop || !rated)) {
    report(*owner.problems, "wrong-columns",
           fmt::format("{} gives no resistance", table.options.label()),
           table.options.where("columns"), "a column \"resistance\", or \"drop\" and \"rated\"");
    return;
  }
  for (std::size_t row = 0; row < table.rows(); ++row) {
    JointKind joint;
    joint.name = table.text(row, name);
    if (joint.name.empty() ||
        !owner.claim("joint " + joint.name, joint.name, table.where(row, *name))) {
      continue;
    }
    joint.rated_a = table.number(row, rated, Dimension::current);
    joint.drop_v = table.number(row, drop, Dimension::voltage);
    if (const auto ohm = table.number(row, resistance, Dimension::resistance)) {
      joint.resistance_ohm = *ohm;
    } else if (joint.rated_a && joint.drop_v && *joint.rated_a > 0) {
      joint.resistance_ohm = *joint.drop_v / *joint.rated_a;
    }
    joint.from = table.cite(row, joint.name);
    data.joints.push_back(std::move(joint));
  }
}

std::optional<LoadKind> parse_load_kind(std::string_view word) {
  for (const auto kind : {LoadKind::resistive, LoadKind::inductive, LoadKind::capacitive,
                          LoadKind::lamp, LoadKind::motor}) {
    if (load_kind_name(kind) == word) return kind;
  }
  return std::nullopt;
}

void read_switch_categories(Table& table, Owner& owner, Catalogue::Data& data) {
  const auto name = table.need("category");
  const auto duty = table.need("duty");
  const auto serves = table.need("serves");
  const auto constant = table.need("time constant");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    SwitchCategory category;
    category.name = table.text(row, name);
    category.duty = table.text(row, duty);
    if (category.name.empty() ||
        !owner.claim("category " + category.name, category.name, table.where(row, *name))) {
      continue;
    }
    std::istringstream words(table.text(row, serves));
    for (std::string word; std::getline(words >> std::ws, word, ',');) {
      if (const auto kind = parse_load_kind(word)) {
        category.serves.push_back(*kind);
      } else {
        table.wrong(row, *serves, fmt::format("unknown load kind \"{}\"", word),
                    "resistive, inductive, capacitive, lamp, motor");
      }
    }
    category.time_constant_s = table.number(row, constant, Dimension::time);
    category.from = table.cite(row, category.name);
    data.switch_categories.push_back(std::move(category));
  }
}

}  // namespace

void build_materials(Owner& owner, Catalogue::Data& data) {
  for (auto& table : owner.tables) {
    if (table.holds() == "materials") read_metals(table, owner, data);
  }
  for (auto& table : owner.tables) {
    const auto& holds = table.holds();
    if (holds == "adiabatic") {
      read_adiabatic(table, data);
    } else if (holds == "short time") {
      read_short_time(table, owner, data);
    } else if (holds == "joints") {
      read_joints(table, owner, data);
    } else if (holds == "switch categories") {
      read_switch_categories(table, owner, data);
    } else if (holds == "guides") {
      read_guides(table, owner, data.guides);
    } else if (holds == "curve") {
      read_curve(table, owner, data.curves);
    } else if (holds == "evidence") {
      read_evidence(table);
    } else if (holds != "materials") {
      unknown_holds(table,
                    {"materials", "adiabatic", "short time", "joints", "switch categories",
                     "guides", "curve", "evidence"},
                    *owner.problems);
      continue;
    }
    table.finish();
  }
}

void build_guides(Owner& owner, Catalogue::Data& data) {
  for (auto& table : owner.tables) {
    if (table.holds() == "guides") {
      read_guides(table, owner, data.guides);
    } else if (table.holds() == "curve") {
      read_curve(table, owner, data.curves);
    } else if (table.holds() == "evidence") {
      read_evidence(table);
    } else {
      unknown_holds(table, {"guides", "curve", "evidence"}, *owner.problems);
      continue;
    }
    table.finish();
  }
}

}  // namespace nightbus::catalogue_detail
