#pragma once
/// Formulas over columns: arguments are arrays of one length, or single values that stand for a
/// whole column; the loop runs without the GIL.

#include <pybind11/numpy.h>

#include <array>
#include <string>
#include <utility>

namespace nightbus::python {

using Column = pybind11::array_t<double, pybind11::array::c_style | pybind11::array::forcecast>;

/// One argument: `values[k * stride]`, stride 0 for a single value.
struct ColumnView {
  const double* values = nullptr;
  std::size_t stride = 0;
  double operator[](std::size_t k) const { return values[k * stride]; }
};

template <std::size_t N>
std::pair<std::array<ColumnView, N>, std::size_t> views_of(
    const std::array<const Column*, N>& columns) {
  std::size_t length = 1;
  for (const Column* column : columns) {
    const auto size = static_cast<std::size_t>(column->size());
    if (size == 1) continue;
    if (length != 1 && size != length) {
      throw pybind11::value_error("columns of " + std::to_string(length) + " and of " +
                                  std::to_string(size) + " values cannot stand side by side");
    }
    length = size;
  }
  std::array<ColumnView, N> views;
  for (std::size_t k = 0; k < N; ++k) {
    views[k] = {columns[k]->data(), columns[k]->size() == 1 ? 0u : 1u};
  }
  return {views, length};
}

/// A new column of `function(values of one row)`.
template <std::size_t N, class Function>
Column map_columns(const std::array<const Column*, N>& columns, Function&& function) {
  const auto [views, length] = views_of(columns);
  Column out(static_cast<pybind11::ssize_t>(length));
  double* to = out.mutable_data();
  {
    const pybind11::gil_scoped_release release;
    for (std::size_t k = 0; k < length; ++k) {
      std::array<double, N> row;
      for (std::size_t j = 0; j < N; ++j) row[j] = views[j][k];
      to[k] = function(row);
    }
  }
  return out;
}

/// Several new columns at once: `function(row, out)` fills `out` with M values.
template <std::size_t M, std::size_t N, class Function>
std::array<Column, M> map_to_columns(const std::array<const Column*, N>& columns,
                                     Function&& function) {
  const auto [views, length] = views_of(columns);
  std::array<Column, M> out;
  std::array<double*, M> to{};
  for (std::size_t j = 0; j < M; ++j) {
    out[j] = Column(static_cast<pybind11::ssize_t>(length));
    to[j] = out[j].mutable_data();
  }
  {
    const pybind11::gil_scoped_release release;
    for (std::size_t k = 0; k < length; ++k) {
      std::array<double, N> row;
      for (std::size_t j = 0; j < N; ++j) row[j] = views[j][k];
      std::array<double, M> result{};
      function(row, result);
      for (std::size_t j = 0; j < M; ++j) to[j][k] = result[j];
    }
  }
  return out;
}

}  // namespace nightbus::python
