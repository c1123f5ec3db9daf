#pragma once
/// The description: what there is, where it sits, how it is joined. Plain structs, built by the
/// reader, in C++ or in Python with the same words. No physics here.
///
/// Points. Banks, buses, loads, fans, converters, PoE links, chargers and arrays share one name
/// space and are all points that a run may join. A run goes from the source side to the load side;
/// a converter takes its input where a run goes *to* it and gives its output where a run comes
/// *from* it. A PoE link names the converter (the powered port) it hangs on and needs no run.
///
/// Every field stands once in the field table (fields.hpp) with its key, unit, default, bounds and
/// help; the defaults below and the table are compared by a test.

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "nightbus/quantity.hpp"
#include "nightbus/source.hpp"

namespace nightbus {

/// What every record carries: its place in the file, and which fields were written (a bit per row
/// of the record's field table). Neither takes part in equality.
struct Written {
  Span where;
  std::uint64_t given = 0;             ///< one bit for each row of the field table
  std::map<std::string, Span> places;  ///< key -> place of its value
  friend bool operator==(const Written&, const Written&) { return true; }
};

enum class Behaviour { constant_power, constant_current, resistance };
enum class DropClass { critical, general };  ///< 3 % and 10 % unless the rules say otherwise
enum class ReturnPath { own, chassis };  ///< own conductor (to return_to when given), or chassis
enum class Tracking { mppt, pwm };
enum class ChargerKind { mains, engine, generator };
enum class ConverterKind { dc_dc, injector, inverter };
enum class PoeType { type1, type2, type3, type4, passive };
enum class BankState { low, rest, charging };
enum class Demand { rest, typical, peak };
enum class Ambient { cold, mild, hot };
enum class Objective { copper, cost, sizes };
/// What a run may lead from or to.
enum class PointKind { bank, bus, load, fan, converter, poe_link, charger, array };
std::string_view point_kind_name(PointKind kind);  ///< "bank", "PoE link" …

/// Where it stands. Twelve monthly numbers, January first.
struct Site {
  std::string name;
  double latitude_deg = 0.0;                     ///< north positive
  double longitude_deg = 0.0;                    ///< east positive
  double elevation_m = 0.0;                      ///< above the sea
  std::string time_zone = "UTC";                 ///< IANA name; local time of schedules and nights
  double temp_cold_c = -10.0;                    ///< design cold
  double temp_mild_c = 20.0;                     ///< of the cases in mild air
  double temp_hot_c = 40.0;                      ///< design hot, in the shade
  std::vector<double> peak_sun_hours_wh_per_m2;  ///< per month, on the horizontal, Wh/m² a day
  std::vector<double> clearness;  ///< per month, share of clear sky; used when the above is empty
  double albedo = 0.2;            ///< of the ground
  Written written;
  friend bool operator==(const Site&, const Site&) = default;
};

/// Which published rules govern, and the choices they leave open.
struct Rules {
  std::vector<std::string> sets{"33 CFR 183"};  ///< catalogue names; the strictest wins
  std::string sizes = "AWG";            ///< conductor family of the catalogue to choose from
  std::vector<ConductorSize> stock;     ///< when not empty, only these may be chosen
  double insulation_c = 75.0;           ///< insulation class of runs that do not say
  double terminal_c = 60.0;             ///< terminal rating where nothing better is known
  bool enclosed = true;                 ///< conduit, loom or duct rather than free air
  double drop_critical = 0.03;          ///< of nominal, for what must not fail
  double drop_general = 0.10;           ///< of nominal, for the rest
  double continuous_factor = 1.25;      ///< overcurrent device over continuous current
  double load_margin = 0.0;             ///< added to every load for wiring and protection
  std::vector<std::string> fuse_forms;  ///< allowed overcurrent forms; empty: all of the catalogue
  Objective objective = Objective::copper;  ///< what the choice makes least
  Written written;
  friend bool operator==(const Rules&, const Rules&) = default;
};

struct Bank {
  std::string name;
  std::string note;
  std::string chemistry = "flooded";      ///< catalogue name: LFP, flooded, AGM, gel
  double nominal_v = 12.0;                ///< of the whole bank
  double capacity_ah = 0.0;               ///< one string
  int strings = 1;                        ///< equal strings in parallel
  std::optional<double> resistance_ohm;   ///< one string, warm and full, links included
  std::optional<double> short_circuit_a;  ///< one string, stated by its maker
  std::optional<double> cold_cranking_a;  ///< one string
  double charge_low = 0.2;                ///< state of charge of the case "low"
  double charge_rest = 0.7;               ///< state of charge of the case "rest"
  double charge_start = 1.0;              ///< where a simulation starts
  double reserve = 0.2;                   ///< share that must stay in the bank
  double ageing = 0.8;                    ///< share of the capacity left at end of life
  std::optional<double> disconnect_v;     ///< loads are cut off below
  std::optional<double> reconnect_v;      ///< and let in again above
  std::optional<double> absorption_v;     ///< that chargers hold until it is full
  std::optional<double> float_v;          ///< that they hold afterwards
  std::optional<double> max_charge_a;     ///< one string
  std::optional<double> max_discharge_a;  ///< one string
  double standby_a = 0.0;                 ///< monitor and management system, whole bank
  std::string compartment;                ///< that it stands in; empty: outside
  Written written;
  friend bool operator==(const Bank&, const Bank&) = default;
};

struct Bus {
  std::string name;
  std::string note;
  std::optional<double> rated_a;  ///< that it may carry
  std::optional<int> ways;        ///< places for circuits
  std::string compartment;        ///< that it sits in; empty: outside
  Written written;
  friend bool operator==(const Bus&, const Bus&) = default;
};

struct Run {
  std::string name;
  std::string note;
  std::string from;                   ///< point on the source side
  std::string to;                     ///< point on the load side
  double length_m = 0.0;              ///< one way
  std::optional<ConductorSize> size;  ///< given: checked, not chosen
  std::string family;                 ///< conductor family; empty: the rules' family
  std::string material = "copper";
  std::optional<double> insulation_c;  ///< rated temperature of the insulation
  std::optional<bool> enclosed;        ///< in conduit, loom or another closed way
  int bundle = 2;    ///< current-carrying conductors running together, its own included
  int parallel = 1;  ///< conductors in parallel per pole
  std::optional<double>
      ambient_c;            ///< hottest air along it; else its compartment's, else the site's hot
  std::string compartment;  ///< that it lies in; empty: outside
  ReturnPath return_path = ReturnPath::own;  ///< the way back
  std::string return_to;                  ///< point whose negative takes the return; empty: `from`
  std::optional<double> return_length_m;  ///< empty: as long as the way out
  std::optional<ConductorSize> return_size;     ///< empty: as the way out
  std::optional<double> return_resistance_ohm;  ///< whole chassis path
  int joints = 2;                               ///< per pole
  double joint_ohm = 0.0005;                    ///< each
  bool sheathed = false;    ///< in a sheath or enclosure from the source to its overcurrent device
  bool overcurrent = true;  ///< has, or needs, a device at its source end
  std::string fuse_form;    ///< given: checked, not chosen
  std::optional<double> fuse_a;          ///< rating; empty: chosen
  double fuse_distance_m = 0.15;         ///< along the conductor, from the source to the device
  std::optional<double> fuse_ambient_c;  ///< air around the device
  std::optional<double> holder_a;        ///< current its holder may carry
  std::optional<double> switch_a;        ///< DC rating of a switch in the run; absent: none
  std::optional<double> switch_v;        ///< DC voltage the switch is rated to break
  double switch_ohm = 0.0;               ///< contacts of a switch in it
  bool spare = false;  ///< laid but not connected: sized and counted, carries nothing
  Written written;
  friend bool operator==(const Run&, const Run&) = default;
};

/// What loads, PoE devices and fans have in common in time.
struct Usage {
  std::vector<std::string> schedule;  ///< local "06:30-22:00" windows; empty: always
  double duty = 1.0;           ///< share of scheduled time at typical draw, at rest otherwise
  double night_extra_w = 0.0;  ///< added from sunset to sunrise
  int priority = 2;            ///< 1 last to be shed … 5 first
  friend bool operator==(const Usage&, const Usage&) = default;
};

struct Load {
  std::string name;
  std::string note;
  int count = 1;                                    ///< equal devices at the same point
  Behaviour behaviour = Behaviour::constant_power;  ///< how its current follows its volts
  double typical_w = 0.0;                           ///< each
  std::optional<double> peak_w;                     ///< empty: as typical
  std::optional<double> rest_w;                     ///< when it idles
  std::optional<double> nominal_v;                  ///< of its rated watts; else the bus's nominal
  std::optional<Range> window_v;                    ///< input voltage it accepts
  std::optional<double> off_v;                      ///< under-voltage lock-out
  std::optional<double> on_v;                       ///< restart after lock-out
  DropClass drop_class = DropClass::critical;       ///< which limit of drop it has
  Usage usage;                                      ///< when it runs
  std::optional<double> inrush_f;                   ///< input capacitance
  double start_delay_s = 0.0;                       ///< after power comes
  std::optional<Range> temp_c;                      ///< air it tolerates
  std::string compartment;                          ///< that it warms; empty: outside
  Written written;
  friend bool operator==(const Load&, const Load&) = default;
};

/// A fan is a load whose step follows the temperature of the compartment it cools.
struct Fan {
  std::string name;
  std::string note;
  int count = 1;
  std::vector<double> step_w;         ///< power at each step, lowest first
  std::vector<double> step_flow_m3s;  ///< free air flow at each step
  double installed_share = 0.55;      ///< installed over free flow
  int lowest_step = 0;                ///< never below; 0 is off
  double set_point_c = 30.0;          ///< first step up above it
  double step_width_k = 3.0;          ///< one step more for each
  std::string cools;                  ///< compartment
  std::string inlet = "outside";      ///< "outside" or a compartment
  double inlet_share = 1.0;           ///< share of its air from `inlet`, the rest from outside
  std::optional<Range> window_v;
  DropClass drop_class = DropClass::general;
  int priority = 2;  ///< 1 is shed last
  Written written;
  friend bool operator==(const Fan&, const Fan&) = default;
};

/// One point of an efficiency curve: share of rated output, efficiency.
struct EfficiencyPoint {
  double share = 0.0;       ///< of rated output
  double efficiency = 0.0;  ///< output over input there
  friend bool operator==(const EfficiencyPoint&, const EfficiencyPoint&) = default;
};

struct Converter {
  std::string name;
  std::string note;
  ConverterKind kind = ConverterKind::dc_dc;
  double output_v = 0.0;
  double power_w = 0.0;                     ///< rated output
  std::vector<EfficiencyPoint> efficiency;  ///< empty: 0.85 at every load, on the safe side
  double standby_w = 1.0;                   ///< with nothing behind it
  std::optional<Range> window_v;            ///< input
  std::optional<double> off_v;              ///< at its input, stops below
  std::optional<double> on_v;               ///< starts again above
  double output_ohm = 0.0;                  ///< how its output sags with current
  bool isolated = false;                    ///< its output is not joined to the input's negative
  DropClass drop_class = DropClass::critical;
  int priority = 1;                ///< 1 is shed last
  std::optional<double> inrush_f;  ///< input capacitors
  std::optional<Range> temp_c;     ///< air it is made for
  std::string compartment;         ///< that it warms; empty: outside
  Written written;
  friend bool operator==(const Converter&, const Converter&) = default;
};

struct PoeLink {
  std::string name;
  std::string note;
  std::string from;                       ///< converter that powers the port
  double length_m = 0.0;                  ///< of the data cable
  std::string cable = "24 AWG";           ///< catalogue cable; TIA limit resistance unless given
  std::optional<double> cable_ohm_per_m;  ///< one conductor
  PoeType type = PoeType::type2;          ///< of the port
  int pairs = 2;                          ///< powered pairs: 2 or 4
  std::optional<int> power_class;         ///< 0 … 8
  double typical_w = 0.0;                 ///< at the device
  std::optional<double> peak_w;           ///< at the device; empty: as typical
  std::optional<double> rest_w;           ///< at the device, when it idles
  std::optional<Range> window_v;
  Usage usage;                  ///< when it runs
  std::optional<Range> temp_c;  ///< air the device is made for
  int bundle = 1;               ///< powered cables together
  std::string compartment;      ///< of the device
  Written written;
  friend bool operator==(const PoeLink&, const PoeLink&) = default;
};

struct Charger {
  std::string name;
  std::string note;
  ChargerKind kind = ChargerKind::mains;
  double current_a = 0.0;           ///< limit at its output
  std::optional<double> voltage_v;  ///< ceiling; else the bank's absorption voltage
  double efficiency = 0.85;         ///< output over input
  std::vector<std::string>
      schedule;  ///< local windows when it is powered; empty: never in simulations
  std::optional<double> start_below;  ///< state of charge at which a generator starts
  std::optional<double> stop_above;   ///< state of charge; empty: runs on
  std::string compartment;            ///< that it warms; empty: outside
  Written written;
  friend bool operator==(const Charger&, const Charger&) = default;
};

struct Array {
  std::string name;
  std::string note;
  double power_w = 0.0;                ///< rated at 1000 W/m², 25 °C, whole array
  double tilt_deg = 0.0;               ///< from level
  double azimuth_deg = 180.0;          ///< from north, clockwise
  bool turning = false;                ///< on a vehicle whose heading is not known
  Tracking tracking = Tracking::mppt;  ///< of its controller: mppt or pwm
  double controller_a = 0.0;           ///< output limit
  std::optional<double> controller_v;  ///< highest input voltage
  double controller_efficiency = 0.95;
  double controller_standby_w = 1.0;
  std::optional<double> voc_v;       ///< whole array, standard conditions
  std::optional<double> vmp_v;       ///< at greatest power
  std::optional<double> isc_a;       ///< when shorted
  std::optional<double> imp_a;       ///< at greatest power
  double power_per_k = -0.004;       ///< 1/K
  double voc_per_k = -0.003;         ///< 1/K
  double losses = 0.14;              ///< soiling, mismatch, wiring, age: all but the controller
  std::vector<double> monthly_loss;  ///< snow and dirt on top, per month
  std::vector<double> horizon_deg;  ///< elevation of the horizon, equal steps of azimuth from north
  std::string compartment;          ///< of the controller
  Written written;
  friend bool operator==(const Array&, const Array&) = default;
};

struct Compartment {
  std::string name;
  std::string note;
  double conductance_w_per_k = 0.0;        ///< walls to outside
  double heat_capacity_j_per_k = 20000.0;  ///< of air, gear and walls
  double solar_gain_w = 0.0;               ///< at 1000 W/m² on the horizontal
  std::string neighbour;                   ///< compartment behind a common wall
  double neighbour_w_per_k = 0.0;          ///< to the compartment beside it
  std::optional<double> held_c;            ///< conditioned: temperature is held
  double temp_max_c = 45.0;                ///< limit of the air for what sits in it
  Written written;
  friend bool operator==(const Compartment&, const Compartment&) = default;
};

struct Price {
  ConductorSize size;
  double per_m = 0.0;  ///< money per metre of one conductor, any currency
  Written written;
  friend bool operator==(const Price&, const Price&) = default;
};

struct Case {
  std::string name;
  std::string note;
  BankState bank = BankState::low;  ///< low, at rest or charging
  Demand demand = Demand::typical;  ///< typical or peak
  Ambient ambient = Ambient::mild;  ///< cold, mild or hot
  std::optional<double> charge;     ///< state of charge instead of the bank's own
  std::optional<double> temp_c;     ///< outside air instead of the site's
  std::vector<std::string> off;     ///< points switched off in this case
  Written written;
  friend bool operator==(const Case&, const Case&) = default;
};

inline constexpr int system_format = 1;  ///< the `nightbus = 1` on the first line of a system file

struct System {
  int format = system_format;
  std::string title;
  std::string note;
  Site site;
  Rules rules;
  std::vector<Bank> banks;
  std::vector<Bus> buses;
  std::vector<Run> runs;
  std::vector<Load> loads;
  std::vector<Fan> fans;
  std::vector<Converter> converters;
  std::vector<PoeLink> poe_links;
  std::vector<Charger> chargers;
  std::vector<Array> arrays;
  std::vector<Compartment> compartments;
  std::vector<Price> prices;
  std::vector<Case> cases;  ///< empty: default_cases()
  friend bool operator==(const System&, const System&) = default;
};

/// The cases that are examined when the file names none: bank low at typical and peak demand, hot
/// and cold; at rest, typical; charging, light demand, cold and hot.
std::vector<Case> default_cases();

}  // namespace nightbus
