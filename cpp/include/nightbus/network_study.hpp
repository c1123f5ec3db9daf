#pragma once
/// Questions about a network beyond its operating point: how far to the edge, what helps most, what
/// a fault carries, what switching on does.

#include <optional>
#include <span>
#include <vector>

#include "nightbus/network.hpp"

namespace nightbus {

// --- margins ------------------------------------------------------------------------------------

/// Window of a device: volts across a load, a converter's input, any element.
struct VoltageWindow {
  ElementId element{};
  double minimum_v = 0.0;  ///< at the element's terminals
  double maximum_v = no_limit;
};
/// Continuous limit of a fuse, conductor, switch: |current_a| of the element.
struct CurrentLimit {
  ElementId element{};
  double limit_a = no_limit;  ///< through the element
};

/// Where the path of growing loads meets something. multiplier 1 is the case itself.
struct MarginPoint {
  double multiplier = 0.0;  ///< on every load
  ElementId element{};
  double value = 0.0;  ///< volts or amperes there
};

/// Multipliers apply to `scale` of every load at once (converter losses follow). States are held as
/// solved. Beyond `largest` the search stops and the field stays empty.
struct Margins {
  SolveStatus status = SolveStatus::not_converged;  ///< of the case itself, multiplier 1
  std::optional<MarginPoint> first_window;  ///< first device to leave its window (or already out)
  std::vector<std::optional<MarginPoint>> current;  ///< one for each CurrentLimit given
  std::optional<MarginPoint> first_current;         ///< least of them
  std::optional<MarginPoint> collapse;        ///< end of the curve, and the element that causes it
  std::vector<double> voltage_at_collapse_v;  ///< across each element, at the last point found
};
struct MarginRequest {
  std::span<const VoltageWindow> windows{};
  std::span<const CurrentLimit> limits{};
  double largest = 100.0;                       ///< multiplier to search up to
  double relative_accuracy = 1e-5;              ///< of every multiplier
  std::span<const std::uint8_t> previous_on{};  ///< states to begin from
};
Margins margins(const Circuit& circuit, const Parameters& parameters, Workspace& workspace,
                const MarginRequest& request);

// --- sensitivities ------------------------------------------------------------------------------

/// d(quantity)/d(parameter) at an operating point, one adjoint solve for each quantity.
/// Row-major [quantity × parameter]. Quantities: node_v, voltage_v, current_a, output_voltage_v.
struct Sensitivities {
  SolveStatus status = SolveStatus::not_converged;
  std::size_t parameter_count = 0;
  std::vector<double> values;  ///< [quantity × parameter]
  double at(std::size_t quantity, std::size_t parameter) const {
    return values[quantity * parameter_count + parameter];
  }
};
Sensitivities sensitivities(const Circuit& circuit, const Parameters& parameters,
                            Workspace& workspace, std::span<const Quantity> quantities,
                            std::span<const Parameter> with_respect_to,
                            std::span<const std::uint8_t> previous_on = {});

// --- fault currents -----------------------------------------------------------------------------

/// A bolted short between two nodes. Loads and chargers off, converters give nothing (they limit),
/// sources behind their resistance, conductors at their ambient resistance.
struct FaultPoint {
  NodeId p{};  ///< bolted together with n
  NodeId n{};
};
struct FaultCurrent {
  double open_circuit_v = 0.0;  ///< between the points before the fault
  double resistance_ohm = 0.0;  ///< of the network seen from the points
  double current_a = 0.0;       ///< open_circuit_v / resistance_ohm; 0 when nothing feeds it
  bool unlimited = false;       ///< an ideal source sits at the very point
};
/// One factorisation, one solve for each point. For the least current at the far end of a run give
/// parameters of a weak bank and hot wire.
std::vector<FaultCurrent> fault_currents(const Circuit& circuit, const Parameters& parameters,
                                         std::span<const FaultPoint> points);

/// Current in one element (a fuse) while the bolted short stands between p and n.
double fault_current_through(const Circuit& circuit, const Parameters& parameters, FaultPoint point,
                             ElementId element);

// --- inrush -------------------------------------------------------------------------------------

/// An empty capacitor switched on through the network's resistance and its own.
struct Inrush {
  double peak_a = 0.0;           ///< at the first instant
  double i2t_a2s = 0.0;          ///< of the whole exponential pulse: C V² / (2 R)
  double time_constant_s = 0.0;  ///< resistance × capacitance
  double duration_s = 0.0;       ///< to 99 % of the voltage: tau · ln 100
  double energy_j = 0.0;         ///< lost in the resistance: C V² / 2
  double resistance_ohm = 0.0;   ///< of the whole loop
};
Inrush inrush(double voltage_v, double resistance_ohm, double capacitance_f);
struct InrushPart {
  FaultPoint at{};  ///< where the capacitors sit
  double capacitance_f = 0.0;
  double own_resistance_ohm = 0.0;  ///< inside the device (thermistor, ESR), >= 0
};
/// Each part alone, through the network as seen from its terminals.
std::vector<Inrush> inrush_each(const Circuit& circuit, const Parameters& parameters,
                                std::span<const InrushPart> parts);
/// All parts at once behind one element (switch, main fuse) whose current is integrated: a linear
/// RC network stepped exactly in its own modes up to 64 parts.
Inrush inrush_together(const Circuit& circuit, const Parameters& parameters,
                       std::span<const InrushPart> parts, ElementId through);

// --- start-up -----------------------------------------------------------------------------------

/// From dark: each element with `enabled` is switched in at its delay, in order of time; after each
/// the consistent state is looked for from the one before.
struct StartStep {
  ElementId element{};
  double delay_s = 0.0;  ///< after the first is switched on
};
struct StartEvent {
  double time_s = 0.0;  ///< after the first is switched on
  std::vector<ElementId> switched_in;
  std::vector<StateChange> changes;  ///< lock-outs that moved because of it
  SolveStatus status = SolveStatus::not_converged;
  double lowest_v = 0.0;                    ///< across any load that is on, at the end of the event
  std::optional<ElementId> lowest_element;  ///< where that is
};
struct StartUp {
  SolveStatus status = SolveStatus::not_converged;  ///< of the last event
  std::vector<StartEvent> events;
  std::vector<ElementId> came_up;      ///< loads and converters on at the end
  std::vector<ElementId> stayed_down;  ///< that never came up
  OperatingPoint final_point;
};
StartUp start_up(const Circuit& circuit, const Parameters& parameters, Workspace& workspace,
                 std::span<const StartStep> steps);

}  // namespace nightbus
