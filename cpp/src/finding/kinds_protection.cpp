#include "finding/kinds.hpp"

namespace nightbus::finding_detail {

namespace {

using enum Severity;

constexpr FindingKind rows[] = {
    {"no-protection", danger, "an overcurrent device", "No overcurrent device in this conductor",
     "{subject} can be fed {value} by a fault and has no overcurrent device on the source's "
     "side.{detail}",
     "Put a fuse or breaker at the end where the supply comes from.",
     "A battery gives thousands of amperes into a short. Without a fuse the wire is the fuse, and "
     "it "
     "glows along its whole length."},
    {"fuse-above-ceiling", danger, "device against the conductor",
     "Overcurrent device too large for the conductor",
     "{subject}: the device is rated {value}; for this conductor the rule set allows "
     "{limit}.{detail}",
     "Take a smaller rating, or a thicker conductor.",
     "The fuse protects the wire, not the device at its end. A rating above the ceiling lets a "
     "current "
     "flow for hours that the wire cannot bear."},
    {"fuse-below-load", warning, "device against the load",
     "Overcurrent device too small for the continuous load",
     "{subject}: {value} flows for hours{case}; at its place the device may carry {limit} without "
     "a break.{detail}",
     "Take the next rating up, with a conductor to match, or put the fuse in a cooler place.",
     "A fuse at its full rating, in warm air, opens some day for no visible reason. The habit is "
     "to load "
     "it to four fifths, less where it is hot."},
    {"fuse-ambient", warning, "device in its surroundings",
     "Overcurrent device derated by its surroundings",
     "{subject}: in air of this temperature the device is worth {value}; {limit} is "
     "needed{case}.{detail}",
     "Move the fuse to cooler air, or take the next rating with a conductor to match.",
     "A fuse melts by temperature. Warm air takes part of its rating away, cold air adds a "
     "little."},
    {"no-rating-fits", danger, "a rating that fits",
     "No rating lies between the load and the conductor's ceiling",
     "{subject} needs a device of at least {value}, and its conductor allows at most "
     "{limit}.{detail}",
     "Take a thicker conductor, or split the load.",
     "Fuses come in steps. Here no step is large enough for the load and small enough for the "
     "wire."},
    {"interrupt-rating", danger, "interrupt rating",
     "Overcurrent device cannot break the current that can flow",
     "{subject}: a short circuit can drive {value}; at this voltage the device breaks "
     "{limit}.{detail}",
     "Use a form with a higher DC interrupt rating, or put one upstream that has it.",
     "A fuse that is asked to break more than its interrupt rating may arc on or burst. The rating "
     "holds "
     "at a stated DC voltage; a figure for AC says nothing about DC."},
    {"interrupt-voltage", danger, "voltage rating", "Overcurrent device not rated for this voltage",
     "{subject}: the bus reaches {value}{case}; the device is rated to break up to {limit} "
     "DC.{detail}",
     "Use a device with a DC voltage rating at or above the highest charging voltage.",
     "Direct current has no zero crossing that would put an arc out. The voltage rating must cover "
     "the "
     "highest the bus ever sees, which is while charging, not its nominal value."},
    {"interrupt-unknown", warning, "interrupt rating known",
     "Interrupt rating at this voltage is not known",
     "{subject}: a short circuit can drive {value}, and no DC interrupt rating is stated for the "
     "device.{detail}",
     "Find the marking for DC at this voltage, or use a form that has one.",
     "Without a stated figure the device has to be taken as unable to do it."},
    {"fault-current-low", danger, "short at the far end",
     "A short at the far end may not blow the fuse",
     "{subject}: a short at its end drives only {value} from a weak bank through warm wire; "
     "{limit} is "
     "needed to open the device in time.{detail}",
     "Take a thicker conductor, a smaller rating, or a device nearer the end.",
     "On a long thin run the wire itself limits the current. The fuse then sees something like a "
     "heavy "
     "load, waits, and the wire stays hot all the while."},
    {"fault-slow", warning, "clearing time", "A short at the far end is cleared slowly",
     "{subject}: a short at its end takes up to {value} to clear; the aim is {limit}.{detail}",
     "Take a thicker conductor or a smaller rating.",
     "Figured with the slowest fuse of the published band, the weakest bank and warm wire."},
    {"let-through", danger, "let-through", "Conductor does not survive until the device clears",
     "{subject}: the device lets through {value}; the conductor stands {limit} without "
     "damage.{detail}",
     "Take a thicker conductor or a faster device.",
     "In the first moments of a short all heat stays in the copper. What the fuse lets pass before "
     "it "
     "opens must be less than what melts or chars the insulation."},
    {"let-through-unknown", notice, "let-through known",
     "Let-through of the overcurrent device is not published",
     "{subject}: what its overcurrent device lets through is not published.{detail}",
     "Ask the maker for the clearing I²t and compare it with what the conductor withstands.",
     "Until the device has cleared a short circuit, the conductor takes all its heat. Without the "
     "maker's figure nobody can say whether the insulation survives it."},
    {"inrush-unknown", notice, "inrush withstand known",
     "Melting I²t of the overcurrent device is not published",
     "{subject}: whether its overcurrent device rides through switching on is not known.{detail}",
     "Compare the figure with the maker's data sheet; a slower or larger device rides through "
     "more.",
     "Empty capacitors draw a short, high current when a circuit is switched on. A fuse that is "
     "fast for its rating may blow then, today or after a hundred times."},
    {"inrush", warning, "inrush", "Switching on may blow the device",
     "{subject}: switching on drives {value} through the device; it bears about {limit} that "
     "often.{detail}",
     "Use a slower form, a soft start, or a higher rating with a conductor to match.",
     "Empty input capacitors look like a short for some milliseconds. Each such pulse tires the "
     "fuse, "
     "so far fewer are borne than one would think from a single one."},
    {"selectivity", warning, "selectivity", "Two devices in series may both open",
     "{subject}: its device may open along with a smaller one behind it, and it feeds more than "
     "the "
     "faulty run.{detail}",
     "Make the upstream rating larger by the ratio the form needs, or the downstream one smaller.",
     "One bad camera cable should not take the router down. That holds only when the small fuse "
     "has "
     "cleared before the large one has begun to melt."},
    {"placement-distance", danger, "distance from the source",
     "Overcurrent device too far from the source",
     "{subject}: {value} of conductor lie between the source and its device; the rule allows "
     "{limit}.{detail}",
     "Move the device nearer, or enclose this length in a sheath if the rule then allows it.",
     "The wire before the fuse has nothing to protect it. It is kept short, sheathed and out of "
     "harm's "
     "way. Distances are measured along the conductor."},
    {"holder", danger, "holder current", "Holder or block carries more than it is made for",
     "{subject}: the holder sees {value}{case} and is made for {limit}.{detail}",
     "Use a heavier holder or block.",
     "Holders have a current limit of their own, often below the largest fuse that fits into "
     "them."},
    {"holder-interrupt", danger, "holder interrupt rating", "Holder limits what its fuse can break",
     "{subject}: a short circuit can drive {value}; the holder is made for {limit}.{detail}",
     "Use a holder with the same or a higher interrupt rating.",
     "The lower figure of fuse and holder counts."},
    {"switch", danger, "switch rating", "Switch not rated for this circuit",
     "{subject}: the switch makes and breaks {value}{case}; for DC at this voltage it is rated "
     "{limit}.{detail}",
     "Use a switch with a DC rating at this voltage, or let it work a relay.",
     "A switch that breaks 16 A at 230 V AC may weld or burn at a few amperes of DC. Loads with "
     "input "
     "capacitors are harder still on its contacts."},
    {"switch-unknown", warning, "switch rating known", "DC rating of the switch is not known",
     "{subject}: the switch breaks {value}{case} and states no rating for DC at this "
     "voltage.{detail}",
     "Find a DC rating for it, or use one that has it.",
     "An AC rating never serves for DC: at these volts it is the arc that wears the contacts out."},
    {"connector", danger, "connector or bus bar", "Connector or bus bar above its rating",
     "{subject} carries {value}{case} and is made for {limit}.{detail}",
     "Use a heavier part, or feed it from both ends.",
     "Pins, posts and bars warm at their contact faces; their rating assumes a clean, tight "
     "joint."},
    {"terminal-count", warning, "lugs on one stud", "Too many lugs on one stud",
     "{subject} holds {value} lugs; the habit is at most {limit}.{detail}",
     "Add a bus bar, or use a stud of its own for the heavy cables.",
     "Each lug more is another face to loosen, and the outer ones carry their current through all "
     "the "
     "others."},
    {"charger-protection", danger, "charger-side protection", "Charger side without protection",
     "{subject}: the bank can drive {value} backwards into this cable, and nothing at the bank's "
     "end opens.{detail}",
     "Put a device at the bank's end of the charger cable.",
     "A charger limits what it gives. It does not limit what the bank sends back when the cable is "
     "crushed."},
    {"rules-disagree", notice, "rule sets agree", "Two rule sets disagree; the stricter was used",
     "{subject}: the rule sets allow different currents; the stricter governs.{detail}",
     "Nothing to do, unless only one of them applies where you are.",
     "Published rules were written for different dangers. Both are shown so that you can see what "
     "the "
     "caution costs."},
};

}  // namespace

std::span<const FindingKind> protection_kinds() {
  return rows;
}

}  // namespace nightbus::finding_detail
