#pragma once
/// Everything the catalogue holds, and the raw files it came from (so that more can be added).

#include <vector>

#include "catalogue/raw.hpp"
#include "nightbus/catalogue.hpp"

namespace nightbus {

struct Catalogue::Data {
  std::vector<catalogue_detail::RawFile> files;
  std::vector<TableText> tables;
  std::vector<Material> materials;
  std::vector<Insulation> insulations;
  std::vector<ConductorFamily> families;
  std::vector<std::vector<std::string>> family_aliases;  ///< parallel to `families`
  std::vector<RuleSet> rule_sets;
  std::vector<OvercurrentForm> forms;
  std::vector<std::vector<std::string>> form_aliases;  ///< parallel to `forms`
  std::vector<PoeTypeData> poe_types;
  std::vector<PoeClassData> poe_classes;
  std::vector<PoeCable> poe_cables;
  std::vector<BatteryChemistry> chemistries;
  std::vector<SwitchCategory> switch_categories;
  std::vector<JointKind> joints;
  std::vector<Guide> guides;
  std::vector<NamedCurve> curves;

  const Material* find_material(std::string_view name) const;
};

}  // namespace nightbus
