#include "nightbus/catalogue.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "catalogue/assemble.hpp"
#include "catalogue/embedded.hpp"

namespace nightbus {

using namespace catalogue_detail;

namespace {

const std::string& own_name(const TableText& item) {
  return item.pedigree->id;
}
const std::string& own_name(const RuleSet& item) {
  return item.name();
}
template <class Item>
const std::string& own_name(const Item& item) {
  return item.name;
}

/// The entry of that name or alias; throws with the nearest names. Plans ask by the million and by
/// the entry's own name, so that is looked at first, without a copy of any name.
template <class Items, class Names>
const auto& look_up(const Items& items, std::string_view name, std::string_view what,
                    const Names& names_of) {
  for (const auto& item : items) {
    if (own_name(item) == name) return item;
  }
  std::vector<std::string> known;
  for (std::size_t i = 0; i < items.size(); ++i) {
    for (const auto& candidate : names_of(i)) {
      if (candidate == name) return items[i];
      known.push_back(candidate);
    }
  }
  auto near = near_misses(name, known, 3);
  const bool listed = near.empty() && known.size() <= 16;
  if (listed) near = known;
  throw LookupError(fmt::format("no {} is named \"{}\"{}{}", what, name,
                                near.empty() ? "" : (listed ? "; there are: " : "; did you mean: "),
                                fmt::join(near, ", ")));
}

template <class Items>
const auto& look_up(const Items& items, std::string_view name, std::string_view what) {
  return look_up(items, name, what,
                 [&](std::size_t i) { return std::vector<std::string>{items[i].name}; });
}

std::vector<std::string> with_aliases(const std::string& name, std::vector<std::string> aliases) {
  aliases.insert(aliases.begin(), name);
  return aliases;
}

}  // namespace

const Material* Catalogue::Data::find_material(std::string_view name) const {
  for (const auto& material : materials) {
    if (material.name == name) return &material;
  }
  return nullptr;
}

const Catalogue& Catalogue::builtin() {
  static const Catalogue catalogue = [] {
    Problems problems;
    std::vector<RawFile> files;
    for (const auto& embedded : embedded_files()) {
      auto source = std::make_shared<const SourceText>(
          std::string("data/") + std::string(embedded.name), std::string(embedded.text));
      if (auto file = read_raw(std::move(source), true, problems))
        files.push_back(std::move(*file));
    }
    auto data = assemble(std::move(files), problems);
    if (!problems.empty()) throw InputError(std::move(problems));
    return Catalogue(std::move(data));
  }();
  return catalogue;
}

Catalogue Catalogue::with(std::string toml_text, std::string name) const {
  Problems problems;
  auto source = std::make_shared<const SourceText>(std::move(name), std::move(toml_text));
  auto file = read_raw(std::move(source), false, problems);
  if (!file) throw InputError(std::move(problems));
  auto files = data_->files;
  files.push_back(std::move(*file));
  auto data = assemble(std::move(files), problems);
  if (!problems.empty()) throw InputError(std::move(problems));
  return Catalogue(std::move(data));
}

const std::vector<TableText>& Catalogue::tables() const {
  return data_->tables;
}

const TableText& Catalogue::table(std::string_view id) const {
  return look_up(data_->tables, id, "table", [&](std::size_t i) {
    return std::vector<std::string>{data_->tables[i].pedigree->id};
  });
}

const std::vector<Material>& Catalogue::materials() const {
  return data_->materials;
}

const Material& Catalogue::material(std::string_view name) const {
  return look_up(data_->materials, name, "material");
}

const std::vector<Insulation>& Catalogue::insulations() const {
  return data_->insulations;
}

std::optional<Insulation> Catalogue::short_time_limit(double insulation_c, double area_mm2) const {
  const Insulation* best = nullptr;
  for (const auto& row : data_->insulations) {
    if (row.rated_c > insulation_c) continue;
    if (area_mm2 <= row.above_mm2 || area_mm2 > row.up_to_mm2) continue;
    const bool nearer = !best || row.rated_c > best->rated_c;
    const bool stricter = best && row.rated_c == best->rated_c && row.final_c < best->final_c;
    if (nearer || stricter) best = &row;
  }
  if (!best || best->final_c <= insulation_c) return std::nullopt;
  return *best;
}

const std::vector<ConductorFamily>& Catalogue::conductor_families() const {
  return data_->families;
}

const ConductorFamily& Catalogue::conductor_family(std::string_view name) const {
  return look_up(data_->families, name, "conductor family", [&](std::size_t i) {
    return with_aliases(data_->families[i].name, data_->family_aliases[i]);
  });
}

const ConductorFamily& Catalogue::usual_family(SizeSystem system) const {
  const auto wanted = system == SizeSystem::kcmil ? SizeSystem::awg : system;
  for (const auto& family : data_->families) {
    if (family.usual && family.system == wanted) return family;
  }
  throw LookupError("no conductor family is the usual one of that size system");
}

const Conductor& Catalogue::conductor(const ConductorSize& size, std::string_view family) const {
  const auto& from = family.empty() ? usual_family(size.system) : conductor_family(family);
  if (const auto* found = from.find(size)) return *found;
  std::vector<std::string> known;
  for (const auto& conductor : from.conductors) known.push_back(print_size(conductor.size));
  throw LookupError(fmt::format("family \"{}\" has no size {}; it has {}", from.name,
                                print_size(size), fmt::join(known, ", ")));
}

const std::vector<RuleSet>& Catalogue::rule_sets() const {
  return data_->rule_sets;
}

const RuleSet& Catalogue::rule_set(std::string_view name) const {
  return look_up(data_->rule_sets, name, "rule set", [&](std::size_t i) {
    return with_aliases(data_->rule_sets[i].name(), data_->rule_sets[i].aliases());
  });
}

const std::vector<OvercurrentForm>& Catalogue::overcurrent_forms() const {
  return data_->forms;
}

const OvercurrentForm& Catalogue::overcurrent_form(std::string_view name) const {
  return look_up(data_->forms, name, "overcurrent form", [&](std::size_t i) {
    return with_aliases(data_->forms[i].name, data_->form_aliases[i]);
  });
}

const std::vector<PoeTypeData>& Catalogue::poe_types() const {
  return data_->poe_types;
}

const PoeTypeData& Catalogue::poe_type(int number) const {
  for (const auto& type : data_->poe_types) {
    if (type.number == number) return type;
  }
  throw LookupError(fmt::format("there is no PoE type {}; there are 1 to 4", number));
}

const std::vector<PoeClassData>& Catalogue::poe_classes() const {
  return data_->poe_classes;
}

const PoeClassData& Catalogue::poe_class(int number) const {
  for (const auto& entry : data_->poe_classes) {
    if (entry.number == number) return entry;
  }
  throw LookupError(fmt::format("there is no PoE class {}; there are 0 to 8", number));
}

const std::vector<PoeCable>& Catalogue::poe_cables() const {
  return data_->poe_cables;
}

const PoeCable& Catalogue::poe_cable(std::string_view name) const {
  return look_up(data_->poe_cables, name, "PoE cable");
}

const std::vector<BatteryChemistry>& Catalogue::chemistries() const {
  return data_->chemistries;
}

const BatteryChemistry& Catalogue::chemistry(std::string_view name) const {
  return look_up(data_->chemistries, name, "chemistry", [&](std::size_t i) {
    return with_aliases(data_->chemistries[i].name, data_->chemistries[i].aliases);
  });
}

const std::vector<SwitchCategory>& Catalogue::switch_categories() const {
  return data_->switch_categories;
}

const std::vector<JointKind>& Catalogue::joint_kinds() const {
  return data_->joints;
}

const JointKind& Catalogue::joint_kind(std::string_view name) const {
  return look_up(data_->joints, name, "joint");
}

const std::vector<Guide>& Catalogue::guides() const {
  return data_->guides;
}

const Guide& Catalogue::guide(std::string_view name) const {
  return look_up(data_->guides, name, "figure");
}

const std::vector<NamedCurve>& Catalogue::curves() const {
  return data_->curves;
}

const NamedCurve& Catalogue::curve(std::string_view name) const {
  return look_up(data_->curves, name, "curve");
}

}  // namespace nightbus
