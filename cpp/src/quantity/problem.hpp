#pragma once
/// Every way a quantity can be refused, worded in one place.

#include <string>
#include <string_view>

#include "nightbus/quantity.hpp"
#include "quantity/text.hpp"

namespace nightbus::quantity_detail {

/// What is being read; every refusal needs it.
struct Reading {
  std::string_view original;
  Dimension dimension;
  PlainText plain;
};

/// A refusal that points at plain[from, to).
QuantityProblem problem_at(const Reading& reading, std::string_view code, std::size_t from,
                           std::size_t to, std::string seen, std::string mend);

/// The original bytes behind plain[from, to).
std::string_view written(const Reading& reading, std::size_t from, std::size_t to);

QuantityProblem empty_text(const Reading& reading);
QuantityProblem no_number(const Reading& reading, std::size_t from);
QuantityProblem number_mark(const Reading& reading, std::size_t from, std::size_t after);
QuantityProblem no_unit_expected(const Reading& reading, std::size_t from, std::size_t to);
QuantityProblem unknown_unit(const Reading& reading, std::size_t from, std::size_t to);
QuantityProblem out_of_bounds(const Reading& reading, double value, const Range& allowed);

/// "a length such as \"12 ft\" or \"3.6 m\""
std::string expectation(Dimension dimension);

}  // namespace nightbus::quantity_detail
