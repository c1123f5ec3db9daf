// What must hold in every run: the ledger, invariants, independence of step and threads.

#include <doctest/doctest.h>

#include "energy/simulated_system.hpp"

using namespace simulated;

TEST_CASE("the ledger closes: in = out + stored, for every chemistry, controller and step") {
  for (const bool with_lead : {false, true}) {
    for (const ControllerKind kind : {ControllerKind::mppt, ControllerKind::pwm}) {
      for (const double step : {30.0, 60.0, 600.0, 3600.0}) {
        SimulationInput in = sunny(with_lead ? lead() : lossy_lfp(), 6.0, step);
        in.arrays[0].model.controller.kind = kind;
        in.arrays[0].model.simple_mpp_v = 18.0;
        const SimulationResult r = simulate(in);
        REQUIRE(r.status == SimStatus::done);
        INFO(in.banks[0].model.chemistry, " step ", step, " in ", r.ledger.in_wh(), " out ",
             r.ledger.out_wh(), " stored ", r.ledger.stored_change_wh, " gap ", r.ledger.gap_wh());
        CHECK(r.ledger.relative_gap() < 1e-9);
        CHECK(r.ledger.in_wh() > 1000.0);
        CHECK(r.ledger.curtailed_wh >= -1e-9);
        CHECK(r.ledger.bank_charge_loss_wh > 0.0);
      }
    }
  }
}
