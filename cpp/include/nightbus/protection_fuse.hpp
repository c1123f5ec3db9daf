#pragma once
/// Fuses and breakers as numbers: opening times, usable rating, pulses, ratings in use.

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "nightbus/catalogue.hpp"

namespace nightbus {

// ---- Time and current
// ---------------------------------------------------------------------------

enum class BandSide {
  slowest,  ///< has opened by then: for protection
  fastest,  ///< may open from then on: for nuisance and selectivity
};

/// Opening time at `ratio` of the rating: log-log between published points. Beyond the last point
/// the slowest time stays (it can only be shorter) and the fastest falls with the square of the
/// current. Below the first published point of that side: empty.
std::optional<double> opening_time_s(const OpeningBand& band, double ratio, BandSide side);

/// Least current from which on the device opens within `time_s` on the slow side, A; empty when the
/// band never promises it.
std::optional<double> current_to_open_a(const OpeningBand& band, double rating_a, double time_s);

/// Ranges of fault current, from `from_a` up, over which the slow side lets through at most
/// `most_a2s`; ascending, the last may be open-ended. Empty: nowhere.
struct CurrentRange {
  double low_a = 0.0;
  double high_a = 0.0;
};
std::vector<CurrentRange> currents_within_a2s(const OpeningBand& band, double rating_a,
                                              double from_a, double most_a2s);

/// Largest I²t that the device may let through at any fault current between the two, slow side,
/// A²s: opening time × I², but at least the melting figure × `clearing_over_melting` where one is
/// published. Empty when neither is known.
std::optional<double> let_through_a2s(const OvercurrentForm& form, double rating_a, double from_a,
                                      double to_a, double clearing_over_melting = 2.0);

// ---- Continuous load
// ----------------------------------------------------------------------------

/// rating × share usable at its ambient ÷ continuous factor, once each.
double usable_current_a(double rating_a, double rerating, double continuous_factor);
/// Rating needed for a continuous current, before the list of ratings.
double needed_rating_a(double continuous_a, double rerating, double continuous_factor);
/// Smallest of `ratings_a` (ascending) that is at least `current_a`.
std::optional<double> next_rating_a(std::span<const double> ratings_a, double current_a);
/// Solar circuits: 1.25 · short-circuit current is the continuous current of the circuit, and the
/// device is 1.25 of that again.
struct SolarCurrents {
  double continuous_a = 0.0;  ///< that the array's circuit is taken to carry
  double device_a = 0.0;      ///< least rating of its device
};
SolarCurrents solar_currents(double short_circuit_a, int strings = 1);

// ---- Pulses
// ------------------------------------------------------------------------------------

enum class PulseShape { square, trapezoid, half_sine, triangle, parabola, decay };
/// ∫i² dt of a pulse with peak `peak_a` that lasts `time_s` (decay: the time constant);
/// `end_a` is the other end of a trapezoid.
double pulse_a2s(PulseShape shape, double peak_a, double time_s, double end_a = 0.0);
/// A capacitor charged through a resistance: peak V/R, time constant RC, C V²/(2R).
struct CapacitorPulse {
  double peak_a = 0.0;
  double time_constant_s = 0.0;
  double i2t_a2s = 0.0;   ///< of the whole pulse
  double energy_j = 0.0;  ///< lost in the resistance, whatever it is: C V²/2
};
CapacitorPulse capacitor_pulse(double capacitance_f, double voltage_v, double resistance_ohm);
/// Share of the typical melting I²t that one of `pulses` pulses may use: log-log between the points
/// of the catalogue's curve "melting share by pulses", ends held.
double pulse_share(const Curve& share_by_pulses, double pulses);
/// Melting I²t a fuse needs for that.
double needed_melting_a2s(double pulse_i2t_a2s, double share);

/// Resistor that limits the charging of a capacitor, and how long to wait.
struct Precharge {
  double resistance_ohm = 0.0;
  double time_constant_s = 0.0;
  double done_s = 0.0;    ///< five time constants
  double energy_j = 0.0;  ///< that the resistor takes each time
  double peak_w = 0.0;
};
Precharge precharge(double voltage_v, double capacitance_f, double limit_a);

// ---- Typical melting figures
// --------------------------------------------------------------------

struct MeltingFigure {
  double value_a2s = 0.0;  ///< melting I²t
  bool published = true;   ///< false: from a neighbouring rating, on the safe side
  Citation from;
};
/// Melting I²t of a rating: published, else that of the next smaller published one of the form (a
/// smaller fuse melts sooner); empty when there is none.
std::optional<MeltingFigure> melting_figure(const OvercurrentForm& form, double rating_a);

// ---- Devices in series
// --------------------------------------------------------------------------

enum class Selective { yes, no, unknown };
/// Whether `upstream` stays whole while `downstream` clears `fault_a`: the slow side of the lower
/// one against the fast side of the upper one, and clearing against melting I²t; where neither form
/// has data, ratio of ratings ≥ `ratio`.
Selective selective(const OvercurrentForm& upstream, double upstream_a,
                    const OvercurrentForm& downstream, double downstream_a, double fault_a,
                    double ratio = 2.0);

}  // namespace nightbus
