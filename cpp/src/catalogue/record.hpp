#pragma once
/// Takes the keys of one record, one after the other, and complains about what is wrong, missing or
/// left over.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "catalogue/raw.hpp"
#include "nightbus/quantity.hpp"

namespace nightbus::catalogue_detail {

/// Adds one problem. Empty texts are left out of what the user sees.
void report(Problems& problems, std::string code, std::string what, const Span& where,
            std::string expected = {}, std::string seen = {}, std::string mend = {});

/// "did you mean \"a\"?", or "one of: a, b, c" when nothing is near and the list is short.
std::string suggestion(std::string_view word, const std::vector<std::string>& known);

class Record {
 public:
  Record(const RawRecord& raw, std::string label, Problems& problems);

  const std::string& label() const { return label_; }
  void set_label(std::string label) { label_ = std::move(label); }
  Span where() const { return raw_.where; }
  Span where(std::string_view key) const;  ///< of its value; of the record when it is not there
  bool has(std::string_view key) const;

  // Optional keys: a wrong type is reported and counts as absent.
  std::optional<std::string> text(std::string_view key);
  std::optional<double> number(std::string_view key);
  std::optional<bool> flag(std::string_view key);
  std::optional<std::vector<std::string>> texts(std::string_view key);
  const std::vector<RawValue>* array(std::string_view key);
  /// A text with a unit: "30 °C".
  std::optional<double> quantity(std::string_view key, Dimension dimension);

  /// Required: reported when absent; "" then.
  std::string need_text(std::string_view key);

  /// Reports a value that is of the right type and still makes no sense.
  void wrong(std::string_view key, std::string what, std::string mend = {});

  /// Reports every key that nobody asked for.
  void finish();

 private:
  const RawValue* take(std::string_view key);
  void wrong_type(std::string_view key, const RawValue& value, std::string expected);

  RawRecord raw_;
  std::string label_;
  Problems* problems_;
  std::vector<std::string> asked_;
};

}  // namespace nightbus::catalogue_detail
