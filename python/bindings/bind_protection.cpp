#include "nightbus/protection.hpp"

#include "bindings.hpp"

namespace py = pybind11;

namespace nightbus::python {

void bind_protection(py::module_& module) {
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
