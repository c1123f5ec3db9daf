#include "bindings.hpp"
#include "nightbus/scenario_batch.hpp"
#include "values.hpp"

namespace py = pybind11;

namespace nightbus::python {
namespace {

using Asked = std::vector<std::pair<std::string, std::vector<std::pair<std::string, NewValue>>>>;

std::vector<WhatIf> what_ifs(const Asked& asked) {
  std::vector<WhatIf> result;
  for (const auto& [name, changes] : asked) {
    WhatIf one;
    one.name = name;
    for (const auto& [path, value] : changes) one.changes.push_back({path, value});
    result.push_back(std::move(one));
  }
  return result;
}

void bind_outcome(py::module_& module) {
  Value<Outcome>(module, "Outcome", "The figures people scan for.")
      .NB_READ(Outcome, name)
      .NB_READ(Outcome, error)
      .NB_READ(Outcome, solved)
      .NB_READ(Outcome, window_margin_v)
      .NB_READ(Outcome, window_device)
      .NB_READ(Outcome, window_case)
      .NB_READ(Outcome, highest_drop_ratio)
      .NB_READ(Outcome, bank_a)
      .NB_READ(Outcome, typical_w)
      .NB_READ(Outcome, loss_w)
      .NB_READ(Outcome, hottest_margin_k)
      .NB_READ(Outcome, hottest_compartment)
      .NB_READ(Outcome, hottest_conductor_c)
      .NB_READ(Outcome, verdict)
      .NB_READ(Outcome, dangers)
      .NB_READ(Outcome, warnings)
      .NB_READ(Outcome, metal_kg)
      .NB_READ(Outcome, night_ah)
      .NB_READ(Outcome, surplus_wh)
      .NB_READ(Outcome, charge_sunrise);
}

}  // namespace

void bind_scenario_batch(py::module_& module) {
  bind_outcome(module);

  py::native_enum<Figure>(module, "Figure", "enum.Enum", "A figure of an outcome.")
      .value("window_margin_v", Figure::window_margin_v)
      .value("highest_drop_ratio", Figure::highest_drop_ratio)
      .value("bank_a", Figure::bank_a)
      .value("typical_w", Figure::typical_w)
      .value("loss_w", Figure::loss_w)
      .value("hottest_margin_k", Figure::hottest_margin_k)
      .value("hottest_conductor_c", Figure::hottest_conductor_c)
      .finalize();

  Value<Influence>(module, "Influence", "How one field moves one figure.")
      .NB_READ(Influence, path)
      .NB_READ(Influence, value)
      .NB_READ(Influence, step)
      .NB_READ(Influence, low)
      .NB_READ(Influence, high)
      .def_property_readonly("swing", &Influence::swing)
      .NB_READ(Influence, breaks);

  module.def(
      "figure_name", [](Figure figure) { return std::string(figure_name(figure)); },
      py::arg("figure"), "What to call it in a sentence.");
  module.def("number_paths", &number_paths, py::arg("system"),
             "Paths of all numbers that were given or are not zero, in the order of the file.");
  module.def(
      "what_if",
      [](const System& system, const Catalogue& catalogue, const Asked& asked, bool whole_plan,
         int threads) {
        WhatIfOptions options;
        options.depth = whole_plan ? Depth::plan : Depth::cases;
        options.threads = threads;
        const std::vector<WhatIf> wanted = what_ifs(asked);
        const py::gil_scoped_release released;
        return what_if(system, catalogue, wanted, options);
      },
      py::arg("system"), py::arg("catalogue"), py::arg("asked"), py::kw_only(),
      py::arg("whole_plan") = false, py::arg("threads") = 0, "Many changed systems at once.");
  module.def(
      "what_matters",
      [](const System& system, const Catalogue& catalogue, Figure figure, double relative_step,
         int threads) {
        WhatIfOptions options;
        options.threads = threads;
        const py::gil_scoped_release released;
        return what_matters(system, catalogue, figure, options, relative_step);
      },
      py::arg("system"), py::arg("catalogue"), py::arg("figure"), py::kw_only(),
      py::arg("relative_step") = 0.1, py::arg("threads") = 0,
      "Which fields move a figure, strongest first.");
}

}  // namespace nightbus::python
