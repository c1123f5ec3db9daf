#include "nightbus/reader.hpp"

#include <pybind11/stl/filesystem.h>

#include "bindings.hpp"

namespace py = pybind11;

namespace nightbus::python {

void bind_reader(py::module_& module) {
  module.def(
      "read_system",
      [](const std::filesystem::path& path, const Catalogue& catalogue) {
        return read_system_file(path, catalogue);
      },
      py::arg("path"), py::arg("catalogue"), "The system of a file, or InputError.");
  module.def("loads_system", &read_system, py::arg("text"), py::arg("name"), py::arg("catalogue"),
             "The system of a text, or InputError.");
  module.def(
      "examine_system",
      [](std::string text, std::string name, const Catalogue& catalogue) {
        Examined examined = examine_system(std::move(text), std::move(name), catalogue);
        return std::make_pair(std::move(examined.system), std::move(examined.problems));
      },
      py::arg("text"), py::arg("name"), py::arg("catalogue"),
      "What could be made of a text, and every problem; never raises on its input.");
  module.def("check_system", &check_system, py::arg("system"), py::arg("catalogue"),
             "What is wrong beyond the values of single fields.");
  module.def("write_system", &write_system, py::arg("system"),
             "TOML that reads back to an equal system.");
  module.def("json_schema", &json_schema, "JSON Schema of a system file, for editors.");
  module.def("field_reference", &field_reference_markdown, "The field reference, in Markdown.");
}

}  // namespace nightbus::python
