#pragma once
/// Short circuits and what they do to wire: bank current, heating without heat loss, fusing.

#include <optional>

#include "nightbus/catalogue.hpp"

namespace nightbus {

// ---- What a bank drives
// -------------------------------------------------------------------------

/// EMF over everything in the loop. 0 Ω gives infinity.
double short_circuit_a(double emf_v, double loop_ohm);
/// Resistance of `cells` in series and `strings` in parallel, links included.
double bank_loop_ohm(double cell_ohm, int cells, int strings, double links_ohm = 0.0);
/// Lead-acid without any stated resistance: multiple × capacity, A (common practice, no source).
double short_circuit_from_capacity_a(double capacity_ah, double multiple = 10.0);
/// i(t) of a fault through resistance and inductance: final · (1 - exp(-t R/L)).
double fault_rise_a(double final_a, double resistance_ohm, double inductance_h, double time_s);
double inductive_energy_j(double inductance_h, double current_a);

// ---- Heating without loss: I²t = K²S² ln((Tf + β)/(Ti + β))
// ------------------------------------

/// k of the material between two temperatures, A·√s/mm².
double adiabatic_k(const Material& material, double initial_c, double final_c);
double withstand_a2s(double k, double area_mm2);
/// Area that bears `current_a` for `time_s`.
double area_for_fault_mm2(double current_a, double time_s, double k);
/// Temperature after `i2t_a2s`.
double fault_temperature_c(const Material& material, double area_mm2, double initial_c,
                           double i2t_a2s);
/// Factor by which heat loss into the insulation raises the current borne for `time_s`, IEC 60949
/// form sqrt(1 + X sqrt(t/S) + Y t/S). XLPE around copper: X 0.41, Y 0.12 (values from memory; the
/// published worked example agrees).
double heat_loss_factor(double time_s, double area_mm2, double x = 0.41, double y = 0.12);

/// Temperature after `time_s` of `current_a` with heat leaving as it does at rated load: one heat
/// capacity behind one thermal resistance. For overloads longer than the adiabatic 5 s.
struct SlowHeating {
  double area_mm2 = 0.0;    ///< of metal
  double rated_a = 0.0;     ///< settles at rated_c in air of base_c
  double rated_c = 75.0;    ///< where it settles then …
  double base_c = 30.0;     ///< … in air of this
  double ambient_c = 30.0;  ///< air now
  double initial_c = 30.0;  ///< conductor before the overload
};
double slow_temperature_c(const Material& material, const SlowHeating& wire, double current_a,
                          double time_s);
/// When the wire reaches `limit_c`; empty: never.
std::optional<double> time_to_temperature_s(const Material& material, const SlowHeating& wire,
                                            double current_a, double limit_c);

// ---- Wire as a fuse (seconds at most; no steady state)
// -----------------------------------------

/// Onderdonk: 33 (I/A)² S = log10((Tm - Ta)/(234 + Ta) + 1), A in circular mils, copper.
double onderdonk_fusing_a(double area_mm2, double time_s, double ambient_c);
/// Preece: 10244 · d^1.5, d in inches, copper (common practice, no source).
double preece_fusing_a(double diameter_m);

}  // namespace nightbus
