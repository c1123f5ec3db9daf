#include "bindings.hpp"
#include "nightbus/scenario_measured.hpp"
#include "values.hpp"

// Readings held against a plan. What is made of the answer (frames, terminal) is Python's.

namespace py = pybind11;

namespace nightbus::python {
namespace {

template <class T, class Name>
auto word_of(Name&& name) {
  return [name](const T& one) { return std::string(name(one.kind)); };
}

void bind_answer(py::module_& module) {
  Value<Suspect>(
      module, "Suspect",
      told("One thing that differs: ohms of a joint, or a share of what was planned.",
           R"(>>> drop = {"kind": "drop", "at": "door camera", "value": "0.6 V", "accuracy": "5 mV"}
>>> found = nb.as_measured("post.toml", [drop], case="low, typical, hot")
>>> suspect = found.suspects[0]
>>> suspect.kind, suspect.subject, suspect.low < suspect.estimate < suspect.high
('joint', 'door camera', True))")
          .c_str())
      .def_property_readonly("kind", word_of<Suspect>(suspect_kind_name), "joint, run or load")
      .NB_READ(Suspect, subject, "Name of the run or load.")
      .NB_READ(Suspect, estimate, "Ohms of a joint, else a share of what was planned.")
      .NB_READ(Suspect, low, "Lower end of the 95 % interval, likewise.")
      .NB_READ(Suspect, high, "Upper end of the 95 % interval, likewise.");

  Value<Explanation>(module, "MeasuredExplanation", "One suspect, or two at once.")
      .NB_READ(Explanation, suspects)
      .NB_READ(Explanation, chi_square)
      .NB_READ(Explanation, drop)
      .NB_READ(Explanation, probability)
      .NB_READ(Explanation, predicted);

  Value<NextReading>(
      module, "NextReading",
      told(
          "The reading that parts the best explanations.",
          R"(>>> volts = {"kind": "volts", "at": "door camera", "value": "11.2 V", "accuracy": "5 mV"}
>>> reading = nb.as_measured("post.toml", [volts], case="low, typical, hot").next
>>> reading.parting > 1.0
True)")
          .c_str())
      .def_property_readonly("kind", word_of<NextReading>(reading_kind_name), "volts, drop or amps")
      .NB_READ(NextReading, at, "Name of the point or run.")
      .NB_READ(NextReading, first, "What the best explanation foretells there.")
      .NB_READ(NextReading, second, "What the other explanation foretells.")
      .NB_READ(NextReading, sigma, "Standard deviation that a meter is taken to have there.")
      .def_property_readonly("parting", &NextReading::parting,
                             "How far the two lie apart, in standard deviations.");

  Value<Measured>(module, "MeasuredData", "The C++ side of nightbus.Measured.")
      .def_property_readonly(
          "status",
          [](const Measured& measured) { return std::string(status_name(measured.status)); })
      .NB_READ(Measured, healthy)
      .NB_READ(Measured, planned)
      .NB_READ(Measured, chi_square)
      .NB_READ(Measured, probability)
      .NB_READ(Measured, explanations)
      .NB_READ(Measured, alike)
      .NB_READ(Measured, explained)
      .NB_READ(Measured, unseen)
      .NB_READ(Measured, next)
      .NB_READ(Measured, assumptions)
      .NB_READ(Measured, sentences)
      .NB_READ(Measured, findings);
}

}  // namespace

void bind_measured(py::module_& module) {
  Value<Reading>(
      module, "Reading",
      told("What a meter showed, and how far it may be off.",
           R"(>>> rows = [{"kind": "amps", "at": "bank lead", "value": "1.2 A", "accuracy": "1 %"}]
>>> reading = nb.read_readings(rows)[0]
>>> reading.kind, reading.value, round(reading.sigma, 4)
('amps', 1.2, 0.012))")
          .c_str())
      .def_property_readonly("kind", word_of<Reading>(reading_kind_name), "volts, drop or amps")
      .NB_READ(Reading, at, "Name of the point, run, load or bank.")
      .NB_READ(Reading, value, "V or A, by its kind.")
      .NB_READ(Reading, sigma, "Standard deviation of the meter, V or A.")
      .NB_READ(Reading, where, "Its line in the file.");

  bind_answer(module);

  module.def("read_readings", &read_readings, py::arg("path"),
             "Readings of a CSV file with the header kind,at,value,accuracy.");
  module.def(
      "loads_readings",
      [](const std::string& text, const std::string& name) {
        return parse_readings(SourceText(name, text));
      },
      py::arg("text"), py::arg("name"), "The same from text.");
  module.def(
      "as_measured",
      [](const Plan& plan, const Catalogue& catalogue, const std::string& case_name,
         const std::vector<Reading>& readings, double level, double bank_sigma_v,
         double load_spread, double run_spread) {
        MeasuredOptions options;
        options.level = level;
        options.bank_sigma_v = bank_sigma_v;
        options.load_spread = load_spread;
        options.run_spread = run_spread;
        const py::gil_scoped_release released;
        return as_measured(plan, catalogue, case_name, readings, options);
      },
      py::arg("plan"), py::arg("catalogue"), py::arg("case"), py::arg("readings"), py::kw_only(),
      py::arg("level"), py::arg("bank_sigma_v"), py::arg("load_spread"), py::arg("run_spread"),
      "What differs from the plan, by weighted least squares.");
  module.def("measured_json", &measured_json, py::arg("measured"), py::arg("readings"),
             py::arg("indent") = 1, "The answer as JSON, \"format\": 1.");
}

}  // namespace nightbus::python
