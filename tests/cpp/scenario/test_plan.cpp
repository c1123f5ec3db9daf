/// The plan as a whole: verdicts, evidence, findings, comparison, JSON.

#include <doctest/doctest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "nightbus/reader.hpp"
#include "nightbus/scenario.hpp"
#include "systems.hpp"

using namespace nightbus;
using namespace systems;

namespace {

/// small() with cases of its own and sizes left to the plan.
System sized() {
  System system = small();
  system.rules.terminal_c = 75.0;
  for (Run& each : system.runs) {
    each.size.reset();
  }
  Charger charger;
  charger.name = "charger";
  charger.current_a = 20.0;
  charger.voltage_v = 14.4;
  charger.schedule = {"08:00-16:00"};
  system.chargers.push_back(charger);
  Run feed = run("charger feed", "charger", "block", 1.5);
  feed.size.reset();
  system.runs.push_back(feed);
  system.cases.clear();
  return system;
}

PlanOptions quick() {
  PlanOptions options;
  options.wiring.explain = false;
  options.wiring.size_ups = false;
  options.wiring.changes = false;
  options.energy = false;
  return options;
}

Plan plan_of(const System& system, const PlanOptions& options = quick()) {
  return make_plan(system, Catalogue::builtin(), options);
}

const Finding* find(const Plan& plan, std::string_view code, std::string_view subject,
                    std::optional<Severity> severity = {}) {
  for (const Finding& each : plan.findings) {
    if (each.code == code && each.subject == subject && (!severity || each.severity == *severity)) {
      return &each;
    }
  }
  return nullptr;
}

}  // namespace

TEST_CASE("cautions come first, and there is always somebody licensed to ask") {
  const Plan plan = plan_of(sized());
  REQUIRE(plan.cautions.size() >= 4);
  CHECK(plan.cautions.front().find("licensed person") != std::string::npos);
  // A lead bank gasses; a lithium bank's words are not for it.
  const auto mentions = [&](std::string_view word) {
    return std::any_of(plan.cautions.begin(), plan.cautions.end(), [&](const std::string& line) {
      return line.find(word) != std::string::npos;
    });
  };
  CHECK(mentions("hydrogen"));
  CHECK_FALSE(mentions("lithium"));
  CHECK_FALSE(plan.not_modelled.empty());
}

TEST_CASE("a plan is never good while a danger or a warning stands") {
  Plan plan = plan_of(sized());
  plan.findings.clear();
  CHECK(plan.verdict() == PlanVerdict::good);
  plan.findings.push_back(make_finding("bundle-count", "run", "feed"));
  CHECK(plan.verdict() == PlanVerdict::good);
  plan.findings.push_back(make_finding("drop", "run", "feed"));
  CHECK(plan.verdict() == PlanVerdict::care);
  plan.findings.push_back(make_finding("ampacity", "run", "feed"));
  CHECK(plan.verdict() == PlanVerdict::danger);
  plan.findings.clear();
  plan.wiring.feasible = false;
  CHECK(plan.verdict() == PlanVerdict::care);
  plan.cases.front().status = SolveStatus::collapsed;
  CHECK(plan.verdict() == PlanVerdict::danger);
  plan.cases.clear();
  CHECK(plan.verdict() == PlanVerdict::danger);
}

TEST_CASE("findings stand worst first, and passed checks are kept as evidence") {
  System system = sized();
  system.loads[1].window_v = Range{9.0, 13.2};
  const Plan plan = plan_of(system);
  for (std::size_t k = 1; k < plan.findings.size(); ++k) {
    CHECK(plan.findings[k - 1].severity <= plan.findings[k].severity);
  }
  const Finding* over = find(plan, "overvoltage", "switch", Severity::danger);
  REQUIRE(over);
  CHECK(over->value.value() > 13.2);
  CHECK(over->limit.value() == 13.2);
  CHECK(plan.verdict() == PlanVerdict::danger);
  const Finding* held = find(plan, "undervoltage", "switch", Severity::passed);
  REQUIRE(held);
  CHECK(held->value.value() > held->limit.value());
  for (const Finding& each : plan.findings) {
    CHECK_FALSE(sentence(each).empty());
  }
}

TEST_CASE("a window that is not stated is said, not skipped") {
  System system = sized();
  system.loads[0].window_v.reset();
  const Plan plan = plan_of(system);
  CHECK(find(plan, "missing-unchecked", "router", Severity::warning));
  CHECK(plan.verdict() != PlanVerdict::good);
}

TEST_CASE("defaults that were taken are listed with the records that left them out") {
  const Plan plan = plan_of(sized());
  const auto drop_class = std::find_if(
      plan.assumptions.begin(), plan.assumptions.end(),
      [](const Assumption& each) { return each.kind == "load" && each.key == "drop_class"; });
  REQUIRE(drop_class != plan.assumptions.end());
  CHECK(drop_class->value == "critical");
  CHECK(drop_class->names == std::vector<std::string>{"router", "switch"});
  REQUIRE_FALSE(plan.rules.empty());
  CHECK(plan.rules.front().name == "33 CFR 183");
  CHECK_FALSE(plan.rules.front().citations.empty());
}

TEST_CASE("heat and wiring settle together: the plan's air is the air its losses make") {
  System system = sized();
  Compartment box;
  box.name = "box";
  box.conductance_w_per_k = 3.0;
  system.compartments.push_back(box);
  for (Load& each : system.loads) {
    each.compartment = "box";
  }
  const Plan plan = plan_of(system);
  REQUIRE(plan.heat.settled);
  for (std::size_t c = 0; c < plan.cases.size(); ++c) {
    const CaseResult& result = plan.cases[c];
    REQUIRE(result.ok());
    double watts = 0.0;
    for (const LoadResult& each : result.loads) {
      watts += each.power_w;
    }
    // Half of each load's feed lies in the box as well.
    watts += (result.runs[1].loss_w + result.runs[2].loss_w) / 2.0;
    CHECK(result.inputs.compartment_c[0] ==
          doctest::Approx(result.inputs.outside_c + watts / 3.0).epsilon(1e-4));
    // Wiring reckoned with air at least as warm, and not much warmer.
    const double used = plan.wiring.cases[c].inputs.compartment_c[0];
    CHECK(used >= result.inputs.compartment_c[0]);
    CHECK(used < result.inputs.compartment_c[0] + 1.0);
  }
}

TEST_CASE("a description that cannot be used is refused with all its problems") {
  System system = sized();
  system.runs[1].to = "roter";
  system.loads[1].name = "router";
  CHECK_THROWS_AS(plan_of(system), InputError);
}

TEST_CASE("the same system gives the same plan") {
  Plan first = plan_of(sized()), second = plan_of(sized());
  CHECK(plan_json(first) == plan_json(second));
  CHECK(compare(first, second).findings.empty());
  CHECK(compare(first, second).figures.empty());
}

TEST_CASE("two plans compare by what came, what went and what changed") {
  System more = sized();
  more.loads[0].typical_w = more.loads[0].peak_w.emplace(160.0);
  more.loads[0].window_v = Range{11.9, 13.2};
  const Comparison changes = compare(plan_of(sized()), plan_of(more));
  CHECK(
      std::any_of(changes.findings.begin(), changes.findings.end(), [](const FindingChange& each) {
        return each.what == ChangeOf::appeared && each.after && each.after->subject == "router";
      }));
  CHECK(std::any_of(changes.figures.begin(), changes.figures.end(), [](const FigureChange& each) {
    return each.kind == "run" && each.name == "router feed" && each.figure == "largest current" &&
           *each.after_value > *each.before_value;
  }));
  const auto json = nlohmann::json::parse(comparison_json(changes));
  CHECK(json["format"] == 1);
  CHECK(json["after"] == "danger");
}

TEST_CASE(
    "a thicker feed gains margin everywhere, and the comparison says how much copper it cost") {
  System thin = small();
  PlanOptions options = quick();
  options.margins = true;
  System thick = thin;
  thick.runs[0].size = *parse_size("4 AWG");
  const Plan before = plan_of(thin, options);
  const Plan after = plan_of(thick, options);
  const Comparison changes = compare(before, after);
  const auto figure = [&](std::string_view kind, std::string_view name, std::string_view what) {
    const auto found =
        std::find_if(changes.figures.begin(), changes.figures.end(), [&](const FigureChange& each) {
          return each.kind == kind && each.name == name && each.figure == what;
        });
    REQUIRE(found != changes.figures.end());
    return *found->after_value - *found->before_value;
  };
  CHECK(figure("system", "", "metal") ==
        doctest::Approx(after.wiring.metal_kg - before.wiring.metal_kg));
  CHECK(figure("system", "", "metal") > 0.0);
  CHECK(figure("system", "", "loads times, to collapse") > 0.0);
  CHECK(figure("run", "feed", "room to its ampacity") > 0.0);
  CHECK(figure("run", "feed", "largest drop") < 0.0);
  CHECK(figure("load", "router", "lowest volts") > 0.0);
}

TEST_CASE("the JSON carries what the plan holds") {
  const Plan plan = plan_of(sized());
  const auto json = nlohmann::json::parse(plan_json(plan));
  CHECK(json["format"] == 1);
  CHECK(json["verdict"] == std::string(verdict_name(plan.verdict())));
  CHECK(json["findings"].size() == plan.findings.size());
  CHECK(json["wiring"]["runs"].size() == plan.system.runs.size());
  REQUIRE(json["cases"].size() == plan.cases.size());
  for (std::size_t c = 0; c < plan.cases.size(); ++c) {
    const auto& each = json["cases"][c];
    CHECK(each["name"] == plan.cases[c].name);
    for (std::size_t k = 0; k < plan.cases[c].loads.size(); ++k) {
      CHECK(each["loads"][k]["voltage_v"] == plan.cases[c].loads[k].voltage_v);
    }
  }
}

TEST_CASE("nights, sun and shares close") {
  System system = sized();
  PlanOptions options = quick();
  options.energy = true;
  options.step_s = 1800.0;
  const Plan plan = plan_of(system, options);
  REQUIRE(plan.energy.done);
  REQUIRE(plan.energy.months.size() == 12);
  double day = 0.0, night = 0.0;
  for (const EnergyShare& each : plan.energy.loads) {
    day += each.day_at_bank_wh;
    night += each.night_at_bank_wh;
  }
  CHECK(plan.energy.buses.front().night_at_bank_wh == doctest::Approx(night).epsilon(1e-6));
  const MonthPlan& hardest = plan.energy.months[plan.energy.hardest];
  CHECK(day == doctest::Approx(hardest.load_wh).epsilon(1e-6));
  // 84 W at the devices all day: a little more at the bank.
  CHECK(hardest.load_wh > 84.0 * 24.0);
  CHECK(hardest.load_wh < 84.0 * 24.0 * 1.06);
  CHECK(plan.energy.ledger.relative_gap() < 1e-9);
  CHECK(plan.energy.buses.front().day_at_bank_wh == doctest::Approx(day).epsilon(1e-6));
}
