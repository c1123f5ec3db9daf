#include "system/choices.hpp"
#include "system/tables.hpp"

namespace nightbus::system_detail {

RecordType load_type() {
  auto type = many<Load>(
      "load", "Load", "What consumes.", &System::loads,
      {
          NB_ROW(Load, "name", name, "Name used by runs.").need(),
          NB_ROW(Load, "note", note, "Anything worth keeping with it."),
          NB_ROW(Load, "count", count, "Equal devices at the same point.").from(1).to(1000),
          NB_ROW(Load, "behaviour", behaviour, "How its draw follows the voltage.").assume(),
          NB_ROW(Load, "typical", typical_w, "Power of one device in ordinary work.")
              .in(Dimension::power)
              .need()
              .from(0)
              .to(20000),
          NB_ROW(Load, "peak", peak_w, "Largest power of one device that lasts.")
              .in(Dimension::power)
              .from(0)
              .to(20000),
          NB_ROW(Load, "rest", rest_w, "Power of one device with nothing to do.")
              .in(Dimension::power)
              .from(0)
              .to(20000),
          NB_ROW(Load, "rated_voltage", nominal_v, "Voltage at which its watts are stated.")
              .in(Dimension::voltage)
              .above(0)
              .to(400),
          NB_ROW(Load, "window", window_v, "Input voltage it accepts, such as \"9 V to 36 V\".")
              .in(Dimension::voltage)
              .above(0)
              .to(400),
          NB_ROW(Load, "off_below", off_v, "It switches itself off below this voltage.")
              .in(Dimension::voltage)
              .above(0)
              .to(400),
          NB_ROW(Load, "on_above", on_v, "It starts again above this voltage.")
              .in(Dimension::voltage)
              .above(0)
              .to(400),
          NB_ROW(Load, "drop_class", drop_class, "Which drop limit holds for it.").assume(),
          NB_ROW(Load, "schedule", usage.schedule,
                 "Local times when it works, such as \"06:30-22:00\"; leave out for always.")
              .windows(),
          NB_ROW(Load, "duty", usage.duty,
                 "Share of that time at typical power, at rest otherwise.")
              .in(Dimension::ratio, "%")
              .assume()
              .from(0)
              .to(1),
          NB_ROW(Load, "night_extra", usage.night_extra_w,
                 "Added from sunset to sunrise, each device.")
              .in(Dimension::power)
              .from(0)
              .to(1000),
          NB_ROW(Load, "priority", usage.priority, "1 is shed last, 5 first.").from(1).to(5),
          NB_ROW(Load, "inrush", inrush_f, "Input capacitance of one device.")
              .in(Dimension::capacitance)
              .from(0)
              .to(10),
          NB_ROW(Load, "start_delay", start_delay_s, "Waits this long before it draws.")
              .in(Dimension::time)
              .from(0)
              .to(86400),
          NB_ROW(Load, "temp", temp_c, "Air temperature it tolerates, such as \"0 °C to 45 °C\".")
              .in(Dimension::temperature)
              .from(-100)
              .to(200),
          NB_ROW(Load, "compartment", compartment, "Where it sits.").refers("compartment"),
      });
  type.is_point = true;
  type.feedable = true;
  return type;
}

RecordType fan_type() {
  auto type = many<Fan>(
      "fan", "Fan", "Moves air through a compartment, in steps that follow its temperature.",
      &System::fans,
      {
          NB_ROW(Fan, "name", name, "Name used by runs.").need(),
          NB_ROW(Fan, "note", note, "Anything worth keeping with it."),
          NB_ROW(Fan, "count", count, "Equal fans on the same control.").from(1).to(100),
          NB_ROW(Fan, "step_power", step_w, "Power at each step, lowest first.")
              .in(Dimension::power)
              .need()
              .from(0)
              .to(1000),
          NB_ROW(Fan, "step_flow", step_flow_m3s, "Free air flow at each step.")
              .in(Dimension::air_flow, "m³/h")
              .need()
              .from(0)
              .to(10),
          NB_ROW(Fan, "installed_share", installed_share, "Flow once built in, of the free flow.")
              .in(Dimension::ratio, "%")
              .assume()
              .above(0)
              .to(1),
          NB_ROW(Fan, "lowest_step", lowest_step, "It never runs below this step; 0 is off.")
              .from(0)
              .to(20),
          NB_ROW(Fan, "set_point", set_point_c, "Above this temperature it goes one step up.")
              .in(Dimension::temperature)
              .assume()
              .from(-40)
              .to(90),
          NB_ROW(Fan, "step_width", step_width_k, "One step more for each such rise.")
              .in(Dimension::temperature_difference)
              .assume()
              .above(0)
              .to(50),
          NB_ROW(Fan, "cools", cools, "Compartment that it serves.").refers("compartment").need(),
          NB_ROW(Fan, "inlet", inlet, "\"outside\", or the compartment its air comes from.")
              .refers("inlet"),
          NB_ROW(Fan, "inlet_share", inlet_share,
                 "Share of its air from there, the rest from outside.")
              .in(Dimension::ratio, "%")
              .from(0)
              .to(1),
          NB_ROW(Fan, "window", window_v, "Input voltage it accepts.")
              .in(Dimension::voltage)
              .above(0)
              .to(400),
          NB_ROW(Fan, "drop_class", drop_class, "Which drop limit holds for it.").assume(),
          NB_ROW(Fan, "priority", priority, "1 is shed last, 5 first.").from(1).to(5),
      });
  type.is_point = true;
  type.feedable = true;
  return type;
}

RecordType converter_type() {
  auto type = many<Converter>(
      "converter", "Converter", "Makes another voltage: up, down, PoE injector or inverter.",
      &System::converters,
      {
          NB_ROW(Converter, "name", name, "Runs to it feed it; runs from it carry its output.")
              .need(),
          NB_ROW(Converter, "note", note, "Anything worth keeping with it."),
          NB_ROW(Converter, "kind", kind, "What it is."),
          NB_ROW(Converter, "output", output_v, "Output voltage.")
              .in(Dimension::voltage)
              .need()
              .above(0)
              .to(400),
          NB_ROW(Converter, "power", power_w, "Rated output power.")
              .in(Dimension::power)
              .need()
              .above(0)
              .to(20000),
          NB_ROW(
              Converter, "efficiency", efficiency,
              "Points of the curve, [share of rated output, efficiency]; left out, 85 % is taken."),
          NB_ROW(Converter, "standby", standby_w, "Drawn with nothing on its output.")
              .in(Dimension::power)
              .assume()
              .from(0)
              .to(200),
          NB_ROW(Converter, "window", window_v, "Input voltage it accepts.")
              .in(Dimension::voltage)
              .above(0)
              .to(400),
          NB_ROW(Converter, "off_below", off_v, "It switches itself off below this input voltage.")
              .in(Dimension::voltage)
              .above(0)
              .to(400),
          NB_ROW(Converter, "on_above", on_v, "It starts again above this input voltage.")
              .in(Dimension::voltage)
              .above(0)
              .to(400),
          NB_ROW(Converter, "output_resistance", output_ohm, "Droop of the output.")
              .in(Dimension::resistance)
              .from(0)
              .to(10),
          NB_ROW(Converter, "isolated", isolated, "No connection between the two negatives."),
          NB_ROW(Converter, "drop_class", drop_class, "Which drop limit holds for its input.")
              .assume(),
          NB_ROW(Converter, "priority", priority, "1 is shed last, 5 first.").from(1).to(5),
          NB_ROW(Converter, "inrush", inrush_f, "Input capacitance.")
              .in(Dimension::capacitance)
              .from(0)
              .to(10),
          NB_ROW(Converter, "temp", temp_c, "Air temperature it tolerates.")
              .in(Dimension::temperature)
              .from(-100)
              .to(200),
          NB_ROW(Converter, "compartment", compartment, "Where it sits.").refers("compartment"),
      });
  type.is_point = true;
  type.feedable = true;
  return type;
}

RecordType poe_link_type() {
  auto type = many<PoeLink>(
      "poe_link", "PoeLink", "A powered port, its cable and the device at the end.",
      &System::poe_links,
      {
          NB_ROW(PoeLink, "name", name, "Name of the powered device.").need(),
          NB_ROW(PoeLink, "note", note, "Anything worth keeping with it."),
          NB_ROW(PoeLink, "from", from, "Converter that powers the port.")
              .refers("converter")
              .need(),
          NB_ROW(PoeLink, "length", length_m, "Cable, one way.")
              .in(Dimension::length)
              .need()
              .above(0)
              .to(1000),
          NB_ROW(PoeLink, "cable", cable, "Cable of the catalogue, by conductor size.")
              .refers("PoE cable")
              .assume(),
          NB_ROW(PoeLink, "cable_resistance", cable_ohm_per_m, "Of one conductor, per length.")
              .in(Dimension::resistance_per_length)
              .above(0)
              .to(10),
          NB_ROW(PoeLink, "type", type, "Type of IEEE 802.3, or passive."),
          NB_ROW(PoeLink, "pairs", pairs, "Powered pairs, 2 or 4.").from(2).to(4),
          NB_ROW(PoeLink, "class", power_class, "Class of the device, 0 to 8.").from(0).to(8),
          NB_ROW(PoeLink, "typical", typical_w, "Power at the device in ordinary work.")
              .in(Dimension::power)
              .need()
              .from(0)
              .to(200),
          NB_ROW(PoeLink, "peak", peak_w, "Largest power at the device that lasts.")
              .in(Dimension::power)
              .from(0)
              .to(200),
          NB_ROW(PoeLink, "rest", rest_w, "Power at the device with nothing to do.")
              .in(Dimension::power)
              .from(0)
              .to(200),
          NB_ROW(PoeLink, "window", window_v, "Input voltage the device accepts; else its type's.")
              .in(Dimension::voltage)
              .above(0)
              .to(100),
          NB_ROW(PoeLink, "schedule", usage.schedule,
                 "Local times when it works, such as \"06:30-22:00\"; leave out for always.")
              .windows(),
          NB_ROW(PoeLink, "duty", usage.duty,
                 "Share of that time at typical power, at rest otherwise.")
              .in(Dimension::ratio, "%")
              .assume()
              .from(0)
              .to(1),
          NB_ROW(PoeLink, "night_extra", usage.night_extra_w,
                 "Added from sunset to sunrise: infra-red lamps.")
              .in(Dimension::power)
              .from(0)
              .to(100),
          NB_ROW(PoeLink, "priority", usage.priority, "1 is shed last, 5 first.").from(1).to(5),
          NB_ROW(PoeLink, "temp", temp_c, "Air temperature it tolerates.")
              .in(Dimension::temperature)
              .from(-100)
              .to(200),
          NB_ROW(PoeLink, "bundle", bundle, "Powered cables running together.").from(1).to(1000),
          NB_ROW(PoeLink, "compartment", compartment, "Where the device sits.")
              .refers("compartment"),
      });
  type.is_point = true;
  return type;
}

}  // namespace nightbus::system_detail
