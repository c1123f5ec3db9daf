#include "system/choices.hpp"
#include "system/tables.hpp"

namespace nightbus::system_detail {

RecordType site_type() {
  return one<Site>(
      "site", "Site", "Where the system stands: sun, temperatures and local time follow from it.",
      &System::site,
      {
          NB_ROW(Site, "name", name, "What the place is called."),
          NB_ROW(Site, "latitude", latitude_deg, "North positive.")
              .in(Dimension::angle)
              .need()
              .from(-90)
              .to(90),
          NB_ROW(Site, "longitude", longitude_deg, "East positive.")
              .in(Dimension::angle)
              .need()
              .from(-180)
              .to(180),
          NB_ROW(Site, "elevation", elevation_m, "Height above the sea.")
              .in(Dimension::length)
              .assume()
              .from(-450)
              .to(9000),
          NB_ROW(Site, "time_zone", time_zone, "IANA name, such as \"Europe/Stockholm\".").assume(),
          NB_ROW(Site, "temp_cold", temp_cold_c, "Coldest air the system must work in.")
              .in(Dimension::temperature)
              .assume()
              .from(-60)
              .to(50),
          NB_ROW(Site, "temp_mild", temp_mild_c, "Ordinary air.")
              .in(Dimension::temperature)
              .assume()
              .from(-60)
              .to(60),
          NB_ROW(Site, "temp_hot", temp_hot_c, "Hottest air in the shade.")
              .in(Dimension::temperature)
              .assume()
              .from(-40)
              .to(70),
          NB_ROW(Site, "peak_sun_hours", peak_sun_hours_wh_per_m2,
                 "Sun on the horizontal by month, January first; a plain number is hours at 1000 "
                 "W/m².")
              .in(Dimension::insolation, "h")
              .exactly(12)
              .from(0)
              .to(12000),
          NB_ROW(Site, "clearness", clearness,
                 "Share of a clear sky by month, January first; used without peak_sun_hours.")
              .in(Dimension::ratio)
              .exactly(12)
              .from(0)
              .to(1),
          NB_ROW(Site, "albedo", albedo, "Share of light that the ground gives back.")
              .in(Dimension::ratio)
              .assume()
              .from(0)
              .to(1),
      });
}

RecordType rules_type() {
  return one<Rules>(
      "rules", "Rules", "Which published rules govern, and the choices they leave open.",
      &System::rules,
      {
          NB_ROW(Rules, "sets", sets, "Rule sets of the catalogue; the strictest wins.")
              .refers("rule set")
              .assume(),
          NB_ROW(Rules, "sizes", sizes, "Conductor family to choose from.")
              .refers("conductor family")
              .assume(),
          NB_ROW(Rules, "stock", stock, "The only sizes that may be chosen; leave out for all."),
          NB_ROW(Rules, "insulation", insulation_c, "Insulation class of runs that do not say.")
              .in(Dimension::temperature)
              .assume()
              .from(60)
              .to(250),
          NB_ROW(Rules, "terminal", terminal_c, "Temperature that terminals are rated for.")
              .in(Dimension::temperature)
              .assume()
              .from(40)
              .to(250),
          NB_ROW(Rules, "enclosed", enclosed, "Runs lie in conduit, loom or duct, not in free air.")
              .assume(),
          NB_ROW(
              Rules, "drop_critical", drop_critical,
              "Largest voltage drop to critical loads, and in the lead of a charger or array, of "
              "nominal voltage.")
              .in(Dimension::ratio, "%")
              .assume()
              .above(0)
              .to(0.5),
          NB_ROW(Rules, "drop_general", drop_general, "The same for general loads.")
              .in(Dimension::ratio, "%")
              .assume()
              .above(0)
              .to(0.5),
          NB_ROW(Rules, "continuous_factor", continuous_factor,
                 "Rating of an overcurrent device over its continuous current.")
              .in(Dimension::number)
              .assume()
              .from(1)
              .to(3),
          NB_ROW(Rules, "load_margin", load_margin,
                 "Added to every load when wiring is sized: what you do not know about it.")
              .in(Dimension::ratio, "%")
              .assume()
              .from(0)
              .to(1),
          NB_ROW(Rules, "fuse_forms", fuse_forms,
                 "Overcurrent forms that may be chosen; leave out for all.")
              .refers("overcurrent form"),
          NB_ROW(Rules, "objective", objective,
                 "What the choice of sizes makes least: copper mass, cost, or different sizes.")
              .assume(),
      });
}

RecordType price_type() {
  return many<Price>("price", "Price",
                     "What a metre of one conductor costs, for the objective \"cost\".",
                     &System::prices,
                     {
                         NB_ROW(Price, "size", size, "Conductor size.").need(),
                         NB_ROW(Price, "per_metre", per_m, "Money per metre, any currency.")
                             .in(Dimension::number)
                             .need()
                             .above(0)
                             .to(1e6),
                     });
}

RecordType case_type() {
  return many<Case>(
      "case", "Case", "One operating condition in which the whole system is examined.",
      &System::cases,
      {
          NB_ROW(Case, "name", name, "Short name, used in findings.").need(),
          NB_ROW(Case, "note", note, "Anything worth keeping with it."),
          NB_ROW(Case, "bank", bank, "State of the bank."),
          NB_ROW(Case, "demand", demand, "What the loads draw."),
          NB_ROW(Case, "ambient", ambient, "Outside air: the site's cold, mild or hot."),
          NB_ROW(Case, "charge", charge,
                 "State of charge, instead of the bank's own for this state.")
              .in(Dimension::ratio, "%")
              .from(0)
              .to(1),
          NB_ROW(Case, "temp", temp_c, "Outside air, instead of the site's.")
              .in(Dimension::temperature)
              .from(-60)
              .to(90),
          NB_ROW(Case, "off", off, "Loads, converters and chargers that are switched off.")
              .refers("point"),
      });
}

RecordType compartment_type() {
  return many<Compartment>(
      "compartment", "Compartment", "An air space that gear, bank or runs sit in.",
      &System::compartments,
      {
          NB_ROW(Compartment, "name", name, "Name used by what sits in it.").need(),
          NB_ROW(Compartment, "note", note, "Anything worth keeping with it."),
          NB_ROW(Compartment, "conductance", conductance_w_per_k,
                 "Heat through its walls to outside, area times transmittance.")
              .in(Dimension::thermal_conductance)
              .need()
              .from(0)
              .to(10000),
          NB_ROW(Compartment, "heat_capacity", heat_capacity_j_per_k,
                 "Of the air, the gear and the inner walls.")
              .in(Dimension::heat_capacity)
              .assume()
              .above(0)
              .to(1e9),
          NB_ROW(Compartment, "solar_gain", solar_gain_w,
                 "Heat from the sun on its walls at 1000 W/m² on the horizontal.")
              .in(Dimension::power)
              .assume()
              .from(0)
              .to(20000),
          NB_ROW(Compartment, "neighbour", neighbour, "Compartment behind a common wall.")
              .refers("compartment"),
          NB_ROW(Compartment, "neighbour_conductance", neighbour_w_per_k, "Heat through that wall.")
              .in(Dimension::thermal_conductance)
              .from(0)
              .to(10000),
          NB_ROW(Compartment, "held", held_c,
                 "Temperature at which it is held; a heated or cooled room.")
              .in(Dimension::temperature)
              .from(-40)
              .to(60),
          NB_ROW(Compartment, "temp_max", temp_max_c, "Limit of the air for what sits in it.")
              .in(Dimension::temperature)
              .assume()
              .from(0)
              .to(120),
      });
}

}  // namespace nightbus::system_detail
