#include "system/choices.hpp"
#include "system/tables.hpp"

namespace nightbus::system_detail {

RecordType bank_type() {
  auto type = many<Bank>(
      "bank", "Bank", "The battery.", &System::banks,
      {
          NB_ROW(Bank, "name", name, "Name used by runs.").need(),
          NB_ROW(Bank, "note", note, "Anything worth keeping with it."),
          NB_ROW(Bank, "chemistry", chemistry, "Battery chemistry of the catalogue.")
              .refers("chemistry")
              .need(),
          NB_ROW(Bank, "voltage", nominal_v, "Nominal voltage: 12 or 24 V as a rule.")
              .in(Dimension::voltage)
              .need()
              .from(6)
              .to(60),
          NB_ROW(Bank, "capacity", capacity_ah, "Rated capacity of one string.")
              .in(Dimension::charge)
              .need()
              .above(0)
              .to(100000),
          NB_ROW(Bank, "strings", strings, "Equal strings in parallel.").from(1).to(64),
          NB_ROW(Bank, "resistance", resistance_ohm,
                 "Inner resistance of one string, links and switches included.")
              .in(Dimension::resistance)
              .from(0)
              .to(10),
          NB_ROW(Bank, "short_circuit", short_circuit_a,
                 "Short-circuit current stated for one string.")
              .in(Dimension::current)
              .above(0)
              .to(1e6),
          NB_ROW(Bank, "cold_cranking", cold_cranking_a,
                 "Cold cranking current stated for one string.")
              .in(Dimension::current)
              .above(0)
              .to(1e5),
          NB_ROW(Bank, "charge_low", charge_low, "State of charge that the case \"low\" means.")
              .in(Dimension::ratio, "%")
              .assume()
              .from(0)
              .to(1),
          NB_ROW(Bank, "charge_rest", charge_rest, "State of charge that the case \"rest\" means.")
              .in(Dimension::ratio, "%")
              .assume()
              .from(0)
              .to(1),
          NB_ROW(Bank, "charge_start", charge_start,
                 "State of charge at which a simulation starts.")
              .in(Dimension::ratio, "%")
              .assume()
              .from(0)
              .to(1),
          NB_ROW(Bank, "reserve", reserve, "Share of the charge that must stay in the bank.")
              .in(Dimension::ratio, "%")
              .assume()
              .from(0)
              .to(0.95),
          NB_ROW(Bank, "ageing", ageing,
                 "Share of the capacity that is left at the end of its life.")
              .in(Dimension::ratio, "%")
              .assume()
              .above(0)
              .to(1),
          NB_ROW(Bank, "disconnect", disconnect_v, "Loads are cut off below this voltage.")
              .in(Dimension::voltage)
              .above(0)
              .to(70),
          NB_ROW(Bank, "reconnect", reconnect_v, "Loads come back above this voltage.")
              .in(Dimension::voltage)
              .above(0)
              .to(70),
          NB_ROW(Bank, "absorption", absorption_v,
                 "Highest charging voltage; else the chemistry's.")
              .in(Dimension::voltage)
              .above(0)
              .to(70),
          NB_ROW(Bank, "float", float_v, "Float voltage; else the chemistry's.")
              .in(Dimension::voltage)
              .above(0)
              .to(70),
          NB_ROW(Bank, "max_charge", max_charge_a, "Charge current limit of one string.")
              .in(Dimension::current)
              .above(0)
              .to(1e5),
          NB_ROW(Bank, "max_discharge", max_discharge_a, "Discharge current limit of one string.")
              .in(Dimension::current)
              .above(0)
              .to(1e5),
          NB_ROW(Bank, "standby", standby_a, "Drawn all day by monitor and management system.")
              .in(Dimension::current)
              .assume()
              .from(0)
              .to(10),
          NB_ROW(Bank, "compartment", compartment, "Where it sits.").refers("compartment"),
      });
  type.is_point = true;
  return type;
}

RecordType charger_type() {
  auto type = many<Charger>(
      "charger", "Charger", "Fills the bank from the mains, an engine or a generator.",
      &System::chargers,
      {
          NB_ROW(Charger, "name", name, "Name used by runs.").need(),
          NB_ROW(Charger, "note", note, "Anything worth keeping with it."),
          NB_ROW(Charger, "kind", kind, "What drives it."),
          NB_ROW(Charger, "current", current_a, "Current limit at its output.")
              .in(Dimension::current)
              .need()
              .above(0)
              .to(2000),
          NB_ROW(Charger, "voltage", voltage_v,
                 "Voltage ceiling; else the bank's absorption voltage.")
              .in(Dimension::voltage)
              .above(0)
              .to(70),
          NB_ROW(Charger, "efficiency", efficiency, "Output over input power.")
              .in(Dimension::ratio, "%")
              .assume()
              .above(0)
              .to(1),
          NB_ROW(Charger, "schedule", schedule,
                 "Local times when it is powered, such as \"08:00-10:30\".")
              .windows(),
          NB_ROW(Charger, "start_below", start_below,
                 "State of charge at which a generator starts.")
              .in(Dimension::ratio, "%")
              .from(0)
              .to(1),
          NB_ROW(Charger, "stop_above", stop_above, "State of charge at which a generator stops.")
              .in(Dimension::ratio, "%")
              .from(0)
              .to(1),
          NB_ROW(Charger, "compartment", compartment, "Where it sits.").refers("compartment"),
      });
  type.is_point = true;
  type.feedable = true;
  return type;
}

RecordType array_type() {
  auto type = many<Array>(
      "array", "Array", "Solar modules with their controller.", &System::arrays,
      {
          NB_ROW(Array, "name", name, "Name used by runs: the controller's output.").need(),
          NB_ROW(Array, "note", note, "Anything worth keeping with it."),
          NB_ROW(Array, "power", power_w, "Rated power of the whole array at 1000 W/m² and 25 °C.")
              .in(Dimension::power)
              .need()
              .above(0)
              .to(100000),
          NB_ROW(Array, "tilt", tilt_deg, "0 flat, 90 upright.")
              .in(Dimension::angle)
              .assume()
              .from(0)
              .to(90),
          NB_ROW(Array, "azimuth", azimuth_deg, "Where it faces, from north clockwise.")
              .in(Dimension::angle)
              .assume()
              .from(0)
              .to(360),
          NB_ROW(Array, "turning", turning, "On a vehicle whose heading is not known."),
          NB_ROW(Array, "tracking", tracking, "How the controller couples the array to the bank."),
          NB_ROW(Array, "controller_current", controller_a,
                 "Output current limit of the controller.")
              .in(Dimension::current)
              .need()
              .above(0)
              .to(1000),
          NB_ROW(Array, "controller_voltage", controller_v,
                 "Highest input voltage of the controller.")
              .in(Dimension::voltage)
              .above(0)
              .to(1500),
          NB_ROW(Array, "controller_efficiency", controller_efficiency, "Output over input power.")
              .in(Dimension::ratio, "%")
              .assume()
              .above(0)
              .to(1),
          NB_ROW(Array, "controller_standby", controller_standby_w,
                 "Drawn by the controller at night.")
              .in(Dimension::power)
              .assume()
              .from(0)
              .to(100),
          NB_ROW(Array, "open_circuit", voc_v, "Open-circuit voltage of the array at 25 °C.")
              .in(Dimension::voltage)
              .above(0)
              .to(1500),
          NB_ROW(Array, "peak_voltage", vmp_v, "Voltage at its peak power at 25 °C.")
              .in(Dimension::voltage)
              .above(0)
              .to(1500),
          NB_ROW(Array, "short_circuit", isc_a, "Short-circuit current of the array at 25 °C.")
              .in(Dimension::current)
              .above(0)
              .to(1000),
          NB_ROW(Array, "peak_current", imp_a, "Current at its peak power at 25 °C.")
              .in(Dimension::current)
              .above(0)
              .to(1000),
          NB_ROW(Array, "power_coefficient", power_per_k, "Change of power per kelvin.")
              .in(Dimension::ratio_per_kelvin, "%/K")
              .assume()
              .from(-0.02)
              .to(0.01),
          NB_ROW(Array, "voltage_coefficient", voc_per_k,
                 "Change of open-circuit voltage per kelvin.")
              .in(Dimension::ratio_per_kelvin, "%/K")
              .assume()
              .from(-0.02)
              .to(0.01),
          NB_ROW(Array, "losses", losses,
                 "Soiling, mismatch, wiring and age: all but the controller.")
              .in(Dimension::ratio, "%")
              .assume()
              .from(0)
              .to(0.95),
          NB_ROW(Array, "monthly_loss", monthly_loss,
                 "Snow and dirt on top of that, January first.")
              .in(Dimension::ratio, "%")
              .exactly(12)
              .from(0)
              .to(1),
          NB_ROW(Array, "horizon", horizon_deg,
                 "Height of the horizon in equal steps of azimuth, from north clockwise.")
              .in(Dimension::angle)
              .from(0)
              .to(90),
          NB_ROW(Array, "compartment", compartment, "Where the controller sits.")
              .refers("compartment"),
      });
  type.is_point = true;
  type.feedable = true;
  return type;
}

}  // namespace nightbus::system_detail
