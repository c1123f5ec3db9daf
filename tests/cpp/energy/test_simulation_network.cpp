// The same simulation on a compiled circuit.

#include <doctest/doctest.h>

#include <algorithm>

#include "energy/simulated_circuit.hpp"

using namespace simulated;

namespace {

void compare(const SimulationInput& lumped, double tolerance) {
  const SimulationInput circuit = as_circuit(lumped);
  const SimulationResult a = simulate(lumped);
  const SimulationResult b = simulate(circuit);
  REQUIRE(a.status == SimStatus::done);
  INFO(b.message);
  REQUIRE(b.status == SimStatus::done);
  INFO("gap ", b.ledger.relative_gap(), " in ", b.ledger.in_wh(), " out ", b.ledger.out_wh());
  CHECK(b.ledger.relative_gap() < 1e-9);
  CHECK(std::abs(a.banks[0].final_soc - b.banks[0].final_soc) < tolerance);
  CHECK(a.ledger.delivered_wh() == doctest::Approx(b.ledger.delivered_wh()).epsilon(tolerance));
  CHECK(a.ledger.wire_loss_wh == doctest::Approx(b.ledger.wire_loss_wh).epsilon(100.0 * tolerance));
  CHECK(a.ledger.curtailed_wh == doctest::Approx(b.ledger.curtailed_wh).epsilon(1e-2));
  const auto& va = a.trace.find("bus_voltage")->values;
  const auto& vb = b.trace.find("bus_voltage")->values;
  double worst = 0.0;
  for (std::size_t k = 0; k < va.size(); ++k) worst = std::max(worst, std::abs(va[k] - vb[k]));
  INFO("largest difference of the bus ", worst, " V");
  CHECK(worst < 0.02);
}

}  // namespace

TEST_CASE("a circuit of the same resistances gives the lumped bus's day and night") {
  compare(sunny(lossy_lfp(), 2.0, 300.0), 2e-5);
  // Long at the ceiling, which a circuit's charger holds at its own terminals: no path between.
  SimulationInput bright = sunny(lossy_lfp(), 2.0, 300.0, 0.9, 900.0);
  bright.arrays[0].model.controller.path_resistance_ohm = 0.0;
  compare(bright, 1e-4);  // the charger's own slope, 10 µΩ, moves the end of absorption
}

TEST_CASE("lead, acceptance and Peukert are the same on a circuit") {
  SimulationInput in = sunny(lead(100.0), 2.0, 300.0, 0.8, 500.0);
  in.arrays[0].model.controller.path_resistance_ohm = 0.0;
  compare(in, 2e-5);
}

TEST_CASE("a module held at the bus voltage gives the same current on a circuit") {
  SimulationInput in = sunny(lossy_lfp(), 1.0, 300.0, 0.6, 300.0);
  in.arrays[0].model.controller.kind = ControllerKind::pwm;
  in.arrays[0].model.simple_mpp_v = 17.0;
  in.arrays[0].model.controller.path_resistance_ohm = 0.0;
  compare(in, 2e-5);
}

TEST_CASE("cold blocks charging on a circuit too, and the sun carries the loads") {
  SimulationInput in = as_circuit(sunny(lossy_lfp(), 1.0, 300.0, 1.0, 600.0));
  for (double& t : in.weather.temp_c) t = -8.0;
  const SimulationResult r = simulate(in);
  CHECK(r.banks[0].charged_ah == 0.0);
  CHECK(r.ledger.relative_gap() < 1e-9);
  CHECK(r.ledger.unmet_wh == 0.0);
}

TEST_CASE("a bank that may not be charged takes over at dusk on a circuit, as on the lumped bus") {
  // Nothing but constant power, so that without the bank there is no low answer to find.
  SimulationInput in = sunny(lossy_lfp(), 2.0, 900.0, 0.8, 400.0);
  in.loads.clear();
  in.converters.clear();
  in.loads.push_back({.draw = SteadyDraw{20.0}, .path_resistance_ohm = 0.05});
  in.loads.push_back({.draw = SteadyDraw{10.0}, .path_resistance_ohm = 0.05});
  in.banks[0].soc = 0.9;
  for (double& t : in.weather.temp_c) t = -8.0;
  const SimulationResult lumped = simulate(in);
  const SimulationResult circuit = simulate(as_circuit(in));
  for (const SimulationResult* r : {&lumped, &circuit}) {
    CHECK(r->banks[0].charged_ah == 0.0);
    CHECK(r->ledger.curtailed_wh > 100.0);  // the sun did lift the bus above the bank
    CHECK(r->ledger.relative_gap() < 1e-9);
    CHECK(r->ledger.unmet_wh == 0.0);
    CHECK(r->loads[0].drops == 0);
  }
  CHECK(std::abs(lumped.banks[0].final_soc - circuit.banks[0].final_soc) < 1e-4);
}

TEST_CASE("an emptied circuit goes dark, is fed again by the sun, and books nothing in between") {
  SimulationInput in = as_circuit(sunny(lossy_lfp(20.0), 4.0, 900.0, 0.5, 250.0));
  in.banks[0].soc = 0.3;
  const SimulationResult r = simulate(in);
  REQUIRE(r.status == SimStatus::done);
  const auto count = [&](EventKind kind) {
    return std::count_if(r.events.begin(), r.events.end(),
                         [&](const SimEvent& e) { return e.kind == kind; });
  };
  CHECK(count(EventKind::bank_empty) >= 1);
  CHECK(count(EventKind::bank_returned) >= 1);
  CHECK(count(EventKind::chatter) == 0);
  CHECK(r.ledger.unmet_wh > 10.0);
  CHECK(r.ledger.relative_gap() < 1e-9);
  CHECK(r.ledger.delivered_wh() + r.ledger.unmet_wh <= r.ledger.wanted_wh * 1.05);
  CHECK(r.banks[0].lowest_soc > -1e-7);
  const auto& bus = r.trace.find("bus_voltage")->values;
  CHECK(std::count(bus.begin(), bus.end(), 0.0) > 4);
}

TEST_CASE("a charge-current limit is kept on a circuit by turning the supplies down") {
  SimulationInput in = sunny(lossy_lfp(), 1.0, 300.0, 1.0, 900.0);
  in.banks[0].soc = 0.2;
  in.banks[0].model.max_charge_a = 10.0;
  const SimulationResult lumped = simulate(in);
  CHECK(lumped.banks[0].highest_charge_a < 10.0 + 1e-6);
  CHECK(lumped.ledger.curtailed_wh > 100.0);
  const SimulationResult circuit = simulate(as_circuit(in));
  CHECK(circuit.banks[0].highest_charge_a < 10.0 + 1e-5);
  CHECK(circuit.banks[0].highest_charge_a > 10.0 - 1e-3);
  CHECK(circuit.ledger.relative_gap() < 1e-9);
}

TEST_CASE("elements of the wrong kind are refused") {
  SimulationInput in = as_circuit(sunny(lossy_lfp(), 1.0, 300.0));
  std::swap(in.banks[0].element, in.loads[0].element);
  CHECK(check_input(in).size() == 2);
}

TEST_CASE("a charger misled by its own lead does not make the bank full") {
  SimulationInput lumped = sunny(lossy_lfp(), 1.0, 300.0, 0.9, 900.0);
  lumped.arrays[0].model.controller.path_resistance_ohm = 0.2;  // some volts at full sun
  lumped.banks[0].soc = 0.3;
  const SimulationResult r = simulate(as_circuit(lumped));
  REQUIRE(r.status == SimStatus::done);
  const auto is = [](EventKind kind) {
    return [kind](const SimEvent& e) { return e.kind == kind; };
  };
  const auto ended = std::find_if(r.events.begin(), r.events.end(), is(EventKind::stage_float));
  REQUIRE(ended != r.events.end());  // it was misled
  for (const SimEvent& event : r.events) {
    if (event.kind == EventKind::bank_full) CHECK(event.value >= 0.95);
  }
  if (r.banks[0].first_full_s) CHECK(*r.banks[0].first_full_s > ended->time_s);
}
