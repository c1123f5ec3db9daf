#include "ledger.hpp"

namespace nightbus::python {

pybind11::dict ledger_wh(const EnergyLedger& of) {
  pybind11::dict wh;
  wh["array_wh"] = of.array_wh;
  wh["curtailed_wh"] = of.curtailed_wh;
  wh["charger_wh"] = of.charger_wh;
  wh["controller_loss_wh"] = of.controller_loss_wh;
  wh["delivered_wh"] = of.delivered_wh();
  wh["converter_loss_wh"] = of.converter_loss_wh;
  wh["wire_loss_wh"] = of.wire_loss_wh;
  wh["bank_standby_wh"] = of.bank_standby_wh;
  wh["controller_standby_wh"] = of.controller_standby_wh;
  wh["bank_resistance_wh"] = of.bank_resistance_wh;
  wh["bank_charge_loss_wh"] = of.bank_charge_loss_wh;
  wh["self_discharge_wh"] = of.self_discharge_wh;
  wh["stored_change_wh"] = of.stored_change_wh;
  wh["unmet_wh"] = of.unmet_wh;
  wh["wanted_wh"] = of.wanted_wh;
  wh["gap_wh"] = of.gap_wh();
  return wh;
}

}  // namespace nightbus::python
