#pragma once
/// The bank as numbers. Tables are per cell, the bank scales them: cells in series, amp-hours,
/// ohms. Current is positive INTO the bank (charging).
///
///         + o────[ R(s, T) ]────( EMF(s, T, h) )────o -
///             I →  terminal V = EMF + I·R
///
/// s: state of charge 0…1 of the usable capacity; h: hysteresis state -1 (discharge branch) … 1.
/// While it charges, the current is also held to what the bank accepts: a limit by temperature, by
/// its maker, and by how much charge is missing. Then the volts stand above EMF + I·R
/// (polarisation).

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace nightbus {

struct BatteryChemistry;  // nightbus/catalogue.hpp

/// y over rising x, linear between, held flat outside.
struct PiecewiseLinear {
  std::vector<double> x, y;  ///< ascending; flat beyond its ends
  double at(double value) const;
  bool empty() const { return x.empty(); }
  static PiecewiseLinear constant(double y) { return {{0.0}, {y}}; }
};

struct ChargeVoltages {
  double absorption_v = 14.4;          ///< whole bank, at 25 °C
  double float_v = 13.5;               ///< held once it is full
  std::optional<double> equalise_v{};  ///< empty: never
  double ceiling_v = 15.5;             ///< whole bank at 25 °C: no setpoint above it
  double compensation_v_per_k = 0.0;   ///< whole bank, negative for lead-acid
  double compensation_low_c = 0.0, compensation_high_c = 45.0;  ///< held flat outside
  double setpoint_v(double at_25_v, double temp_c) const;
};

/// When a stage ends.
struct ChargeRules {
  double absorption_s = 7200.0;  ///< longest time at the absorption voltage
  double tail_current_a =
      0.0;  ///< bank current (load current already subtracted) that ends it; 0: time only
  bool floats = true;             ///< false: charging stops after absorption until re-bulk
  double rebulk_v = 13.2;         ///< back to bulk when the bank rests below this …
  double rebulk_delay_s = 300.0;  ///< … for so long
  double equalise_every_s = 0.0;  ///< 0: never
  double equalise_s = 0.0;        ///< how long
};

struct BankModel {
  std::string chemistry{};     ///< for messages only
  int cells = 4;               ///< in series
  double capacity_ah = 100.0;  ///< whole bank, rated, at 25 °C
  double rated_hours = 20.0;   ///< the rate that capacity belongs to
  double ageing = 1.0;         ///< share of the rated capacity that is left

  // Voltage, per cell, over s
  PiecewiseLinear mean_v{};   ///< between the branches, 25 °C: what stored energy counts by
  PiecewiseLinear swing_v{};  ///< half the gap between charge and discharge branch; empty: none
  double ocv_v_per_k = 0.0;   ///< of one cell, against 25 °C
  double hysteresis_charge = 0.03;  ///< share of the capacity that moves h by 1 - 1/e of its way

  // Resistance, whole bank, with links
  double resistance_ohm = 0.004;           ///< warm, half charged
  PiecewiseLinear resistance_by_charge{};  ///< factor over s; empty: 1
  PiecewiseLinear resistance_by_temp{};    ///< factor over °C; empty: 1

  // Capacity and efficiency
  PiecewiseLinear capacity_by_temp{};  ///< share that can be drawn over °C; empty: 1
  double peukert = 1.0;                ///< exponent; 1: none. Counts only above the rated current
  PiecewiseLinear coulombic{};  ///< share of the charge current that is stored, over s; empty: 1
  double self_discharge_per_s = 0.0;        ///< share of capacity, at 25 °C
  double self_discharge_doubling_k = 10.0;  ///< so much warmer loses twice as fast
  double standby_w = 0.0;                   ///< monitor and management system, at the terminals

  // What it accepts
  double charge_low_c = -10.0, charge_high_c = 50.0;        ///< no charging outside
  double discharge_low_c = -20.0, discharge_high_c = 60.0;  ///< outside of these nothing is taken
  double limit_hysteresis_k = 2.0;        ///< a limit of temperature lifts so far inside
  PiecewiseLinear charge_rate_by_temp{};  ///< largest charge current over capacity, 1/h, over °C
  double acceptance_hours =
      0.0;                    ///< charge current at most missing charge over this; 0: no such limit
  double gassing_rate = 0.0;  ///< current over capacity still taken when full, 1/h; all of it lost
  double max_charge_a = 1e9, max_discharge_a = 1e9;  ///< at its terminals
  double cut_off_v = 0.0;         ///< management system: opens the discharge path below
  double cut_off_return_v = 0.0;  ///< and closes it above
  double thermal_lag_s = 0.0;     ///< the bank follows its surroundings with this time constant

  ChargeVoltages voltages{};
  ChargeRules rules{};

  double usable_ah() const { return capacity_ah * ageing; }
  double emf_v(double s, double temp_c, double h) const;
  double mean_emf_v(double s) const;  ///< whole bank
  double swing_of_v(double s) const;  ///< whole bank
  /// d(EMF)/ds along the direction of the current: slope of the tables and the march of h.
  double emf_slope_v(double s, double h, bool charging) const;
  double resistance_at(double s, double temp_c) const;
  double coulombic_at(double s) const;
  /// Factor by which drawn charge counts more than at the rated current: 1 up to that current.
  double peukert_factor(double discharge_a) const;
  double charge_limit_a(double temp_c) const;  ///< chargers are turned down to this
  double acceptance_a(double s) const;         ///< most the plates take, whatever the voltage
  double self_discharge_a(double temp_c) const;
  /// State of charge below which nothing can be drawn at this temperature.
  double empty_soc(double temp_c) const;
  /// Wh above s = 0: usable Ah · ∫ mean EMF ds.
  double stored_wh(double s) const;
  /// Next corner of the mean table from `s` in the direction of `charging`; 0 or 1 at the end.
  double next_corner(double s, bool charging) const;
};

/// Tables and habits of a chemistry ("LFP", "flooded", "AGM", "gel" or a user's own) for a bank of
/// `nominal_v` and `capacity_ah`. What the catalogue does not know keeps the safe default; each
/// such choice is added to `assumptions` in words. Peukert is left out for LFP.
BankModel bank_model(const BatteryChemistry& chemistry, double nominal_v, double capacity_ah,
                     std::vector<std::string>* assumptions = nullptr);

/// Rest voltage to state of charge: the lowest and highest charge that the voltage allows.
struct ChargeBounds {
  double low = 0.0, high = 1.0;  ///< state of charge, 0 to 1
};
ChargeBounds charge_from_rest_voltage(const BankModel& bank, double voltage_v, double temp_c,
                                      double voltage_tolerance_v = 0.0);

// ---- Closed forms
// ---------------------------------------------------------------------------------

struct PeukertRun {
  double hours = 0.0, amp_hours = 0.0;  ///< of a discharge at one current, and what came out
};
/// Rated-hour form, t = H·(C/(I·H))^k, capped at the rated amp-hours below the rated current.
PeukertRun peukert_run(double capacity_ah, double rated_hours, double exponent, double current_a);
double peukert_exponent(double hours1, double current1_a, double hours2, double current2_a);

/// Current and volts of a constant-power load behind E and R (upper root); none beyond E²/4R.
struct PowerPoint {
  double current_a = 0.0, voltage_v = 0.0;
};
std::optional<PowerPoint> constant_power_point(double emf_v, double resistance_ohm, double power_w);

/// Taper at constant voltage over a straight OCV of slope k V per unit charge: τ = R·Q/k.
double taper_time_constant_h(double resistance_ohm, double capacity_ah, double slope_v);

/// Lead-acid cell by electrolyte molality, Bode 1977 (as coded in PyBaMM's Sulzer2019 set).
double lead_acid_cell_v(double molality);
double lead_acid_molality(double concentration_mol_m3);
/// PyBaMM Prada2013 / Afshar 2017 fit: the positive electrode against lithium, not a cell voltage.
double lfp_electrode_v(double stoichiometry);

// ---- Life
// -----------------------------------------------------------------------------------------

/// Share of capacity lost by cycling alone: 250 Ah LFP cells, J. Energy Storage 2023,
/// 10.1016/j.est.2023.109042. Calendar ageing comes on top.
double lfp_cycle_loss(double full_cycles, double depth, double c_rate, double temp_c);

/// Made of a run's throughput and daily swings.
struct LifeEstimate {
  double full_cycles_per_year = 0.0;  ///< charge drawn over rated capacity
  double typical_depth = 0.0;         ///< mean daily swing
  double loss_per_year = 0.0;         ///< by cycling, first year, share of capacity
  std::optional<double>
      years_to_80_percent{};  ///< none: more than 20, or no data for the chemistry
  std::string source{};       ///< of the curve, in words
};
LifeEstimate life_estimate(const BankModel& bank, double discharged_ah, double days,
                           double mean_daily_depth, double mean_current_a, double mean_temp_c);

}  // namespace nightbus
