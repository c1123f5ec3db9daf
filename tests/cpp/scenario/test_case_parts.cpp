/// Converters, PoE links, charging and faults in compiled systems.

#include <doctest/doctest.h>

#include <cmath>

#include "nightbus/network_system.hpp"
#include "systems.hpp"

using namespace nightbus;
using namespace systems;

namespace {

const Catalogue& tables() {
  return Catalogue::builtin();
}
CompiledSystem compiled_of(const System& system) {
  return compile_system(system, tables(), starting_choices(system, tables()));
}

/// small() with a 54 V stage on the block and two powered devices on it.
System with_poe() {
  System system = small();
  Converter stage;
  stage.name = "stage";
  stage.output_v = 54.0;
  stage.power_w = 60.0;
  stage.efficiency = {{0.1, 0.82}, {0.5, 0.90}, {1.0, 0.88}};
  stage.standby_w = 2.0;
  stage.window_v = Range{10.0, 16.0};
  system.converters.push_back(stage);
  system.runs.push_back(run("stage feed", "block", "stage", 1.0));
  for (const char* name : {"camera", "radio"}) {
    PoeLink link;
    link.name = name;
    link.from = "stage";
    link.length_m = 40.0;
    link.typical_w = 12.0;
    link.peak_w = 15.0;
    link.rest_w = 6.0;
    system.poe_links.push_back(link);
  }
  return system;
}

/// small() with a charger of 30 A on the block.
System with_charger() {
  System system = small();
  Charger charger;
  charger.name = "charger";
  charger.current_a = 30.0;
  system.chargers.push_back(charger);
  system.runs.push_back(run("charger feed", "charger", "block", 1.5, "6 AWG"));
  return system;
}

Case charging_case(std::optional<double> charge = {}) {
  Case made = low_case("charging");
  made.bank = BankState::charging;
  made.charge = charge;
  return made;
}

}  // namespace

TEST_CASE("a converter takes what its loss law says, and its links pay for their cable") {
  const System system = with_poe();
  const CompiledSystem wired = compiled_of(system);
  const CaseResult result = solve_case(wired, low_case());
  REQUIRE(result.ok());
  const ConverterLosses losses = converter_losses(system.converters[0]);
  const ConverterResult& stage = result.converters[0];
  CHECK(stage.input_w ==
        doctest::Approx(losses.standby_w + (1.0 + losses.loss_fraction) * stage.output_w +
                        losses.loss_per_watt * stage.output_w * stage.output_w)
            .epsilon(1e-9));
  CHECK(stage.loss_w == doctest::Approx(stage.input_w - stage.output_w).epsilon(1e-9));
  double ports_w = 0.0;
  for (const PoeResult& link : result.poe_links) {
    CHECK(link.device.power_w == doctest::Approx(12.0));
    CHECK(link.port_w == doctest::Approx(link.device.power_w + link.cable_loss_w).epsilon(1e-9));
    // Two pairs: one conductor's resistance out and back over the length of the cable.
    const double loop = tables().poe_cable("24 AWG").loop_ohm(40.0, 2);
    CHECK(link.loop_ohm == doctest::Approx(loop).epsilon(1e-6));
    const double i = link.port_v / (2.0 * loop) -
                     std::sqrt(std::pow(link.port_v / (2.0 * loop), 2) - 12.0 / loop);
    CHECK(link.port_a == doctest::Approx(i).epsilon(1e-6));
    ports_w += link.port_w;
  }
  CHECK(stage.output_w == doctest::Approx(ports_w).epsilon(1e-9));
  CHECK(wired.domains()[static_cast<std::size_t>(wired.point_of(PointKind::poe_link, 0).domain)]
            .nominal_v == 54.0);
}

TEST_CASE("four pairs halve the loop") {
  System system = with_poe();
  system.poe_links[0].pairs = 4;
  const CaseResult result = solve_case(compiled_of(system), low_case());
  CHECK(result.poe_links[0].loop_ohm * 2.0 ==
        doctest::Approx(result.poe_links[1].loop_ohm).epsilon(1e-6));
}

TEST_CASE("an isolated output floats on its own reference and gives the same volts") {
  System system = with_poe();
  const CaseResult tied = solve_case(compiled_of(system), low_case());
  system.converters[0].isolated = true;
  const CaseResult floating = solve_case(compiled_of(system), low_case());
  REQUIRE(floating.ok());
  CHECK(floating.poe_links[0].device.voltage_v ==
        doctest::Approx(tied.poe_links[0].device.voltage_v).epsilon(1e-6));
  CHECK(std::abs(floating.balance.gap_w) < 1e-9 * floating.balance.supplied_w);
}

TEST_CASE("the efficiency points of a converter are met by its loss law") {
  Converter converter;
  converter.power_w = 120.0;
  converter.standby_w = 2.4;
  SUBCASE("two points are met exactly") {
    converter.efficiency = {{0.3, 0.89}, {1.0, 0.90}};
  }
  SUBCASE("a single point is met exactly") {
    converter.efficiency = {{1.0, 0.9}};
  }
  const ConverterLosses losses = converter_losses(converter);
  for (const EfficiencyPoint& point : converter.efficiency) {
    const double out = point.share * converter.power_w;
    const double in =
        losses.standby_w + (1.0 + losses.loss_fraction) * out + losses.loss_per_watt * out * out;
    CHECK(out / in == doctest::Approx(point.efficiency).epsilon(1e-9));
  }
}

TEST_CASE("a charger lifts the bus to the absorption voltage and carries the loads") {
  const CompiledSystem wired = compiled_of(with_charger());
  const CaseResult result = solve_case(wired, charging_case());
  REQUIRE(result.ok());
  // 14.4 V at 25 °C, compensated by the chemistry's figure to the mild air of 20 °C.
  const BatteryChemistry& chemistry = tables().chemistry("flooded");
  const double held = 14.4 + 6.0 * chemistry.value("temperature compensation") * (20.0 - 25.0);
  CHECK(result.inputs.banks[0].held_v.value() == doctest::Approx(held));
  CHECK(result.chargers[0].voltage_v == doctest::Approx(held).epsilon(1e-3));
  CHECK(result.banks[0].voltage_v < held);
  CHECK(result.banks[0].voltage_v > held - 0.2);
  CHECK(result.loads[0].voltage_v > 13.5);
}

TEST_CASE("into a low bank the charger stands at its limit") {
  const CaseResult result = solve_case(compiled_of(with_charger()), charging_case(0.5));
  REQUIRE(result.ok());
  CHECK(result.chargers[0].state == ElementState::constant_current);
  CHECK(result.chargers[0].current_a == doctest::Approx(30.0));
  CHECK(result.banks[0].current_a < 0.0);
  const double loads_a = result.loads[0].current_a + result.loads[1].current_a;
  CHECK(-result.banks[0].current_a == doctest::Approx(30.0 - loads_a).epsilon(1e-9));
}

TEST_CASE("a case of bulk charging is added where something charges and no case shows it") {
  CHECK(cases_of(small()).size() == 1);
  const std::vector<Case> cases = cases_of(with_charger());
  REQUIRE(cases.size() == 2);
  CHECK(cases[1].bank == BankState::charging);
  CHECK(cases[1].charge.has_value());
  System own = with_charger();
  own.cases.push_back(charging_case(0.3));
  CHECK(cases_of(own).size() == 2);
}

TEST_CASE("fault currents are the volts over the loop, and fall along the run") {
  System system = small();
  system.site.temp_cold_c = 25.0;
  const CompiledSystem wired = compiled_of(system);
  const std::vector<RunFault> faults = run_faults(wired);
  const Bank& bank = system.banks[0];
  const BatteryChemistry& chemistry = tables().chemistry(bank.chemistry);
  const double e = 6.0 * chemistry.ocv_mean.at(1.0);
  CHECK(faults[0].near_a ==
        doctest::Approx(e / bank_resistance_ohm(bank, chemistry, 1.0, 40.0, true)).epsilon(1e-9));
  const double ratio = tables().material("copper").resistance_ratio(system.rules.insulation_c);
  const RunElements& feed = wired.runs()[0];
  const double pole = feed.positive.conductor_20c_ohm * ratio + feed.positive.joints_ohm;
  const double low_e = 6.0 * chemistry.ocv_mean.at(bank.charge_low);
  const double low_r = bank_resistance_ohm(bank, chemistry, bank.charge_low, 25.0);
  CHECK(faults[0].far_a == doctest::Approx(low_e / (low_r + 2.0 * pole)).epsilon(1e-9));
  for (const RunFault& fault : faults) {
    CHECK(fault.far_a < fault.far_highest_a);
    CHECK(fault.far_highest_a < fault.near_a);
  }
  CHECK(faults[1].near_a == doctest::Approx(faults[0].far_highest_a).epsilon(1e-9));
}

TEST_CASE("a stated short-circuit current is the highest that can flow at the bank") {
  System system = small();
  system.banks[0].resistance_ohm.reset();
  system.banks[0].short_circuit_a = 1500.0;
  system.banks[0].strings = 2;
  CHECK(run_faults(compiled_of(system))[0].near_a == doctest::Approx(3000.0).epsilon(1e-9));
}

TEST_CASE("behind a converter no bolted fault current of the bank flows") {
  const System system = with_poe();
  System more = system;
  more.loads.push_back(load("lamp", 5.0));
  more.runs.push_back(run("lamp feed", "stage", "lamp", 2.0, "18 AWG"));
  const std::vector<RunFault> faults = run_faults(compiled_of(more));
  CHECK(faults.back().near_a == doctest::Approx(0.0));
  CHECK(faults.back().far_a == doctest::Approx(0.0));
}

TEST_CASE("margins name the device that gives way first") {
  const CaseResult result = solve_case(compiled_of(small()), low_case(), {}, true);
  REQUIRE(result.margins.has_value());
  REQUIRE(result.margins->first_window_multiplier.has_value());
  CHECK(result.margins->first_window_device == "router");
  CHECK(*result.margins->first_window_multiplier > 1.0);
  REQUIRE(result.margins->collapse_multiplier.has_value());
  CHECK(*result.margins->collapse_multiplier > *result.margins->first_window_multiplier);
  CaseConditions edge;
  edge.load_factor = *result.margins->first_window_multiplier;
  CHECK(solve_case(compiled_of(small()), low_case(), edge).loads[0].voltage_v ==
        doctest::Approx(9.0).epsilon(1e-3));
}

TEST_CASE("air given by case reaches conductors and fans of that case only") {
  System system = small();
  Compartment box;
  box.name = "box";
  system.compartments.push_back(box);
  system.runs[1].compartment = "box";
  Fan fan;
  fan.name = "fan";
  fan.cools = "box";
  fan.step_w = {1.0, 3.0};
  fan.step_flow_m3s = {0.01, 0.02};
  system.fans.push_back(fan);
  system.runs.push_back(run("fan feed", "block", "fan", 1.0, "18 AWG"));
  const CompiledSystem wired = compiled_of(system);
  CaseConditions conditions;
  conditions.by_case["low"] = CaseAir{{48.0}, {2}};
  const CaseInputs low = case_inputs(wired, low_case(), conditions);
  CHECK(low.run_ambient_c[1] == 48.0);
  CHECK(low.fan_step[0] == 2);
  CHECK(low.fans[0].power_w == doctest::Approx(3.0));
  const CaseInputs other = case_inputs(wired, low_case("other"), conditions);
  CHECK(other.run_ambient_c[1] == system.site.temp_mild_c);
  CHECK(other.fan_step[0] == 0);
}
