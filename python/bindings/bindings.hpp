#pragma once
/// One function per area, each in its own bind_<area>.cpp: conversion only, no logic.

#include <pybind11/native_enum.h>
#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

namespace nightbus::python {

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
void bind_scenario_batch(pybind11::module_& module);

}  // namespace nightbus::python

/// A read-only attribute of the member's own name; the unit is in the name.
#define NB_READ(type, member) def_readonly(#member, &type::member)
