/// The words that stand before every plan.

#include <fmt/format.h>

#include <algorithm>

#include "scenario/evidence.hpp"

namespace nightbus::scenario_detail {

std::vector<std::string> cautions_for(const System& system, const Catalogue& catalogue) {
  std::vector<std::string> lines{
      "This is arithmetic, not an inspection. It is no permit and claims no compliance: before "
      "anything is built or switched on, a licensed person must check it under the code that holds "
      "where you are.",
      "A battery can start a fire at any voltage. A short circuit drives hundreds to thousands of "
      "amperes, melts tools and rings, throws metal and burns skin and eyes. Take off rings and "
      "watches, cover one pole while working on the other, wear eye protection, use insulated "
      "tools, and fit the overcurrent device at the source before the cable behind it.",
      "Direct current holds its arc. Open switches and pull fuses without load; use only parts "
      "that "
      "are marked for DC at the highest charging voltage of their bus. A rating for AC says "
      "nothing.",
      "Loose joints are the usual cause of fires. Torque every terminal to its maker's figure, and "
      "feel or measure the joints for warmth under load in the first days and every year.",
  };
  bool lead = false, lithium = false, mains = false, outdoors = false;
  double highest_v = 0.0;
  for (const Bank& bank : system.banks) {
    (catalogue.chemistry(bank.chemistry).nominal_cell_v < 2.5 ? lead : lithium) = true;
    highest_v = std::max(highest_v, bank.nominal_v);
  }
  for (const Converter& converter : system.converters) {
    mains = mains || converter.kind == ConverterKind::inverter;
    highest_v = std::max(highest_v, converter.output_v);
  }
  for (const Charger& charger : system.chargers) {
    mains = mains || charger.kind != ChargerKind::engine;
  }
  outdoors = !system.arrays.empty();
  if (lead) {
    lines.push_back(
        "Lead batteries give off hydrogen and acid mist while they charge, sealed ones too when "
        "overcharged. Vent their space to the outside, high up; no flame, relay or switch beside "
        "them; water at hand for eyes and skin.");
  }
  if (lithium) {
    lines.push_back(
        "A lithium bank needs its management system, set for its cells and left in function: it "
        "must be able to stop charge and discharge. Never charge cells below freezing. Such a bank "
        "drives far more short-circuit current than a lead bank of the same size.");
  }
  if (mains) {
    lines.push_back(
        "Inverters, generators and mains chargers carry voltages that kill. Their AC side, its "
        "earthing and its protection are outside this plan and belong to a licensed person.");
  }
  if (outdoors) {
    lines.push_back(
        "Solar modules are live whenever there is light and cannot be switched off at the module. "
        "Cover them while working, and expect the open-circuit voltage on both wires.");
  }
  if (highest_v > 50.0) {
    lines.push_back(fmt::format(
        "Parts of this system stand at {:.0f} V. Above 50 V DC many codes ask for more than this "
        "plan looks at, and touching both poles can injure.",
        highest_v));
  }
  return lines;
}

std::vector<std::string> not_modelled() {
  return {
      "Alternating current, earthing, lightning and surge protection, bonding against corrosion.",
      "Mechanical load, vibration, chafing, water and dust: routing and support are yours.",
      "Whether parts are genuine, joints well made, and cable what its print says.",
      "Electromagnetic disturbance between radio gear, converters and controllers.",
      "Management systems that trip on single cells, and gear that restarts by its own rules.",
      "Weather of a particular year: months stand for mean days, and a mean day is no promise.",
      "Solar gain and wind on the walls hour by hour; a hot case has full sun, the others none.",
      "Ageing of fans, filters, fuses and contacts, beyond the share of capacity set aside.",
  };
}

}  // namespace nightbus::scenario_detail
