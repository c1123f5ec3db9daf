#include "bindings.hpp"
#include "nightbus/thermal.hpp"

// Air and boxes by formula; the compartments of a system are part of its plan and its simulation.

namespace py = pybind11;

namespace nightbus::python {

void bind_thermal(py::module_& module) {
  module.def("air_pressure_ratio", &air_pressure_ratio, py::arg("altitude_m"),
             "Pressure at a height over that at sea level, ISO 2533.");
  module.def("air_density_kg_per_m3", &air_density_kg_per_m3, py::arg("temp_c"),
             py::arg("pressure_ratio") = 1.0, "Density of air at its own temperature.");
  module.def("airflow_m3s", &airflow_m3s, py::arg("heat_w"), py::arg("rise_k"),
             py::arg("density_kg_per_m3") = standard_air_kg_per_m3,
             "Air that carries heat away at a rise.");
  module.def("temperature_rise_k", &temperature_rise_k, py::arg("heat_w"), py::arg("ua_w_per_k"),
             py::arg("flow_m3s") = 0.0, py::arg("density_kg_per_m3") = standard_air_kg_per_m3,
             "Rise of a box with walls and airflow.");
  module.def("capacitor_life_h", &capacitor_life_h, py::arg("rated_h"), py::arg("rated_c"),
             py::arg("run_c"), py::arg("cap_h") = 131400.0,
             "Ten-kelvin rule for electrolytic capacitors; common practice, no source.");
}

}  // namespace nightbus::python
