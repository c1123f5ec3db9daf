/// The whole plan of real-sized systems: every check holds, and no plan is better.

#include <doctest/doctest.h>

#include <string>

#include "nightbus/protection.hpp"
#include "nightbus/reader.hpp"

using namespace nightbus;

namespace {

System demo(const std::string& name) {
  return read_system_file(std::string(NIGHTBUS_SOURCE_DIR) + "/notebooks/systems/" + name);
}

}  // namespace

TEST_CASE("the mended demo systems get a plan that is proven and passes every check") {
  for (const char* name : {"travelling-library-after.toml", "rescue-hut-after.toml"}) {
    CAPTURE(name);
    const WiringPlan plan = plan_wiring(demo(name), Catalogue::builtin(), {});
    CHECK(plan.feasible);
    CHECK(plan.optimality.proven);
    CHECK(plan.optimality.bound <= plan.optimality.value);
    CHECK(plan.optimality.value == doctest::Approx(plan.optimality.bound).epsilon(1e-9));
    for (const RunPlan& run : plan.runs) {
      CAPTURE(run.run);
      REQUIRE(run.chosen < run.candidates.size());
      CHECK(run.candidates[run.chosen].feasible());
      CHECK(run.candidates[run.chosen].size == run.size);
    }
    for (const EndVolts& end : plan.ends) {
      CAPTURE(end.name);
      if (end.limit_ratio > 0.0) CHECK(end.drop_ratio <= end.limit_ratio * (1.0 + 1e-9));
    }
  }
}

TEST_CASE("one size less on any one run that was chosen breaks a limit") {
  const char* name = "travelling-library-after.toml";
  const System system = demo(name);
  const WiringPlan plan = plan_wiring(system, Catalogue::builtin(), {});
  int tried = 0;
  for (std::size_t i = 0; i < plan.runs.size(); ++i) {
    const RunPlan& run = plan.runs[i];
    if (run.size_given || run.chosen == 0) continue;
    CAPTURE(run.run);
    System thinner = system;
    for (std::size_t k = 0; k < plan.runs.size(); ++k) thinner.runs[k].size = plan.runs[k].size;
    thinner.runs[i].size = run.candidates[run.chosen - 1].size;
    WiringOptions quick;
    quick.explain = false;
    quick.size_ups = false;
    const WiringPlan worse = plan_wiring(thinner, Catalogue::builtin(), quick);
    bool told = !worse.feasible;
    for (const Finding& finding : worse.findings) {
      told = told || finding.severity == Severity::danger || finding.severity == Severity::warning;
    }
    CHECK(told);
    ++tried;
  }
  CHECK(tried > 3);
}
