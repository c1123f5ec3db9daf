#pragma once
/// What the schema and the field reference say about a field; one wording for both.

#include <string>

#include "nightbus/fields.hpp"

namespace nightbus::reader_detail {

/// An inside value in the unit of the field's plain numbers: 0.03 -> 3 for "%".
double in_field_unit(const Field& field, double inside);

std::string type_words(const Field& field);  ///< "length", "one of "low", …", "name of a converter"
std::string bounds_words(const Field& field);  ///< "above 0 m, up to 10 km"; "" when there are none
std::string default_words(const RecordType& type, const Field& field);  ///< "15 cm"; "" when none
std::string default_json(const RecordType& type, const Field& field);   ///< as JSON; "" when none

/// Help, type, bounds and unit of a plain number in one paragraph.
std::string field_description(const RecordType& type, const Field& field);

}  // namespace nightbus::reader_detail
