#include "records.hpp"

namespace py = pybind11;

namespace nightbus::python {
namespace {

bool is_empty_by_default(const RecordType& type, const Field& field) {
  return std::holds_alternative<std::monostate>(type.default_of(field));
}

std::string default_text(const RecordType& type, const Field& field) {
  const FieldValue value = type.default_of(field);
  if (std::holds_alternative<std::monostate>(value)) return "";
  return py::repr(to_written(field, value)).cast<std::string>();
}

}  // namespace

std::string annotation_in(const Field& field) {
  switch (field.kind) {
    case FieldKind::flag:
      return "bool";
    case FieldKind::count:
      return "int";
    case FieldKind::quantity:
      return "float | str";
    case FieldKind::text:
    case FieldKind::choice:
    case FieldKind::reference:
      return "str";
    case FieldKind::range:
      return "str | Range | tuple[float | str, float | str]";
    case FieldKind::size:
      return "str | ConductorSize";
    case FieldKind::quantities:
      return "collections.abc.Iterable[float | str]";
    case FieldKind::texts:
    case FieldKind::windows:
    case FieldKind::references:
      return "collections.abc.Iterable[str]";
    case FieldKind::sizes:
      return "collections.abc.Iterable[str | ConductorSize]";
    case FieldKind::efficiency:
      return "collections.abc.Iterable[EfficiencyPoint | collections.abc.Sequence[float | str]]";
  }
  return "typing.Any";
}

std::string annotation_out(const Field& field) {
  switch (field.kind) {
    case FieldKind::flag:
      return "bool";
    case FieldKind::count:
      return "int";
    case FieldKind::quantity:
      return "float";
    case FieldKind::text:
    case FieldKind::choice:
    case FieldKind::reference:
      return "str";
    case FieldKind::range:
      return "Range";
    case FieldKind::size:
      return "ConductorSize";
    case FieldKind::quantities:
      return "tuple[float, ...]";
    case FieldKind::texts:
    case FieldKind::windows:
    case FieldKind::references:
      return "tuple[str, ...]";
    case FieldKind::sizes:
      return "tuple[ConductorSize, ...]";
    case FieldKind::efficiency:
      return "tuple[EfficiencyPoint, ...]";
  }
  return "typing.Any";
}

std::string help_of(const Field& field) {
  std::string text = field.help;
  if (!field.unit.empty()) text += " [" + field.unit + "]";
  if (!field.choices.empty()) {
    text += " One of";
    for (const std::string& choice : field.choices) {
      text += (&choice == field.choices.data() ? " \"" : ", \"") + choice + "\"";
    }
    text += ".";
  }
  return text;
}

std::string signature(const RecordType& type, bool changes) {
  std::string text = "__init__(self, *";
  for (const bool required : {true, false}) {
    for (const Field& field : type.fields) {
      if (field.required != required) continue;
      for (const std::string& name : {key_name(field), member_name(field)}) {
        text += ", " + name + ": " + annotation_in(field);
        // A required field may be given by either of its names, which no signature can say.
        if (changes || !required || key_name(field) != member_name(field)) text += " | None = None";
        if (key_name(field) == member_name(field)) break;
      }
    }
  }
  return text + ") -> None";
}

std::string describe(const RecordType& type) {
  std::string text = type.help + "\n\nParameters\n----------\n";
  for (const Field& field : type.fields) {
    text += key_name(field);
    if (key_name(field) != member_name(field)) text += ", " + member_name(field);
    text += " : " + annotation_out(field);
    if (!field.required) {
      const std::string standard = default_text(type, field);
      text += is_empty_by_default(type, field) ? ", optional" : ", default " + standard;
    }
    text += "\n    " + help_of(field) + "\n";
  }
  return text;
}

}  // namespace nightbus::python
