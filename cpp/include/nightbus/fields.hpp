#pragma once
/// One table of every field a system file may hold. It drives the reader, the writer, the JSON
/// Schema, the field reference and the Python constructors, so that these can never disagree.
///
/// A key is the C++ member without its unit suffix: `length` in TOML is `Run::length_m`. A plain
/// number takes `unit`; a text brings its own unit.

#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "nightbus/quantity.hpp"
#include "nightbus/system.hpp"

namespace nightbus {

/// A value on its way between a text and a record; monostate: not given.
using FieldValue = std::variant<std::monostate, bool, std::int64_t, double, std::string, Range,
                                ConductorSize, std::vector<double>, std::vector<std::string>,
                                std::vector<ConductorSize>, std::vector<EfficiencyPoint>>;

enum class FieldKind {
  flag,        ///< bool
  count,       ///< int64
  quantity,    ///< double, in the dimension's inside unit
  text,        ///< string
  choice,      ///< string, one of `choices`
  reference,   ///< string, the name of another record (`refers_to`)
  range,       ///< Range
  size,        ///< ConductorSize
  quantities,  ///< vector<double>
  texts,       ///< vector<string>
  windows,     ///< vector<string>, each "HH:MM-HH:MM" local time
  references,  ///< vector<string>
  sizes,       ///< vector<ConductorSize>
  efficiency,  ///< vector<EfficiencyPoint>, written [[share, efficiency], …]
};

struct Field {
  std::string key;  ///< as written in the file
  FieldKind kind = FieldKind::text;
  Dimension dimension = Dimension::number;
  std::string unit;                  ///< of a plain number; empty for texts
  std::string member;                ///< "length_m": the same field in C++ and Python
  bool required = false;             ///< a file without it is refused
  bool assumption = false;           ///< when left out, the plan prints the default it took
  std::optional<double> low;         ///< inside unit
  std::optional<double> high;        ///< in the inside unit; empty: no bound
  bool low_open = false;             ///< the value must be above `low`
  std::vector<std::string> choices;  ///< what may be written, when it is a choice
  std::string refers_to;    ///< "point", "compartment", "converter", "rule set", "form", …
  std::size_t exactly = 0;  ///< lists: needed length, 0 any
  std::string help;         ///< one line
  std::function<FieldValue(const void* record)> get;
  std::function<void(void* record, const FieldValue& value)> set;
};

/// A kind of record: a table `[site]` (one) or an array of tables `[[run]]` (many).
struct RecordType {
  std::string key;        ///< "run"
  std::string type_name;  ///< "Run"
  std::string help;
  bool many = true;       ///< a list in the file; else one table
  bool is_point = false;  ///< its name can be the end of a run
  bool feedable = false;  ///< may carry an inline `feed = {…}`: the run that leads to (or from) it
  std::vector<Field> fields;
  const void* fresh = nullptr;  ///< a record with every default
  std::function<std::size_t(const System&)> count;
  std::function<void*(System&, std::size_t)> at;
  std::function<void*(System&)> append;
  std::function<Written&(void*)> written;

  const Field* find(std::string_view field_key) const;
  FieldValue default_of(const Field& field) const { return field.get(fresh); }
};

/// All record types in the order in which a system file is written.
const std::vector<RecordType>& record_types();
const RecordType& record_type(std::string_view key);  ///< throws LookupError

/// True when the value of `field` was left out by the author and is still the default.
bool is_assumed(const RecordType& type, const Field& field, const void* record);

}  // namespace nightbus
