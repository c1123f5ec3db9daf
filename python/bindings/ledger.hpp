#pragma once
/// An energy ledger as a mapping: one word for each entry, whoever kept it.

#include <pybind11/pybind11.h>

#include "nightbus/energy_simulation.hpp"

namespace nightbus::python {

pybind11::dict ledger_wh(const EnergyLedger& of);

}  // namespace nightbus::python
