#include "nightbus/quantity.hpp"

#include "bindings.hpp"
#include "nightbus/source.hpp"
#include "values.hpp"

namespace py = pybind11;

namespace nightbus::python {
namespace {

constexpr std::pair<const char*, Dimension> dimensions[] = {
    {"number", Dimension::number},
    {"ratio", Dimension::ratio},
    {"length", Dimension::length},
    {"area", Dimension::area},
    {"surface", Dimension::surface},
    {"volume", Dimension::volume},
    {"mass", Dimension::mass},
    {"time", Dimension::time},
    {"angle", Dimension::angle},
    {"temperature", Dimension::temperature},
    {"temperature_difference", Dimension::temperature_difference},
    {"voltage", Dimension::voltage},
    {"current", Dimension::current},
    {"resistance", Dimension::resistance},
    {"resistance_per_length", Dimension::resistance_per_length},
    {"capacitance", Dimension::capacitance},
    {"inductance", Dimension::inductance},
    {"power", Dimension::power},
    {"charge", Dimension::charge},
    {"energy", Dimension::energy},
    {"melting_integral", Dimension::melting_integral},
    {"thermal_conductance", Dimension::thermal_conductance},
    {"heat_transmittance", Dimension::heat_transmittance},
    {"heat_capacity", Dimension::heat_capacity},
    {"air_flow", Dimension::air_flow},
    {"irradiance", Dimension::irradiance},
    {"pressure", Dimension::pressure},
    {"speed", Dimension::speed},
    {"voltage_per_kelvin", Dimension::voltage_per_kelvin},
    {"ratio_per_kelvin", Dimension::ratio_per_kelvin},
    {"ratio_per_time", Dimension::ratio_per_time},
    {"insolation", Dimension::insolation},
};

/// Gives the value, or throws what parsing found wrong.
template <class T>
T take(const Parsed<T>& parsed, std::string_view what, std::string_view text) {
  if (parsed) return *parsed;
  Problem problem;
  problem.code = "quantity";
  problem.what = std::string(what) + " \"" + std::string(text) + "\" cannot be read";
  problem.expected = parsed.problem.expected;
  problem.seen = parsed.problem.seen;
  problem.mend = parsed.problem.mend;
  throw InputError({problem});
}

}  // namespace

void bind_quantity(py::module_& module) {
  py::native_enum<Dimension> dimension(
      module, "Dimension", "enum.Enum",
      told(
          "Each dimension has exactly one inside unit.",
          R"(>>> nb.quantity("98 °F", nb.Dimension.temperature) == nb.quantity("98 °F", "temperature")
True)")
          .c_str());
  for (const auto& [name, value] : dimensions) dimension.value(name, value);
  dimension.finalize();

  py::native_enum<SizeSystem>(module, "SizeSystem", "enum.Enum",
                              told("How conductor sizes are named; the systems are distinct.",
                                   R"(>>> nb.ConductorSize("12 AWG").system.name
'awg')")
                                  .c_str())
      .value("metric", SizeSystem::metric)
      .value("awg", SizeSystem::awg)
      .value("sae", SizeSystem::sae)
      .value("kcmil", SizeSystem::kcmil)
      .finalize();

  Value<Range>(
      module, "Range",
      told("Two ends of a window, in the dimension's inside unit.",
           R"(>>> window = nb.Load(name="router", typical="12 W", window="9 V to 36 V").window_v
>>> window, 12.0 in window
(Range(9.0, 36.0), True))")
          .c_str())
      .def(py::init([](double low, double high) {
             if (low > high) throw py::value_error("a range needs low <= high");
             return Range{low, high};
           }),
           py::arg("low"), py::arg("high"))
      .def_readonly("low", &Range::low, "Lower end.")
      .def_readonly("high", &Range::high, "Upper end.")
      .def("__contains__", [](const Range& range,
                              double value) { return range.low <= value && value <= range.high; })
      .def("__iter__",
           [](const Range& range) { return py::iter(py::make_tuple(range.low, range.high)); })
      .def("__repr__", [](const Range& range) {
        return py::str("Range({!r}, {!r})").format(range.low, range.high);
      });

  py::class_<ConductorSize>(module, "ConductorSize",
                            told("A trade size: \"18 AWG\", \"4/0 AWG\", \"2.5 mm2\", \"12 SAE\".",
                                 R"(>>> round(nb.ConductorSize("12 AWG").area_mm2, 2)
3.31
>>> nb.ConductorSize("2.5 mm2") == "2.5 mm2"
True)")
                                .c_str())
      .def(py::init([](const std::string& text) {
             return take(parse_size(text), "conductor size", text);
           }),
           py::arg("text"))
      .def(py::init([](SizeSystem system, double number) {
             return ConductorSize{system, number};
           }),
           py::arg("system"), py::arg("number"))
      .def_readonly("system", &ConductorSize::system, "How it is named: metric, AWG, SAE or kcmil.")
      .def_readonly("number", &ConductorSize::number,
                    "mm² label, gauge (1/0 is 0, 4/0 is -3) or kcmil.")
      .def_property_readonly("area_mm2", &nominal_area_mm2, "Geometric area, mm².")
      .def("__eq__",
           [](const ConductorSize& size, const py::object& other) {
             if (py::isinstance<ConductorSize>(other)) {
               return size == other.cast<const ConductorSize&>();
             }
             if (!py::isinstance<py::str>(other)) return false;
             const auto written = parse_size(other.cast<std::string>());
             return written && *written == size;
           })
      .def("__hash__",
           [](const ConductorSize& size) {
             return py::hash(py::make_tuple(static_cast<int>(size.system), size.number));
           })
      .def("__str__", &print_size)
      .def("__repr__",
           [](const ConductorSize& size) {
             return py::str("ConductorSize({!r})").format(print_size(size));
           })
      .def(py::pickle(
          [](const ConductorSize& size) { return py::make_tuple(print_size(size)); },
          [](const py::tuple& state) { return *parse_size(state[0].cast<std::string>()); }));

  module.def(
      "quantity",
      [](const std::string& text, Dimension wanted, const std::string& plain_unit) {
        return take(parse_quantity(text, wanted, plain_unit), dimension_name(wanted), text);
      },
      py::arg("text"), py::arg("dimension"), py::arg("plain_unit") = "",
      "Reads a number with a unit, into the dimension's inside unit.");
  module.def(
      "range",
      [](const std::string& text, Dimension wanted, const std::string& plain_unit) {
        return take(parse_range(text, wanted, plain_unit), "range", text);
      },
      py::arg("text"), py::arg("dimension"), py::arg("plain_unit") = "", "Reads \"8 V to 30 V\".");
  module.def("print_quantity", &print_quantity, py::arg("value"), py::arg("dimension"),
             "Shortest text that reads back to the same number.");
  module.def("print_range", &print_range, py::arg("range"), py::arg("dimension"),
             "Text that reads back to the same range.");
  module.def("show_quantity", &show_quantity, py::arg("value"), py::arg("dimension"),
             py::arg("digits") = 3, "Rounded text for people, with a readable prefix.");
  module.def(
      "inside_unit", [](Dimension of) { return std::string(inside_unit(of)); },
      py::arg("dimension"), "Preferred spelling of the dimension's inside unit.");
  module.def(
      "dimension_name", [](Dimension of) { return std::string(dimension_name(of)); },
      py::arg("dimension"), "What to call it in a sentence: \"a length\".");
  module.def(
      "unit_spellings",
      [](Dimension of) {
        std::vector<std::string> spellings;
        for (const Unit& unit : units()) {
          if (unit.dimension == of) spellings.emplace_back(unit.spelling);
        }
        return spellings;
      },
      py::arg("dimension"), "Every spelling that is understood, the preferred one first.");
  module.def(
      "near_misses",
      [](const std::string& word, const std::vector<std::string>& candidates, std::size_t most) {
        return near_misses(word, candidates, most);
      },
      py::arg("word"), py::arg("candidates"), py::arg("most") = 3,
      "The candidates nearest in spelling, best first.");
}

}  // namespace nightbus::python
