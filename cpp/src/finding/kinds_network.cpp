#include "finding/kinds.hpp"

namespace nightbus::finding_detail {

namespace {

using enum Severity;

constexpr FindingKind rows[] = {
    {"undervoltage", warning, "lowest input voltage", "Device sees less than its input window",
     "{subject} sees {value}{case}; it needs at least {limit}.{detail}",
     "Take thicker copper on the way, shorten it, or feed the device from a converter.",
     "Below its window a device restarts, loops at boot or corrupts what it writes. It tends to "
     "happen "
     "before dawn, when the bank is low and the night vision of the cameras is on."},
    {"overvoltage", danger, "highest input voltage", "Device sees more than its input window",
     "{subject} sees {value}{case}; it bears at most {limit}.{detail}",
     "Feed it from a converter with a fixed output, or choose gear made for the charging voltage.",
     "A bank called 12 V stands well above 14 V while it charges. Gear made for \"12 V ±10 %\" "
     "ends at "
     "13.2 V, which some banks pass even at rest."},
    {"window-margin", notice, "margin in the input window",
     "Device close to the edge of its input window",
     "{subject} sees {value}{case}; the edge of its window is {limit}.{detail}",
     "Leave some room: a warm joint or an old bank takes it away.",
     "Within the window, yet nearer to its edge than the margin asked for."},
    {"undervoltage-lockout", warning, "voltage above lock-out", "Device switches itself off",
     "{subject} switches off at {limit} and sees {value}{case}.{detail}",
     "Lower the loss on the way, or let the device start later than the others.",
     "Many devices and converters stop on purpose when their input is low, and start again some "
     "tenths "
     "of a volt higher."},
    {"collapse", danger, "an operating point", "No operating point exists",
     "{subject}: the power asked for cannot be carried{case}; the network gives way at {value} "
     "times the "
     "load, and {limit} is wanted.{detail}",
     "Take thicker copper on the way to the largest loads, raise the voltage, or take less power.",
     "A constant-power device draws more amperes as its volts fall. Beyond a certain point the "
     "extra "
     "drop eats the extra current, and the voltage falls through. More copper or a higher voltage "
     "moves "
     "that point."},
    {"collapse-margin", warning, "margin to collapse", "Close to voltage collapse",
     "{subject}: {value} times the load would make the voltage give way{case}; {limit} is "
     "wanted.{detail}",
     "Take thicker copper on the way to the largest loads, or raise the voltage.",
     "The plan still has an operating point, but a cold start or a worn joint may take it away."},
    {"no-consistent-state", danger, "a state that holds", "On or off, neither state holds",
     "{subject} finds no state that holds{case}.{detail}",
     "Lower the loss on the way so that the bus sags less, or widen the gap between stop and "
     "restart.",
     "Switched off, the bus rises and the device starts; started, the bus sags and it stops. Such "
     "chatter wears out relays and keeps gear from ever booting."},
    {"not-converged", danger, "solution of the network", "The network was not solved",
     "{subject}: the solution did not settle{case}.{detail}",
     "Look for a resistance or a power that cannot be meant; please report the file if there is "
     "none.",
     "Nothing that rests on this case can be trusted, so the plan does not count it as good."},
    {"node-isolated", danger, "a source for every part", "Part of the network has no source",
     "{subject} has no path to a source{case}.{detail}",
     "Close the switch or add the run that is missing.",
     "Its voltage is not defined, so nothing can be said about it."},
    {"converter-overload", danger, "converter power", "Converter asked for more than it can give",
     "{subject} is asked for {value}{case}; it gives at most {limit}.{detail}",
     "Use a larger converter or share the load between two.",
     "At its limit a converter lowers its output or shuts down, and all behind it goes dark at "
     "once."},
    {"converter-dropout", warning, "converter drop-out",
     "Converter input too low to hold its output",
     "{subject}: the input is {value}{case}; to hold its output it needs {limit}.{detail}",
     "Lower the loss before it, or use one that can also step up.",
     "A step-down converter cannot give more than it gets, less a little of its own. From there on "
     "its "
     "output follows the input down."},
    {"converter-input-window", danger, "converter input window",
     "Converter input outside what it bears",
     "{subject}: the input is {value}{case}; the limit is {limit}.{detail}",
     "Choose a converter made for the whole range of the bus, charging included.",
     "Converters are less forgiving about a high input than most devices: their switch breaks "
     "down."},
    {"converter-back-feed", warning, "converter back-feed",
     "Current flows backwards into a converter",
     "{subject} is fed {value} from its output side{case}.{detail}",
     "Put a diode or a disconnect in the output.",
     "Two sources on one bus push into each other. Some converters do not bear that."},
    {"converter-light-load", notice, "converter losses", "Converter spends more than it passes on",
     "{subject} takes {value} for itself{case} and passes on {limit}.{detail}",
     "Use a smaller converter, or one with a lower standby draw.",
     "A converter's own draw runs day and night. With a small load it can be most of the bill."},
    {"source-overload", danger, "source current", "Source asked for more than it may give",
     "{subject} gives {value}{case}; it may give {limit}.{detail}",
     "Add capacity in parallel, or take less power.",
     "A battery's management switches off above its continuous limit, and everything goes dark."},
    {"charger-limit", notice, "charger current", "Charger at its current limit",
     "{subject} stands at its limit of {limit}{case}; {value} would be taken.{detail}",
     "Nothing to do if the bank fills in time; else a larger charger.",
     "At the limit the loads are served first and the bank gets what is left."},
    {"poe-class", danger, "PoE class", "Device asks for more than its PoE class",
     "{subject} draws {value}{case}; its class allows {limit}.{detail}",
     "Set the right class, or use a port of a higher type.",
     "The port measures and cuts the power of a device that takes more than it announced."},
    {"poe-port-power", danger, "PoE port power", "PoE port asked for more than it may give",
     "{subject}: the port gives {value}{case}, cable loss included; it may give {limit}.{detail}",
     "Use a port of a higher type, or a shorter or thicker cable.",
     "The port has to pay for the cable too: at the far end less arrives than it gives."},
    {"poe-voltage", danger, "PoE port voltage", "PoE port voltage outside the standard",
     "{subject}: the port stands at {value}{case}; the limit of its type is {limit}.{detail}",
     "Feed the port from a converter that holds its voltage.",
     "Types 2 to 4 need 50 V or more at the port. A bank of nominal 48 V, without a converter, "
     "spends "
     "much of the night below that."},
    {"poe-device-voltage", warning, "voltage at the powered device",
     "Powered device sees too little voltage",
     "{subject} sees {value} at the end of its cable{case}; it needs {limit}.{detail}",
     "Use a shorter or thicker cable, or four pairs.",
     "The far end of the data cable is below what the standard promises a device."},
    {"poe-budget", warning, "PoE budget", "PoE ports together exceed what feeds them",
     "{subject} is asked for {value} over all ports{case}; its supply gives {limit}.{detail}",
     "Move a device, or use a larger supply.",
     "When the total is reached a switch drops its lowest-priority ports."},
    {"poe-isolation", notice, "PoE isolation", "Passive power on data pairs",
     "{subject} puts {value} on the pairs without asking the device.{detail}",
     "Label both ends, and never plug other gear into it.",
     "Without detection a port feeds whatever is plugged in, made for it or not."},
    {"startup-order", warning, "start from dark", "Not all devices come up from dark",
     "{subject} does not start{case}: it sees {value} and needs {limit}.{detail}",
     "Start the devices one after another, or lower the loss on the way.",
     "After a dark night everything starts at once, with inrush and cold capacitors. What runs "
     "well when "
     "running may still not start."},
};

}  // namespace

std::span<const FindingKind> network_kinds() {
  return rows;
}

}  // namespace nightbus::finding_detail
