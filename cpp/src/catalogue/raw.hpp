#pragma once
/// A data file as it was written: keys, values and where they stand. No meaning yet.

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "nightbus/source.hpp"

namespace nightbus::catalogue_detail {

using Problems = std::vector<Problem>;

/// A scalar or an array; whole numbers are doubles too.
struct RawValue {
  std::variant<std::monostate, bool, double, std::string, std::vector<RawValue>> data;
  Span where;

  const double* number() const { return std::get_if<double>(&data); }
  const bool* flag() const { return std::get_if<bool>(&data); }
  const std::string* text() const { return std::get_if<std::string>(&data); }
  const std::vector<RawValue>* array() const { return std::get_if<std::vector<RawValue>>(&data); }
};

std::string describe(const RawValue& value);  ///< "the text \"abc\"", "the number 3"

struct RawKey {
  std::string key;
  Span where;
  RawValue value;
};

struct RawRecord {
  std::vector<RawKey> keys;
  Span where;
};

struct RawFile {
  std::shared_ptr<const SourceText> source;
  bool built_in = true;
  RawRecord head;
  std::vector<RawRecord> families;  ///< [[family]]
  std::vector<RawRecord> tables;    ///< [[table]]
};

/// Reads TOML. Problems are added to `problems`; a file that is not TOML at all gives nothing.
std::optional<RawFile> read_raw(std::shared_ptr<const SourceText> source, bool built_in,
                                Problems& problems);

}  // namespace nightbus::catalogue_detail
