#pragma once
/// How a record is called in a message.

#include <cstddef>
#include <string>

#include "nightbus/fields.hpp"

namespace nightbus::reader_detail {

std::string kind_words(const RecordType& type);  ///< "PoE link"

/// `load "router"`, or "load 3" when it has no name, or "site" for the only one.
std::string label_of(const RecordType& type, const void* record, std::size_t index);

std::string name_of(const RecordType& type, const void* record);  ///< "" when it has none

/// "\"a\"", `"a" or "b"`, `"a", "b" or "c"`; shortened after `most`.
std::string any_of(const std::vector<std::string>& names, std::size_t most = 8);

/// `did you mean "a"?`, else the list of what is known when it is short, else "".
std::string advice_for(const std::string& word, const std::vector<std::string>& known);

}  // namespace nightbus::reader_detail
