#pragma once
/// Any record of the field table, seen from Python: one row gives one or two attributes.

#include <string>
#include <string_view>

#include "bindings.hpp"
#include "nightbus/fields.hpp"

namespace nightbus::python {

/// Last part of the member: "usage.duty" is `duty`; a Python keyword gets a trailing "_".
std::string member_name(const Field& field);
std::string key_name(const Field& field);  ///< the TOML key, likewise

/// The row that an argument or attribute is called by: its member or its key, with or without "_".
/// Throws InputError with near misses, naming the argument.
struct NamedField {
  const Field* field = nullptr;
  bool by_member = false;  ///< plain numbers are in the inside unit, not in the field's own
};
NamedField find_field(const RecordType& type, std::string_view name);

/// Reads, checks and stores; None goes back to the default. Throws InputError.
void set_field(const RecordType& type, void* record, const NamedField& named,
               pybind11::handle value, std::string_view argument);

pybind11::object to_python(const FieldValue& value);  ///< numbers in the inside unit
/// As it would be written: texts with units.
pybind11::object to_written(const Field& field, const FieldValue& value);

/// True when the row was given or differs from its default.
bool is_stated(const RecordType& type, const Field& field, const void* record);

/// "__init__(self, *, name: str, typical: float | str, …) -> None" for docstring and stub.
/// With `changes` nothing is required: the signature of a copy with some fields changed.
std::string signature(const RecordType& type, bool changes = false);
std::string describe(const RecordType& type);  ///< help, one line per row, an example
std::string example_of_stated(const RecordType& type);
std::string example_of_assumed(const RecordType& type);
std::string example_of_replace(const RecordType& type);
std::string annotation_in(const Field& field);
std::string annotation_out(const Field& field);
std::string help_of(const Field& field);  ///< help, unit, default and bounds in one line

}  // namespace nightbus::python
