#include "bindings.hpp"

// The table of contents of nightbus._core, lowest area first; source comes first of all because
// every other area throws its errors.
PYBIND11_MODULE(_core, module, pybind11::mod_gil_not_used()) {
  namespace python = nightbus::python;
  module.doc() = "The compiled half of nightbus; use the names in nightbus itself.";
  module.attr("__version__") = NIGHTBUS_VERSION;
  python::bind_source(module);
  python::bind_quantity(module);
  python::bind_finding(module);
  python::bind_catalogue(module);
  python::bind_system(module);
  python::bind_reader(module);
  python::bind_network(module);
  python::bind_case(module);
  python::bind_wiring(module);
  python::bind_protection(module);
  python::bind_thermal(module);
  python::bind_energy(module);
  python::bind_scenario(module);
  python::bind_simulation(module);
  python::bind_scenario_batch(module);
  python::bind_measured(module);
}
