#pragma once
/// One function per area, each in its own bind_<area>.cpp: conversion only, no logic.

#include <pybind11/native_enum.h>
#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

namespace nightbus::python {

void bind_source(pybind11::module_& module);
void bind_quantity(pybind11::module_& module);
void bind_finding(pybind11::module_& module);
void bind_system(pybind11::module_& module);

}  // namespace nightbus::python
