#include "finding/kinds.hpp"

namespace nightbus::finding_detail {

namespace {

using enum Severity;

constexpr FindingKind rows[] = {
    {"night-empties-bank", danger, "bank through the night", "The bank does not last the night",
     "{subject} reaches {value} before sunrise{case}; it is cut off at {limit}.{detail}",
     "Use a larger bank, or take less power at night.",
     "Everything on the bank goes dark, usually in the coldest hour, and comes back only when the "
     "sun "
     "has lifted it over the reconnect level."},
    {"deep-discharge", warning, "depth of discharge",
     "The bank is drawn deeper than is good for it",
     "{subject} falls to {value} of its charge{case}; {limit} should remain.{detail}",
     "Use a larger bank, or take less power at night.",
     "Depth costs life. A bank that is emptied each night wears out in a fraction of its years."},
    {"bank-not-full", warning, "charge by the evening", "The bank is not full by the evening",
     "{subject} stands at {value} at sunset{case}; {limit} is wanted.{detail}",
     "Add array, take less power, or accept several days to recover.",
     "What is missing in the evening is missing in the morning as well. After some grey days "
     "nothing is "
     "left of the reserve."},
    {"never-full", danger, "sun against use", "The sun gives less than the gear takes",
     "{subject}: {value} come in on an average day{case}, and {limit} go out.{detail}",
     "Add array or another charger, or take less power.",
     "With such a balance the bank only goes down; no size of bank mends that."},
    {"autonomy-short", warning, "days without sun", "Too few days without sun",
     "{subject} lasts {value} without sun{case}; {limit} are wanted.{detail}",
     "Use a larger bank, or let the least important loads be shed first.",
     "Grey days come in groups. The wish stands in the system file; it is yours to weigh."},
    {"availability-short", warning, "availability", "Power is there less often than wanted",
     "{subject}: the loads are served {value} of the time; {limit} is wanted.{detail}",
     "Add array first, then bank; shed the least important loads early.",
     "Simulated over the weather given. A typical year holds no unusual winter."},
    {"cold-charge", warning, "charging in the cold", "Charging blocked by cold",
     "{subject} is at {value}{case}; below {limit} it must not be charged.{detail}",
     "Keep the bank warmer: insulate it, let the gear's heat reach it, or heat it.",
     "Lithium iron phosphate cells are damaged for good when charged below freezing. The sun's "
     "power is "
     "then lost, not postponed."},
    {"bank-hot", warning, "warmth of the bank", "The bank is too warm",
     "{subject} is at {value}{case}; it should stay below {limit}.{detail}",
     "Move it away from the gear, or give it air of its own.",
     "Each ten degrees more halve the life of many batteries; above a limit the management stops "
     "the "
     "charge."},
    {"bank-cold-discharge", warning, "cold of the bank", "The bank is too cold to be used",
     "{subject} is at {value}{case}; below {limit} it should not be discharged.{detail}",
     "Keep the bank warmer.",
     "Cold raises the inner resistance, so the volts sag more than the charge would suggest."},
    {"charge-voltage", danger, "charging voltage", "Charging voltage does not suit the bank",
     "{subject} is charged to {value}; its chemistry bears {limit}.{detail}",
     "Set the charger for this chemistry and number of cells.",
     "Too high a voltage makes a lead bank gas and a lithium bank's management cut off with the "
     "charger "
     "still pushing; both can end in fire."},
    {"charge-current", warning, "charging current", "Charging current above what the bank accepts",
     "{subject} is charged with {value}{case}; it accepts {limit}.{detail}",
     "Lower the chargers' limits so that their sum stays below it.",
     "Several chargers add up: sun, engine and mains at once."},
    {"array-voltage", danger, "array voltage, highest",
     "Array voltage above the controller's limit",
     "{subject} reaches {value} on a cold bright morning; its controller bears {limit}.{detail}",
     "Put fewer modules in series, or use a controller with a higher limit.",
     "A module gives its highest voltage cold and unloaded, just after sunrise. One such morning "
     "destroys the controller."},
    {"array-voltage-low", warning, "array voltage, lowest", "Array voltage too low to charge",
     "{subject} works at {value} when hot{case}; charging needs {limit}.{detail}",
     "Put more modules in series.",
     "Heat lowers a module's voltage. A tracking controller needs some volts more than the bank "
     "has."},
    {"array-current", warning, "array current", "Array gives more than its controller takes",
     "{subject} can give {value}; its controller takes {limit}.{detail}",
     "Use a larger controller, or accept that bright hours are cut.",
     "Most tracking controllers cap the current and waste the rest; some do not bear it."},
    {"charger-missing", danger, "a source that fills the bank", "Nothing fills the bank",
     "{subject} has no charger and no array.{detail}",
     "Add an [[array]] or a [[charger]] that feeds its bus.",
     "The plan then only tells how long one filling lasts."},
    {"load-shed", notice, "load kept on", "A load is shed to save the bank",
     "{subject} is off for {value} a day{case}.{detail}",
     "Give it a higher priority, or a larger bank.",
     "Loads are shed from the lowest priority up when the bank reaches its levels."},
    {"voltage-disconnect-early", warning, "charge left at disconnection",
     "Disconnects while the bank still holds charge",
     "{subject} stands at {value}{case} and disconnects at {limit}, although charge is "
     "left.{detail}",
     "Lower the disconnect voltage, or the resistance between it and the bank.",
     "Under load the volts sag; a disconnect that looks at volts takes that for emptiness."},
    {"battery-gas", warning, "air for a lead bank", "Lead bank needs fresh air",
     "{subject} gives off gas when charged hard; {value} of fresh air are needed.{detail}",
     "Ventilate to the outside, high up, and keep sparks away.",
     "The gas is hydrogen. It rises, gathers under a lid, and a switch is enough to light it."},
    {"weather-gap", notice, "weather without gaps", "Weather data has gaps",
     "{subject}: {value} of the hours were missing and filled; {limit} is the most that is filled "
     "without a word.{detail}",
     "Use a complete file, or read the results of those days with care.",
     "Gaps are filled from their neighbours. That makes dull days look smoother than they were."},
    {"weather-labels", warning, "weather time stamps", "Weather time stamps look shifted",
     "{subject}: sun and readings disagree by {value}; {limit} is usual.{detail}",
     "Say whether stamps mark the beginning, middle or end of their interval, and in which time "
     "zone.",
     "Half an hour of shift moves mornings and evenings, and with them the night's length."},
    {"energy-balance", danger, "energy ledger", "The energy ledger does not close",
     "{subject}: {value} are unaccounted for; {limit} would be rounding.{detail}",
     "Please report the file: this is a fault in the program.",
     "What goes in must come out or be stored. If it does not, no figure of this run can be "
     "trusted."},
};

}  // namespace

std::span<const FindingKind> energy_kinds() {
  return rows;
}

}  // namespace nightbus::finding_detail
