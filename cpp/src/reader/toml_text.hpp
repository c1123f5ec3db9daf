#pragma once
/// Pieces of TOML text.

#include <string>
#include <string_view>

#include "nightbus/fields.hpp"

namespace nightbus::reader_detail {

/// In double quotes with escapes; throws Error when it is not UTF-8.
std::string toml_quoted(std::string_view text);

/// The value as it is written after "key = ". A plain number stands only where the field has no
/// unit worth writing: plain numbers, counts, and hours of sun.
std::string toml_value(const Field& field, const FieldValue& value);

}  // namespace nightbus::reader_detail
