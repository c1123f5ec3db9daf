#pragma once
/// Builds rows of the field table from pointers to members.

#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

#include "nightbus/fields.hpp"

namespace nightbus::system_detail {

/// The names of an enumeration, in order; specialised in choices.hpp.
template <class E>
struct ChoiceNames;

template <class T>
struct is_optional : std::false_type {};
template <class T>
struct is_optional<std::optional<T>> : std::true_type {
  using inner = T;
};

template <class T>
FieldValue to_value(const T& value) {
  if constexpr (is_optional<T>::value) {
    return value ? to_value(*value) : FieldValue{};
  } else if constexpr (std::is_enum_v<T>) {
    return std::string(ChoiceNames<T>::names[static_cast<std::size_t>(value)]);
  } else if constexpr (std::is_same_v<T, int>) {
    return static_cast<std::int64_t>(value);
  } else {
    return value;
  }
}

template <class T>
void from_value(T& target, const FieldValue& value) {
  if constexpr (is_optional<T>::value) {
    if (std::holds_alternative<std::monostate>(value)) {
      target.reset();
    } else {
      typename is_optional<T>::inner inner{};
      from_value(inner, value);
      target = inner;
    }
  } else if constexpr (std::is_enum_v<T>) {
    const auto& name = std::get<std::string>(value);
    for (std::size_t i = 0; i < ChoiceNames<T>::names.size(); ++i) {
      if (ChoiceNames<T>::names[i] == name) target = static_cast<T>(i);
    }
  } else if constexpr (std::is_same_v<T, int>) {
    target = static_cast<int>(std::get<std::int64_t>(value));
  } else {
    target = std::get<T>(value);
  }
}

template <class T>
constexpr FieldKind kind_of() {
  if constexpr (is_optional<T>::value) {
    return kind_of<typename is_optional<T>::inner>();
  } else if constexpr (std::is_same_v<T, bool>) {
    return FieldKind::flag;
  } else if constexpr (std::is_same_v<T, int>) {
    return FieldKind::count;
  } else if constexpr (std::is_same_v<T, double>) {
    return FieldKind::quantity;
  } else if constexpr (std::is_enum_v<T>) {
    return FieldKind::choice;
  } else if constexpr (std::is_same_v<T, Range>) {
    return FieldKind::range;
  } else if constexpr (std::is_same_v<T, ConductorSize>) {
    return FieldKind::size;
  } else if constexpr (std::is_same_v<T, std::vector<double>>) {
    return FieldKind::quantities;
  } else if constexpr (std::is_same_v<T, std::vector<std::string>>) {
    return FieldKind::texts;
  } else if constexpr (std::is_same_v<T, std::vector<ConductorSize>>) {
    return FieldKind::sizes;
  } else if constexpr (std::is_same_v<T, std::vector<EfficiencyPoint>>) {
    return FieldKind::efficiency;
  } else {
    return FieldKind::text;
  }
}

/// One row under construction; every setter returns the row itself.
class Row {
 public:
  explicit Row(Field field) : field_(std::move(field)) {}

  Row& in(Dimension dimension) {
    field_.dimension = dimension;
    field_.unit = std::string(inside_unit(dimension));
    return *this;
  }
  Row& in(Dimension dimension, std::string_view unit) {
    field_.dimension = dimension;
    field_.unit = std::string(unit);
    return *this;
  }
  Row& need() {
    field_.required = true;
    return *this;
  }
  Row& assume() {
    field_.assumption = true;
    return *this;
  }
  Row& from(double low) {
    field_.low = low;
    return *this;
  }
  Row& above(double low) {
    field_.low = low;
    field_.low_open = true;
    return *this;
  }
  Row& to(double high) {
    field_.high = high;
    return *this;
  }
  Row& refers(std::string_view what) {
    field_.kind = field_.kind == FieldKind::texts ? FieldKind::references : FieldKind::reference;
    field_.refers_to = std::string(what);
    return *this;
  }
  Row& windows() {
    field_.kind = FieldKind::windows;
    return *this;
  }
  Row& exactly(std::size_t count) {
    field_.exactly = count;
    return *this;
  }
  const Field& field() const { return field_; }

 private:
  Field field_;
};

/// A row for `member` of record R; `access` gives a reference to it.
template <class R, class Access>
Row row(std::string_view key, std::string_view member, Access access, std::string_view help) {
  using T = std::remove_cvref_t<decltype(access(std::declval<R&>()))>;
  Field field;
  field.key = std::string(key);
  field.member = std::string(member);
  field.kind = kind_of<T>();
  field.help = std::string(help);
  if constexpr (is_optional<T>::value) {
    if constexpr (std::is_enum_v<typename is_optional<T>::inner>) {
      for (auto name : ChoiceNames<typename is_optional<T>::inner>::names) {
        field.choices.emplace_back(name);
      }
    }
  } else if constexpr (std::is_enum_v<T>) {
    for (auto name : ChoiceNames<T>::names) field.choices.emplace_back(name);
  }
  field.get = [access](const void* record) {
    // The table hands out const records only; access never writes.
    return to_value(access(*static_cast<R*>(const_cast<void*>(record))));
  };
  field.set = [access](void* record, const FieldValue& value) {
    from_value(access(*static_cast<R*>(record)), value);
  };
  return Row(std::move(field));
}

/// Completes a record type that lives in one member of System.
template <class R>
RecordType one(std::string_view key, std::string_view type_name, std::string_view help,
               R System::*member, const std::vector<Row>& rows) {
  static const R fresh{};
  RecordType type;
  type.key = std::string(key);
  type.type_name = std::string(type_name);
  type.help = std::string(help);
  type.many = false;
  type.fresh = &fresh;
  for (const Row& entry : rows) type.fields.push_back(entry.field());
  type.count = [](const System&) { return std::size_t{1}; };
  type.at = [member](System& system, std::size_t) -> void* { return &(system.*member); };
  type.append = [member](System& system) -> void* { return &(system.*member); };
  type.written = [](void* record) -> Written& { return static_cast<R*>(record)->written; };
  return type;
}

/// Completes a record type that lives in a list of System.
template <class R>
RecordType many(std::string_view key, std::string_view type_name, std::string_view help,
                std::vector<R> System::*member, const std::vector<Row>& rows) {
  static const R fresh{};
  RecordType type;
  type.key = std::string(key);
  type.type_name = std::string(type_name);
  type.help = std::string(help);
  type.fresh = &fresh;
  for (const Row& entry : rows) type.fields.push_back(entry.field());
  type.count = [member](const System& system) { return (system.*member).size(); };
  type.at = [member](System& system, std::size_t i) -> void* { return &(system.*member)[i]; };
  type.append = [member](System& system) -> void* { return &(system.*member).emplace_back(); };
  type.written = [](void* record) -> Written& { return static_cast<R*>(record)->written; };
  return type;
}

}  // namespace nightbus::system_detail

/// NB_ROW(Run, "length", length_m, "help"): the member's own name is kept for C++ and Python.
#define NB_ROW(record, key, member, help) \
  ::nightbus::system_detail::row<record>( \
      key, #member, [](record & r) -> auto& { return r.member; }, help)
