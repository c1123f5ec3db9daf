// What a careful electrician would say about one device on one conductor.
#include <doctest/doctest.h>

#include <algorithm>

#include "nightbus/protection.hpp"

using namespace nightbus;

namespace {

/// A two metre run behind a bank, everything ordinary; each test makes one thing worse.
struct Bench {
  System system;
  Run run;
  RunContext context;
  const Catalogue& catalogue = Catalogue::builtin();

  explicit Bench(const char* rules = "ABYC E-11") {
    system.rules.sets = {rules};
    run.name = "bench";
    run.length_m = 2.0;
    run.fuse_distance_m = 0.1;
    context.system = &system;
    context.catalogue = &catalogue;
    context.run = &run;
    context.rules = {&catalogue.rule_set(rules)};
    context.nominal_v = 12.0;
    context.highest_v = 14.6;
    context.source = SourceKind::other;
    context.design_a = 6.0;
    context.cases = {{"only", 6.0, 6.0, 30.0, 25.0, 12.8}};
    context.insulation_c = 105.0;
    context.fuse_ambient_c = 25.0;
    context.highest_emf_v = 13.6;
    context.highest_source_ohm = 0.030;
    context.lowest_emf_v = 11.8;
    context.lowest_source_ohm = 0.060;
  }

  const Conductor& wire(const char* size) const {
    return catalogue.conductor(*parse_size(size), "AWG");
  }
  std::vector<Verdict> verdicts(const char* size, const char* form, double rating_a,
                                double ampacity_a) const {
    Device device{catalogue.overcurrent_form(form).name, DeviceKind::fuse, rating_a,
                  device_resistance_ohm(catalogue, form, rating_a), true};
    std::vector<Verdict> all;
    device_rules(system, catalogue)->explain(context, wire(size), ampacity_a, &device, all);
    return all;
  }
};

const Verdict* failed(const std::vector<Verdict>& all, const char* code) {
  const auto found = std::find_if(all.begin(), all.end(),
                                  [&](const auto& v) { return v.code == code && !v.passed; });
  return found == all.end() ? nullptr : &*found;
}

const Verdict* any(const std::vector<Verdict>& all, const char* code) {
  const auto found =
      std::find_if(all.begin(), all.end(), [&](const auto& v) { return v.code == code; });
  return found == all.end() ? nullptr : &*found;
}

}  // namespace

TEST_CASE("an ordinary run gets the smallest blade that carries its continuous load") {
  const Bench bench;
  const auto rules = device_rules(bench.system, bench.catalogue);
  const auto options = rules->options(bench.context, bench.wire("14 AWG"), 35.0);
  REQUIRE_FALSE(options.fitting.empty());
  // 6 A x 1.25 = 7.5 A, and a 7.5 A blade is made; cool air takes nothing off.
  CHECK(options.fitting.front().rating_a == doctest::Approx(7.5));
  for (const Device& device : options.fitting) {
    std::vector<Verdict> all;
    rules->explain(bench.context, bench.wire("14 AWG"), 35.0, &device, all);
    CHECK(
        std::none_of(all.begin(), all.end(), [](const auto& v) { return !v.passed && v.rejects; }));
  }
}

TEST_CASE("a bank that drives more than 1000 A is too much for every blade fuse") {
  Bench bench;
  bench.context.highest_source_ohm = 0.005;  // 13.6 V / 5 mΩ = 2720 A
  const auto all = bench.verdicts("2 AWG", "maxi blade", 40, 150.0);
  const Verdict* verdict = failed(all, "interrupt-rating");
  REQUIRE(verdict);
  CHECK(*verdict->value == doctest::Approx(2720.0));
  CHECK(*verdict->limit == doctest::Approx(1000.0));  // ISO 8820-3:2015, 32 V parts
  const auto options = device_rules(bench.system, bench.catalogue)
                           ->options(bench.context, bench.wire("2 AWG"), 150.0);
  for (const Device& device : options.fitting) {
    const auto& form = bench.catalogue.overcurrent_form(device.form);
    CHECK(form.interrupt_at(14.6)->current_a >= 2720.0);
  }
}

TEST_CASE("a 32 V blade does not serve a 48 V bus, whatever it could break at 32 V") {
  Bench bench;
  bench.context.nominal_v = 48.0;
  bench.context.highest_v = 58.4;
  CHECK(failed(bench.verdicts("14 AWG", "mini blade", 10, 35.0), "interrupt-voltage"));
}

TEST_CASE("the fuse of a long thin run may not blow at its far end") {
  Bench bench;
  bench.run.length_m = 30.0;
  const auto all = bench.verdicts("18 AWG", "blade", 10, 20.0);
  const Verdict* verdict = failed(all, "fault-current-low");
  REQUIRE(verdict);
  CHECK(*verdict->value < *verdict->limit);
  CHECK(verdict->at_least);
}

TEST_CASE("a fuse in air of 60 degrees carries less, and says so") {
  Bench bench;
  bench.context.design_a = 5.5;
  const auto cool = bench.verdicts("14 AWG", "blade", 7.5, 35.0);
  CHECK_FALSE(failed(cool, "fuse-below-load"));
  bench.context.fuse_ambient_c = 60.0;
  const auto hot = bench.verdicts("14 AWG", "blade", 7.5, 35.0);
  const Verdict* verdict = failed(hot, "fuse-below-load");
  REQUIRE(verdict);
  CHECK(*verdict->limit < *any(cool, "fuse-below-load")->limit);
}

TEST_CASE(
    "a device above 150 % of the conductor is refused, at 150 % it is allowed (33 CFR 183.455)") {
  const Bench bench("33 CFR 183");
  // Table 5: 18 AWG, 105 °C, 20 A; largest device below 50 V is 30 A.
  CHECK_FALSE(failed(bench.verdicts("18 AWG", "mini blade", 30, 20.0), "fuse-above-ceiling"));
  const auto all = bench.verdicts("18 AWG", "maxi blade", 35, 20.0);
  const Verdict* verdict = failed(all, "fuse-above-ceiling");
  REQUIRE(verdict);
  CHECK(*verdict->limit == doctest::Approx(30.0));
}

TEST_CASE("let-through: 40 A maxi blade melts at more than 0.75 mm2 of PVC wire takes") {
  Bench bench("BS 7671");
  bench.context.insulation_c = 70.0;
  bench.run.length_m = 0.5;
  bench.context.highest_source_ohm = 0.014;
  bench.context.lowest_source_ohm = 0.020;
  const Conductor& wire = bench.catalogue.conductor(*parse_size("0.75 mm2"), "metric class 5");
  std::vector<Verdict> all;
  Device device{"maxi blade", DeviceKind::fuse, 40.0, 0.0024, true};
  device_rules(bench.system, bench.catalogue)->explain(bench.context, wire, 60.0, &device, all);
  const Verdict* verdict = failed(all, "let-through");
  REQUIRE(verdict);
  // k 115 (BS 7671 Table 43.1) and 0.75 mm²: 7439 A²s.
  CHECK(*verdict->limit == doctest::Approx(7439.0).epsilon(0.001));
  CHECK(*verdict->value >= 8500.0);
}

TEST_CASE("a device far from its source is told so in each rule set's own distance") {
  Bench bench;
  bench.run.fuse_distance_m = 0.5;
  const auto bare = bench.verdicts("14 AWG", "blade", 7.5, 35.0);
  REQUIRE(failed(bare, "placement-distance"));
  CHECK(*failed(bare, "placement-distance")->limit == doctest::Approx(0.1778));  // 7 in
  bench.run.sheathed = true;
  CHECK_FALSE(failed(bench.verdicts("14 AWG", "blade", 7.5, 35.0), "placement-distance"));
}

TEST_CASE("a switch without a DC voltage rating is not taken for good") {
  Bench bench;
  bench.run.switch_a = 20.0;
  CHECK(failed(bench.verdicts("14 AWG", "blade", 7.5, 35.0), "switch-unknown"));
  bench.run.switch_v = 12.0;
  CHECK(failed(bench.verdicts("14 AWG", "blade", 7.5, 35.0), "switch"));
  bench.run.switch_v = 32.0;
  CHECK_FALSE(failed(bench.verdicts("14 AWG", "blade", 7.5, 35.0), "switch"));
}

TEST_CASE("a run that needs a device and has none is a danger") {
  const Bench bench;
  std::vector<Verdict> all;
  device_rules(bench.system, bench.catalogue)
      ->explain(bench.context, bench.wire("14 AWG"), 35.0, nullptr, all);
  CHECK(failed(all, "no-protection"));
}

TEST_CASE("a big input capacitor warns about a small fuse") {
  Bench bench;
  bench.context.inrush_f = 0.047;
  bench.context.highest_source_ohm = 0.010;
  const auto all = bench.verdicts("10 AWG", "blade", 5, 60.0);
  const Verdict* verdict = any(all, "inrush");
  REQUIRE(verdict);
  CHECK_FALSE(verdict->passed);
  CHECK_FALSE(verdict->rejects);
}

TEST_CASE("a source that limits itself below the wire's ampacity cannot endanger it") {
  Bench bench;
  bench.context.fault = FaultSource::limited;
  bench.context.limited_a = 8.0;
  const auto all = bench.verdicts("14 AWG", "blade", 7.5, 35.0);
  CHECK_FALSE(failed(all, "fault-current-low"));
  CHECK_FALSE(failed(all, "interrupt-rating"));
}

TEST_CASE("a fuse form and rating fixed by the file are the only ones looked at") {
  Bench bench;
  bench.run.fuse_form = "blade";
  bench.run.fuse_a = 15.0;
  const auto options = device_rules(bench.system, bench.catalogue)
                           ->options(bench.context, bench.wire("14 AWG"), 35.0);
  REQUIRE(options.fitting.size() == 1);
  CHECK(options.fitting.front().rating_a == doctest::Approx(15.0));
  CHECK(options.fitting.front().given);
}
