#pragma once
/// One value of the file -> the FieldValue of its field, or a problem.

#include <optional>
#include <string>
#include <vector>

#include "nightbus/fields.hpp"
#include "nightbus/source_toml.hpp"

namespace nightbus::reader_detail {

using toml::Value;

/// Reads values of one record; problems name it by its label.
class ValueReader {
 public:
  ValueReader(std::string label, std::vector<Problem>& problems)
      : label_(std::move(label)), problems_(problems) {}

  /// nullopt when a problem was reported.
  std::optional<FieldValue> read(const Field& field, const Value& value);

 private:
  std::optional<FieldValue> read_count(const Field& field, const Value& value);
  std::optional<FieldValue> read_quantity(const Field& field, const Value& value);
  std::optional<FieldValue> read_text(const Field& field, const Value& value);
  std::optional<FieldValue> read_choice(const Field& field, const Value& value);
  std::optional<FieldValue> read_range(const Field& field, const Value& value);
  std::optional<FieldValue> read_size(const Field& field, const Value& value);
  std::optional<FieldValue> read_quantities(const Field& field, const Value& value);
  std::optional<FieldValue> read_texts(const Field& field, const Value& value);
  std::optional<FieldValue> read_sizes(const Field& field, const Value& value);
  std::optional<FieldValue> read_efficiency(const Field& field, const Value& value);

  std::optional<double> number(const Field& field, const Value& value);
  std::optional<double> share(const Field& field, const Value& value, const char* what);
  bool is_list(const Field& field, const Value& value, const std::string& example);
  std::nullopt_t refuse(const Field& field, const Value& value, std::string code, std::string what,
                        std::string expected, std::string mend);
  std::nullopt_t wrong_type(const Field& field, const Value& value, std::string expected,
                            std::string mend = {});
  std::nullopt_t quantity_problem(const Field& field, const Value& value,
                                  const QuantityProblem& problem);

  std::string label_;
  std::vector<Problem>& problems_;
};

/// The bounds a field's numbers must keep: its own, else what is plausible for the dimension.
Range allowed_range(const Field& field);

/// The part [offset, offset + length) of a text value, when the file shows it letter by letter.
Span part_of(const Value& value, std::size_t offset, std::size_t length);

}  // namespace nightbus::reader_detail
