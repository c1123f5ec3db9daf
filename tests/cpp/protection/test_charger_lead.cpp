/// What a charger's lead may lose, and that the choice of its size keeps to it.

#include <doctest/doctest.h>

#include <algorithm>
#include <string>

#include "nightbus/protection.hpp"
#include "nightbus/reader.hpp"

using namespace nightbus;

namespace {

const char* const text = R"(
nightbus = 1
[site]
latitude = 45
longitude = 10
[[bank]]
name = "bank"
chemistry = "LFP"
voltage = "12 V"
capacity = "200 Ah"
[[bus]]
name = "block"
[[run]]
name = "lead"
from = "bank"
to = "block"
length = "0.6 m"
[[load]]
name = "router"
typical = "12 W"
peak = "18 W"
window = "9 V to 32 V"
feed = { from = "block", length = "2 m" }
[[charger]]
name = "mains charger"
current = "40 A"
feed = { to = "block", length = "LENGTH" }
)";

const Verdict* charge_drop(const Candidate& candidate) {
  const auto found = std::find_if(candidate.checks.begin(), candidate.checks.end(),
                                  [](const Verdict& each) { return each.code == "charge-drop"; });
  return found == candidate.checks.end() ? nullptr : &*found;
}

System with_lead(const std::string& length) {
  std::string filled = text;
  filled.replace(filled.find("LENGTH"), 6, length);
  return read_system(filled, "text");
}

}  // namespace

TEST_CASE("a charger's lead loses no more than critical loads may, at all that it can bring") {
  for (const char* length : {"1 m", "3 m", "8 m"}) {
    CAPTURE(length);
    const System system = with_lead(length);
    const WiringPlan plan = plan_wiring(system, Catalogue::builtin(), {});
    const RunPlan& lead = plan.run("mains charger");
    REQUIRE(plan.feasible);
    const Candidate& chosen = lead.candidates[lead.chosen];
    REQUIRE(charge_drop(chosen));
    CHECK(charge_drop(chosen)->passed);
    CHECK(*charge_drop(chosen)->limit == doctest::Approx(0.03 * 12.0));
    // The network's own solution, whose device stands beside the limit.
    CHECK(lead.drop_v <= 0.03 * 12.0 + lead.current_a * lead.device->resistance_ohm + 1e-9);
    // Thicker than needed by no size: the next one down fails this or another check.
    if (lead.chosen > 0) CHECK_FALSE(lead.candidates[lead.chosen - 1].feasible());
  }
}

TEST_CASE("a longer charger lead is never thinner, and a load's run is not asked") {
  double before_mm2 = 0.0;
  for (const char* length : {"0.5 m", "1 m", "2 m", "4 m", "8 m"}) {
    const WiringPlan plan = plan_wiring(with_lead(length), Catalogue::builtin(), {});
    const RunPlan& lead = plan.run("mains charger");
    CHECK(lead.area_mm2 >= before_mm2);
    before_mm2 = lead.area_mm2;
    const RunPlan& router = plan.run("router");
    CHECK(charge_drop(router.candidates[router.chosen]) == nullptr);
  }
  CHECK(before_mm2 > 20.0);  // 40 A over 8 m: 0.36 V leave room for nothing thinner
}
