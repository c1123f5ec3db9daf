#include "finding/kinds.hpp"

namespace nightbus::finding_detail {

namespace {

using enum Severity;

constexpr FindingKind rows[] = {
    {"ampacity", danger, "ampacity", "Current above the conductor's ampacity",
     "{subject} carries {value}{case}; with its surroundings taken into account it may carry "
     "{limit}.{detail}",
     "Take a thicker conductor, or route it cooler or with fewer neighbours in the bundle.",
     "Ampacity is the current a wire may carry for ever without its insulation getting hotter than "
     "it "
     "is made for. Warm surroundings and other loaded wires in the same bundle lower it. Above it, "
     "insulation ages fast, softens, and in the end shorts or burns."},
    {"no-ampacity", danger, "ampacity known", "No rule set knows a current for this conductor",
     "{subject}: nothing says what this conductor may carry.{detail}",
     "Take a size and insulation that the rule set lists, or add a rule set that lists yours.",
     "Tables of permissible current begin at a certain size and insulation. Thinner wire may work "
     "for years, but no published rule stands behind it."},
    {"conductor-temperature", danger, "conductor temperature",
     "Conductor hotter than its insulation allows",
     "{subject} settles at {value}{case}; its insulation is made for {limit}.{detail}",
     "Take a thicker conductor, a cooler route, or a higher insulation class.",
     "This is the temperature the copper itself reaches at the current of the case, from the heat "
     "it "
     "makes and the air it lies in. A table's ampacity is the same limit seen from the other "
     "side."},
    {"terminal-limit", danger, "terminal temperature limit",
     "Terminal would run hotter than it is made for",
     "{subject} brings {value}{case} to a terminal that is good for {limit} on this size of "
     "wire.{detail}",
     "Take a thicker conductor, or a terminal marked for a higher temperature.",
     "A wire may stand 105 °C while the screw terminal at its end is only made for 60 or 75 °C. "
     "The "
     "joint is the warmest point of most circuits, so its limit caps the wire's."},
    {"drop", warning, "voltage drop", "Voltage drop above the limit for this kind of load",
     "{subject} loses {value} on the way{case}; the limit is {limit}.{detail}",
     "Take a thicker conductor, shorten the run, or feed it from a higher voltage.",
     "Volts lost in the wire are missing at the device, and the power they stand for only heats "
     "the "
     "wire. Rules give a percentage of the nominal voltage; what counts in the end is whether the "
     "device still sees enough, which is checked apart from this."},
    {"charge-drop", warning, "drop from the charger",
     "The lead of a charger or array loses too much",
     "{subject} loses {value} at the most that it can bring{case}; the limit is {limit}.{detail}",
     "Take a thicker conductor, sit the charger nearer, or take one that senses the voltage at the "
     "bank.",
     "A charger sees the volts at its own terminals. What its lead loses on the way makes the bank "
     "look fuller than it is: the charger slows down early, and may stop with the bank half full."},
    {"minimum-size", warning, "least size", "Conductor thinner than the rule set's least size",
     "{subject} has {value} of copper; the least for this use is {limit}.{detail}",
     "Take the least size, even though the current alone would not need it.",
     "Thin wires break from vibration and at terminals long before they overheat. Rule sets "
     "therefore "
     "name a least size that has nothing to do with current."},
    {"no-size-fits", danger, "a size that fits", "No conductor of the list satisfies every rule",
     "{subject}: every size in the list fails at least one check{case}.{detail}",
     "Split the load over two runs, move the source nearer, raise the voltage, or allow thicker "
     "sizes.",
     "The plan tried each size it was allowed to use. The reasons list shows the first rule that "
     "each "
     "of them broke; the thickest one's reason is the one to work on."},
    {"bundle-count", notice, "bundle count", "Bundle counted on the safe side",
     "{subject} shares its way with {value} loaded conductors; all of them were counted as fully "
     "loaded.{detail}",
     "Say how many of them carry current at the same time, if that is known.",
     "Wires that lie together warm each other. Rule sets reduce ampacity by how many carry current "
     "at "
     "once."},
    {"bundle-drop-in-ampacity", warning, "ampacity in the bundle",
     "Size chosen mostly by its neighbours",
     "{subject} may carry {value} alone, but only {limit} in its bundle.{detail}",
     "Separate it from the bundle by about two diameters, or split the bundle.",
     "When grouping costs more than a third of a wire's ampacity, a little space in the tray is "
     "cheaper "
     "than copper."},
    {"parallel-conductors", warning, "parallel conductors",
     "Parallel conductors do not share as planned",
     "{subject}: one of the parallel conductors carries {value}{case}; it may carry "
     "{limit}.{detail}",
     "Make them equal in length, size and terminals, and give each its own protection.",
     "Current splits by resistance. A loose lug on one of two equal wires leaves the other with "
     "nearly "
     "all of it, behind a fuse that was chosen for both."},
    {"return-shared", warning, "shared return",
     "Shared return too small for what comes together in it",
     "{subject} returns {value} from several circuits{case}; it may carry {limit}.{detail}",
     "Size the return for the sum of the circuits that use it.",
     "Each feed has its own fuse, but the common negative carries them all and has no fuse of its "
     "own."},
    {"chassis-return", warning, "chassis return", "Chassis path loses more than it should",
     "{subject} loses {value} in the chassis path{case}; the limit is {limit}.{detail}",
     "Clean and re-make the bonds, or run a return conductor.",
     "A body or frame is a fine conductor; its bolted, painted and rusting joints are not. They "
     "drift, "
     "so measure them from time to time."},
    {"poe-bundle", warning, "data cables in a bundle", "Data cables in a bundle warm each other",
     "{subject} lies in a bundle whose cores warm by {value}{case}; the limit is {limit}.{detail}",
     "Make the bundle smaller, or use cable with thicker cores or a higher temperature class.",
     "Each powered pair makes a little heat, and the middle of a thick bundle cannot shed it. Warm "
     "copper also has more resistance, so the far device sees less."},
    {"poe-cable", warning, "data cable length", "Data cable outside the channel limit",
     "{subject}: pair-set loop resistance is {value}; the standard allows {limit}.{detail}",
     "Shorten the cable or use thicker copper; avoid copper-clad aluminium.",
     "Power over Ethernet counts on a loop resistance. Long, thin or copper-clad aluminium cable "
     "goes "
     "above it, and the device at its end starves first when it works hardest."},
    {"joint-resistance", warning, "joint resistance", "Joint above what a sound one has",
     "{subject} has {value} of resistance; a sound joint stays below {limit}.{detail}",
     "Re-make the joint, then measure it again at a known current.",
     "Resistance in a joint turns into heat on a spot the size of a finger nail. It also loosens "
     "the "
     "joint further, so it rarely gets better by itself."},
};

}  // namespace

std::span<const FindingKind> wiring_kinds() {
  return rows;
}

}  // namespace nightbus::finding_detail
