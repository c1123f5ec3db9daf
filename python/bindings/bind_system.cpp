#include "nightbus/system.hpp"

#include <pybind11/operators.h>

#include <algorithm>

#include "bindings.hpp"
#include "given.hpp"
#include "records.hpp"
#include "values.hpp"

namespace py = pybind11;

namespace nightbus::python {
namespace {

template <class R>
R from_arguments(const RecordType& type, const py::kwargs& arguments) {
  R record;
  std::vector<Problem> problems;
  for (const auto& [name, value] : arguments) {
    const auto argument = py::cast<std::string>(name);
    try {
      const NamedField named = find_field(type, argument);
      // None stands for "left out", as everywhere in Python.
      if (!value.is_none()) set_field(type, &record, named, value, argument);
    } catch (const InputError& error) {
      problems.insert(problems.end(), error.problems().begin(), error.problems().end());
    }
  }
  // A place may be stated later: a Site is made before anybody knows where the hut will stand.
  for (std::size_t row = 0; type.many && row < type.fields.size(); ++row) {
    const Field& field = type.fields[row];
    if (!field.required || ((record.written.given >> row) & 1U) != 0U) continue;
    const bool was_refused =
        std::any_of(problems.begin(), problems.end(), [&](const Problem& problem) {
          return problem.what.find("\"" + key_name(field) + "\"") != std::string::npos ||
                 problem.what.find("\"" + member_name(field) + "\"") != std::string::npos;
        });
    if (was_refused) continue;
    Problem problem;
    problem.code = "argument";
    problem.what = type.type_name + " needs \"" + key_name(field) + "\"";
    problem.expected = help_of(field);
    problems.push_back(problem);
  }
  if (!problems.empty()) throw InputError(problems);
  return record;
}

template <class R>
py::dict stated(const RecordType& type, const R& record) {
  py::dict result;
  for (const Field& field : type.fields) {
    if (is_stated(type, field, &record)) {
      result[py::str(key_name(field))] = to_written(field, field.get(&record));
    }
  }
  return result;
}

template <class R>
R changed(const RecordType& type, const R& record, const py::kwargs& changes) {
  R copy = record;
  std::vector<Problem> problems;
  for (const auto& [name, value] : changes) {
    const auto argument = py::cast<std::string>(name);
    try {
      set_field(type, &copy, find_field(type, argument), value, argument);
    } catch (const InputError& error) {
      problems.insert(problems.end(), error.problems().begin(), error.problems().end());
    }
  }
  if (!problems.empty()) throw InputError(problems);
  return copy;
}

template <class R>
void bind_fields(py::class_<R>& bound, const RecordType& type) {
  for (const Field& field : type.fields) {
    const bool optional = std::holds_alternative<std::monostate>(type.default_of(field));
    const std::string none = optional ? " | None" : "";
    const auto property = [&](const std::string& name, bool by_member, const std::string& out) {
      const auto doc_get = "(self) -> " + out + none + "\n\n" + help_of(field);
      const auto doc_set =
          "(self, value: " + annotation_in(field) + (field.required ? "" : " | None") + ") -> None";
      bound.def_property(name.c_str(),
                         py::cpp_function(
                             [&field, by_member](const R& record) {
                               const FieldValue value = field.get(&record);
                               return by_member ? to_python(value) : to_written(field, value);
                             },
                             py::doc(doc_get.c_str())),
                         py::cpp_function(
                             [&type, &field, by_member, name](R& record, const py::object& value) {
                               set_field(type, &record, {&field, by_member}, value, name);
                             },
                             py::doc(doc_set.c_str())),
                         help_of(field).c_str());
    };
    const std::string member = member_name(field), key = key_name(field);
    property(member, true, annotation_out(field));
    if (key != member) {
      const bool list = field.kind == FieldKind::quantities || field.kind == FieldKind::sizes;
      property(key, false,
               field.kind == FieldKind::quantity || field.kind == FieldKind::range ||
                       field.kind == FieldKind::size
                   ? "str"
               : list ? "tuple[str, ...]"
                      : annotation_out(field));
    }
  }
}

template <class R>
void bind_record(py::module_& module, const char* key) {
  const RecordType& type = record_type(key);
  py::options options;
  options.disable_function_signatures();  // ours come from the field table
  py::class_<R> bound(module, type.type_name.c_str(), describe(type).c_str());
  bound.def(
      py::init([&type](const py::kwargs& arguments) { return from_arguments<R>(type, arguments); }),
      signature(type).c_str());
  bind_fields(bound, type);
  bound.def_property_readonly(
      "where", py::cpp_function([](const R& record) { return record.written.where; },
                                py::doc("(self) -> Span\n\nIts place in the file.")));
  bound.def(
      "stated", [&type](const R& record) { return stated(type, record); },
      told("stated(self) -> dict[str, typing.Any]\n\nEvery field that was given or is not at its "
           "default, as it would be written.",
           example_of_stated(type))
          .c_str());
  bound.def(
      "assumed",
      [&type](const R& record) {
        py::dict result;
        for (const Field& field : type.fields) {
          if (field.assumption && is_assumed(type, field, &record)) {
            result[py::str(key_name(field))] = to_written(field, field.get(&record));
          }
        }
        return result;
      },
      told("assumed(self) -> dict[str, typing.Any]\n\nThe defaults that the author left standing "
           "and that a plan must print.",
           example_of_assumed(type))
          .c_str());
  const std::string replace = "replace" + signature(type, true).substr(8);
  bound.def(
      "replace",
      [&type](const R& record, const py::kwargs& changes) {
        return changed(type, record, changes);
      },
      told(
          replace.substr(0, replace.rfind(" -> ")) + " -> " + type.type_name +
              "\n\nA copy with some fields changed. Raises InputError for a value that is refused.",
          example_of_replace(type))
          .c_str());
  bound.def(
      "__eq__",
      [](const R& record, const py::object& other) -> py::object {
        if (!py::isinstance<R>(other)) {
          return py::reinterpret_borrow<py::object>(Py_NotImplemented);
        }
        return py::bool_(record == other.cast<const R&>());
      },
      "__eq__(self, other: object) -> bool");
  bound.def(
      "__copy__", [](const R& record) { return R(record); },
      ("__copy__(self) -> " + type.type_name).c_str());
  bound.def(
      "__deepcopy__", [](const R& record, const py::dict&) { return R(record); },
      ("__deepcopy__(self, memo: dict[int, typing.Any]) -> " + type.type_name).c_str());
  bound.def(
      "__repr__",
      [&type](const R& record) {
        std::string text = type.type_name + "(";
        for (const auto& [name, value] : stated(type, record)) {
          if (text.back() != '(') text += ", ";
          text += py::cast<std::string>(name) + "=" + py::cast<std::string>(py::repr(value));
        }
        return text + ")";
      },
      "__repr__(self) -> str");
  bound.def(py::pickle(
      [&type](const R& record) {
        return py::make_tuple(stated(type, record), record.written.given, record.written.where);
      },
      [&type](const py::tuple& state) {
        R record = changed(type, R{}, py::kwargs(state[0].cast<py::dict>()));
        record.written.given = state[1].cast<std::uint64_t>();
        record.written.where = state[2].cast<Span>();
        return record;
      }));
  bound.attr("__hash__") = py::none();
  bound.attr("record_kind") = type.key;
}

template <class... Record>
struct Lists {
  /// Copies of one list.
  static py::object get(const System& system, const std::string& kind) {
    const RecordType& type = record_type(kind);
    auto& mutable_system = const_cast<System&>(system);  // at() only reads here
    py::list result;
    for (std::size_t i = 0; i < type.count(system); ++i) {
      const void* record = type.at(mutable_system, i);
      py::object item;
      ((type.type_name == py::type::of<Record>().attr("__name__").template cast<std::string>()
            ? void(item = py::cast(*static_cast<const Record*>(record)))
            : void()),
       ...);
      result.append(item);
    }
    return result;
  }

  /// Stores one record: replaces site and rules, appends to the lists.
  static void append(System& system, const py::object& item) {
    bool known = false;
    ((py::isinstance<Record>(item)
          ? void((known = true,
                  *static_cast<Record*>(
                      record_type(item.attr("record_kind").cast<std::string>()).append(system)) =
                      item.cast<const Record&>()))
          : void()),
     ...);
    if (!known) {
      throw py::type_error("not a record of a system: " + py::repr(item).cast<std::string>());
    }
  }
};

using AllLists = Lists<Site, Rules, Bank, Bus, Run, Load, Fan, Converter, PoeLink, Charger, Array,
                       Compartment, Price, Case>;

}  // namespace

void bind_system(py::module_& module) {
  Value<EfficiencyPoint>(
      module, "EfficiencyPoint",
      told(
          "Share of rated output, and the efficiency there.",
          R"(>>> shelf = nb.Converter(name="shelf", output="5 V", power="20 W", efficiency=[(0.5, "91 %")])
>>> shelf.efficiency[0]
EfficiencyPoint(0.5, 0.91))")
          .c_str())
      .def(py::init([](Given<Dimension::ratio> share, Given<Dimension::ratio> efficiency) {
             return EfficiencyPoint{share.value, efficiency.value};
           }),
           py::arg("share"), py::arg("efficiency"))
      .def_readonly("share", &EfficiencyPoint::share, "Of rated output, 0 to 1.")
      .def_readonly("efficiency", &EfficiencyPoint::efficiency, "Output over input there, 0 to 1.")
      .def("__iter__",
           [](const EfficiencyPoint& point) {
             return py::iter(py::make_tuple(point.share, point.efficiency));
           })
      .def("__repr__", [](const EfficiencyPoint& point) {
        return py::str("EfficiencyPoint({!r}, {!r})").format(point.share, point.efficiency);
      });

  bind_record<Site>(module, "site");
  bind_record<Rules>(module, "rules");
  bind_record<Bank>(module, "bank");
  bind_record<Bus>(module, "bus");
  bind_record<Run>(module, "run");
  bind_record<Load>(module, "load");
  bind_record<Fan>(module, "fan");
  bind_record<Converter>(module, "converter");
  bind_record<PoeLink>(module, "poe_link");
  bind_record<Charger>(module, "charger");
  bind_record<Array>(module, "array");
  bind_record<Compartment>(module, "compartment");
  bind_record<Price>(module, "price");
  bind_record<Case>(module, "case");

  py::class_<System> system(module, "SystemData",
                            "The C++ side of nightbus.System, made anew for each computation.");
  as_pickle<System>(system);
  system.def(py::init<>())
      .def_readwrite("format", &System::format)
      .def_readwrite("title", &System::title)
      .def_readwrite("note", &System::note)
      .def("records", &AllLists::get, py::arg("kind"), "Copies of the records of one kind.")
      .def("append", &AllLists::append, py::arg("record"),
           "Adds a record; site and rules are replaced.")
      .def(py::self == py::self);  // NOLINT(misc-redundant-expression)

  module.def("default_cases", &default_cases,
             "The cases that are examined when the system names none.");
  module.def(
      "field_table",
      [] {
        py::list table;
        for (const RecordType& type : record_types()) {
          py::list rows;
          for (const Field& field : type.fields) {
            py::dict row;
            row["key"] = field.key;
            row["member"] = member_name(field);
            row["dimension"] = field.dimension;
            row["unit"] = field.unit;
            row["required"] = field.required;
            row["assumption"] = field.assumption;
            row["default"] = to_written(field, type.default_of(field));
            row["low"] = field.low;
            row["high"] = field.high;
            row["low_open"] = field.low_open;
            row["choices"] = field.choices;
            row["refers_to"] = field.refers_to;
            row["help"] = field.help;
            row["accepts"] = annotation_in(field);
            rows.append(row);
          }
          py::dict entry;
          entry["key"] = type.key;
          entry["type"] = type.type_name;
          entry["help"] = type.help;
          entry["many"] = type.many;
          entry["point"] = type.is_point;
          entry["fields"] = rows;
          table.append(entry);
        }
        return table;
      },
      "Every record type and field: the one table behind reader, schema and constructors.");
}

}  // namespace nightbus::python
