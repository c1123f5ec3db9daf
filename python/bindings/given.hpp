#pragma once
/// An argument that is a number in the inside unit, or a text with a unit:
/// `Given<Dimension::voltage>` takes 14.6 and "14.6 V".

#include "bindings.hpp"
#include "nightbus/quantity.hpp"

namespace nightbus::python {

template <Dimension wanted>
struct Given {
  double value = 0.0;
};

}  // namespace nightbus::python

template <nightbus::Dimension wanted>
struct pybind11::detail::type_caster<nightbus::python::Given<wanted>> {
  PYBIND11_TYPE_CASTER(nightbus::python::Given<wanted>, const_name("float | str"));

  bool load(handle from, bool convert) {
    if (!isinstance<str>(from)) {
      make_caster<double> number;
      if (!number.load(from, convert)) return false;
      value.value = cast_op<double>(number);
      return true;
    }
    const auto text = from.cast<std::string>();
    const auto parsed = nightbus::parse_quantity(text, wanted);
    if (!parsed) {
      nightbus::Problem problem;
      problem.code = "quantity";
      problem.what =
          std::string(nightbus::dimension_name(wanted)) + " \"" + text + "\" cannot be read";
      problem.expected = parsed.problem.expected;
      problem.seen = parsed.problem.seen;
      problem.mend = parsed.problem.mend;
      throw nightbus::InputError({problem});
    }
    value.value = *parsed;
    return true;
  }

  static handle cast(const nightbus::python::Given<wanted>& given, return_value_policy, handle) {
    return pybind11::float_(given.value).release();
  }
};
