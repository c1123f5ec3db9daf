/// Which conductors may be laid, and what one pole of a run then is:
///
///   R20 = r · length / n                              n conductors in parallel
///   T   = air + K · I² R(T),   K = (Tc - Ta) / (n Iz² r length · R(Tc)/R20)
///
/// K is read backwards from the ampacity Iz of one conductor: at that current in air of Ta it
/// reaches its insulation's Tc. Of several rule sets the one with the warmest conductor counts.

#include <algorithm>
#include <array>

#include "network/system_impl.hpp"

namespace nightbus {

namespace {

const ConductorFamily& family_of(const System& system, const Catalogue& catalogue, const Run& run) {
  return catalogue.conductor_family(run.family.empty() ? system.rules.sizes : run.family);
}

}  // namespace

std::vector<ConductorSize> sizes_for(const System& system, const Catalogue& catalogue,
                                     const Run& run) {
  std::vector<std::pair<double, ConductorSize>> sizes;
  const auto add = [&](const ConductorSize& size) {
    sizes.emplace_back(conductor_for(system, catalogue, run, size).area_mm2, size);
  };
  if (!system.rules.stock.empty()) {
    std::for_each(system.rules.stock.begin(), system.rules.stock.end(), add);
  } else {
    for (const Conductor& conductor : family_of(system, catalogue, run).conductors) {
      sizes.emplace_back(conductor.area_mm2, conductor.size);
    }
  }
  std::stable_sort(sizes.begin(), sizes.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  std::vector<ConductorSize> ordered;
  for (const auto& [area, size] : sizes) {
    ordered.push_back(size);
  }
  return ordered;
}

const Conductor& conductor_for(const System& system, const Catalogue& catalogue, const Run& run,
                               const ConductorSize& size) {
  if (const Conductor* found = family_of(system, catalogue, run).find(size)) {
    return *found;
  }
  return catalogue.conductor(size);
}

std::vector<RunChoice> starting_choices(const System& system, const Catalogue& catalogue) {
  std::vector<RunChoice> choices;
  for (const Run& run : system.runs) {
    RunChoice choice;
    if (run.size) {
      choice.size = *run.size;
    } else {
      const auto sizes = sizes_for(system, catalogue, run);
      if (sizes.empty()) {
        throw LookupError("run \"" + run.name + "\": no conductor may be chosen");
      }
      choice.size = sizes.back();
    }
    choice.return_size = run.return_size;
    choice.fuse_form = run.fuse_form;
    choice.fuse_a = run.fuse_a;
    choices.push_back(std::move(choice));
  }
  return choices;
}

double device_resistance_ohm(const Catalogue& catalogue, std::string_view form, double rating_a) {
  constexpr double usual_drop_v = 0.1;  // at rated current, where no figure is published
  if (rating_a <= 0.0) {
    return 0.0;
  }
  if (!form.empty()) {
    const OvercurrentForm& device = catalogue.overcurrent_form(form);
    for (const RatingValue& row : device.drop_v) {
      if (row.rating_a == rating_a) {
        return row.value / rating_a;
      }
    }
    if (const auto cold = device.cold_resistance_at(rating_a)) {
      const Guide* ratio = device.guide("hot over cold at rating");
      return cold->value * (ratio ? *ratio : catalogue.guide("hot over cold at rating")).value;
    }
  }
  return usual_drop_v / rating_a;
}

namespace compile_detail {

namespace {

/// K times the resistance of the pole at 20 °C, with the watts of the whole pole; see above.
std::optional<double> kelvin_per_watt(const Layout& layout, const Run& run,
                                      const Conductor& conductor, const Material& material,
                                      double pole_20c_ohm, double nominal_v) {
  const Rules& rules = layout.system.rules;
  AmpacityQuery query;
  query.size = conductor.size;
  query.insulation_c = run.insulation_c.value_or(rules.insulation_c);
  query.installation = installation_of(run.enclosed.value_or(rules.enclosed), run.bundle);
  query.material = run.material;
  query.area_mm2 = conductor.area_mm2;
  Bundle bundle;
  bundle.conductors = std::max(run.bundle, 1);
  bundle.bus_voltage_v = nominal_v;
  bundle.installation = query.installation;
  std::optional<double> warmest;
  for (const std::string& name : rules.sets) {
    const RuleSet& set = layout.catalogue.rule_set(name);
    const auto ampacity = set.ampacity(query);
    if (!ampacity || ampacity->value <= 0.0) {
      continue;
    }
    const auto grouping = set.grouping_factor(bundle);
    const double one = ampacity->value * (grouping ? grouping->value : 1.0);
    const double all = one * run.parallel;
    const double hot_ohm = pole_20c_ohm * material.resistance_ratio(ampacity->column_c);
    const double kelvin = (ampacity->column_c - ampacity->base_ambient_c) / (all * all * hot_ohm);
    warmest = std::max(warmest.value_or(0.0), kelvin);
  }
  return warmest;
}

}  // namespace

RunResistance pole_resistance(const Layout& layout, const Run& run, const ConductorSize& size,
                              double length_m, double nominal_v) {
  RunResistance pole;
  const Conductor& conductor = conductor_for(layout.system, layout.catalogue, run, size);
  const Material& own = layout.catalogue.material(run.material);
  // A family is of one metal; a run of another metal has its resistivity over the same area.
  const double metal =
      conductor.material == own.name
          ? 1.0
          : own.resistivity_ohm_mm2_per_m /
                layout.catalogue.material(conductor.material).resistivity_ohm_mm2_per_m;
  const int parallel = std::max(run.parallel, 1);
  pole.conductor_20c_ohm = conductor.resistance_ohm_per_m * metal * length_m / parallel;
  pole.joints_ohm = run.joints * run.joint_ohm;
  const auto kelvin =
      kelvin_per_watt(layout, run, conductor, own, pole.conductor_20c_ohm, nominal_v);
  if (kelvin) {
    pole.kelvin_per_watt = *kelvin;
  } else {
    pole.assumed_c = run.insulation_c.value_or(layout.system.rules.insulation_c);
  }
  return pole;
}

double assumed_chassis_ohm(const RunResistance& positive) {
  constexpr double two_chassis_joints_ohm = 0.010;
  return positive.conductor_20c_ohm + two_chassis_joints_ohm;
}

}  // namespace compile_detail

}  // namespace nightbus
