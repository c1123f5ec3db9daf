#include "bindings.hpp"
#include "nightbus/network_system.hpp"

// The answer of one case, by name. Vectors have the order of the lists of the system. States are
// handed over as words: they are read by people.

namespace py = pybind11;

namespace nightbus::python {

void bind_case(py::module_& module) {
  py::class_<RunResult>(module, "RunResult", "One run in one case.")
      .NB_READ(RunResult, current_a)
      .NB_READ(RunResult, return_current_a)
      .NB_READ(RunResult, drop_v)
      .NB_READ(RunResult, drop_ratio)
      .NB_READ(RunResult, positive_drop_v)
      .NB_READ(RunResult, negative_drop_v)
      .NB_READ(RunResult, loss_w)
      .NB_READ(RunResult, conductor_loss_w)
      .NB_READ(RunResult, conductor_c)
      .NB_READ(RunResult, ambient_c);

  py::class_<LoadResult>(module, "LoadResult", "One load, fan or PoE device in one case.")
      .def_property_readonly(
          "state", [](const LoadResult& load) { return std::string(state_name(load.state)); })
      .def_property_readonly("running", &LoadResult::running)
      .NB_READ(LoadResult, voltage_v)
      .NB_READ(LoadResult, current_a)
      .NB_READ(LoadResult, power_w)
      .NB_READ(LoadResult, drop_v)
      .NB_READ(LoadResult, drop_ratio)
      .NB_READ(LoadResult, above_low_v)
      .NB_READ(LoadResult, below_high_v);

  py::class_<ConverterResult>(module, "ConverterResult", "One converter in one case.")
      .def_property_readonly(
          "state",
          [](const ConverterResult& result) { return std::string(state_name(result.state)); })
      .NB_READ(ConverterResult, input_v)
      .NB_READ(ConverterResult, input_a)
      .NB_READ(ConverterResult, input_w)
      .NB_READ(ConverterResult, output_v)
      .NB_READ(ConverterResult, output_a)
      .NB_READ(ConverterResult, output_w)
      .NB_READ(ConverterResult, loss_w)
      .NB_READ(ConverterResult, load_ratio)
      .NB_READ(ConverterResult, drop_v)
      .NB_READ(ConverterResult, drop_ratio)
      .NB_READ(ConverterResult, above_low_v)
      .NB_READ(ConverterResult, below_high_v);

  py::class_<PoeResult>(module, "PoeResult", "One PoE link in one case.")
      .NB_READ(PoeResult, device)
      .NB_READ(PoeResult, port_v)
      .NB_READ(PoeResult, port_a)
      .NB_READ(PoeResult, port_w)
      .NB_READ(PoeResult, cable_loss_w)
      .NB_READ(PoeResult, loop_ohm);

  py::class_<BankResult>(module, "BankResult", "One bank in one case; current is out of it.")
      .NB_READ(BankResult, voltage_v)
      .NB_READ(BankResult, current_a)
      .NB_READ(BankResult, loss_w)
      .NB_READ(BankResult, emf_v);

  py::class_<ChargerResult>(module, "ChargerResult", "One charger or array controller.")
      .def_property_readonly(
          "state",
          [](const ChargerResult& result) { return std::string(state_name(result.state)); })
      .NB_READ(ChargerResult, voltage_v)
      .NB_READ(ChargerResult, current_a)
      .NB_READ(ChargerResult, power_w);

  py::class_<Balance>(module, "Balance", "What every solved case must close.")
      .NB_READ(Balance, supplied_w)
      .NB_READ(Balance, load_w)
      .NB_READ(Balance, loss_w)
      .NB_READ(Balance, gap_w)
      .NB_READ(Balance, node_residual_a);

  py::class_<CaseMargins>(module, "CaseMargins", "How far from the edge, every load alike.")
      .NB_READ(CaseMargins, collapse_multiplier)
      .NB_READ(CaseMargins, collapse_device)
      .NB_READ(CaseMargins, first_window_multiplier)
      .NB_READ(CaseMargins, first_window_device)
      .NB_READ(CaseMargins, first_window_v);

  py::class_<BankInputs>(module, "BankInputs", "What a case takes for one bank.")
      .NB_READ(BankInputs, charge)
      .NB_READ(BankInputs, temp_c)
      .NB_READ(BankInputs, emf_v)
      .NB_READ(BankInputs, resistance_ohm)
      .NB_READ(BankInputs, held_v)
      .NB_READ(BankInputs, basis);

  py::class_<CaseInputs>(module, "CaseInputs", "The numbers a case stands for.")
      .NB_READ(CaseInputs, name)
      .NB_READ(CaseInputs, charging)
      .NB_READ(CaseInputs, outside_c)
      .NB_READ(CaseInputs, compartment_c)
      .NB_READ(CaseInputs, run_ambient_c)
      .NB_READ(CaseInputs, banks)
      .NB_READ(CaseInputs, fan_step)
      .NB_READ(CaseInputs, off);

  py::class_<CaseResult>(module, "CaseResult", "The whole system in one case.")
      .NB_READ(CaseResult, name)
      .def_property_readonly(
          "status",
          [](const CaseResult& result) { return std::string(status_name(result.status)); })
      .def_property_readonly(
          "sentence",
          [](const CaseResult& result) { return std::string(status_sentence(result.status)); })
      .def_property_readonly("ok", &CaseResult::ok)
      .NB_READ(CaseResult, collapse_multiplier)
      .NB_READ(CaseResult, softened)
      .NB_READ(CaseResult, iterations)
      .NB_READ(CaseResult, inputs)
      .NB_READ(CaseResult, runs)
      .NB_READ(CaseResult, loads)
      .NB_READ(CaseResult, fans)
      .NB_READ(CaseResult, converters)
      .NB_READ(CaseResult, poe_links)
      .NB_READ(CaseResult, banks)
      .NB_READ(CaseResult, chargers)
      .NB_READ(CaseResult, arrays)
      .NB_READ(CaseResult, balance)
      .NB_READ(CaseResult, margins)
      .NB_READ(CaseResult, loop)
      .def("__repr__", [](const CaseResult& result) {
        return py::str("<CaseResult {!r}: {}>")
            .format(result.name, std::string(status_name(result.status)));
      });
}

}  // namespace nightbus::python
