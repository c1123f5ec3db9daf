#include "finding/kinds.hpp"

namespace nightbus::finding_detail {

namespace {

using enum Severity;

constexpr FindingKind rows[] = {
    {"compartment-hot", warning, "compartment temperature", "Compartment too hot",
     "{subject} reaches {value}{case}; {limit} is the most allowed.{detail}",
     "Add a fan or a larger opening, take cooler inlet air, or move heat out.",
     "Every watt the gear draws ends as heat in the space it stands in. Without moving air a "
     "closed "
     "compartment may stand twenty degrees above the room."},
    {"device-hot", warning, "device, hottest", "Device hotter than it is made for",
     "{subject} works in air of {value}{case}; it is made for {limit}.{detail}",
     "Cool the compartment, or move the device.",
     "Devices slow down, restart and age early in air above their limit."},
    {"device-cold", warning, "device, coldest", "Device colder than it is made for",
     "{subject} works in air of {value}{case}; it is made for {limit} and above.{detail}",
     "Let it keep its own heat, or choose a wider temperature class.",
     "Cold mostly matters at the first start: capacitors and displays are sluggish then."},
    {"fan-small", warning, "air moved", "Fans move too little air",
     "{subject}: the fans move {value} with the openings as they are{case}; {limit} are "
     "needed.{detail}",
     "Use a larger fan or wider openings; grilles and filters cost a third and more.",
     "A fan's figure is for free air. Behind a grille, a filter and a bend much less passes."},
    {"fan-hunting", warning, "fan steps", "Fan steps hunt",
     "{subject} does not settle on a step{case}: it changes every {value}.{detail}",
     "Widen the degrees per step, or set the lowest step higher.",
     "Each step cools more than the next one down can hold, so the controller runs up and down for "
     "ever. It is heard, and it wears the fan."},
    {"fan-off-heat", danger, "heat without the fan", "Too hot when the fan fails",
     "{subject} would reach {value} with its fan standing still{case}; {limit} is the most "
     "allowed.{detail}",
     "Add a second fan, an alarm, or a thermal cut-off.",
     "Fans are the first part to wear out, and nobody hears it in a closed compartment."},
    {"inlet-hot", notice, "inlet air", "Inlet air leaves little room",
     "{subject} draws air of {value}{case}; its limit is {limit}.{detail}",
     "Take air from a cooler place; no fan cools below its inlet.",
     "Air can only carry heat away while it is cooler than the space."},
    {"heat-derates", notice, "heat and ampacity",
     "Heat of the gear lowers what its wires may carry",
     "{subject}: the compartment at {value}{case} was taken as the surroundings of its wires and "
     "fuses.{detail}",
     "Nothing to do; cooler air would allow thinner wire.",
     "Tables are made for 30 °C air. The plan uses the temperature it worked out for the space."},
    {"temperature-runaway", danger, "heat that settles", "Heat does not settle",
     "{subject} keeps warming{case} beyond {value}.{detail}",
     "Give the heat a way out: wall area, an opening or a fan.",
     "The heat made grows faster than the heat lost, or nothing carries it away."},
};

}  // namespace

std::span<const FindingKind> thermal_kinds() {
  return rows;
}

}  // namespace nightbus::finding_detail
