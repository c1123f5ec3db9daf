#include "nightbus/protection.hpp"

#include <cmath>

#include "bindings.hpp"
#include "nightbus/protection_fault.hpp"

namespace py = pybind11;

namespace nightbus::python {

void bind_protection(py::module_& module) {
  module.def(
      "damage_line",
      [](const Catalogue& catalogue, const std::string& material, double area_mm2, double initial_c,
         double insulation_c, const std::vector<double>& time_s) {
        std::vector<std::pair<double, double>> line;
        const auto limit = catalogue.short_time_limit(insulation_c, area_mm2);
        if (!limit) return line;
        const double k = adiabatic_k(catalogue.material(material), initial_c, limit->final_c);
        const double bears_a2s = withstand_a2s(k, area_mm2);
        for (double time : time_s) line.emplace_back(std::sqrt(bears_a2s / time), time);
        return line;
      },
      py::arg("catalogue"), py::arg("material"), py::arg("area_mm2"), py::arg("initial_c"),
      py::arg("insulation_c"), py::arg("time_s"),
      "Current and time at which a short circuit damages the insulation; empty when no limit is "
      "published. Meant for at most 5 s.");
  module.def(
      "check_run",
      [](const System& system, const Catalogue& catalogue, const WiringPlan& plan,
         const std::string& run, const ConductorSize& size, const std::optional<Device>& device) {
        return check_run(system, catalogue, plan, run, size, device);
      },
      py::arg("system"), py::arg("catalogue"), py::arg("plan"), py::arg("run"), py::arg("size"),
      py::arg("device") = py::none(),
      "Any size and device on one run of a plan, with every check: why not this one?");
}

}  // namespace nightbus::python
