#include "records.hpp"

#include <cmath>

namespace py = pybind11;

namespace nightbus::python {
namespace {

std::string not_a_keyword(std::string name) {
  for (const char* word : {"from", "class", "return"}) {
    if (name == word) return name + "_";
  }
  return name;
}

std::string quoted(std::string_view text) {
  std::string result{'"'};
  result.append(text).push_back('"');
  return result;
}

std::string seen(py::handle value) {
  return py::str(py::type::of(value).attr("__name__")).cast<std::string>() + " " +
         py::repr(value).cast<std::string>();
}

/// What an argument is and how to complain about it.
struct Asked {
  const RecordType& type;
  const Field& field;
  std::string_view argument;
  bool by_member = false;

  [[noreturn]] void refuse(std::string expected, std::string what_was_seen,
                           std::string mend = {}) const {
    Problem problem;
    problem.code = "argument";
    problem.what = "argument " + quoted(argument) + " of " + type.type_name + " cannot be used";
    problem.expected = std::move(expected);
    problem.seen = std::move(what_was_seen);
    problem.mend = std::move(mend);
    throw InputError({problem});
  }

  template <class T>
  T take(const Parsed<T>& parsed) const {
    if (!parsed) refuse(parsed.problem.expected, parsed.problem.seen, parsed.problem.mend);
    return *parsed;
  }
};

/// The bounds of the field, or what is plausible for its dimension.
Range allowed_range(const Field& field) {
  const Range plausible = plausible_range(field.dimension);
  return {field.low.value_or(plausible.low), field.high.value_or(plausible.high)};
}

bool is_number(py::handle value) {
  return !PyBool_Check(value.ptr()) &&
         (PyFloat_Check(value.ptr()) != 0 || PyIndex_Check(value.ptr()) != 0 ||
          py::hasattr(value, "__float__")) &&
         !py::isinstance<py::str>(value);
}

double number_of(const Asked& asked, py::handle value) {
  const double number = PyFloat_AsDouble(value.ptr());
  if (PyErr_Occurred() != nullptr) throw py::error_already_set();
  if (!std::isfinite(number)) asked.refuse("a finite number", seen(value));
  return number;
}

double checked_number(const Asked& asked, double number) {
  const Field& field = asked.field;
  const std::string_view unit = asked.by_member ? std::string_view{} : field.unit;
  auto parsed = quantity_of_number(number, field.dimension, unit, allowed_range(field));
  const Range allowed = allowed_range(field);
  if (!parsed && field.dimension == Dimension::ratio && number / 100.0 >= allowed.low &&
      number / 100.0 <= allowed.high) {
    parsed.problem.mend = "a plain number here is a share of 1; did you mean \"" +
                          print_quantity(number / 100.0, Dimension::ratio) + "\"?";
  }
  return asked.take(parsed);
}

double quantity_of(const Asked& asked, py::handle value) {
  const Field& field = asked.field;
  double number = 0.0;
  if (py::isinstance<py::str>(value)) {
    number = asked.take(parse_quantity(value.cast<std::string>(), field.dimension, field.unit,
                                       allowed_range(field)));
  } else if (is_number(value)) {
    number = checked_number(asked, number_of(asked, value));
  } else {
    asked.refuse(std::string(dimension_name(field.dimension)) + " such as " +
                     std::string(dimension_examples(field.dimension)),
                 seen(value));
  }
  if (field.low_open && number <= *field.low) {
    asked.refuse("more than " + print_quantity(*field.low, field.dimension),
                 print_quantity(number, field.dimension));
  }
  return number;
}

std::string text_of(const Asked& asked, py::handle value) {
  if (!py::isinstance<py::str>(value)) asked.refuse("a text", seen(value));
  return value.cast<std::string>();
}

Range range_of(const Asked& asked, py::handle value) {
  if (py::isinstance<Range>(value)) return value.cast<Range>();
  if (py::isinstance<py::str>(value)) {
    return asked.take(parse_range(value.cast<std::string>(), asked.field.dimension,
                                  asked.field.unit, allowed_range(asked.field)));
  }
  if (py::isinstance<py::sequence>(value) && py::len(value) == 2) {
    const auto pair = py::reinterpret_borrow<py::sequence>(value);
    const py::object low = pair[0], high = pair[1];
    const Range range{quantity_of(asked, low), quantity_of(asked, high)};
    if (range.low > range.high) asked.refuse("the lower end first", seen(value));
    return range;
  }
  asked.refuse("a window such as \"9 V to 36 V\", or two numbers", seen(value));
}

ConductorSize size_of(const Asked& asked, py::handle value) {
  if (py::isinstance<ConductorSize>(value)) return value.cast<ConductorSize>();
  if (py::isinstance<py::str>(value)) return asked.take(parse_size(value.cast<std::string>()));
  asked.refuse("a conductor size such as \"12 AWG\" or \"2.5 mm2\"", seen(value));
}

template <class One>
auto list_of(const Asked& asked, py::handle value, const char* expected, One one) {
  std::vector<decltype(one(asked, value))> result;
  if (py::isinstance<py::str>(value) || !py::isinstance<py::iterable>(value)) {
    asked.refuse(expected, seen(value), "write a list: [...]");
  }
  for (py::handle item : py::reinterpret_borrow<py::iterable>(value)) {
    result.push_back(one(asked, item));
  }
  if (asked.field.exactly != 0 && result.size() != asked.field.exactly) {
    asked.refuse(std::to_string(asked.field.exactly) + " values",
                 std::to_string(result.size()) + " values");
  }
  return result;
}

EfficiencyPoint efficiency_of(const Asked& asked, py::handle value) {
  EfficiencyPoint point;
  if (py::isinstance<EfficiencyPoint>(value)) {
    point = value.cast<EfficiencyPoint>();
  } else if (py::isinstance<py::sequence>(value) && !py::isinstance<py::str>(value) &&
             py::len(value) == 2) {
    const auto pair = py::reinterpret_borrow<py::sequence>(value);
    const auto ratio = [&](const py::object& item) {
      if (py::isinstance<py::str>(item)) {
        return asked.take(parse_quantity(item.cast<std::string>(), Dimension::ratio));
      }
      if (is_number(item)) return number_of(asked, item);
      asked.refuse("a share and an efficiency", seen(item));
    };
    const py::object share = pair[0], efficiency = pair[1];
    point = {ratio(share), ratio(efficiency)};
  } else {
    asked.refuse("points such as [0.5, 0.93]: share of rated output, efficiency", seen(value));
  }
  if (!(point.share >= 0.0 && point.share <= 1.0 && point.efficiency > 0.0 &&
        point.efficiency <= 1.0)) {
    asked.refuse("a share from 0 to 1 and an efficiency above 0 up to 1", seen(value));
  }
  return point;
}

std::string window_of(const Asked& asked, py::handle value) {
  const std::string text = text_of(asked, value);
  const auto digit = [&](std::size_t i) { return text[i] >= '0' && text[i] <= '9'; };
  const auto clock = [&](std::size_t i) {
    if (!digit(i) || !digit(i + 1) || text[i + 2] != ':' || !digit(i + 3) || !digit(i + 4)) {
      return false;
    }
    const int hour = std::stoi(text.substr(i, 2)), minute = std::stoi(text.substr(i + 3, 2));
    return minute < 60 && (hour < 24 || (hour == 24 && minute == 0));
  };
  if (text.size() != 11 || text[5] != '-' || !clock(0) || !clock(6)) {
    asked.refuse("local times such as \"06:30-22:00\"", quoted(text));
  }
  return text;
}

FieldValue read_value(const Asked& asked, py::handle value) {
  const Field& field = asked.field;
  switch (field.kind) {
    case FieldKind::flag:
      if (!PyBool_Check(value.ptr())) asked.refuse("True or False", seen(value));
      return value.cast<bool>();
    case FieldKind::count: {
      if (PyBool_Check(value.ptr()) || PyIndex_Check(value.ptr()) == 0) {
        asked.refuse("a whole number", seen(value));
      }
      const auto number = py::int_(py::reinterpret_borrow<py::object>(value)).cast<std::int64_t>();
      const auto low = static_cast<std::int64_t>(field.low.value_or(-2147483648.0));
      const auto high = static_cast<std::int64_t>(field.high.value_or(2147483647.0));
      if (number < low || number > high) {
        asked.refuse("a whole number from " + std::to_string(low) + " to " + std::to_string(high),
                     std::to_string(number));
      }
      return number;
    }
    case FieldKind::quantity:
      return quantity_of(asked, value);
    case FieldKind::choice: {
      const std::string text = text_of(asked, value);
      for (const std::string& choice : field.choices) {
        if (choice == text) return text;
      }
      std::string choices, mend;
      for (const std::string& choice : field.choices) {
        choices += (choices.empty() ? "" : ", ") + quoted(choice);
      }
      const auto near = near_misses(text, field.choices);
      if (!near.empty()) mend = "did you mean " + quoted(near.front()) + "?";
      asked.refuse("one of " + choices, quoted(text), mend);
    }
    case FieldKind::text:
    case FieldKind::reference:
      return text_of(asked, value);
    case FieldKind::range:
      return range_of(asked, value);
    case FieldKind::size:
      return size_of(asked, value);
    case FieldKind::quantities:
      return list_of(asked, value, "a list of values", quantity_of);
    case FieldKind::texts:
    case FieldKind::references:
      return list_of(asked, value, "a list of texts", text_of);
    case FieldKind::windows:
      return list_of(asked, value, "a list of local times such as [\"06:30-22:00\"]", window_of);
    case FieldKind::sizes:
      return list_of(asked, value, "a list of conductor sizes", size_of);
    case FieldKind::efficiency:
      return list_of(asked, value, "a list of [share, efficiency]", efficiency_of);
  }
  return {};
}

}  // namespace

std::string member_name(const Field& field) {
  const auto dot = field.member.rfind('.');
  return not_a_keyword(dot == std::string::npos ? field.member : field.member.substr(dot + 1));
}

std::string key_name(const Field& field) {
  return not_a_keyword(field.key);
}

NamedField find_field(const RecordType& type, std::string_view name) {
  for (const Field& field : type.fields) {
    if (member_name(field) == name) return {&field, true};
  }
  for (const Field& field : type.fields) {
    if (field.key == name || key_name(field) == name) return {&field, false};
  }
  std::vector<std::string> names;
  for (const Field& field : type.fields) {
    names.push_back(key_name(field));
    if (member_name(field) != names.back()) names.push_back(member_name(field));
  }
  Problem problem;
  problem.code = "argument";
  problem.what = type.type_name + " has no field " + quoted(name);
  const auto near = near_misses(name, names);
  if (!near.empty()) problem.mend = "did you mean " + quoted(near.front()) + "?";
  throw InputError({problem});
}

void set_field(const RecordType& type, void* record, const NamedField& named, py::handle value,
               std::string_view argument) {
  const Field& field = *named.field;
  const auto row = static_cast<std::size_t>(&field - type.fields.data());
  Written& written = type.written(record);
  const std::uint64_t bit = row < 64 ? std::uint64_t{1} << row : 0;
  if (value.is_none()) {
    if (field.required) {
      Asked{type, field, argument, false}.refuse("a value: the field is required", "None");
    }
    field.set(record, type.default_of(field));
    written.given &= ~bit;
    return;
  }
  field.set(record, read_value({type, field, argument, named.by_member}, value));
  written.given |= bit;
}

py::object to_python(const FieldValue& value) {
  return std::visit(
      [](const auto& held) -> py::object {
        using T = std::decay_t<decltype(held)>;
        if constexpr (std::is_same_v<T, std::monostate>) {
          return py::none();
        } else if constexpr (std::is_same_v<T, std::vector<double>> ||
                             std::is_same_v<T, std::vector<std::string>> ||
                             std::is_same_v<T, std::vector<ConductorSize>> ||
                             std::is_same_v<T, std::vector<EfficiencyPoint>>) {
          // A tuple, so that nobody appends to a copy and wonders.
          return py::tuple(py::cast(held));
        } else {
          return py::cast(held);
        }
      },
      value);
}

py::object to_written(const Field& field, const FieldValue& value) {
  return std::visit(
      [&](const auto& held) -> py::object {
        using T = std::decay_t<decltype(held)>;
        if constexpr (std::is_same_v<T, double>) {
          return py::str(print_quantity(held, field.dimension));
        } else if constexpr (std::is_same_v<T, Range>) {
          return py::str(print_range(held, field.dimension));
        } else if constexpr (std::is_same_v<T, ConductorSize>) {
          return py::str(print_size(held));
        } else if constexpr (std::is_same_v<T, std::vector<double>>) {
          py::tuple texts(held.size());
          for (std::size_t i = 0; i < held.size(); ++i) {
            texts[i] = print_quantity(held[i], field.dimension);
          }
          return texts;
        } else if constexpr (std::is_same_v<T, std::vector<ConductorSize>>) {
          py::tuple texts(held.size());
          for (std::size_t i = 0; i < held.size(); ++i) texts[i] = print_size(held[i]);
          return texts;
        } else if constexpr (std::is_same_v<T, std::vector<EfficiencyPoint>>) {
          py::tuple points(held.size());
          for (std::size_t i = 0; i < held.size(); ++i) {
            points[i] = py::make_tuple(held[i].share, held[i].efficiency);
          }
          return points;
        } else {
          return to_python(held);
        }
      },
      value);
}

bool is_stated(const RecordType& type, const Field& field, const void* record) {
  return !is_assumed(type, field, record);
}

}  // namespace nightbus::python
