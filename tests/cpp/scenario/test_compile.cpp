/// From a described system to volts by name: against closed forms and hand-made circuits.

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

/// Resistance of one pole at the temperature that the solution reports.
double pole_ohm(const System& system, const Run& run, double temp_c) {
  const Conductor& conductor = conductor_for(system, tables(), run, *run.size);
  return conductor.resistance_ohm_per_m * run.length_m *
             tables().material("copper").resistance_ratio(temp_c) +
         run.joints * run.joint_ohm;
}

}  // namespace

TEST_CASE("one constant-power load behind one run meets the closed form") {
  System system;
  system.banks.push_back(bank_12v());
  system.loads.push_back(load("router", 90.0));
  system.runs.push_back(run("feed", "bank", "router", 6.0, "12 AWG"));
  const CompiledSystem wired = compiled_of(system);
  const CaseResult result = solve_case(wired, low_case());
  REQUIRE(result.ok());
  const double e = result.inputs.banks[0].emf_v, p = 90.0;
  const double r = result.inputs.banks[0].resistance_ohm +
                   2.0 * pole_ohm(system, system.runs[0], result.runs[0].conductor_c);
  const double v = e / 2.0 + std::sqrt(e * e / 4.0 - p * r);
  CHECK(result.loads[0].voltage_v == doctest::Approx(v).epsilon(1e-8));
  CHECK(result.loads[0].current_a == doctest::Approx(p / v).epsilon(1e-8));
  CHECK(result.runs[0].current_a == doctest::Approx(p / v).epsilon(1e-8));
  CHECK(result.runs[0].return_current_a == doctest::Approx(p / v).epsilon(1e-8));
  CHECK(result.loads[0].drop_v == doctest::Approx(result.runs[0].drop_v).epsilon(1e-8));
  CHECK(result.banks[0].current_a == doctest::Approx(p / v).epsilon(1e-8));
}

TEST_CASE("beyond E²/4R the case has collapsed and says what could be carried") {
  System system;
  system.banks.push_back(bank_12v());
  system.loads.push_back(load("heater controller", 900.0));
  system.runs.push_back(run("feed", "bank", "heater controller", 12.0, "14 AWG"));
  const CompiledSystem wired = compiled_of(system);
  const CaseResult result = solve_case(wired, low_case());
  CHECK(result.status == SolveStatus::collapsed);
  CHECK_FALSE(result.ok());
  CHECK(result.collapse_multiplier > 0.0);
  CHECK(result.collapse_multiplier < 1.0);
  // Half a percent below the multiplier a solution exists, half a percent above none does.
  CaseConditions below, above;
  below.load_factor = result.collapse_multiplier * 0.995;
  above.load_factor = result.collapse_multiplier * 1.005;
  CHECK(solve_case(wired, low_case(), below).ok());
  CHECK(solve_case(wired, low_case(), above).status == SolveStatus::collapsed);
  // For orientation the load gives way at its window.
  CHECK(result.softened);
  CHECK(result.loads[0].voltage_v < 9.0);
}

TEST_CASE("a conductor reaches its insulation's temperature at its ampacity") {
  // 33 CFR 183 Table 5: 12 AWG, 75 °C insulation, 25 A in air of 30 °C. Below 50 V its bundling
  // factors do not bind.
  System system;
  system.rules.insulation_c = 75.0;
  system.rules.enclosed = false;
  system.site.temp_mild_c = 30.0;
  system.banks.push_back(bank_12v());
  Load heater = load("heater", 25.0 * 12.0);
  heater.behaviour = Behaviour::constant_current;
  system.loads.push_back(heater);
  system.runs.push_back(run("feed", "bank", "heater", 1.0, "12 AWG"));
  const CaseResult result = solve_case(compiled_of(system), low_case());
  REQUIRE(result.ok());
  CHECK(result.runs[0].current_a == doctest::Approx(25.0));
  CHECK(result.runs[0].conductor_c == doctest::Approx(75.0).epsilon(1e-4));
}

TEST_CASE("a shared feeder spends the drop of both loads") {
  const System system = small();
  const CaseResult both = solve_case(compiled_of(system), low_case());
  Case alone = low_case();
  alone.off = {"switch"};
  const CaseResult one = solve_case(compiled_of(system), alone);
  REQUIRE(both.ok());
  REQUIRE(one.ok());
  CHECK(one.loads[1].current_a == doctest::Approx(0.0));
  CHECK(one.loads[0].voltage_v > both.loads[0].voltage_v + 0.005);
  CHECK(both.runs[0].current_a ==
        doctest::Approx(both.runs[1].current_a + both.runs[2].current_a).epsilon(1e-9));
  CHECK(both.loads[0].drop_v ==
        doctest::Approx(both.runs[0].drop_v + both.runs[1].drop_v).epsilon(1e-9));
}

TEST_CASE("a shared return is a real resistance") {
  // The router's return goes to the switch's negative: the switch's return carries both.
  System system = small();
  system.runs[1].return_to = "switch";
  const CaseResult result = solve_case(compiled_of(system), low_case());
  REQUIRE(result.ok());
  CHECK(result.runs[2].return_current_a ==
        doctest::Approx(result.runs[1].current_a + result.runs[2].current_a).epsilon(1e-9));
  const CaseResult apart = solve_case(compiled_of(small()), low_case());
  CHECK(result.loads[1].voltage_v < apart.loads[1].voltage_v - 0.01);
}

TEST_CASE("a chassis path is its stated resistance, and an assumed one says so") {
  System system;
  system.banks.push_back(bank_12v());
  system.loads.push_back(load("beacon", 30.0));
  system.runs.push_back(run("feed", "bank", "beacon", 3.0, "14 AWG"));
  system.runs[0].return_path = ReturnPath::chassis;
  system.runs[0].return_resistance_ohm = 0.02;
  CompiledSystem wired = compiled_of(system);
  CaseResult result = solve_case(wired, low_case());
  REQUIRE(result.ok());
  CHECK(result.runs[0].negative_drop_v ==
        doctest::Approx(0.02 * result.runs[0].current_a).epsilon(1e-9));
  CHECK(wired.assumptions().empty());

  system.runs[0].return_resistance_ohm.reset();
  wired = compiled_of(system);
  result = solve_case(wired, low_case());
  REQUIRE(wired.assumptions().size() == 1);
  CHECK(wired.assumptions()[0].code == "missing-safe");
  CHECK(wired.assumptions()[0].severity == Severity::notice);
  CHECK(wired.assumptions()[0].value.value() ==
        doctest::Approx(result.runs[0].negative_drop_v / result.runs[0].current_a).epsilon(1e-9));
}

TEST_CASE("a load counts as often as it stands there") {
  System system = small();
  system.loads[1].count = 3;
  const CaseResult result = solve_case(compiled_of(system), low_case());
  REQUIRE(result.ok());
  CHECK(result.loads[1].power_w == doctest::Approx(72.0));
}

TEST_CASE("behaviours follow their laws away from nominal voltage") {
  for (const Behaviour behaviour :
       {Behaviour::constant_power, Behaviour::constant_current, Behaviour::resistance}) {
    System system = small();
    system.loads[0].behaviour = behaviour;
    const CaseResult result = solve_case(compiled_of(system), low_case());
    REQUIRE(result.ok());
    const double v = result.loads[0].voltage_v;
    const double exponent = behaviour == Behaviour::constant_power     ? 0.0
                            : behaviour == Behaviour::constant_current ? 1.0
                                                                       : 2.0;
    CHECK(result.loads[0].power_w ==
          doctest::Approx(60.0 * std::pow(v / 12.0, exponent)).epsilon(1e-9));
  }
}

TEST_CASE(
    "demand picks peak, typical with its night share, or rest; the margin counts but at rest") {
  System system = small();
  system.loads[0].peak_w = 80.0;
  system.loads[0].rest_w = 20.0;
  system.loads[0].usage.night_extra_w = 5.0;
  system.rules.load_margin = 0.10;
  const CompiledSystem wired = compiled_of(system);
  const auto watts = [&](Demand demand) {
    Case which = low_case();
    which.demand = demand;
    return solve_case(wired, which).loads[0].power_w;
  };
  CHECK(watts(Demand::peak) == doctest::Approx(88.0));
  CHECK(watts(Demand::typical) == doctest::Approx(71.5));
  CHECK(watts(Demand::rest) == doctest::Approx(20.0));
}

TEST_CASE("where no peak is stated one is assumed and said") {
  System system = small();
  system.loads[0].peak_w.reset();
  const CompiledSystem wired = compiled_of(system);
  REQUIRE(wired.assumptions().size() == 1);
  CHECK(wired.assumptions()[0].subject == "router");
  Case peak = low_case();
  peak.demand = Demand::peak;
  CHECK(solve_case(wired, peak).loads[0].power_w ==
        doctest::Approx(wired.assumptions()[0].value.value()));
  CHECK(wired.assumptions()[0].value.value() > 60.0);
}

TEST_CASE("a spare run joins nothing and carries nothing") {
  System system = small();
  system.buses.push_back(bus("box"));
  Run spare = run("spare", "block", "box", 8.0);
  spare.spare = true;
  system.runs.push_back(spare);
  const CompiledSystem wired = compiled_of(system);
  const CaseResult with = solve_case(wired, low_case());
  const CaseResult without = solve_case(compiled_of(small()), low_case());
  REQUIRE(with.ok());
  CHECK_FALSE(wired.runs()[3].out.has_value());
  CHECK(with.runs[3].current_a == 0.0);
  CHECK(with.loads[0].voltage_v == doctest::Approx(without.loads[0].voltage_v).epsilon(1e-12));
}

TEST_CASE("a bus that is switched off leaves what hangs on it dark") {
  System system = small();
  Case off = low_case();
  off.off = {"block"};
  const CaseResult result = solve_case(compiled_of(system), off);
  CHECK(result.ok());
  CHECK(result.loads[0].state == ElementState::dark);
  CHECK(result.banks[0].current_a == doctest::Approx(0.0));
}

TEST_CASE("other conductors on the same layout give what compiling anew gives") {
  const System system = small();
  const CompiledSystem first = compiled_of(system);
  std::vector<RunChoice> choices = first.choices();
  choices[1].size = *parse_size("10 AWG");
  choices[0].fuse_form = "standard blade";
  choices[0].fuse_a = 20.0;
  const CaseResult quick = solve_case(first.with_choices(choices), low_case());
  const CaseResult anew = solve_case(compile_system(system, tables(), choices), low_case());
  REQUIRE(quick.ok());
  for (std::size_t k = 0; k < quick.loads.size(); ++k) {
    CHECK(quick.loads[k].voltage_v == anew.loads[k].voltage_v);
  }
  CHECK(quick.loads[0].voltage_v != solve_case(first, low_case()).loads[0].voltage_v);
}

TEST_CASE("names that are not points are all told at once, with near misses") {
  System system = small();
  system.runs[1].to = "roter";
  system.runs[2].from = "blokc";
  try {
    compiled_of(system);
    FAIL("an unknown name was accepted");
  } catch (const InputError& error) {
    REQUIRE(error.problems().size() == 2);
    CHECK(error.problems()[0].mend.find("router") != std::string::npos);
    CHECK(error.problems()[1].mend.find("block") != std::string::npos);
  }
}
