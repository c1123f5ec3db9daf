#include "nightbus/source.hpp"

#include "bindings.hpp"
#include "values.hpp"

// Errors cross as types with fields, never by matching text:
//
//   C++                    Python                        carries
//   nightbus::Error        nightbus.Error                the sentence
//   nightbus::InputError   nightbus.InputError           .problems, every one found in one pass
//   nightbus::LookupError  nightbus.LookupError          the sentence, with near misses
//
// InputError is also a ValueError, LookupError also a builtin LookupError.

namespace py = pybind11;

namespace nightbus::python {
namespace {

// Made once per interpreter; the module object keeps them alive.
struct ExceptionTypes {
  py::object error;
  py::object input;
  py::object lookup;
};

ExceptionTypes& exception_types() {
  static PYBIND11_CONSTINIT py::gil_safe_call_once_and_store<ExceptionTypes> storage;
  return storage
      .call_once_and_store_result([] {
        const auto make = [](const char* name, const char* doc, const py::tuple& bases) {
          return py::reinterpret_steal<py::object>(
              PyErr_NewExceptionWithDoc(name, doc, bases.ptr(), nullptr));
        };
        ExceptionTypes types;
        types.error = make("nightbus._core.Error",
                           told("Base of everything nightbus raises.", R"(>>> try:
...     nb.read("nowhere.toml")
... except nb.Error as error:
...     print(type(error).__name__)
Error)")
                               .c_str(),
                           py::make_tuple(py::handle(PyExc_Exception)));
        types.input =
            make("nightbus._core.InputError",
                 told("Input that cannot be used; `problems` holds every one found.", R"(>>> try:
...     nb.Load(name="router", typical="12 V")
... except nb.InputError as error:
...     print(error.problems[0].seen)
"12 V" is a voltage)")
                     .c_str(),
                 py::make_tuple(types.error, py::handle(PyExc_ValueError)));
        types.input.attr("problems") = py::tuple();
        types.lookup =
            make("nightbus._core.LookupError",
                 told("A name that the catalogue or the system does not hold; lists near misses.",
                      R"(>>> nb.read("post.toml").load("door camra")
Traceback (most recent call last):
    ...
nightbus._core.LookupError: there is no Load "door camra"; did you mean "door camera"?)")
                     .c_str(),
                 py::make_tuple(types.error, py::handle(PyExc_LookupError)));
        return types;
      })
      .get_stored();
}

// NOLINTNEXTLINE(performance-unnecessary-value-param): pybind11 asks for this signature
void translate(std::exception_ptr pointer) {
  try {
    if (pointer) std::rethrow_exception(pointer);
  } catch (const InputError& error) {
    py::object raised = exception_types().input(error.what());
    raised.attr("problems") = py::cast(error.problems());
    PyErr_SetObject(exception_types().input.ptr(), raised.ptr());
  } catch (const LookupError& error) {
    PyErr_SetString(exception_types().lookup.ptr(), error.what());
  } catch (const Error& error) {
    PyErr_SetString(exception_types().error.ptr(), error.what());
  }
}

}  // namespace

void bind_source(py::module_& module) {
  const ExceptionTypes& types = exception_types();
  module.attr("Error") = types.error;
  module.attr("InputError") = types.input;
  module.attr("LookupError") = types.lookup;
  py::register_local_exception_translator(translate);

  Value<Span>(module, "Span",
              told("Where a thing was written; lines and columns count from 1.",
                   R"(>>> nb.read("post.toml").load("door camera").where.place
'post.toml:36:8')")
                  .c_str())
      .def_property_readonly(
          "file",
          [](const Span& span) { return span.source ? span.source->name() : std::string(); },
          "Name of the file or text; empty when made in code.")
      .def_property_readonly(
          "text",
          [](const Span& span) {
            return span.source ? std::string(span.source->line(span.line)) : std::string();
          },
          "The whole line.")
      .def_readonly("line", &Span::line, "First line.")
      .def_readonly("column", &Span::column, "First column.")
      .def_readonly("end_line", &Span::end_line, "Last line.")
      .def_readonly("end_column", &Span::end_column, "Column behind the end.")
      .def_property_readonly("known", &Span::known, "False when it was made in code.")
      .def_property_readonly("place", &Span::place, "\"hut.toml:12:9\".")
      .def("__bool__", &Span::known)
      .def("__str__", &Span::place)
      .def("__repr__", [](const Span& span) { return "Span(" + span.place() + ")"; });

  Value<Problem>(module, "Problem",
                 told("One thing wrong with the input.", R"(>>> try:
...     nb.loads("nightbus = 1\ntitel = 'hut'", "hut.toml")
... except nb.InputError as error:
...     print([one.where.place for one in error.problems if one.code == "unknown-key"])
['hut.toml:2:1'])")
                     .c_str())
      .def_readonly("code", &Problem::code, "Stable name, such as \"unknown-key\".")
      .def_readonly("what", &Problem::what, "One line.")
      .def_readonly("where", &Problem::where, "Where it stands.")
      .def_readonly("expected", &Problem::expected, "May be empty.")
      .def_readonly("seen", &Problem::seen, "May be empty.")
      .def_readonly("mend", &Problem::mend, "How to put it right; may be empty.")
      .def_readonly("other", &Problem::other, "Second place of a duplicate or conflict.")
      .def_readonly("other_label", &Problem::other_label, "What the second place is.")
      .def("__str__", [](const Problem& problem) { return render(problem); })
      .def("__repr__", [](const Problem& problem) {
        return py::str("Problem({!r}, {!r}, {})")
            .format(problem.code, problem.what, problem.where.place());
      });

  module.def(
      "render", [](const Problem& problem) { return render(problem); }, py::arg("problem"),
      "The problem with its line of the file and a caret; plain text.");
  module.def(
      "render", [](const std::vector<Problem>& problems) { return render(problems); },
      py::arg("problems"), "All of them.");
}

}  // namespace nightbus::python
