#pragma once
/// The night and the year, step by step: bank, sun, loads and heat in one loop.
///
/// Everything here is numbers and indices. Lists are indexed from 0; -1 means "none". Power is W at
/// the place it is named for, energy is Wh, current is positive into the bank.
///
/// Model of the bus ("lumped" mode): one bus; banks, chargers and loads hang on it, each behind its
/// own resistance; converters between the bus and the loads they feed.
///
///   bank ──R── bus ──R── load (constant power, current or resistance)
///               ├──R── converter ── load, load …
///               └──R── charger or solar controller
///
/// In network mode the same lists carry element numbers of a compiled circuit, which is solved at
/// every step instead.

#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "nightbus/energy_array.hpp"
#include "nightbus/energy_bank.hpp"
#include "nightbus/energy_sun.hpp"
#include "nightbus/energy_time.hpp"
#include "nightbus/network.hpp"
#include "nightbus/thermal.hpp"

namespace nightbus {

// ---- Weather
// ----------------------------------------------------------------------------------------

/// Even weather; value k holds from start_s + k·step_s for one step. Irradiance may be empty: no
/// sun.
struct WeatherSeries {
  double start_s = 0.0;  ///< UTC of the first value
  double step_s = 3600.0;
  std::vector<double> ghi_wm2, dni_wm2, dhi_wm2;  ///< each holds for one step
  std::vector<double> temp_c, wind_ms;            ///< of the air
  std::size_t size() const { return temp_c.size(); }
};

/// Clear sky scaled month by month. Exactly one of the two inputs is used; `peak_sun_wh_m2` wins.
struct ClearSkyYear {
  SunSite site;
  ClearSkyModel model = ClearSkyModel::haurwitz;
  double linke_turbidity = 3.0;          ///< used by the model that needs it
  std::vector<double> peak_sun_wh_m2{};  ///< 12 monthly means of a day, on the horizontal
  std::vector<double> clearness{};       ///< 12 shares of the clear sky; both empty: clear
  std::vector<double>
      daily_clearness{};              ///< share of the clear sky by local day from the start; wins
  std::vector<double> temp_mean_c{};  ///< 12 monthly means; empty: `temp_mild_c` all year
  double temp_mild_c = 20.0,
         temp_swing_k = 8.0;  ///< daily swing, half of it either way, warmest 15:00
  double wind_ms = 1.0;
};
/// Weather at `step_s` so that each month's mean day equals the input (the scaled clear sky is
/// split again by Erbs). `scale` receives the twelve factors; above about 1.05 the input is
/// brighter than a clear sky and deserves a warning.
WeatherSeries clear_sky_weather(const ClearSkyYear& year, const LocalClock& clock, double start_s,
                                double step_s, std::size_t steps,
                                std::vector<double>* scale = nullptr);

// ---- What hangs on the bus
// ------------------------------------------------------------------------

struct SimBank {
  BankModel model;
  double soc = 1.0;                  ///< at the start
  double hysteresis = 0.0;           ///< -1…1 at the start
  double path_resistance_ohm = 0.0;  ///< bank terminals to bus, out and back
  int space = -1;                    ///< compartment it sits in; -1: outside air
  int element = -1;                  ///< in the circuit (network mode)
};

/// A non-solar charger.
struct SimCharger {
  double max_current_a = 0.0;        ///< at its output
  std::optional<double> fixed_v{};   ///< own ceiling; none: follows the bank's stages
  double efficiency = 0.9;           ///< DC out over energy in; only counted, not limited
  std::vector<DayWindow> windows{};  ///< when it is powered; empty and no `start_below_soc`: never
  bool always = false;               ///< in use whatever the schedule
  std::optional<double> start_below_soc{};  ///< generator by state of charge
  std::optional<double> stop_above_soc{};   ///< of the bank; empty: runs on
  double path_resistance_ohm = 0.0;         ///< of its cable, out and back
  int space = -1;                           ///< compartment it warms; -1: none
  int element = -1;                         ///< in the circuit (network mode)
};

struct SimArray {
  ArrayModel model;
  int space = -1;    ///< of the controller, for its heat
  int element = -1;  ///< in the circuit (network mode)
};

/// A converter with a fixed output voltage: P_in = standby + (1 + a)·P_out + b·P_out² while on.
struct SimConverter {
  double output_v = 54.0;
  double standby_w = 0.0, a = 0.08, b = 0.0;  ///< loss = standby + a·P + b·P², P the output
  double max_output_w = 1e9;                  ///< above: the loads behind it drop out together
  double off_v = 0.0, on_v = 0.0;             ///< input lock-out and restart
  double path_resistance_ohm = 0.0;           ///< bus (or upstream output) to its input
  int feed = -1;     ///< -1 the bus, else an upstream converter (of smaller index)
  int group = -1;    ///< shed group
  int space = -1;    ///< compartment it warms; -1: none
  int element = -1;  ///< in the circuit (network mode)
};

/// What stays the same when the voltage changes: watts, amps or ohms.
enum class DrawLaw { power, current, resistance };

struct SimLoad {
  Draw draw;                         ///< watts at the device and `nominal_v`
  DrawLaw law = DrawLaw::power;      ///< how the current follows the volts
  double nominal_v = 12.0;           ///< turns watts into amps or ohms for the other behaviours
  double path_resistance_ohm = 0.0;  ///< feed to device, out and back
  int feed = -1;                     ///< -1 the bus, else a converter
  double off_v = 0.0, on_v = 0.0;    ///< under-voltage lock-out and restart, at the device; 0: none
  double restart_s = 0.0;            ///< boot time after power returns, drawing `boot_w`
  double boot_w = 0.0;               ///< instead of its draw while it boots
  double low_v = 0.0, high_v = 1e9;  ///< window for counting violations only
  int group = -1;                    ///< shed group; -1 is never shed
  int space = -1;                    ///< where its heat goes
  double heat_share = 1.0;           ///< of its watts that stay in the space
  bool critical = true;              ///< counts for unmet hours
  int element = -1;                  ///< in the circuit (network mode)
};

/// Low-voltage disconnect of some loads. Either rule may be used; both: whichever comes first.
struct ShedGroup {
  double off_v = 0.0, on_v = 0.0;        ///< at the bus; 0: not by voltage
  double off_soc = -1.0, on_soc = -1.0;  ///< of the first bank; -1: not by charge
  double delay_s = 30.0;                 ///< the condition must last so long
};

struct SimOptions {
  double start_s = 0.0;  ///< UTC
  double step_s = 60.0;
  std::size_t steps = 1440;
  std::size_t record_every = 1;  ///< steps per row of the trace; 0: no trace
  bool record_loads = false;     ///< a column of volts for each load
  bool hourly_sun =
      false;  ///< weather file's plane irradiance once per weather step, sun at its middle
  bool subdivide = true;            ///< split steps at events
  double event_tolerance_s = 1e-3;  ///< instants of switching are found to this
  double albedo = 0.2;              ///< of the ground
  std::vector<double>
      marks_s{};  ///< rising instants at which the books are read; steps are cut there
};

/// Network mode. Every bank, array, charger, converter and load names its element; resistances
/// between them live in the circuit, path resistances of the lists are ignored. Banks are sources
/// (their EMF and resistance are set at every step), arrays and chargers are chargers, loads are
/// loads, converters are converters.
struct SimNetwork {
  Circuit circuit;
  NodeId bus_p{}, bus_n{};  ///< where "bus voltage" is read and shed groups listen
  /// Compartment that takes an element's loss; -1, or a list too short: outside.
  std::vector<int> space_of_element{};
  /// A load that takes the tare of monitors and controllers; -1: it is not counted.
  int standby_element = -1;
};

struct SimulationInput {
  std::optional<SimNetwork> network{};  ///< none: the lumped bus
  SunSite site;
  LocalClock clock;
  WeatherSeries weather;
  std::vector<SimBank> banks{};
  std::vector<SimArray> arrays{};
  std::vector<SimCharger> chargers{};
  std::vector<SimConverter> converters{};
  std::vector<SimLoad> loads{};
  std::vector<ShedGroup> groups{};
  ThermalModel thermal;                 ///< may be empty
  std::vector<double> start_space_c{};  ///< per space; empty: the outside air's
  SimOptions options;
};

// ---- What comes out
// -----------------------------------------------------------------------------------

/// Wh over the whole run; closes: in() == out() + stored_change within rounding.
struct EnergyLedger {
  double array_wh = 0.0;            ///< what the arrays could have given at their best point
  double curtailed_wh = 0.0;        ///< … and was not taken
  double charger_wh = 0.0;          ///< DC side of the other chargers
  double controller_loss_wh = 0.0;  ///< of the solar controllers
  std::vector<double> load_wh{};    ///< at the device, by load
  double converter_loss_wh = 0.0;
  double wire_loss_wh = 0.0;
  double bank_standby_wh = 0.0;
  double controller_standby_wh = 0.0;
  double bank_resistance_wh = 0.0;   ///< heat in the banks
  double bank_charge_loss_wh = 0.0;  ///< coulombic, hysteresis, Peukert, entropy
  double self_discharge_wh = 0.0;
  double stored_change_wh = 0.0;  ///< in the banks; negative: less than at the start
  double unmet_wh = 0.0;          ///< wanted by loads but not delivered; no part of the balance
  double wanted_wh = 0.0;         ///< by the loads, had none been off

  double delivered_wh() const;
  double in_wh() const { return array_wh - curtailed_wh + charger_wh; }
  double out_wh() const;  ///< all but the change of store
  double gap_wh() const { return in_wh() - out_wh() - stored_change_wh; }
  double relative_gap() const;  ///< |gap| over the largest term
};

enum class EventKind {
  load_dropped,
  load_returned,
  group_shed,
  group_returned,
  bank_empty,
  bank_returned,
  bank_full,
  charge_blocked,
  charge_allowed,
  stage_bulk,
  stage_absorption,
  stage_float,
  stage_rest,
  stage_equalise,
  converter_dropped,
  converter_returned,
  charger_started,
  charger_stopped,
  fan_step,
  limit_temperature,
  chatter,
  collapse,
};
std::string_view event_name(EventKind kind);

struct SimEvent {
  double time_s = 0.0;  ///< UTC
  EventKind kind = EventKind::load_dropped;
  int index = -1;      ///< load, group, bank, converter, charger, fan or space
  double value = 0.0;  ///< volts, state of charge, step or °C, as fits
};

/// One load over the run.
struct LoadRecord {
  double lowest_v = 1e30;                             ///< at the device while it should be on
  double lowest_time_s = 0.0;                         ///< UTC
  double highest_v = 0.0;                             ///< while it runs
  double down_s = 0.0;                                ///< wanted but off
  double below_window_s = 0.0, above_window_s = 0.0;  ///< running outside of its window
  std::size_t drops = 0;                              ///< times that it went off though wanted
  std::optional<double> first_drop_s{};               ///< UTC; empty: never
};

struct BankRecord {
  double lowest_soc = 1.0, lowest_soc_time_s = 0.0;  ///< 0 to 1, and when, UTC
  double final_soc = 0.0, final_hysteresis = 0.0;
  double lowest_temp_c = 1e30, highest_temp_c = -1e30;
  double highest_charge_a = 0.0, highest_discharge_a = 0.0;
  double charged_ah = 0.0, discharged_ah = 0.0;
  double charged_wh = 0.0, discharged_wh = 0.0;       ///< at the terminals
  double full_s = 0.0;                                ///< time at or above 99.5 %
  double blocked_charge_s = 0.0;                      ///< cold or hot, while charge was on offer
  double lowest_v = 1e30, highest_v = 0.0;            ///< at its terminals
  std::optional<double> first_full_s{};               ///< UTC; empty: never
  std::vector<double> daily_low_soc, daily_high_soc;  ///< per local day
};

/// Columns over time; each has `rows` values, the mean over the row unless the name says otherwise.
struct Trace {
  std::vector<double> time_s{};  ///< start of each row
  double row_s = 60.0;           ///< between rows
  struct Column {
    std::string name{};  ///< "bus_voltage", "bank_soc" …
    std::string unit{};
    int index = -1;  ///< bank, load, space …; -1 none
    std::vector<double> values{};
  };
  std::vector<Column> columns{};
  const Column* find(std::string_view name, int index = -1) const;
};

/// The books at one instant.
struct Mark {
  double time_s = 0.0;    ///< UTC
  EnergyLedger ledger{};  ///< from the start up to here
  std::vector<double> soc{}, discharged_ah{},
      discharged_wh{};                               ///< per bank; the last two since the start
  double lowest_bus_v = 1e30, lowest_bus_v_s = 0.0;  ///< since the mark before
};

enum class SimStatus { done, stopped, bad_input };

struct SimulationResult {
  SimStatus status = SimStatus::done;
  std::string message{};  ///< why not, when not done
  EnergyLedger ledger;
  std::vector<LoadRecord> loads{};
  std::vector<BankRecord> banks{};
  std::vector<SimEvent> events{};
  std::vector<double> hottest_space_c, hottest_time_s;  ///< by compartment, and when, UTC
  Trace trace;
  std::vector<Mark> marks;            ///< at the instants that were asked for
  std::vector<double> final_space_c;  ///< by compartment
  double unmet_h = 0.0;               ///< hours in which any critical load was wanted and off
  double longest_unmet_h = 0.0;       ///< in one piece
  double critical_unmet_wh = 0.0;     ///< of critical loads
  double charger_run_s = 0.0;         ///< of all chargers together
  double charger_input_wh = 0.0;      ///< what the chargers took in to give charger_wh
  std::size_t steps = 0, sub_steps = 0, solves = 0;  ///< of time; inside these; of the network
  double end_s = 0.0;                                ///< UTC
  double availability(double span_s) const {
    return span_s > 0.0 ? 1.0 - unmet_h * 3600.0 / span_s : 1.0;
  }
};

/// Called now and then with the share done; returning false stops the run, and what is done is
/// kept.
using Progress = std::function<bool(double share)>;

/// Shown every event; returning true ends the run with the step that holds it.
using Until = std::function<bool(const SimEvent& event)>;

SimulationResult simulate(const SimulationInput& input, const Progress& progress = {},
                          const Until& until = {});

/// Many runs over threads, and those on one circuit in the lanes of one solver; result k is bit for
/// bit what simulate() gives for input k. `threads` 0: all cores.
std::vector<SimulationResult> simulate_many(std::span<const SimulationInput> inputs,
                                            std::size_t threads = 0, const Progress& progress = {});

/// Problems that would make a run meaningless, in words; empty when fine.
std::vector<std::string> check_input(const SimulationInput& input);

}  // namespace nightbus
