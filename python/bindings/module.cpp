#include "bindings.hpp"

// The table of contents of nightbus._core, lowest area first.
PYBIND11_MODULE(_core, module, pybind11::mod_gil_not_used()) {
  module.doc() = "The compiled half of nightbus; use the names in nightbus itself.";
  module.attr("__version__") = NIGHTBUS_VERSION;
}
