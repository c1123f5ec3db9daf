#pragma once
/// The DC network: describe it (CircuitBuilder), compile it once (Circuit), solve it many times
/// (Workspace, solve). Batches are in network_batch.hpp; margins, sensitivities, fault currents,
/// inrush and start-up in network_study.hpp.
///
/// ```cpp
/// CircuitBuilder builder;
/// NodeId plus = builder.add_node(), minus = builder.add_node(), device = builder.add_node();
/// builder.add_source(plus, minus, {.emf_v = 12.8, .resistance_ohm = 0.02});
/// builder.add_resistor(plus, device, 0.08);
/// ElementId router = builder.add_load(device, minus, {.power_w = 60});
/// Circuit circuit = builder.compile();
/// Workspace workspace(circuit);
/// OperatingPoint point = solve(circuit, workspace);
/// point.voltage_v[index(router)];  // 12.3127
/// ```

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "nightbus/network_elements.hpp"

namespace nightbus {

enum class ElementKind : std::uint8_t { resistor, source, charger, load, converter, diode };

/// The numbers of an element that may change between solves without compiling again.
/// `enabled`: 1 in use, 0 taken out (a switch or breaker opened, a load unplugged).
enum class ParameterKind : std::uint8_t {
  enabled,          ///< every element; 0 or 1
  resistance_ohm,   ///< resistor, source, charger, diode; a converter's output resistance
  ambient_c,        ///< resistor
  emf_v,            ///< source
  ceiling_v,        ///< charger
  current_limit_a,  ///< charger, converter
  power_limit_w,    ///< charger, converter
  power_w,          ///< load
  current_a,        ///< load
  conductance_s,    ///< load
  fan_a_per_v2,     ///< load
  scale,            ///< load, converter
  minimum_v,        ///< load
  set_point_v,      ///< converter
  standby_w,        ///< converter
};
std::string_view parameter_name(ParameterKind kind);

struct Parameter {
  ElementId element{};
  ParameterKind kind{};
};

/// What can be read from a solved scenario. Terminal voltages are first terminal minus second.
enum class QuantityKind : std::uint8_t {
  node_v,            ///< `index` is a node
  voltage_v,         ///< across an element; a converter's input
  current_a,         ///< through an element, first terminal to second; a converter's input
  power_w,           ///< taken by an element (a source that supplies: negative); converter: input
  output_voltage_v,  ///< converter
  output_current_a,  ///< converter, out of out+
  output_power_w,    ///< converter
  loss_w,            ///< turned into heat in a resistor, source resistance, converter, diode
  temp_c,            ///< of a conductor
  total_loss_w,      ///< of the whole network, `index` unused
  supplied_w,        ///< by all sources and chargers together, `index` unused
};
struct Quantity {
  QuantityKind kind{};
  std::uint32_t index = 0;  ///< of a node or an element, by kind
};

/// Where one element stands. Which apply is said beside each.
enum class ElementState : std::uint8_t {
  normal,            ///< resistor closed; load inside its law; source supplying; diode conducting
  open,              ///< resistor, relay or anything not enabled
  absorbing,         ///< source: current goes into it
  constant_current,  ///< charger, converter: at the current limit
  constant_power,    ///< charger, converter: at the power limit
  blocking,          ///< diode, charger, converter output: held off by a higher voltage
  starved,           ///< load below minimum_v, converter below minimum_input_v
  drop_out,          ///< converter: input too low to hold the set point
  passing,           ///< boost converter: input above the set point
  locked_out,        ///< load or converter off by under-voltage lock-out
  dark,              ///< nothing feeds it
};
std::string_view state_name(ElementState state);

/// What the model says; how the call went is told by the call itself (it never throws on numbers).
enum class SolveStatus : std::uint8_t {
  solved,               ///< balances at every node
  collapsed,            ///< no voltage satisfies the loads; `collapse_multiplier` < 1 says how far
  no_consistent_state,  ///< lock-outs chase each other: see `loop`
  short_circuit,        ///< ideal sources joined by no resistance at different voltages
  invalid,              ///< a parameter out of range: see `fault_element`, `fault_parameter`
  not_converged,        ///< numbers beyond what double precision can balance
};
std::string_view status_name(SolveStatus status);
/// One sentence for each status, in words for a network engineer.
std::string_view status_sentence(SolveStatus status);

/// One turn of a lock-out or relay: at `voltage_v` it passed `threshold_v` and switched.
struct StateChange {
  ElementId element{};
  bool turned_on = false;
  double voltage_v = 0.0;    ///< that it switched at
  double threshold_v = 0.0;  ///< that it passed
};

/// One solved network. Vectors are indexed by index(NodeId) or index(ElementId).
struct OperatingPoint {
  SolveStatus status = SolveStatus::not_converged;

  std::vector<double> node_v;            ///< against the reference of the node's island
  std::vector<double> voltage_v;         ///< across each element; a converter's input
  std::vector<double> current_a;         ///< first terminal to second; a converter's input
  std::vector<double> power_w;           ///< taken: voltage_v · current_a
  std::vector<double> output_voltage_v;  ///< converters, else 0
  std::vector<double> output_current_a;
  std::vector<double> loss_w;        ///< heat inside resistor, source, charger, diode, converter
  std::vector<double> temp_c;        ///< conductors; ambient where kelvin_per_watt is 0
  std::vector<ElementState> states;  ///< by element
  std::vector<std::uint8_t> on;      ///< lock-outs and relays: 1 on; hand back as `previous_on`

  double residual_a = 0.0;    ///< largest unbalanced current at any node
  double balance_w = 0.0;     ///< supplied - (loads + losses)
  double supplied_w = 0.0;    ///< by sources and chargers together (an absorbing bank counts minus)
  double load_w = 0.0;        ///< taken by loads
  double total_loss_w = 0.0;  ///< everything else
  double wire_loss_w = 0.0;   ///< … of it in resistors and diodes
  int iterations = 0;         ///< Newton steps, all states together
  int state_changes = 0;      ///< switches on the way to the consistent state
  bool careful = false;  ///< the fast path was not enough: back-tracking or continuation helped

  double collapse_multiplier = 0.0;              ///< collapsed: loads × this can still be carried
  std::optional<ElementId> fault_element;        ///< invalid, short_circuit, collapsed: the element
  std::optional<ParameterKind> fault_parameter;  ///< when invalid: the number that cannot be used
  std::vector<StateChange> loop;    ///< no_consistent_state: one turn of the loop, in order
  bool other_state_exists = false;  ///< … yet a consistent state exists that is not reached
};

class Circuit;

/// Collects nodes and elements. Ids count from 0 in the order of the calls. Nothing is checked here
/// but the ids themselves (std::out_of_range); values are judged when solving.
class CircuitBuilder {
 public:
  CircuitBuilder();
  ~CircuitBuilder();
  CircuitBuilder(CircuitBuilder&&) noexcept;
  CircuitBuilder& operator=(CircuitBuilder&&) noexcept;
  CircuitBuilder(const CircuitBuilder&);
  CircuitBuilder& operator=(const CircuitBuilder&);

  NodeId add_node();
  std::vector<NodeId> add_nodes(std::size_t count);

  ElementId add_resistor(NodeId a, NodeId b, double resistance_ohm);
  ElementId add_conductor(NodeId a, NodeId b, const ConductorLaw& law);
  /// A contact between a and b, driven by the voltage sense_p - sense_n.
  ElementId add_relay(NodeId a, NodeId b, NodeId sense_p, NodeId sense_n, const RelayLaw& law);
  ElementId add_source(NodeId p, NodeId n, const SourceLaw& law);
  ElementId add_charger(NodeId p, NodeId n, const ChargerLaw& law);
  ElementId add_load(NodeId p, NodeId n, const LoadLaw& law);
  ElementId add_diode(NodeId anode, NodeId cathode, const DiodeLaw& law);
  ElementId add_converter(NodeId in_p, NodeId in_n, NodeId out_p, NodeId out_n,
                          const ConverterLaw& law);

  /// Composition: half the loop on each side of a new pair of nodes, then the device.
  struct PoeLink {
    ElementId out{}, back{}, device{};
    NodeId device_p{}, device_n{};
  };
  PoeLink add_poe_link(NodeId p, NodeId n, const PoeLinkLaw& law);
  ElementId add_inverter(NodeId p, NodeId n, const InverterLaw& law);

  /// The node that reads 0 V in its island. Otherwise: the negative of the island's first source,
  /// charger or converter output, or its first node.
  void set_reference(NodeId node);

  std::size_t node_count() const;
  std::size_t element_count() const;

  /// Orders and flattens. Cost grows nearly linearly with the elements.
  Circuit compile() const;

 private:
  friend class Circuit;
  struct Data;
  std::unique_ptr<Data> data_;
};

/// The parameters of one scenario: start from circuit.parameters() and set what differs.
class Parameters {
 public:
  double get(Parameter parameter) const;
  /// An element that has no such parameter: std::out_of_range.
  void set(Parameter parameter, double value);
  void set(ElementId element, ParameterKind kind, double value) { set({element, kind}, value); }
  double get(ElementId element, ParameterKind kind) const { return get({element, kind}); }
  std::span<const double> values() const { return values_; }

 private:
  friend class Circuit;
  std::shared_ptr<const struct CircuitImpl> circuit_;
  std::vector<double> values_;
};

/// Immutable, compiled, cheap to copy, shared freely between threads.
class Circuit {
 public:
  std::size_t node_count() const;
  std::size_t element_count() const;
  ElementKind kind(ElementId element) const;
  NodeId first(ElementId element) const;   ///< p, a, in_p
  NodeId second(ElementId element) const;  ///< n, b, in_n
  NodeId reference(NodeId node) const;     ///< the 0 V node of its island
  Parameters parameters() const;           ///< as built
  bool has(Parameter parameter) const;
  /// The same elements with these numbers as built: folding, and the point a solve starts from, are
  /// made for them. For a circuit whose numbers as built are unlike those it will be solved with.
  Circuit rebuilt(const Parameters& as_built) const;

  /// What the elimination works on after series parts, leaves and paired returns are folded away.
  struct Shape {
    std::size_t unknowns = 0;       ///< left for the factorisation
    std::size_t folded = 0;         ///< unknowns solved by tree folding
    std::size_t closed_leaves = 0;  ///< loads closed by their formula
    std::size_t fill = 0;           ///< entries of the factor below its diagonal
  };
  Shape shape() const;

  const CircuitImpl& impl() const { return *impl_; }
  std::shared_ptr<const CircuitImpl> shared_impl() const { return impl_; }

 private:
  friend class CircuitBuilder;
  friend struct CircuitImpl;
  explicit Circuit(std::shared_ptr<const CircuitImpl> impl) : impl_(std::move(impl)) {}
  std::shared_ptr<const CircuitImpl> impl_;
};

/// Everything a solve writes to besides its result. One per thread; after the first solve of a
/// circuit nothing more is allocated as long as the fast path suffices.
class Workspace {
 public:
  explicit Workspace(const Circuit& circuit);
  ~Workspace();
  Workspace(Workspace&&) noexcept;
  Workspace& operator=(Workspace&&) noexcept;
  struct Impl;
  Impl& impl() { return *impl_; }

 private:
  std::unique_ptr<Impl> impl_;
};

struct SolveOptions {
  /// 1 = on for each element with a lock-out or relay; empty: all on.
  std::span<const std::uint8_t> previous_on{};
  /// Node voltages to start from (the last step of a simulation); empty: the circuit's own
  /// operating point as built. The answer does not depend on it beyond rounding.
  std::span<const double> start_v{};
  bool hold_states = false;  ///< keep lock-outs and relays as given
  /// false: the entries of single resistors are not brought up to date; `wire_loss_w` holds their
  /// sum. For time steps, where nobody looks at each wire.
  bool read_wires = true;
  /// false: node voltages, states and residual alone; no other entry need be brought up to date.
  bool read_elements = true;
  bool careful = false;  ///< leave the fast path out, which has been tried (PointLanes)
  /// The answer beside start_v counts even where loads stand below their windows in it: somebody
  /// follows it in small steps, and has asked for a higher one before.
  bool follow_start = false;
  bool diagnose = true;  ///< on failure look for the collapse multiplier and the chatter loop
};

/// Never throws on numbers, never returns NaN: look at `status` first.
OperatingPoint solve(const Circuit& circuit, Workspace& workspace,
                     const SolveOptions& options = {});
OperatingPoint solve(const Circuit& circuit, const Parameters& parameters, Workspace& workspace,
                     const SolveOptions& options = {});
/// The same into a result that is reused: no allocation once its vectors have their size.
void solve(const Circuit& circuit, const Parameters& parameters, Workspace& workspace,
           const SolveOptions& options, OperatingPoint& result);

}  // namespace nightbus
