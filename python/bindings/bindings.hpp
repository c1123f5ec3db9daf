#pragma once
/// One function per area, each in its own bind_<area>.cpp: conversion only, no logic.

#include <pybind11/native_enum.h>
#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

#include <string>
#include <string_view>

namespace nightbus::python {

/// A docstring that ends with an example, which the tests run beside the README's post.toml.
inline std::string told(std::string_view what, std::string_view example) {
  std::string text(what);
  text += "\n\nExamples\n--------\n>>> import nightbus as nb\n";
  return text.append(example);
}

void bind_source(pybind11::module_& module);
void bind_quantity(pybind11::module_& module);
void bind_finding(pybind11::module_& module);
void bind_catalogue(pybind11::module_& module);
void bind_system(pybind11::module_& module);
void bind_reader(pybind11::module_& module);
void bind_network(pybind11::module_& module);
void bind_case(pybind11::module_& module);
void bind_wiring(pybind11::module_& module);
void bind_protection(pybind11::module_& module);
void bind_thermal(pybind11::module_& module);
void bind_energy(pybind11::module_& module);
void bind_scenario(pybind11::module_& module);
void bind_simulation(pybind11::module_& module);
void bind_simulation_result(pybind11::module_& module);  // called by bind_simulation
void bind_scenario_batch(pybind11::module_& module);
void bind_measured(pybind11::module_& module);

}  // namespace nightbus::python

/// A read-only attribute of the member's own name, and what is said of it; the unit is in the name.
#define NB_READ(type, member, ...) def_readonly(#member, &type::member __VA_OPT__(, ) __VA_ARGS__)
