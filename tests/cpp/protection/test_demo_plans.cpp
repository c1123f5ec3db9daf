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

TEST_CASE("the mended demo systems get the least plan that passes every check, proven") {
  for (const char* name : {"travelling-library-after.toml", "rescue-hut-after.toml"}) {
    CAPTURE(name);
    const WiringPlan plan = plan_wiring(demo(name), Catalogue::builtin(), {});
    CHECK(plan.feasible);
    CHECK(plan.optimality.bound <= plan.optimality.value * (1.0 + 1e-9));
    CHECK(plan.optimality.bound >= plan.optimality.value * (1.0 - 1e-9));
    CHECK(plan.optimality.proven);
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
