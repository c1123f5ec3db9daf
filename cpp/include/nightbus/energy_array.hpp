#pragma once
/// From light on the plane to current on the bus: incidence loss, cell temperature, module, losses,
/// controller.

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "nightbus/energy_sky.hpp"

namespace nightbus {

// ---- Loss of the beam at a slant (1 = none) -----------------------------------------------------

enum class IncidenceModel { none, ashrae, physical, martin_ruiz };
double incidence_modifier(IncidenceModel model, double incidence_deg);
double ashrae_modifier(double incidence_deg, double b = 0.05);
double physical_modifier(double incidence_deg, double n = 1.526, double k_per_m = 4.0,
                         double thickness_m = 0.002);
double martin_ruiz_modifier(double incidence_deg, double a_r = 0.16);

// ---- Cell temperature ---------------------------------------------------------------------------

double faiman_cell_c(double plane_wm2, double air_c, double wind_ms, double u0 = 25.0,
                     double u1 = 6.84);  ///< Faiman, Prog. Photovolt. 16 (2008) 307
enum class ModuleMount { open_glass_glass, close_glass_glass, open_glass_polymer, insulated_back };
struct SandiaTemperature {
  double back_c = 0.0;  ///< of the module's back
  double cell_c = 0.0;
};
/// King et al., SAND2004-3535.
SandiaTemperature sandia_cell_c(double plane_wm2, double air_c, double wind_ms, ModuleMount mount);
double ross_cell_c(double plane_wm2, double air_c, double noct_c);

// ---- Modules ------------------------------------------------------------------------------------

/// One line: power in proportion to light, with a temperature coefficient (Dobos,
/// NREL/TP-6A20-62641).
struct SimpleModule {
  double power_w = 100.0;             ///< at 1000 W/m², cell 25 °C
  double coefficient_per_k = -0.004;  ///< of power
  double low_light_k = 0.0;           ///< 0: none
  bool no_gain_above_1000 = false;    ///< W/m²: output is held there
};
double simple_power_w(const SimpleModule& module, double effective_wm2, double cell_c);

/// Single diode with five parameters at 1000 W/m², 25 °C (De Soto, Klein & Beckman, Solar Energy 80
/// (2006) 78). All in A, Ω, V; `a` is the modified ideality n·Ns·kT/q in V.
struct DiodeModule {
  double alpha_isc_a_per_k = 0.0;  ///< of the short-circuit current
  double a_ref_v = 1.0;            ///< ideality factor × cells × thermal volts
  double light_current_ref_a = 0.0;
  double saturation_ref_a = 0.0;
  double shunt_ref_ohm = 0.0;
  double series_ohm = 0.0;
  double gap_ref_ev = 1.121;            ///< band gap of silicon, 25 °C
  double gap_slope_per_k = -0.0002677;  ///< its relative slope
};
/// The curve at one light and temperature.
struct DiodeCurve {
  double light_current_a = 0.0, saturation_a = 0.0, series_ohm = 0.0, shunt_ohm = 0.0, a_v = 1.0;
  double current_at(double voltage_v) const;  ///< exact to rounding, any sign
  double voltage_at(double current_a) const;
  double open_circuit_v() const;
  double short_circuit_a() const;
  struct Point {
    double voltage_v = 0.0, current_a = 0.0;
    double power_w() const { return voltage_v * current_a; }
  };
  Point maximum_power() const;
};
DiodeCurve diode_curve(const DiodeModule& module, double effective_wm2, double cell_c);
/// `series` modules in a string, `parallel` strings.
DiodeModule combine(const DiodeModule& module, int series, int parallel);

// ---- Losses and inverter ------------------------------------------------------------------------

double combined_loss(std::span<const double> losses);  ///< 1 - Π(1 - L), as shares
double inverter_ac_w(double dc_w, double dc_rated_w, double efficiency_nominal);  ///< same report

// ---- Array and controller as the simulation takes them
// --------------------------------------------

enum class CellTemperatureModel { faiman, sandia, ross };
enum class ControllerKind { mppt, pwm };

/// A controller between array and bank.
struct SolarController {
  ControllerKind kind = ControllerKind::mppt;
  double efficiency = 0.97;          ///< mppt: power out / power in
  double standby_w = 0.5;            ///< drawn from the bank day and night
  double max_current_a = 1e9;        ///< towards the bank
  double max_input_v = 1e9;          ///< against the cold open-circuit voltage
  double headroom_v = 1.0;           ///< mppt: array voltage needed above the bus
  double path_resistance_ohm = 0.0;  ///< controller to bank, out and back
};

/// Several equal modules in one plane.
struct ArrayModel {
  Plane plane;
  SimpleModule simple;                 ///< used when `diode` is not given
  std::optional<DiodeModule> diode{};  ///< the whole array already combined
  /// mppt voltage of a simple module (V); with pwm and a simple module: current is power/this
  /// voltage
  double simple_mpp_v = 0.0;
  CellTemperatureModel temperature = CellTemperatureModel::faiman;
  double u0 = 25.0, u1 = 6.84, noct_c = 45.0;  ///< of the chosen temperature model
  ModuleMount mount = ModuleMount::open_glass_polymer;
  IncidenceModel incidence = IncidenceModel::none;
  SkyModel sky = SkyModel::hay_davies;
  double fixed_loss = 0.0;                ///< mismatch, wiring and nameplate, a share
  std::array<double, 12> monthly_loss{};  ///< soiling and snow by month, a share
  Horizon horizon;
  /// Share of the array lost when the beam comes from below `partial_shade_below_deg` (a mast, a
  /// rail).
  double partial_shade_share = 0.0;
  double partial_shade_below_deg = 0.0;  ///< sun's height under which strings are shaded
  /// A vehicle that turns: the plane is averaged over all headings.
  bool heading_unknown = false;
  SolarController controller;
};

/// Light that counts on the cells: beam after horizon, shade and slant; diffuse after the sky view.
double effective_irradiance_wm2(const ArrayModel& array, const SkyInput& in);
double cell_temperature_c(const ArrayModel& array, double plane_wm2, double air_c, double wind_ms);

/// What the array could give at this light and cell temperature.
struct ArrayOutput {
  double power_w = 0.0;  ///< at the maximum power point, after losses, before the controller
  double mpp_v = 0.0;    ///< 0: not known
  double open_circuit_v = 0.0;
};
ArrayOutput array_output(const ArrayModel& array, double effective_wm2, double cell_c,
                         double loss_share);

/// Current a controller offers into a bus held at `bus_v`. PWM: the module's current at the bus
/// voltage (current, not watts, is what it passes on).
double controller_current_a(const ArrayModel& array, double effective_wm2, double cell_c,
                            double loss_share, double bus_v);

/// Coldest open-circuit voltage of the array, for the controller's input limit.
double cold_open_circuit_v(const DiodeModule& module, double coldest_c, double bright_wm2 = 1000.0);

}  // namespace nightbus
