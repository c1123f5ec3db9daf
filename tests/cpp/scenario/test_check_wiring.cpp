/// Checks beside the choice of sizes and devices: one thing made worse at a time.

#include <doctest/doctest.h>

#include <algorithm>

#include "nightbus/scenario.hpp"
#include "systems.hpp"

using namespace nightbus;
using namespace systems;

namespace {

Plan plan_of(const System& system) {
  PlanOptions options;
  options.energy = false;
  options.margins = false;
  options.wiring.size_ups = false;
  options.wiring.changes = false;
  return make_plan(system, Catalogue::builtin(), options);
}

const Finding* find(const Plan& plan, std::string_view code, std::string_view subject) {
  for (const Finding& each : plan.findings) {
    if (each.code == code && each.subject == subject) return &each;
  }
  return nullptr;
}

System ordinary() {
  System system = small();
  system.rules.sets = {"ABYC E-11"};
  system.rules.insulation_c = 105.0;
  system.rules.terminal_c = 75.0;
  for (Run& each : system.runs) each.size.reset();
  return system;
}

}  // namespace

TEST_CASE("an ordinary run has none of these findings") {
  const Plan plan = plan_of(ordinary());
  for (const char* code : {"bundle-count", "bundle-drop-in-ampacity", "parallel-conductors",
                           "chassis-return", "joint-resistance"}) {
    for (const char* run : {"feed", "router feed", "switch feed"}) {
      CAPTURE(code);
      CAPTURE(run);
      CHECK_FALSE(find(plan, code, run));
    }
  }
}

TEST_CASE("a bundle of 30: counted in full, and what its company costs is said") {
  // ABYC E-11 note 2: 25 conductors and more carry 0.40 of what they carry alone.
  System system = ordinary();
  system.runs[1].bundle = 30;
  const Plan plan = plan_of(system);
  const Finding* costs = find(plan, "bundle-drop-in-ampacity", "router feed");
  REQUIRE(costs);
  CHECK(*costs->limit / *costs->value == doctest::Approx(0.40));
  CHECK(plan.wiring.runs[1].area_mm2 >= plan_of(ordinary()).wiring.runs[1].area_mm2);
  // Three together carry 0.70: worth knowing that all were counted, and no more.
  system.runs[1].bundle = 3;
  const Plan three = plan_of(system);
  const Finding* counted = find(three, "bundle-count", "router feed");
  REQUIRE(counted);
  CHECK(*counted->value == 3.0);
  CHECK(counted->severity == Severity::notice);
  CHECK_FALSE(find(three, "bundle-drop-in-ampacity", "router feed"));
  // 33 CFR 183 reckons with bundles from 50 V up only (183.435(b)).
  system.rules.sets = {"33 CFR 183"};
  CHECK_FALSE(find(plan_of(system), "bundle-count", "router feed"));
}

TEST_CASE(
    "conductors in parallel behind one device: one loose lug leaves the rest with all of it") {
  System system = ordinary();
  system.runs[0].parallel = 2;
  const Plan plan = plan_of(system);
  const RunPlan& run = plan.wiring.runs[0];
  REQUIRE(run.device);
  const Finding* finding = find(plan, "parallel-conductors", "feed");
  REQUIRE(finding);
  CHECK(*finding->value == doctest::Approx(run.device->rating_a));
  CHECK(*finding->limit == doctest::Approx(run.ampacity_a / 2.0));
  CHECK((finding->severity == Severity::passed) == (*finding->value <= *finding->limit));
}

TEST_CASE("a structure of more than 5 mΩ is told, one below it is evidence") {
  // FAA technician handbook: at most 5 mΩ between a source and the structure's far end.
  for (const double ohm : {0.003, 0.020}) {
    System system = ordinary();
    system.runs[1].return_path = ReturnPath::chassis;
    system.runs[1].return_resistance_ohm = ohm;
    const Plan plan = plan_of(system);
    const Finding* finding = find(plan, "chassis-return", "router feed");
    CAPTURE(ohm);
    REQUIRE(finding);
    CHECK((finding->severity == Severity::passed) == (ohm <= 0.005));
    CHECK(*finding->value / *finding->limit == doctest::Approx(ohm / 0.005));
  }
}

TEST_CASE("a joint worse than a plug's contact is no joint") {
  System system = ordinary();
  system.runs[1].joint_ohm = 0.012;
  const Finding* finding = nullptr;
  const Plan plan = plan_of(system);
  finding = find(plan, "joint-resistance", "router feed");
  REQUIRE(finding);
  CHECK(*finding->limit == doctest::Approx(0.010));
  CHECK(finding->severity == Severity::warning);
}

TEST_CASE("a switch that closes onto empty capacitors is asked for more than its running current") {
  System system = ordinary();
  system.runs[1].switch_a = 16.0;
  system.runs[1].switch_v = 32.0;
  system.loads[0].inrush_f = 2200e-6;
  const Plan plan = plan_of(system);
  const bool told =
      std::any_of(plan.findings.begin(), plan.findings.end(), [](const Finding& each) {
        return each.code == "switch" && each.subject == "router feed" &&
               each.severity == Severity::warning && *each.value > 16.0 && *each.limit == 16.0;
      });
  CHECK(told);
  // Not stated is not none.
  system.loads[0].inrush_f.reset();
  const Plan silent = plan_of(system);
  const Finding* unknown = find(silent, "switch-unknown", "router feed");
  REQUIRE(unknown);
  CHECK(unknown->severity == Severity::notice);
}

TEST_CASE("an AC switch on the bus: no DC rating, no good word") {
  System system = ordinary();
  system.runs[1].switch_a = 16.0;  // and nothing about volts of DC
  const Plan plan = plan_of(system);
  const bool told =
      std::any_of(plan.findings.begin(), plan.findings.end(), [](const Finding& each) {
        return each.code == "switch-unknown" && each.severity == Severity::warning;
      });
  CHECK(told);
  CHECK(plan.verdict() != PlanVerdict::good);
}

TEST_CASE("a shared return smaller than the sum of what comes home through it") {
  // 400 W at some 12 V, out through 4 AWG and home through 18 AWG, which ABYC lets carry 20 A.
  System system = ordinary();
  system.loads[0].typical_w = system.loads[0].peak_w.emplace(200.0);
  system.loads[1].typical_w = system.loads[1].peak_w.emplace(200.0);
  system.runs[0].size = *parse_size("4 AWG");
  system.runs[0].return_size = *parse_size("18 AWG");
  const Plan plan = plan_of(system);
  CHECK(plan.verdict() == PlanVerdict::danger);
  const Finding* finding = find(plan, "return-shared", "feed");
  REQUIRE(finding);
  CHECK(finding->severity == Severity::danger);
  CHECK(*finding->value > 400.0 / 14.4);
  CHECK(*finding->limit <= 20.0);
}

TEST_CASE("two rule sets that disagree: both are shown and the stricter governs") {
  System system = ordinary();
  system.rules.sets = {"33 CFR 183", "NEC"};
  const Plan both = plan_of(system);
  CHECK(find(both, "rules-disagree", ""));
  for (const char* one : {"33 CFR 183", "NEC"}) {
    system.rules.sets = {one};
    CAPTURE(one);
    CHECK(plan_of(system).wiring.metal_kg <= both.wiring.metal_kg * (1.0 + 1e-9));
  }
}

TEST_CASE("data cables: the loop of the standard, and the warmth of a bundle") {
  System system = ordinary();
  Converter injector;
  injector.name = "injector";
  injector.kind = ConverterKind::injector;
  injector.output_v = 54.0;
  injector.power_w = 120.0;
  injector.window_v = Range{10.0, 16.0};
  system.converters.push_back(injector);
  system.runs.push_back(run("injector feed", "block", "injector", 1.0, "10 AWG"));
  PoeLink link;
  link.name = "camera";
  link.from = "injector";
  link.length_m = 40.0;
  link.type = PoeType::type2;
  link.typical_w = 12.0;
  link.peak_w = 20.0;
  link.bundle = 24;
  system.poe_links.push_back(link);
  const Plan plan = plan_of(system);
  const Finding* loop = find(plan, "poe-cable", "camera");
  REQUIRE(loop);
  CHECK(*loop->limit == doctest::Approx(12.5));  // IEEE 802.3, Type 2
  CHECK(loop->severity == Severity::passed);
  const Finding* warm = find(plan, "poe-bundle", "camera");
  REQUIRE(warm);
  // 7.2 K at 600 mA in each pair; this one takes 12 W at some 53 V.
  const double pair_a = plan.cases.front().poe_links.front().port_a;
  CHECK(*warm->value == doctest::Approx(7.2 * pair_a * pair_a / 0.36));
  system.poe_links[0].length_m = 400.0;
  const Plan far_off = plan_of(system);
  const Finding* longer = find(far_off, "poe-cable", "camera");
  REQUIRE(longer);
  CHECK(longer->severity == Severity::warning);
}
