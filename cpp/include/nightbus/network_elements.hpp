#pragma once
/// What a DC network is made of: two-terminal elements between nodes, and converters with two pairs
/// of terminals. Numbers and indices only; names and files live above.
///
/// Units: V, A, W, Ω, S, °C, K/W, s, F. Sign: a current is counted from the first named terminal to
/// the second *through the element* (a: in, b: out). A load or resistor that takes power therefore
/// has current_a >= 0 and power_w >= 0; a source that supplies has current_a < 0 by that rule, and
/// results state `supplied` power where that reads better. Every value below must be finite unless
/// a range says otherwise; a value out of range gives SolveStatus::invalid, never an exception.

#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>

namespace nightbus {

enum class NodeId : std::uint32_t {};
enum class ElementId : std::uint32_t {};
constexpr std::size_t index(NodeId id) {
  return static_cast<std::size_t>(id);
}
constexpr std::size_t index(ElementId id) {
  return static_cast<std::size_t>(id);
}

inline constexpr double no_limit = std::numeric_limits<double>::infinity();

/// A resistance at or below this is no resistance at all: its two nodes become one.
inline constexpr double ideal_resistance_ohm = 1e-9;
/// A resistance at or above this carries nothing (12 V drive 12 nA): it counts as open.
inline constexpr double open_resistance_ohm = 1e9;

/// A conductor, joint, fuse, switch contact, chassis path. Range: resistance_ohm >= 0.
/// Resistance at the conductor's own temperature:
///   R(I) = R0 · (1 + alpha (T - T0)),  T = ambient + kelvin_per_watt · I² R(I).
/// The defaults (kelvin_per_watt 0, ambient = reference) make it constant. For a run of n
/// conductors in one bundle give the thermal resistance of this one conductor over its whole
/// length.
struct ConductorLaw {
  double resistance_ohm = 0.0;           ///< R0, at reference_c
  double temperature_coefficient = 0.0;  ///< alpha, 1/K, >= 0 (copper 0.00393 at 20 °C)
  double reference_c = 20.0;             ///< T0
  double ambient_c = 20.0;               ///< air around it
  double kelvin_per_watt = 0.0;          ///< rise of the conductor per watt lost in it, >= 0
};

/// A contact that opens and closes by a voltage sensed elsewhere (low-voltage disconnect), with
/// hysteresis: opens below open_below_v, closes again above close_above_v (>= open_below_v).
struct RelayLaw {
  double resistance_ohm = 0.0;  ///< of the closed contact
  double open_below_v = 0.0;    ///< at its own terminals
  double close_above_v = 0.0;   ///< not below open_below_v
};

/// A bank, or anything that acts as an EMF behind a resistance; it may take current as well as
/// give.
struct SourceLaw {
  double emf_v = 0.0;           ///< >= 0
  double resistance_ohm = 0.0;  ///< >= 0; 0 is an ideal source
};

/// What fills the bank: holds ceiling_v until a limit is reached, gives constant current or
/// constant power then, and never takes current back. The least of the three branches applies:
///   i = max(0, min((ceiling - v) / r, current_limit, power_limit / v)).
struct ChargerLaw {
  double ceiling_v = 0.0;             ///< never goes above
  double current_limit_a = no_limit;  ///< >= 0
  double power_limit_w = no_limit;    ///< >= 0; what the array or the engine can give now
  double resistance_ohm = 1e-3;       ///< > 0: slope of the constant-voltage branch
};

/// Under-voltage lock-out: off below off_below_v, on again above on_above_v (>= off_below_v).
struct LockOut {
  double off_below_v = 0.0;  ///< at its own terminals
  double on_above_v = 0.0;   ///< not below off_below_v
};

/// What consumes. Inside its window, at terminal voltage v:
///   i = power_w / v + current_a + conductance_s · v + fan_a_per_v2 · v².
/// The last term is a fan whose speed follows the voltage (power by the cube of speed); a fan on
/// its own regulator is constant power: rated power × speed³. Below minimum_v the load becomes the
/// resistance that takes the same current at minimum_v, continuous at the limit. minimum_v = 0: the
/// law holds to the bitter end, and where no voltage satisfies it the network has collapsed.
struct LoadLaw {
  double power_w = 0.0;               ///< >= 0
  double current_a = 0.0;             ///< >= 0
  double conductance_s = 0.0;         ///< >= 0
  double fan_a_per_v2 = 0.0;          ///< >= 0
  double minimum_v = 0.0;             ///< >= 0
  double scale = 1.0;                 ///< >= 0, multiplies the whole draw (demand, duty, what-if)
  std::optional<LockOut> lock_out{};  ///< empty: runs at any voltage
  double off_conductance_s = 0.0;     ///< >= 0, what it still takes when locked out
};

/// A fan of rated_w at rated_v, at a speed step 0..1. `regulated`: it draws rated_w·step³ at any
/// voltage; otherwise its speed follows the voltage too.
LoadLaw fan_law(double rated_w, double rated_v, double speed_step, bool regulated);

enum class ConverterTopology : std::uint8_t {
  buck,        ///< down: cannot give more than its input less drop_out_v
  boost,       ///< up: passes its input less drop_out_v through when that is above the set point
  buck_boost,  ///< either way, common negative or not
};

/// A DC-DC converter, PoE injector supply or inverter stage. Input (in+, in-), output (out+, out-);
/// it is isolated when nothing else joins the two sides: no law is needed for that.
///   target(v_in): buck        min(set_point, v_in - drop_out)
///                 boost       max(set_point · min(1, v_in / minimum_input), v_in - drop_out)
///                 buck_boost  set_point · min(1, v_in / minimum_input)
///   output: i_out = min((target - v_out) / output_resistance, current_limit, P_limit / v_out), >=
///   0
///           (a diode on the output: outputs may be paralleled; nothing flows back),
///           P_limit = min(power_limit, what input_current_limit allows)
///   input:  P_in = P0 · min(1, v_in / low)² + (1 + a) P_out + b P_out²,  i_in = P_in / v_in
/// with P_out = v_out · i_out measured at its terminals. Locked out: the input is the resistance
/// that takes off_w at off_below_v.
struct ConverterLaw {
  ConverterTopology kind = ConverterTopology::buck_boost;
  double set_point_v = 0.0;                 ///< > 0
  double output_resistance_ohm = 0.01;      ///< > 0
  double current_limit_a = no_limit;        ///< output, > 0
  double power_limit_w = no_limit;          ///< output, > 0
  double input_current_limit_a = no_limit;  ///< at its input terminals
  double standby_w = 0.0;                   ///< P0 >= 0
  double loss_fraction = 0.0;               ///< a >= 0: 1/efficiency - 1 for a flat efficiency
  double loss_per_watt = 0.0;               ///< b >= 0, 1/W
  double drop_out_v = 0.0;                  ///< >= 0; buck and boost
  double minimum_input_v = 0.0;       ///< >= 0; boost and buck_boost; 0: a tenth of the set point
  std::optional<LockOut> lock_out{};  ///< on its input
  double off_w = 0.0;                 ///< >= 0, drawn when locked out
  double scale = 1.0;                 ///< 0 switches it off for good
};

/// A blocking diode from a (anode) to b: nothing but leakage below forward_v.
struct DiodeLaw {
  double forward_v = 0.0;        ///< >= 0
  double resistance_ohm = 1e-3;  ///< > 0, slope once conducting
  double leakage_s = 1e-7;       ///< > 0
};

/// A powered port, its cable and the powered device: pair-set loop resistance (both ways), then the
/// device as constant power with its window. Limits are checked above, the link only obeys physics.
struct PoeLinkLaw {
  double loop_resistance_ohm = 0.0;   ///< out and back: 2 pairs R, 4 pairs R/2
  double power_w = 0.0;               ///< at the device
  double minimum_v = 37.0;            ///< at the device; see LoadLaw::minimum_v
  std::optional<LockOut> lock_out{};  ///< of the powered device
};

/// An inverter with its AC load behind it, seen from the DC side: constant power
///   P0 + (1 + a) P_ac + b P_ac².
struct InverterLaw {
  double ac_power_w = 0.0;  ///< that is taken from it
  double standby_w = 0.0;   ///< input = standby + (1 + fraction)·P + per_watt·P²
  double loss_fraction = 0.0;
  double loss_per_watt = 0.0;
  double minimum_v = 0.0;  ///< below it gives nothing
  std::optional<LockOut> lock_out{};
};

/// a and b of P_in = P0 + (1 + a) P_out + b P_out² through two efficiency points (power out, W, and
/// efficiency 0..1), with P0 given; b is never negative and a never below 0.
struct LossFit {
  double loss_fraction = 0.0;
  double loss_per_watt = 0.0;
};
LossFit fit_losses(double standby_w, double power_1_w, double efficiency_1, double power_2_w,
                   double efficiency_2);

}  // namespace nightbus
