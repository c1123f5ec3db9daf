#pragma once
/// The arithmetic of one conductor: volts lost, temperature at load, what it may carry. Pure
/// functions over SI numbers; rules and tables come in as data.

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "nightbus/catalogue.hpp"
#include "nightbus/wiring_checks.hpp"

namespace nightbus {

// ---- Ohm's law over a length
// --------------------------------------------------------------------

/// Volts lost out and back over a run of `length_m` one way, both conductors alike.
double loop_drop_v(double current_a, double resistance_ohm_per_m, double length_m);
/// Longest run, one way, that loses at most `drop_v`.
double longest_run_m(double drop_v, double current_a, double resistance_ohm_per_m);
/// Metal needed so that out and back over `length_m` one way lose `drop_v`: ρ·I·2L/V.
double area_for_drop_mm2(double resistivity_ohm_mm2_per_m, double current_a, double length_m,
                         double drop_v);
/// Shares of a current among conductors in parallel, each with its own resistance: as 1/R.
std::vector<double> parallel_shares(std::span<const double> resistances_ohm);

// ---- Temperature
// --------------------------------------------------------------------------------

/// Temperature a conductor settles at, from one known point: at `rated_a` in air of `base_c` it
/// reaches `rated_c`. Heat goes with I²·R(T), so the rise is solved in closed form. Empty when no
/// balance exists (the resistance grows faster than the heat leaves).
std::optional<double> conductor_temperature_c(double current_a, double ambient_c, double rated_a,
                                              double rated_c, double base_c,
                                              double zero_resistance_k);
/// The square-root estimate of AC 43.13-1B, kept for comparison only: it overstates the rise
/// because heat goes with the square of the current.
double square_root_estimate_c(double current_a, double ambient_c, double rated_a, double rated_c);
/// Length of hot wire that has the resistance `length_m` has at 20 °C.
double hot_length_m(double length_m, double conductor_c, double zero_resistance_k);

/// sqrt((Tc - Ta)/(Tc - Tb)): share of the ampacity stated for air of `base_c`; 0 from Tc up.
double ambient_factor(double ambient_c, double rated_c, double base_c);

/// Bare facts of an insulated round wire in still air, for a heat balance from first principles.
struct WireInAir {
  double conductor_diameter_m = 0.0;  ///< over the strands
  double outer_diameter_m = 0.0;      ///< over the insulation
  double resistance_ohm_per_m = 0.0;  ///< at 20 °C
  double zero_resistance_k = 234.5;   ///< of the metal, see Material
  double insulation_w_per_mk = 0.2;   ///< thermal conductivity of the insulation
  double emissivity = 0.9;            ///< of its surface
};
struct FreeAirBalance {
  double current_a = 0.0;
  double surface_c = 0.0;     ///< of the insulation
  double heat_w_per_m = 0.0;  ///< that it sheds
  double convection_w_per_m2k = 0.0;
  double radiation_w_per_m2k = 0.0;
};
/// The current that holds the conductor at `conductor_c` in still air of `ambient_c`, one
/// horizontal wire, natural convection (Churchill and Chu 1975) and radiation.
FreeAirBalance free_air_balance(const WireInAir& wire, double conductor_c, double ambient_c);

// ---- Ampacity
// -----------------------------------------------------------------------------------

/// What is asked of a rule set about one pole of a run.
struct AmpacityAsk {
  ConductorSize size;
  double area_mm2 = 0.0;
  std::string_view material = "copper";
  double insulation_c = 75.0;  ///< rated temperature
  double terminal_c = 60.0;    ///< rated temperature of the terminals
  Installation installation = Installation::conduit;
  double ambient_c = 30.0;
  Bundle bundle;
  int parallel = 1;        ///< conductors per pole
  bool solar = false;      ///< circuit of an array
  double circuit_a = 0.0;  ///< for terminal rules that depend on it
};

/// table × ambient × grouping × conductors in parallel, capped by the terminals.
struct CorrectedAmpacity {
  const RuleSet* rules = nullptr;
  bool known = false;  ///< false: this rule set has no figure, see `missing`
  Ampacity table;
  TableValue ambient{1.0, {}};         ///< factor
  TableValue grouping{1.0, {}};        ///< factor
  std::optional<TableValue> terminal;  ///< A, all conductors in parallel together
  double corrected_a = 0.0;            ///< before terminals
  double value_a = 0.0;                ///< after
  bool terminal_governs = false;
  std::string missing;  ///< why it is not known

  std::string rule() const;       ///< the citation that governs
  std::string breakdown() const;  ///< "60 A × 0.85 (50 °C) × 0.50 (12 conductors)"
};
CorrectedAmpacity corrected_ampacity(const RuleSet& rules, const AmpacityAsk& ask);
/// One for each rule set; the strictest known one first, the unknown ones last.
std::vector<CorrectedAmpacity> corrected_ampacities(std::span<const RuleSet* const> rules,
                                                    const AmpacityAsk& ask);

}  // namespace nightbus
