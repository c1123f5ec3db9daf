#pragma once
/// Reading and writing bare decimal numbers, exactly.

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace nightbus::quantity_detail {

/// A decimal number at the start of a text, kept as digits so that moving its point stays exact.
struct Decimal {
  bool negative = false;
  std::string digits;      ///< mantissa as written, "2.5"
  long exponent = 0;       ///< as written, "e-3"
  std::size_t length = 0;  ///< characters used
};

/// nullopt when no number starts at `from`.
std::optional<Decimal> scan_decimal(std::string_view text, std::size_t from);

/// The number · 10^ten, correctly rounded; infinity when too large for a double.
double value_of(const Decimal& number, int ten);

/// Shortest digits that read back to value · 10^-ten exactly when the point is moved again: plain
/// notation between 1e-5 and 1e15, else scientific.
std::string print_decimal(double value, int ten);

/// `digits` significant figures, trailing zeros dropped, never scientific below 1e15.
std::string round_decimal(double value, int digits);

/// The value that round_decimal writes.
double rounded_value(double value, int digits);

}  // namespace nightbus::quantity_detail
