#pragma once
/// Values among the compiled classes: they compare by what they hold, are hashed by it, and can be
/// copied and pickled. All of that is made from their members (archive.hpp).

#include <functional>

#include "archive.hpp"
#include "bindings.hpp"

namespace nightbus::python {

/// What is compared; specialised where a member does not count.
template <class T>
std::string identity_of(const T& value) {
  return bytes_of(value);
}

/// Of `shape_of`, which can be long.
template <class T>
std::uint64_t shape_mark() {
  static const std::uint64_t mark = [] {
    std::uint64_t sum = 14695981039346656037U;  // FNV-1a
    for (const char letter : shape_of<T>()) {
      sum = (sum ^ static_cast<unsigned char>(letter)) * 1099511628211U;
    }
    return sum;
  }();
  return mark;
}

template <class T, class Bound>
void as_pickle(Bound& bound) {
  namespace py = pybind11;
  bound.def("__copy__", [](const T& one) { return T(one); });
  bound.def(
      "__deepcopy__", [](const T& one, const py::dict&) { return T(one); }, py::arg("memo"));
  bound.def(py::pickle(
      [](const T& one) { return py::make_tuple(shape_mark<T>(), py::bytes(bytes_of(one))); },
      [](const py::tuple& state) {
        if (state.size() != 2 || state[0].cast<std::uint64_t>() != shape_mark<T>()) {
          throw Error(
              "another version of nightbus wrote this pickle; keep the system instead, which "
              "later versions read");
        }
        return from_bytes<T>(std::string_view(state[1].cast<py::bytes>()));
      }));
}

template <class T, class Bound>
void as_value(Bound& bound) {
  namespace py = pybind11;
  bound.def(
      "__eq__",
      [](const T& one, const T& other) {
        return &one == &other || identity_of(one) == identity_of(other);
      },
      py::is_operator());
  bound.def("__hash__", [](const T& one) { return std::hash<std::string>{}(identity_of(one)); });
  as_pickle<T>(bound);
}

/// `Value<RunPlan>(module, "RunPlan", …)`: a class whose objects are values.
template <class T, class... Options>
class Value : public pybind11::class_<T, Options...> {
 public:
  template <class... Extra>
  Value(const pybind11::handle& scope, const char* name, const Extra&... extra)
      : pybind11::class_<T, Options...>(scope, name, extra...) {
    as_value<T>(*this);
  }
};

}  // namespace nightbus::python
