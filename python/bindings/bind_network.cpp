#include <pybind11/numpy.h>

#include <optional>
#include <tuple>
#include <utility>
#include <vector>

#include "bindings.hpp"
#include "nightbus/network_batch.hpp"
#include "nightbus/network_study.hpp"
#include "values.hpp"

namespace py = pybind11;

namespace nightbus::python {

namespace {

using Array = py::array_t<double>;
using ParameterKey = std::pair<std::uint32_t, ParameterKind>;
using QuantityKey = std::pair<QuantityKind, std::uint32_t>;
using Change = std::tuple<std::uint32_t, ParameterKind, double>;

std::uint32_t number(NodeId id) {
  return static_cast<std::uint32_t>(index(id));
}
std::uint32_t number(ElementId id) {
  return static_cast<std::uint32_t>(index(id));
}

std::optional<LockOut> lock_out(std::optional<double> off_below_v,
                                std::optional<double> on_above_v) {
  if (!off_below_v && !on_above_v) return std::nullopt;
  const double off = off_below_v.value_or(*on_above_v);
  return LockOut{off, on_above_v.value_or(off)};
}

// A vector of the operating point as an array that owns a copy.
template <class T>
py::array_t<T> array_of(const std::vector<T>& values) {
  return py::array_t<T>(static_cast<py::ssize_t>(values.size()), values.data());
}

std::vector<Parameter> parameters_of(const std::vector<ParameterKey>& keys) {
  std::vector<Parameter> list;
  list.reserve(keys.size());
  for (const auto& [element, kind] : keys) list.push_back({ElementId{element}, kind});
  return list;
}
std::vector<Quantity> quantities_of(const std::vector<QuantityKey>& keys) {
  std::vector<Quantity> list;
  list.reserve(keys.size());
  for (const auto& [kind, at] : keys) list.push_back({kind, at});
  return list;
}
Parameters changed(const Circuit& circuit, const std::vector<Change>& changes) {
  Parameters parameters = circuit.parameters();
  for (const auto& [element, kind, value] : changes)
    parameters.set({ElementId{element}, kind}, value);
  return parameters;
}

struct BatchResult {
  Array values;
  py::array_t<std::uint8_t> status;
  Array residual_a;
  py::array_t<std::uint16_t> iterations;
  BatchReport report;
};

constexpr py::ssize_t word = static_cast<py::ssize_t>(sizeof(double));

TableView view_of(const Array& table) {
  return {table.data(), static_cast<std::ptrdiff_t>(table.strides(0) / word),
          static_cast<std::ptrdiff_t>(table.strides(1) / word)};
}

// A batch made ready, with the answers' arrays made for each call.
BatchResult run_ready(Batch& batch, const Array& table, int threads, std::optional<Array> out) {
  const auto rows_of = static_cast<py::ssize_t>(batch.parameter_count());
  if (table.ndim() != 2 || table.shape(1) != rows_of)
    throw py::value_error("table must be [scenario x parameter] with " + std::to_string(rows_of) +
                          " columns");
  const py::ssize_t scenarios = table.shape(0);
  const auto columns = static_cast<py::ssize_t>(batch.quantity_count());
  if (out && (out->ndim() != 2 || out->shape(0) != scenarios || out->shape(1) != columns ||
              !out->writeable()))
    throw py::value_error("out must be a writable [scenario x quantity] array of " +
                          std::to_string(scenarios) + " x " + std::to_string(columns));
  // Column after column: what the lanes write is contiguous.
  BatchResult result{out ? *out : Array({scenarios, columns}, {word, word * scenarios}),
                     py::array_t<std::uint8_t>(scenarios),
                     Array(scenarios),
                     py::array_t<std::uint16_t>(scenarios),
                     {}};
  static_assert(sizeof(SolveStatus) == 1);
  const auto rows = static_cast<std::size_t>(scenarios);
  BatchTables tables;
  tables.scenarios = rows;
  tables.table = view_of(table);
  tables.block = {result.values.mutable_data(),
                  static_cast<std::ptrdiff_t>(result.values.strides(0) / word),
                  static_cast<std::ptrdiff_t>(result.values.strides(1) / word)};
  tables.status = {reinterpret_cast<SolveStatus*>(result.status.mutable_data()), rows};
  tables.residual_a = {result.residual_a.mutable_data(), rows};
  tables.iterations = {result.iterations.mutable_data(), rows};
  tables.threads = threads;
  {
    const py::gil_scoped_release release;  // from here on only memory the arrays keep alive
    result.report = batch.solve(tables);
  }
  return result;
}

Batch make_batch(const Circuit& circuit, const std::vector<ParameterKey>& parameters,
                 const std::vector<QuantityKey>& quantities, int lanes,
                 const std::vector<std::uint8_t>& previous_on) {
  const std::vector<Parameter> parameter_list = parameters_of(parameters);
  const std::vector<Quantity> quantity_list = quantities_of(quantities);
  return {circuit, parameter_list, quantity_list, previous_on, lanes};
}

BatchResult run_batch(const Circuit& circuit, const std::vector<ParameterKey>& parameters,
                      const Array& table, const std::vector<QuantityKey>& quantities, int threads,
                      int lanes, const std::vector<std::uint8_t>& previous_on,
                      std::optional<Array> out) {
  Batch batch = make_batch(circuit, parameters, quantities, lanes, previous_on);
  return run_ready(batch, table, threads, std::move(out));
}

OperatingPoint run_single(const Circuit& circuit, const std::vector<Change>& changes,
                          const std::vector<std::uint8_t>& previous_on, bool hold_states) {
  const Parameters parameters = changed(circuit, changes);
  const py::gil_scoped_release release;
  Workspace workspace(circuit);
  SolveOptions options;
  options.previous_on = previous_on;
  options.hold_states = hold_states;
  return solve(circuit, parameters, workspace, options);
}

void bind_kinds(py::module_& m) {
  py::native_enum<ParameterKind>(m, "ParameterKind", "enum.Enum",
                                 "A number that may change between solves.")
      .value("ENABLED", ParameterKind::enabled)
      .value("RESISTANCE_OHM", ParameterKind::resistance_ohm)
      .value("AMBIENT_C", ParameterKind::ambient_c)
      .value("EMF_V", ParameterKind::emf_v)
      .value("CEILING_V", ParameterKind::ceiling_v)
      .value("CURRENT_LIMIT_A", ParameterKind::current_limit_a)
      .value("POWER_LIMIT_W", ParameterKind::power_limit_w)
      .value("POWER_W", ParameterKind::power_w)
      .value("CURRENT_A", ParameterKind::current_a)
      .value("CONDUCTANCE_S", ParameterKind::conductance_s)
      .value("FAN_A_PER_V2", ParameterKind::fan_a_per_v2)
      .value("SCALE", ParameterKind::scale)
      .value("MINIMUM_V", ParameterKind::minimum_v)
      .value("SET_POINT_V", ParameterKind::set_point_v)
      .value("STANDBY_W", ParameterKind::standby_w)
      .finalize();
  py::native_enum<QuantityKind>(m, "QuantityKind", "enum.Enum",
                                "What can be read from a solved scenario.")
      .value("NODE_V", QuantityKind::node_v)
      .value("VOLTAGE_V", QuantityKind::voltage_v)
      .value("CURRENT_A", QuantityKind::current_a)
      .value("POWER_W", QuantityKind::power_w)
      .value("OUTPUT_VOLTAGE_V", QuantityKind::output_voltage_v)
      .value("OUTPUT_CURRENT_A", QuantityKind::output_current_a)
      .value("OUTPUT_POWER_W", QuantityKind::output_power_w)
      .value("LOSS_W", QuantityKind::loss_w)
      .value("TEMP_C", QuantityKind::temp_c)
      .value("TOTAL_LOSS_W", QuantityKind::total_loss_w)
      .value("SUPPLIED_W", QuantityKind::supplied_w)
      .finalize();
  py::native_enum<SolveStatus>(m, "SolveStatus", "enum.IntEnum", "What a network says of itself.")
      .value("SOLVED", SolveStatus::solved)
      .value("COLLAPSED", SolveStatus::collapsed)
      .value("NO_CONSISTENT_STATE", SolveStatus::no_consistent_state)
      .value("SHORT_CIRCUIT", SolveStatus::short_circuit)
      .value("INVALID", SolveStatus::invalid)
      .value("NOT_CONVERGED", SolveStatus::not_converged)
      .finalize();
  py::native_enum<ConverterTopology>(m, "ConverterTopology", "enum.Enum",
                                     "Which way a converter works.")
      .value("BUCK", ConverterTopology::buck)
      .value("BOOST", ConverterTopology::boost)
      .value("BUCK_BOOST", ConverterTopology::buck_boost)
      .finalize();
  m.def(
      "status_sentence", [](SolveStatus status) { return std::string(status_sentence(status)); },
      py::arg("status"), "One sentence for a status, in words for a network engineer.");
  m.def("widest_lanes", &widest_lanes, "Scenarios the processor solves side by side.");
}

void bind_results(py::module_& m) {
  Value<OperatingPoint>(m, "NetworkPoint", "One solved network; arrays by node or element number.")
      .NB_READ(OperatingPoint, status)
      .NB_READ(OperatingPoint, residual_a)
      .NB_READ(OperatingPoint, balance_w)
      .NB_READ(OperatingPoint, supplied_w)
      .NB_READ(OperatingPoint, load_w)
      .NB_READ(OperatingPoint, total_loss_w)
      .NB_READ(OperatingPoint, iterations)
      .NB_READ(OperatingPoint, state_changes)
      .NB_READ(OperatingPoint, careful)
      .NB_READ(OperatingPoint, collapse_multiplier)
      .def_property_readonly("node_v", [](const OperatingPoint& p) { return array_of(p.node_v); })
      .def_property_readonly("voltage_v",
                             [](const OperatingPoint& p) { return array_of(p.voltage_v); })
      .def_property_readonly("current_a",
                             [](const OperatingPoint& p) { return array_of(p.current_a); })
      .def_property_readonly("power_w", [](const OperatingPoint& p) { return array_of(p.power_w); })
      .def_property_readonly("output_voltage_v",
                             [](const OperatingPoint& p) { return array_of(p.output_voltage_v); })
      .def_property_readonly("output_current_a",
                             [](const OperatingPoint& p) { return array_of(p.output_current_a); })
      .def_property_readonly("loss_w", [](const OperatingPoint& p) { return array_of(p.loss_w); })
      .def_property_readonly("temp_c", [](const OperatingPoint& p) { return array_of(p.temp_c); })
      .def_property_readonly("on", [](const OperatingPoint& p) { return array_of(p.on); })
      .def_property_readonly("states", [](const OperatingPoint& p) {
        std::vector<std::string> names;
        names.reserve(p.states.size());
        for (const ElementState state : p.states) names.emplace_back(state_name(state));
        return names;
      });
  py::class_<BatchResult>(m, "BatchResult", "Answers of a batch, one row for each scenario.")
      .def(
          "__eq__",
          [](const BatchResult& one, const BatchResult& other) {
            const auto same = [equal = py::module_::import("numpy").attr("array_equal")](
                                  const auto& a, const auto& b) {
              return equal(a, b, py::arg("equal_nan") = true).template cast<bool>();
            };
            return same(one.values, other.values) && same(one.status, other.status) &&
                   same(one.residual_a, other.residual_a) &&
                   same(one.iterations, other.iterations) &&
                   bytes_of(one.report) == bytes_of(other.report);
          },
          py::is_operator())
      .def(py::pickle(
          [](const BatchResult& r) {
            return py::make_tuple(r.values, r.status, r.residual_a, r.iterations,
                                  py::bytes(bytes_of(r.report)));
          },
          [](const py::tuple& state) {
            return BatchResult{state[0].cast<Array>(), state[1].cast<py::array_t<std::uint8_t>>(),
                               state[2].cast<Array>(), state[3].cast<py::array_t<std::uint16_t>>(),
                               from_bytes<BatchReport>(std::string(state[4].cast<py::bytes>()))};
          }))
      .def_readonly("values", &BatchResult::values, "[scenario x quantity]")
      .def_readonly("status", &BatchResult::status, "SolveStatus of each scenario, as a number")
      .def_readonly("residual_a", &BatchResult::residual_a)
      .def_readonly("iterations", &BatchResult::iterations)
      .def_property_readonly("solved", [](const BatchResult& r) { return r.report.solved; })
      .def_property_readonly("failed", [](const BatchResult& r) { return r.report.failed; })
      .def_property_readonly("careful", [](const BatchResult& r) { return r.report.careful; })
      .def_property_readonly("lanes", [](const BatchResult& r) { return r.report.lanes; })
      .def_property_readonly("threads", [](const BatchResult& r) { return r.report.threads; });
  py::class_<Batch>(m, "Batch",
                    "A batch made ready: solve_batch for many tables of the same columns.")
      .def("solve", &run_ready, py::arg("table"), py::kw_only(), py::arg("threads") = 1,
           py::arg("out") = py::none(),
           "Solve each row of `table` ([scenario x parameter], float64, any strides, not "
           "copied).\n\n"
           "One call at a time: a second thread waits for the first.")
      .def_property_readonly("parameter_count", &Batch::parameter_count)
      .def_property_readonly("quantity_count", &Batch::quantity_count);
  Value<MarginPoint>(m, "MarginPoint", "Where growing loads meet a limit.")
      .NB_READ(MarginPoint, multiplier)
      .def_property_readonly("element", [](const MarginPoint& p) { return number(p.element); })
      .NB_READ(MarginPoint, value);
  Value<Margins>(m, "NetworkMargins", "Load multipliers to windows, limits and collapse.")
      .NB_READ(Margins, status)
      .NB_READ(Margins, first_window)
      .NB_READ(Margins, current)
      .NB_READ(Margins, first_current)
      .NB_READ(Margins, collapse);
}

void bind_builder(py::module_& m) {
  py::class_<CircuitBuilder>(
      m, "CircuitBuilder",
      "Collects nodes and elements of a DC network by number; compile() makes a Circuit.")
      .def(py::init<>())
      .def("add_node", [](CircuitBuilder& b) { return number(b.add_node()); })
      .def(
          "add_resistor",
          [](CircuitBuilder& b, std::uint32_t a, std::uint32_t c, double resistance_ohm) {
            return number(b.add_resistor(NodeId{a}, NodeId{c}, resistance_ohm));
          },
          py::arg("a"), py::arg("b"), py::arg("resistance_ohm"))
      .def(
          "add_conductor",
          [](CircuitBuilder& b, std::uint32_t a, std::uint32_t c, double resistance_ohm,
             double temperature_coefficient, double reference_c, double ambient_c,
             double kelvin_per_watt) {
            return number(b.add_conductor(NodeId{a}, NodeId{c},
                                          {resistance_ohm, temperature_coefficient, reference_c,
                                           ambient_c, kelvin_per_watt}));
          },
          py::arg("a"), py::arg("b"), py::kw_only(), py::arg("resistance_ohm"),
          py::arg("temperature_coefficient") = 0.0, py::arg("reference_c") = 20.0,
          py::arg("ambient_c") = 20.0, py::arg("kelvin_per_watt") = 0.0)
      .def(
          "add_source",
          [](CircuitBuilder& b, std::uint32_t p, std::uint32_t n, double emf_v,
             double resistance_ohm) {
            return number(b.add_source(NodeId{p}, NodeId{n}, {emf_v, resistance_ohm}));
          },
          py::arg("p"), py::arg("n"), py::kw_only(), py::arg("emf_v"),
          py::arg("resistance_ohm") = 0.0)
      .def(
          "add_charger",
          [](CircuitBuilder& b, std::uint32_t p, std::uint32_t n, double ceiling_v,
             double current_limit_a, double power_limit_w, double resistance_ohm) {
            return number(b.add_charger(
                NodeId{p}, NodeId{n}, {ceiling_v, current_limit_a, power_limit_w, resistance_ohm}));
          },
          py::arg("p"), py::arg("n"), py::kw_only(), py::arg("ceiling_v"),
          py::arg("current_limit_a") = no_limit, py::arg("power_limit_w") = no_limit,
          py::arg("resistance_ohm") = 1e-3)
      .def(
          "add_load",
          [](CircuitBuilder& b, std::uint32_t p, std::uint32_t n, double power_w, double current_a,
             double conductance_s, double fan_a_per_v2, double minimum_v, double scale,
             std::optional<double> off_below_v, std::optional<double> on_above_v) {
            LoadLaw law;
            law.power_w = power_w;
            law.current_a = current_a;
            law.conductance_s = conductance_s;
            law.fan_a_per_v2 = fan_a_per_v2;
            law.minimum_v = minimum_v;
            law.scale = scale;
            law.lock_out = lock_out(off_below_v, on_above_v);
            return number(b.add_load(NodeId{p}, NodeId{n}, law));
          },
          py::arg("p"), py::arg("n"), py::kw_only(), py::arg("power_w") = 0.0,
          py::arg("current_a") = 0.0, py::arg("conductance_s") = 0.0, py::arg("fan_a_per_v2") = 0.0,
          py::arg("minimum_v") = 0.0, py::arg("scale") = 1.0, py::arg("off_below_v") = py::none(),
          py::arg("on_above_v") = py::none())
      .def(
          "add_diode",
          [](CircuitBuilder& b, std::uint32_t a, std::uint32_t c, double forward_v,
             double resistance_ohm) {
            DiodeLaw law;
            law.forward_v = forward_v;
            law.resistance_ohm = resistance_ohm;
            return number(b.add_diode(NodeId{a}, NodeId{c}, law));
          },
          py::arg("anode"), py::arg("cathode"), py::kw_only(), py::arg("forward_v") = 0.0,
          py::arg("resistance_ohm") = 1e-3)
      .def(
          "add_converter",
          [](CircuitBuilder& b, std::uint32_t in_p, std::uint32_t in_n, std::uint32_t out_p,
             std::uint32_t out_n, ConverterTopology kind, double set_point_v,
             double output_resistance_ohm, double current_limit_a, double standby_w,
             double loss_fraction, double loss_per_watt, double drop_out_v, double minimum_input_v,
             std::optional<double> off_below_v, std::optional<double> on_above_v) {
            ConverterLaw law;
            law.kind = kind;
            law.set_point_v = set_point_v;
            law.output_resistance_ohm = output_resistance_ohm;
            law.current_limit_a = current_limit_a;
            law.standby_w = standby_w;
            law.loss_fraction = loss_fraction;
            law.loss_per_watt = loss_per_watt;
            law.drop_out_v = drop_out_v;
            law.minimum_input_v = minimum_input_v;
            law.lock_out = lock_out(off_below_v, on_above_v);
            return number(
                b.add_converter(NodeId{in_p}, NodeId{in_n}, NodeId{out_p}, NodeId{out_n}, law));
          },
          py::arg("in_p"), py::arg("in_n"), py::arg("out_p"), py::arg("out_n"), py::kw_only(),
          py::arg("kind") = ConverterTopology::buck_boost, py::arg("set_point_v"),
          py::arg("output_resistance_ohm") = 0.01, py::arg("current_limit_a") = no_limit,
          py::arg("standby_w") = 0.0, py::arg("loss_fraction") = 0.0,
          py::arg("loss_per_watt") = 0.0, py::arg("drop_out_v") = 0.0,
          py::arg("minimum_input_v") = 0.0, py::arg("off_below_v") = py::none(),
          py::arg("on_above_v") = py::none())
      .def(
          "set_reference",
          [](CircuitBuilder& b, std::uint32_t node) { b.set_reference(NodeId{node}); },
          py::arg("node"))
      .def("compile", &CircuitBuilder::compile);
}

Array sensitivity_grid(const Circuit& circuit, const std::vector<Change>& changes,
                       const std::vector<QuantityKey>& quantities,
                       const std::vector<ParameterKey>& with_respect_to) {
  Workspace workspace(circuit);
  const Sensitivities s = sensitivities(circuit, changed(circuit, changes), workspace,
                                        quantities_of(quantities), parameters_of(with_respect_to));
  if (s.status != SolveStatus::solved)
    throw py::value_error(std::string(status_sentence(s.status)));
  Array grid({static_cast<py::ssize_t>(quantities.size()),
              static_cast<py::ssize_t>(with_respect_to.size())});
  std::copy(s.values.begin(), s.values.end(), grid.mutable_data());
  return grid;
}

void bind_circuit(py::class_<Circuit>& bound) {
  bound.def_property_readonly("node_count", &Circuit::node_count)
      .def_property_readonly("element_count", &Circuit::element_count)
      .def("solve", &run_single, py::arg("changes") = std::vector<Change>{}, py::kw_only(),
           py::arg("previous_on") = std::vector<std::uint8_t>{}, py::arg("hold_states") = false,
           "Solve once; `changes` are (element, kind, value).")
      .def("solve_batch", &run_batch, py::arg("parameters"), py::arg("table"),
           py::arg("quantities"), py::kw_only(), py::arg("threads") = 1, py::arg("lanes") = 0,
           py::arg("previous_on") = std::vector<std::uint8_t>{}, py::arg("out") = py::none(),
           "Solve each row of `table` ([scenario x parameter], float64, any strides, not "
           "copied).\n\n"
           "Equal to the plain loop over solve(), bit for bit, for any number of threads or lanes.")
      .def("batch", &make_batch, py::arg("parameters"), py::arg("quantities"), py::kw_only(),
           py::arg("lanes") = 0, py::arg("previous_on") = std::vector<std::uint8_t>{},
           "Make a batch ready for many tables of the same columns.")
      .def(
          "margins",
          [](const Circuit& circuit, const std::vector<Change>& changes,
             const std::vector<std::tuple<std::uint32_t, double, double>>& windows,
             const std::vector<std::pair<std::uint32_t, double>>& limits, double largest) {
            std::vector<VoltageWindow> window_list;
            for (const auto& [e, low, high] : windows)
              window_list.push_back({ElementId{e}, low, high});
            std::vector<CurrentLimit> limit_list;
            for (const auto& [e, limit] : limits) limit_list.push_back({ElementId{e}, limit});
            MarginRequest request;
            request.windows = window_list;
            request.limits = limit_list;
            request.largest = largest;
            Workspace workspace(circuit);
            return margins(circuit, changed(circuit, changes), workspace, request);
          },
          py::arg("changes") = std::vector<Change>{}, py::kw_only(),
          py::arg("windows") = std::vector<std::tuple<std::uint32_t, double, double>>{},
          py::arg("limits") = std::vector<std::pair<std::uint32_t, double>>{},
          py::arg("largest") = 100.0,
          "Load multipliers to the first window (element, low_v, high_v), each current limit\n"
          "(element, limit_a) and voltage collapse.")
      .def("sensitivities", &sensitivity_grid, py::arg("changes") = std::vector<Change>{},
           py::kw_only(), py::arg("quantities"), py::arg("with_respect_to"),
           "d quantity / d parameter at the operating point, [quantity x parameter].")
      .def(
          "fault_currents",
          [](const Circuit& circuit,
             const std::vector<std::pair<std::uint32_t, std::uint32_t>>& points,
             const std::vector<Change>& changes) {
            std::vector<FaultPoint> list;
            for (const auto& [p, n] : points) list.push_back({NodeId{p}, NodeId{n}});
            std::vector<double> amperes;
            for (const FaultCurrent& f : fault_currents(circuit, changed(circuit, changes), list))
              amperes.push_back(f.unlimited ? no_limit : f.current_a);
            return array_of(amperes);
          },
          py::arg("points"), py::arg("changes") = std::vector<Change>{},
          "Bolted fault current in A between each (p, n).");
}

}  // namespace

void bind_network(py::module_& module) {
  bind_kinds(module);
  bind_results(module);
  // Named before the builder that returns it, so that signatures know it.
  py::class_<Circuit> bound(module, "Circuit",
                            "A compiled network: solved many times, shared by threads.");
  bind_builder(module);
  bind_circuit(bound);
}

}  // namespace nightbus::python
