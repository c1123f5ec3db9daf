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

/// Of each record type: arguments, their names in order, a member and its value, one change, and
/// the value after it.
struct Example {
  const char *key, *arguments, *given, *read, *value, *change, *changed;
};

constexpr Example examples[] = {
    {"site", R"(latitude="47.1 deg", longitude="11.3 deg")", "['latitude', 'longitude']",
     "latitude_deg", "47.1", R"(latitude="48 deg")", "48.0"},
    {"rules", R"(drop_critical="2.5 %")", "['drop_critical']", "drop_critical", "0.025",
     R"(drop_critical="4 %")", "0.04"},
    {"bank", R"(name="bank", chemistry="LFP", voltage="12 V", capacity="200 Ah")",
     "['capacity', 'chemistry', 'name', 'voltage']", "capacity_ah", "200.0", R"(capacity="280 Ah")",
     "280.0"},
    {"bus", R"(name="block", rated="100 A")", "['name', 'rated']", "rated_a", "100.0",
     R"(rated="150 A")", "150.0"},
    {"load", R"(name="router", typical="12 W")", "['name', 'typical']", "typical_w", "12.0",
     R"(typical="14 W")", "14.0"},
    {"fan", R"(name="air", step_power=["2 W"], step_flow=["36 m3/h"], cools="rack")",
     "['cools', 'name', 'step_flow', 'step_power']", "step_w", "(2.0,)", R"(step_power=["3 W"])",
     "(3.0,)"},
    {"converter", R"(name="shelf", output="5 V", power="20 W")", "['name', 'output', 'power']",
     "power_w", "20.0", R"(power="30 W")", "30.0"},
    {"poe_link", R"(name="gate", from_="injector", length="30 m", typical="6 W")",
     "['from_', 'length', 'name', 'typical']", "length_m", "30.0", R"(length="100 ft")", "30.48"},
    {"charger", R"(name="mains", current="20 A")", "['current', 'name']", "current_a", "20.0",
     R"(current="30 A")", "30.0"},
    {"array", R"(name="roof", power="300 W", controller_current="25 A")",
     "['controller_current', 'name', 'power']", "power_w", "300.0", R"(power="400 W")", "400.0"},
    {"run", R"(name="feed", from_="block", to="router", length="1.4 m")",
     "['from_', 'length', 'name', 'to']", "length_m", "1.4", R"(length="2 m")", "2.0"},
    {"compartment", R"(name="rack", conductance="4 W/K")", "['conductance', 'name']",
     "conductance_w_per_k", "4.0", R"(conductance="6 W/K")", "6.0"},
    {"price", R"(size="12 AWG", per_metre=1.4)", "['per_metre', 'size']", "per_m", "1.4",
     R"(per_metre=1.6)", "1.6"},
    {"case", R"(name="first start", demand="peak", temp="-20 °C")", "['demand', 'name', 'temp']",
     "temp_c", "-20.0", R"(temp="-25 °C")", "-25.0"},
};

const Example& example_of(const RecordType& type) {
  for (const Example& example : examples) {
    if (type.key == example.key) return example;
  }
  throw LookupError("no example is written for the record " + type.key);
}

std::string made(const RecordType& type) {
  return "nb." + type.type_name + "(" + example_of(type).arguments + ")";
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
  text += "\nRaises\n------\nInputError\n    Naming every argument that is missing or refused.\n";
  const Example& example = example_of(type);
  return told(text.substr(0, text.size() - 1),
              ">>> one = " + made(type) + "\n>>> one." + example.read + "\n" + example.value);
}

std::string example_of_stated(const RecordType& type) {
  return ">>> sorted(" + made(type) + ".stated())\n" + std::string(example_of(type).given);
}

std::string example_of_assumed(const RecordType& type) {
  const std::string call = ">>> " + made(type) + ".assumed()";
  for (const Field& field : type.fields) {
    if (!field.assumption) continue;
    const std::string key = key_name(field);
    if (std::string_view(example_of(type).given).find("'" + key + "'") == std::string::npos) {
      return call + "[\"" + key + "\"]\n" + default_text(type, field);
    }
  }
  return call + "\n{}";
}

std::string example_of_replace(const RecordType& type) {
  const Example& example = example_of(type);
  return ">>> " + made(type) + ".replace(" + example.change + ")." + example.read + "\n" +
         example.changed;
}

}  // namespace nightbus::python
