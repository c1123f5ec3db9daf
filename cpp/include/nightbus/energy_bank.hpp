#pragma once
/// The bank as numbers. Tables are per cell, the bank scales them: cells in series, amp-hours,
/// ohms. Current is positive INTO the bank (charging).
///
///         + o────[ R(s, T) ]────( EMF(s, T, h) )────o -
///             I →  terminal V = EMF + I·R
///
/// s: state of charge 0…1 of the reference capacity; h: hysteresis state -1 (discharge branch) … 1.

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace nightbus {

/// y over rising x, linear between, held flat outside.
struct PiecewiseLinear {
  std::vector<double> x, y;
  double at(double value) const;
  bool empty() const { return x.empty(); }
  static PiecewiseLinear constant(double y) { return {{0.0}, {y}}; }
};

struct ChargeVoltages {
  double absorption_v = 14.4;  ///< whole bank, at 25 °C
  double float_v = 13.5;
  std::optional<double> equalise_v{};
  double ceiling_v = 15.5;            ///< never above, compensation included
  double compensation_v_per_k = 0.0;  ///< whole bank, negative for lead-acid
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
  double equalise_s = 0.0;
};

struct BankModel {
  std::string chemistry{};       ///< for messages only
  int cells = 4;               ///< in series
  double capacity_ah = 100.0;  ///< whole bank, rated, at 25 °C
  double rated_hours = 20.0;   ///< the rate that capacity belongs to

  // Voltage, per cell
  PiecewiseLinear discharge_v;     ///< OCV after discharge over s
  PiecewiseLinear charge_v;        ///< OCV after charge over s, same x; empty: no hysteresis
  double ocv_v_per_k = 0.0;        ///< of one cell, against 25 °C
  double hysteresis_swing = 0.03;  ///< share of the capacity that moves h most of the way (1 - 1/e)

  // Resistance, whole bank, with links
  double resistance_ohm = 0.004;         ///< warm, at the middle of the charge
  PiecewiseLinear resistance_by_charge;  ///< factor over s while discharging; empty: 1
  PiecewiseLinear
      charge_resistance_by_charge;     ///< factor over s while charging; empty: as discharging
  PiecewiseLinear resistance_by_temp;  ///< factor over °C; empty: 1

  // Capacity and efficiency
  PiecewiseLinear capacity_by_temp;  ///< share that can be drawn over °C; empty: 1
  double peukert = 1.0;              ///< exponent; 1: none. Counts only above the rated current
  PiecewiseLinear coulombic;  ///< share of the charge current that is stored, over s; empty: 1
  double self_discharge_per_s = 0.0;  ///< share of capacity at 25 °C
  double self_discharge_doubling_k = 10.0;
  double standby_w = 0.0;  ///< monitor and management system, at the bank's terminals

  // Limits
  double charge_low_c = -10.0, charge_high_c = 50.0;  ///< no charging outside
  double discharge_low_c = -20.0, discharge_high_c = 60.0;
  double limit_hysteresis_k = 2.0;
  PiecewiseLinear charge_limit_c_rate;  ///< largest charge current in 1/h over °C; empty: none
  double max_charge_a = 1e9, max_discharge_a = 1e9;
  double cut_off_v = 0.0;              ///< management system or voltage limit: opens below
  double cut_off_return_v = 0.0;       ///< closes again above
  double ageing = 1.0;                 ///< share of the rated capacity that is left
  double heat_capacity_j_per_k = 0.0;  ///< 0: the bank takes its compartment's temperature

  ChargeVoltages voltages;
  ChargeRules rules;

  double usable_capacity_ah() const { return capacity_ah * ageing; }
  double emf_v(double s, double temp_c, double h) const;
  double mean_emf_v(double s) const;  ///< between the branches, 25 °C: what stored energy counts by
  double hysteresis_v(double s) const;  ///< half the gap between the branches
  double resistance(double s, double temp_c, bool charging) const;
  double coulombic_at(double s) const;
  /// Factor by which the charge drawn counts more than the rated current's: 1 up to the rated
  /// current.
  double peukert_factor(double discharge_a) const;
  double charge_limit_a(double temp_c) const;
  double self_discharge_a(double temp_c) const;
  /// State of charge below which nothing can be drawn at this temperature.
  double empty_soc(double temp_c) const;
  /// Wh above empty: ∫ mean EMF dQ.
  double stored_wh(double s) const;
};

/// Rest voltage to state of charge: the lowest and highest charge that the voltage allows.
struct ChargeBounds {
  double low = 0.0, high = 1.0;
};
ChargeBounds charge_from_rest_voltage(const BankModel& bank, double voltage_v, double temp_c,
                                      double voltage_tolerance_v = 0.0);

// ---- Closed forms
// ---------------------------------------------------------------------------------

struct PeukertRun {
  double hours = 0.0, amp_hours = 0.0;
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

struct LifeEstimate {
  double full_cycles_per_year = 0.0;          ///< charge drawn over rated capacity
  double typical_depth = 0.0;                 ///< mean daily swing
  double loss_per_year = 0.0;                 ///< by cycling, first year, share of capacity
  std::optional<double> years_to_80_percent{};  ///< none: more than 20, or no data for the chemistry
  std::string source{};
};

}  // namespace nightbus
