#pragma once
/// Heat: air spaces joined by walls and fans. Numbers only; temperatures in °C, heat in W.
///
///   C·dT/dt = heat + sun + Σ walls G·(T_j - T) + Σ fans ρ·cp·Q·(T_inlet - T)
///
/// Air is weighed at the space's own temperature and the site's pressure (a compartment does not
/// cool with height as the free atmosphere does).

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace nightbus {

// ---- Air ----------------------------------------------------------------------------------------

inline constexpr double air_heat_capacity_j_per_kgk = 1006.0;  ///< dry air near 20 °C
inline constexpr double standard_air_kg_per_m3 = 1.204;        ///< 20 °C, 101 325 Pa
double air_pressure_ratio(double altitude_m);                  ///< ISO 2533
double air_density_ratio(double altitude_m);                   ///< ISO 2533, free air
double air_density_kg_per_m3(double temp_c, double pressure_ratio = 1.0);
/// Airflow that carries `heat_w` away at a rise of `rise_k`.
double airflow_m3s(double heat_w, double rise_k, double density_kg_per_m3);
/// Rise of a box with walls `ua_w_per_k` and airflow.
double temperature_rise_k(double heat_w, double ua_w_per_k, double flow_m3s,
                          double density_kg_per_m3);
/// Surface that holds `rise_k` without ventilation.
double surface_for_rise_m2(double heat_w, double rise_k, double transmittance_w_per_m2k);

/// Fan laws at another speed and air density (same system).
struct FanPoint {
  double flow_m3s = 0.0, pressure_pa = 0.0, power_w = 0.0;  ///< one point of a maker's curve
};
FanPoint fan_at_speed(const FanPoint& known, double speed_ratio, double density_ratio = 1.0);
/// Life of an electrolytic capacitor by the ten-kelvin rule, h; capped at `cap_h`.
double capacitor_life_h(double rated_h, double rated_c, double run_c, double cap_h = 131400.0);

// ---- Fans with a staged thermostat
// ---------------------------------------------------------------

struct FanStep {
  double flow_m3s = 0.0;  ///< as installed, not in free air
  double power_w = 0.0;   ///< of its motor
};

/// Step 1 above the set point, one more for each `step_k` above that, never below `lowest`, never
/// above the last step of the fan's table. A step is given back only `hysteresis_k` below the
/// temperature that called for it.
struct StagedThermostat {
  double set_point_c = 30.0;  ///< first step above this
  double step_k = 3.0;        ///< one step more for each
  int lowest = 0;             ///< step when cool
  double hysteresis_k = 1.0;  ///< cooler by this before it steps down
  double hold_s = 0.0;        ///< shortest time between two changes
  /// The step wanted at `temp_c` when `now` is running; `top` is the highest step there is.
  int wanted(double temp_c, int now, int top) const;
  /// Temperature at which `step` is called for on the way up.
  double up_threshold_c(int step) const;
};

inline constexpr int outside_air = -1;

struct AirInlet {
  int from = outside_air;  ///< space, or outside_air
  double share = 1.0;      ///< of the fan's air; what the inlets leave over comes from outside
};

struct SpaceFan {
  std::vector<FanStep> steps{};  ///< [0] is off; at least one entry
  StagedThermostat control;
  std::vector<AirInlet> inlets{};  ///< where its air comes from
  int count = 1;                   ///< of the same, side by side
  double heat_share = 1.0;         ///< of the motor's watts that stay in the space
};

struct AirSpace {
  double heat_capacity_j_per_k = 20000.0;  ///< of air, gear and walls
  double outside_w_per_k = 0.0;            ///< through its walls
  double sun_gain_m2 = 0.0;                ///< W of heat for each W/m² on the horizontal
  std::optional<double> held_c{};          ///< conditioned: its temperature is given
  std::optional<double> limit_c{};         ///< highest air temperature for what sits in it
  std::vector<SpaceFan> fans{};
};

struct ThermalLink {
  int a = 0, b = 0;  ///< indices of the two spaces
  double w_per_k = 0.0;
};

struct ThermalModel {
  std::vector<AirSpace> spaces{};
  std::vector<ThermalLink> links{};
  double altitude_m = 0.0;  ///< thins the air
};

/// What acts from outside during a step.
struct ThermalDrive {
  double outside_c = 20.0;
  double sun_wm2 = 0.0;              ///< on the horizontal
  std::span<const double> heat_w{};  ///< per space, without the fans' own watts; empty: none
};

struct FanState {
  int space = 0, fan = 0;  ///< indices into the model
  int step = 0;
  double since_change_s = 1e30;  ///< of step
};

struct ThermalState {
  std::vector<double> temp_c{};   ///< per space
  std::vector<FanState> fans{};   ///< in the order of spaces, then fans
  std::vector<double> scratch{};  ///< working room of ThermalNetwork
};

enum class SteadyStatus {
  settled,    ///< every thermostat rests on one step
  cycling,    ///< a fan alternates between two steps round a threshold; the mean state is given
  unbounded,  ///< heat goes into a space that has no way to lose it: its temperature is infinite
};

struct SteadyHeat {
  SteadyStatus status = SteadyStatus::settled;
  std::vector<double> temp_c{};  ///< by space
  std::vector<double>
      fan_step;  ///< not whole when cycling: 2.3 is step 2 for 70 %, step 3 for 30 %
  std::vector<double> fan_power_w{};  ///< per fan entry, all of its `count`
};

/// Watts by the way they leave or enter one space; they sum to C·dT/dt.
struct HeatBalance {
  double gear_w = 0.0, sun_w = 0.0, fan_motor_w = 0.0, walls_w = 0.0, air_w = 0.0;
};

class ThermalNetwork {
 public:
  /// Throws Error on an impossible model (negative conductance, shares above one, unknown space).
  explicit ThermalNetwork(ThermalModel model);
  const ThermalModel& model() const { return model_; }
  std::size_t fan_count() const { return fans_.size(); }

  /// Every space at `temp_c` (held ones at their own), fans at their lowest step.
  ThermalState start(double temp_c) const;
  /// Steady temperatures; fans by their thermostats, or at `steps` when given (one per fan entry).
  SteadyHeat steady(const ThermalDrive& drive, std::span<const int> steps = {}) const;
  /// Advances by `dt_s` with the fans as they stand: an L-stable second-order implicit step.
  void advance(ThermalState& state, const ThermalDrive& drive, double dt_s) const;
  /// Lets the thermostats act; true when a fan changed. Call after each advance.
  bool switch_fans(ThermalState& state) const;
  /// Signed distance (K) to the next change of any fan: crosses zero when a thermostat acts.
  double distance_to_switch_k(const ThermalState& state) const;
  double fan_power_w(const FanState& fan) const;
  HeatBalance balance(const ThermalState& state, const ThermalDrive& drive,
                      std::size_t space) const;

  /// Air that `space` needs from its fans' inlets to stay at `limit_c`, everything else as in
  /// `drive`; none when no amount of air is enough.
  std::optional<double> airflow_for_limit(const ThermalDrive& drive, std::size_t space,
                                          double limit_c) const;

 private:
  struct FanRef {
    int space, fan;
  };
  /// Air that moves besides the fans of the model: a wished-for flow into one space.
  struct ExtraAir {
    int space = -1;
    double flow_m3s = 0.0;
  };
  struct Flows;
  void assemble(std::span<const double> temp_c, const Flows& flows, const ThermalDrive& drive,
                std::span<double> matrix, std::span<double> right) const;
  void settle(std::vector<double>& temp_c, const Flows& flows, const ThermalDrive& drive) const;
  SteadyHeat steady_with(const ThermalDrive& drive, std::span<const int> steps,
                         const ExtraAir& extra) const;
  const SpaceFan& fan(std::size_t index) const;
  Flows flows_at(std::span<const double> fractional_steps, const ExtraAir& extra) const;

  ThermalModel model_;
  std::vector<FanRef> fans_;
  double pressure_ratio_ = 1.0;
};

/// A fan's advice for one space: what each step gives, and the smallest that keeps the limit.
struct FanAdvice {
  std::vector<double> temp_at_step_c{};     ///< steady, one per step of the space's first fan
  std::optional<int> smallest_step{};       ///< that keeps the limit; none when no step does
  std::optional<double> needed_flow_m3s{};  ///< with free choice of air; none: impossible
  double margin_k = 0.0;                    ///< limit minus temperature at the highest step
};
FanAdvice fan_advice(const ThermalNetwork& network, const ThermalDrive& drive, std::size_t space,
                     double limit_c);

}  // namespace nightbus
