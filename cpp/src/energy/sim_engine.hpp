#pragma once
/// One run of the simulation, as a machine: go_on() walks to where the circuit's point of a step
/// has to be known, take() goes on with the answer. Who answers does not matter: one run asks for
/// itself, many stand in the lanes of one solver. The state at an instant is BankState, LoadState,
/// … and ThermalState; a Trial says where a step of dt would lead; commit() goes there. Rules that
/// switch something (lock-outs, disconnects, charge stages, fans) are written as signed distances,
/// so that a step can be cut at the instant when the first of them reaches zero.

#include <algorithm>
#include <array>
#include <string>
#include <vector>

#include "energy/array_internal.hpp"
#include "energy/sim_bank.hpp"
#include "energy/sim_bus.hpp"
#include "energy/sim_draw.hpp"
#include "energy/sim_weather.hpp"
#include "nightbus/energy_simulation.hpp"

namespace nightbus::sim_detail {

enum class Stage : std::uint8_t { bulk, absorption, floating, rest, equalise };

struct BankState {
  double soc = 1.0, h = 0.0, temp_c = 25.0;
  double net_a = 0.0;      ///< stored current of the last step, to look half a step ahead
  double current_a = 0.0;  ///< terminal current of the last step
  double temp_rate_k_per_s = 0.0;
  bool cut = false;  ///< discharge path open
  double soc_at_cut = 0.0;
  bool known_full = false;
  bool charge_blocked = false, discharge_blocked = false;  ///< by temperature
};

struct LoadState {
  bool on = true;                ///< its own lock-out
  double hold_until_s = -1e300;  ///< may not return before
  double boot_until_s = -1e300;
};

struct GroupState {
  bool on = true;
  double since_s = -1.0;  ///< when the condition to switch began; < 0: it does not hold
};

struct ConverterState {
  bool on = true;
  double hold_until_s = -1e300;
};

/// What the sun offers one array during the present grid step.
struct ArrayDrive {
  double light_wm2 = 0.0, cell_c = 25.0, loss = 0.0;
  ArrayOutput best;
};

/// What is noted of one load in every step. As long as its volts stay inside those it has seen, and
/// inside its window, only its energy has to be.
struct LoadBook {
  double calm_low_v = 1e30, calm_high_v = 0.0;
  double follows_bus = 1.0;  ///< 1: its volts rise with the bus; 0: behind a converter
  double energy_wh = 0.0;
  double lowest_v = 1e30, lowest_s = 0.0, highest_v = 0.0;
  double below_s = 0.0, above_s = 0.0;
  double window_low_v = 0.0, window_high_v = 1e9;

  void look(double v, double end_v, double now_s, double dt_s) {
    if (v < window_low_v) below_s += dt_s;
    if (v > window_high_v) above_s += dt_s;
    const double low = v < end_v ? v : end_v;
    if (low < lowest_v) {
      lowest_v = low;
      lowest_s = now_s;
    }
    highest_v = std::max(highest_v, std::max(v, end_v));
    calm_low_v = std::max(lowest_v, window_low_v);
    calm_high_v = std::min(highest_v, window_high_v);
  }
};

/// A step of one bank, worked out.
struct BankStep {
  double soc_end = 0.0, h_end = 0.0, temp_end_c = 25.0;
  double current_a = 0.0, net_a = 0.0;
  double mean_emf_v = 0.0;  ///< of the stored-energy table, over the step
  double emf_v = 0.0;       ///< as the circuit saw it at the middle
  double start_emf_v = 0.0;
  double terminal_v = 0.0;  ///< middle
  double terminal_end_v = 0.0;
  double current_end_a = 0.0;
  double resistance_ohm = 0.0;
  double coulombic = 1.0, self_discharge_a = 0.0;
  double peukert = 1.0;
};

struct Trial {
  double dt_s = 0.0;
  BusSolution bus;
  std::vector<BankStep> banks;
  std::vector<double> bank_temp_c;
  std::vector<double> space_heat_w;
  ThermalState heat;
  double bus_end_v = 0.0;
  bool held = false;  ///< the stage's voltage stands at the bus
};

class Engine {
 public:
  Engine(const SimulationInput& input, const Until& until, const Progress& progress,
         std::unique_ptr<BusSolver> solver);

  /// True: a point is posed and waits for take(). False: the run is over.
  bool go_on();
  void take(bool answered);
  SimulationResult result();

 private:
  // sim_run.cpp
  void begin_step();
  void end_step();
  void begin_piece();
  void finish_piece();

  // sim_drive.cpp: what comes from outside
  void drive(double from_s, double to_s);
  void update_draws();
  void apply_loads();
  void apply_fans();
  double next_edge() const;
  DrawContext context(const ThermalState& heat, const std::vector<double>& bank_temp_c) const;

  // sim_trial.cpp: one step, not yet taken
  void fill_ports(double dt_s);
  bool advance_banks(double dt_s);
  void try_step(double dt_s);
  void finish_try(double dt_s);
  void heat_spaces(double dt_s);

  // sim_rules.cpp: who switches, and when
  double nearest_rule();
  double nearest_of_loads(double nearest) const;
  bool switch_all();
  double next_timer() const;
  double load_feed_v(std::size_t load) const;
  double available_soc(std::size_t bank);
  double group_distance(std::size_t group);
  double return_distance(std::size_t bank);
  bool banks_cut() const;
  bool drop_overdrawn();
  double offered_power_w() const;  ///< at most; infinite while a bank can discharge

  // sim_stages.cpp: the charger's stages
  double stage_v() const;
  double stage_distance() const;
  double tail_distance() const;
  double stage_timer() const;
  bool switch_stage();
  void set_stage(Stage stage, EventKind kind);

  // sim_commit.cpp: the step is taken
  void commit();
  void book_banks(double hours);
  void book_supplies(double hours);
  void book_loads(double hours);
  void book_unmet(double hours);
  void close_load_books();
  void pass_days();
  void open_trace();
  void record_row();
  void close_row();
  void pass_marks();
  void note(EventKind kind, int index, double value);
  double load_want_w(std::size_t load) const;
  bool load_runs(std::size_t load) const;

  double cut_at_rule(double dt_s);

  const SimulationInput& in_;
  const Until& until_;
  const Progress& progress_;
  ThermalNetwork thermal_;
  double end_s_ = 0.0;
  SunTrack track_;
  std::optional<NightClock> nights_;  ///< where a draw asks for it
  WeatherPlayer weather_;
  std::vector<std::vector<array_detail::PlaneView>> views_;
  std::unique_ptr<BusSolver> solver_;
  std::vector<Draw> charger_draws_;
  std::vector<DrawPlayer> charger_players_;
  std::vector<DrawPlayer> players_;
  std::vector<int> fan_load_;  ///< per fan entry: the load that powers it, or -1

  // Made once: what has to be looked at in every step.
  std::vector<BankTables> tables_;
  std::vector<std::size_t> fan_draws_, heater_draws_;  ///< loads that follow a temperature
  std::vector<std::size_t> watched_loads_, watched_converters_;  ///< with a lock-out

  // Where the run stands.
  std::size_t step_ = 0;
  bool in_step_ = false, over_ = false;
  double from_s_ = 0.0, to_s_ = 0.0;     ///< of the grid step
  double edge_s_ = 0.0, whole_s_ = 0.0;  ///< of the piece that is tried
  int pieces_ = 0, idle_ = 0;

  // Kept until something switches, draws otherwise, or their own instant comes.
  bool stale_ = true;
  double timer_s_ = -1e300, draws_due_s_ = -1e300;
  double wanted_w_ = 0.0;
  bool any_off_ = false, any_down_ = false, critical_down_ = false;
  std::vector<std::uint8_t> down_;
  std::vector<std::size_t> running_;  ///< loads that are on
  std::vector<LoadBook> load_books_;
  double set_v_ = 0.0;  ///< stage_v() of the step that is tried
  bool offered_ = false;
  std::size_t day_ = 0;  ///< local days since the start, until `day_until_s_`
  double day_until_s_ = -1e300;

  double now_s_ = 0.0;
  std::vector<BankState> banks_;
  std::vector<LoadState> loads_;
  std::vector<GroupState> groups_;
  std::vector<ConverterState> converters_;
  std::vector<std::uint8_t> generator_on_;
  ThermalState heat_;
  Stage stage_ = Stage::bulk;
  double stage_s_ = 0.0;       ///< time at the stage's voltage
  double low_since_s_ = -1.0;  ///< bus below the re-bulk voltage since; < 0: it is not
  double last_equalise_s_ = 0.0;

  Weather air_;
  std::vector<ArrayDrive> arrays_;
  double drive_weather_s_ = -1e300;  ///< the instant the arrays were last worked out for
  BusProblem problem_;
  std::vector<double> peukert_;
  std::vector<double> bank_temp_c_;
  Trial trial_;
  bool flipped_ = false;
  bool stop_ = false;  ///< asked for by `until_`
  std::size_t next_mark_ = 0;
  Mark mark_;  ///< being gathered

  SimulationResult out_;
  std::vector<double> row_sums_;
  double row_s_ = 0.0;
  std::size_t row_steps_ = 0;
  double unmet_run_s_ = 0.0;
  long long first_day_ = 0;
};

}  // namespace nightbus::sim_detail
