#include "nightbus/finding.hpp"

#include "bindings.hpp"
#include "values.hpp"

namespace py = pybind11;

namespace nightbus::python {
namespace {

template <class Owner>
auto text_of(std::string_view Owner::*member) {
  return [member](const Owner& owner) { return std::string(owner.*member); };
}

}  // namespace

void bind_finding(py::module_& module) {
  py::native_enum<Severity>(module, "Severity", "enum.Enum",
                            told("Worst first.", R"(>>> [one.name for one in nb.Severity]
['danger', 'warning', 'notice', 'passed'])")
                                .c_str())
      .value("danger", Severity::danger)
      .value("warning", Severity::warning)
      .value("notice", Severity::notice)
      .value("passed", Severity::passed)
      .finalize();

  py::class_<FindingKind>(module, "FindingKind", "The words of one finding code.")
      .def_property_readonly("code", text_of(&FindingKind::code))
      .def_readonly("severity", &FindingKind::severity, "When the check fails.")
      .def_property_readonly("aspect", text_of(&FindingKind::aspect), "What is checked.")
      .def_property_readonly("title", text_of(&FindingKind::title))
      .def_property_readonly("sentence", text_of(&FindingKind::sentence))
      .def_property_readonly("mend", text_of(&FindingKind::mend))
      .def_property_readonly("help", text_of(&FindingKind::help))
      .def(
          "__eq__",
          [](const FindingKind& one, const FindingKind& other) { return one.code == other.code; },
          py::is_operator())
      .def("__hash__",
           [](const FindingKind& kind) { return std::hash<std::string_view>{}(kind.code); })
      .def("__copy__", [](const FindingKind& kind) { return FindingKind(kind); })
      .def(py::pickle(
          [](const FindingKind& kind) { return py::make_tuple(std::string(kind.code)); },
          [](const py::tuple& state) { return finding_kind(state[0].cast<std::string>()); }))
      .def("__repr__", [](const FindingKind& kind) {
        return py::str("FindingKind({!r}, {!r})")
            .format(std::string(kind.code), std::string(kind.title));
      });

  Value<Finding>(
      module, "Finding",
      told("One checked statement, as data.", R"(>>> finding = nb.plan("post.toml").finding_list[0]
>>> finding.severity.name, finding.code, finding.where.place
('notice', 'assumed-choice', 'post.toml:13:8'))")
          .c_str())
      .def_readonly("code", &Finding::code, "Stable name of its kind.")
      .def_readonly("severity", &Finding::severity, "How bad it is.")
      .def_readonly("subject_kind", &Finding::subject_kind, "\"run\", \"load\", \"bank\" …")
      .def_readonly("subject", &Finding::subject, "Name of what it is about.")
      .def_readonly("value", &Finding::value, "In the inside unit; None: nothing to compare.")
      .def_readonly("limit", &Finding::limit, "In the inside unit; None: nothing to compare.")
      .def_readonly("dimension", &Finding::dimension, "Of value and limit.")
      .def_readonly("case_name", &Finding::case_name, "Governing case; empty when none.")
      .def_readonly("rule", &Finding::rule, "The row it rests on; empty when none.")
      .def_readonly("detail", &Finding::detail, "How the value came about; may be empty.")
      .def_readonly("where", &Finding::where, "The subject's line in the system file.")
      .def_property_readonly("sentence", &sentence, "What, in one line.")
      .def_property_readonly("advice", &advice, "What to do about it.")
      .def_property_readonly(
          "title",
          [](const Finding& finding) { return std::string(finding_kind(finding.code).title); },
          "Its kind in a few words.")
      .def_property_readonly(
          "help",
          [](const Finding& finding) { return std::string(finding_kind(finding.code).help); },
          "Why it matters.")
      .def("__str__", &sentence)
      .def("__repr__", [](const Finding& finding) {
        return py::str("<{} {}: {}>")
            .format(std::string(severity_name(finding.severity)), finding.code, sentence(finding));
      });

  module.def("finding_kinds", &finding_kinds, py::return_value_policy::reference,
             "Every finding the program can make.");
  module.def(
      "finding_kind",
      [](const std::string& code) -> const FindingKind& { return finding_kind(code); },
      py::arg("code"), py::return_value_policy::reference, "The words of one code.");
  module.def("worst", &worst, py::arg("findings"), "The worst severity present.");
}

}  // namespace nightbus::python
