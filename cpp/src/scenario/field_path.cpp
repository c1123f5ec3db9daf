/// "load.cellular router.typical" -> one field of one record. Names may hold dots: the kind ends at
/// the first dot, the key begins after the last.

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <cmath>

#include "nightbus/scenario_batch.hpp"

namespace nightbus {

namespace {

struct Place {
  const RecordType* type = nullptr;
  const Field* field = nullptr;
  void* record = nullptr;
};

[[noreturn]] void not_there(std::string_view path, std::string_view what, std::string_view word,
                            const std::vector<std::string>& candidates) {
  const auto near = near_misses(word, candidates);
  throw LookupError(near.empty() ? fmt::format("{}: there is no {} \"{}\"", path, what, word)
                                 : fmt::format("{}: there is no {} \"{}\"; did you mean \"{}\"?",
                                               path, what, word, near.front()));
}

std::string text_of(const RecordType& type, void* record, std::string_view key) {
  const Field* field = type.find(key);
  if (!field) {
    return {};
  }
  const FieldValue value = field->get(record);
  const auto* text = std::get_if<std::string>(&value);
  return text ? *text : std::string();
}

Place find(System& system, std::string_view path) {
  const auto first = path.find('.');
  const auto last = path.rfind('.');
  if (first == std::string_view::npos) {
    throw LookupError(fmt::format(
        "\"{}\" is not a path such as \"load.router.typical\" or \"site.temp_hot\"", path));
  }
  Place place;
  const std::string_view kind = path.substr(0, first), key = path.substr(last + 1);
  std::vector<std::string> kinds, names, keys;
  for (const RecordType& type : record_types()) {
    kinds.push_back(type.key);
    if (type.key == kind) {
      place.type = &type;
    }
  }
  if (!place.type) {
    not_there(path, "kind of record", kind, kinds);
  }
  if (!place.type->many) {
    place.record = place.type->at(system, 0);
  } else {
    if (first == last) {
      throw LookupError(fmt::format("{}: the name of the {} is missing", path, kind));
    }
    const std::string_view name = path.substr(first + 1, last - first - 1);
    for (std::size_t k = 0; k < place.type->count(system) && !place.record; ++k) {
      void* record = place.type->at(system, k);
      names.push_back(text_of(*place.type, record, "name"));
      if (names.back() == name) {
        place.record = record;
      }
    }
    if (!place.record) {
      not_there(path, kind, name, names);
    }
  }
  for (const Field& field : place.type->fields) {
    keys.push_back(field.key);
    if (field.key == key) {
      place.field = &field;
    }
  }
  if (!place.field) {
    not_there(path, fmt::format("field of a {} called", kind), key, keys);
  }
  return place;
}

[[noreturn]] void misfit(std::string_view path, const Field& field, std::string_view expected) {
  throw Error(fmt::format("{}: expected {} for \"{}\"", path, expected, field.key));
}

FieldValue parsed(std::string_view path, const Field& field, const std::string& text) {
  const auto take = [&](const auto& result) -> FieldValue {
    if (!result) {
      throw Error(fmt::format("{}: expected {}, saw {}", path, result.problem.expected,
                              result.problem.seen));
    }
    return *result;
  };
  switch (field.kind) {
    case FieldKind::quantity:
      return take(parse_quantity(text, field.dimension, field.unit));
    case FieldKind::range:
      return take(parse_range(text, field.dimension, field.unit));
    case FieldKind::size:
      return take(parse_size(text));
    case FieldKind::text:
    case FieldKind::reference:
      return text;
    case FieldKind::choice:
      for (const std::string& choice : field.choices) {
        if (choice == text) {
          return text;
        }
      }
      misfit(path, field, fmt::format("one of \"{}\"", fmt::join(field.choices, "\", \"")));
    default:
      misfit(path, field, "a field with a single value");
  }
}

void check_bounds(std::string_view path, const Field& field, const FieldValue& value) {
  const auto check = [&](double number) {
    const bool low = field.low && (field.low_open ? number <= *field.low : number < *field.low);
    if (!std::isfinite(number) || low || (field.high && number > *field.high)) {
      throw Error(
          fmt::format("{}: {} is out of bounds", path, print_quantity(number, field.dimension)));
    }
  };
  if (const auto* number = std::get_if<double>(&value)) {
    check(*number);
  } else if (const auto* count = std::get_if<std::int64_t>(&value)) {
    check(static_cast<double>(*count));
  } else if (const auto* range = std::get_if<Range>(&value)) {
    check(range->low);
    check(range->high);
  }
}

}  // namespace

FieldValue field_at(const System& system, std::string_view path) {
  System& readable = const_cast<System&>(system);  // the field table reads through mutable records
  const Place place = find(readable, path);
  return place.field->get(place.record);
}

void set_field(System& system, std::string_view path, const NewValue& value) {
  const Place place = find(system, path);
  const Field& field = *place.field;
  FieldValue made;
  if (const auto* text = std::get_if<std::string>(&value)) {
    made = parsed(path, field, *text);
  } else if (const auto* flag = std::get_if<bool>(&value)) {
    if (field.kind != FieldKind::flag) {
      misfit(path, field, "a number or text");
    }
    made = *flag;
  } else {
    const double number = std::get<double>(value);
    if (field.kind == FieldKind::quantity) {
      made = number;
    } else if (field.kind == FieldKind::count && number == std::floor(number) &&
               std::abs(number) < 1e15) {
      made = static_cast<std::int64_t>(number);
    } else {
      misfit(path, field, field.kind == FieldKind::count ? "a whole number" : "a text");
    }
  }
  check_bounds(path, field, made);
  place.field->set(place.record, made);
  const auto row = static_cast<std::size_t>(&field - place.type->fields.data());
  if (row < 64) {
    place.type->written(place.record).given |= std::uint64_t{1} << row;
  }
}

std::vector<std::string> number_paths(const System& system) {
  System& readable = const_cast<System&>(system);  // as in field_at
  std::vector<std::string> paths;
  for (const RecordType& type : record_types()) {
    if (type.key == "case" || type.key == "price") {
      continue;
    }
    for (std::size_t k = 0; k < type.count(system); ++k) {
      void* record = type.at(readable, k);
      const std::string name = type.many ? text_of(type, record, "name") + "." : std::string();
      for (const Field& field : type.fields) {
        if (field.kind != FieldKind::quantity) {
          continue;
        }
        const FieldValue value = field.get(record);
        const auto* number = std::get_if<double>(&value);
        if (number && *number != 0.0) {
          paths.push_back(fmt::format("{}.{}{}", type.key, name, field.key));
        }
      }
    }
  }
  return paths;
}

}  // namespace nightbus
