/// The whole choice against trying everything, and what may never happen when something is added.
///
/// "Tried" means: sizes and devices written into the system as given, then every check of the plan
/// made on the solved network. Nothing of the search takes part in it.

#include <doctest/doctest.h>

#include <algorithm>
#include <set>

#include "random_systems.hpp"

using namespace nightbus;
using namespace nightbus::testing;

namespace {

#ifdef NDEBUG
constexpr int scale = 40;
#else
constexpr int scale = 1;
#endif

const Catalogue& tables() {
  return with_two_ratings();
}

struct Choice {
  std::vector<std::size_t> size;
  std::vector<int> device;  // -1: none
  double metal_kg = 0.0;
};

System given(const System& system, const Choice& choice) {
  System fixed = system;
  fixed.rules.stock.clear();
  for (std::size_t k = 0; k < fixed.runs.size(); ++k) {
    fixed.runs[k].size = system.rules.stock[choice.size[k]];
    const std::vector<double>& made = tables().overcurrent_form("pair").ratings_a;
    fixed.runs[k].fuse_form = "pair";
    fixed.runs[k].fuse_a = made[static_cast<std::size_t>(choice.device[k])];
  }
  return fixed;
}

// Every size with every device on every run, lightest first.
std::vector<Choice> every_choice(const System& system) {
  const std::size_t runs = system.runs.size();
  const std::size_t sizes = system.rules.stock.size();
  std::vector<Choice> all;
  std::vector<std::size_t> digit(2 * runs, 0);
  while (true) {
    Choice choice;
    for (std::size_t k = 0; k < runs; ++k) {
      choice.size.push_back(digit[k]);
      choice.device.push_back(static_cast<int>(digit[runs + k]));
      const Run& run = system.runs[k];
      const Conductor& wire = conductor_for(system, tables(), run, system.rules.stock[digit[k]]);
      choice.metal_kg += 2.0 * run.length_m * wire.mass_kg_per_m;
    }
    all.push_back(std::move(choice));
    std::size_t at = 0;
    while (at < digit.size() && ++digit[at] == (at < runs ? sizes : 2)) digit[at++] = 0;
    if (at == digit.size()) break;
  }
  std::stable_sort(all.begin(), all.end(),
                   [](const Choice& a, const Choice& b) { return a.metal_kg < b.metal_kg; });
  return all;
}

bool stands(const System& fixed) {
  return plan_wiring(fixed, tables(), bare()).feasible;
}

std::set<std::string> failing(const WiringPlan& plan, const std::string& subject_kind,
                              const std::string& subject) {
  std::set<std::string> codes;
  for (const Finding& each : plan.findings) {
    const bool bad = each.severity == Severity::danger || each.severity == Severity::warning;
    if (bad && each.subject_kind == subject_kind && each.subject == subject) {
      codes.insert(each.code);
    }
  }
  return codes;
}

/// The plan of each system of a family is proven, stands, and nothing lighter stands.
void hold_against_everything(Random& random, const SystemShape& shape, int systems,
                             int least_feasible) {
  int feasible = 0;
  int tried = 0;
  for (int k = 0; k < systems; ++k) {
    CAPTURE(k);
    const System system = random_system(random, shape);
    const WiringPlan plan = plan_wiring(system, tables(), bare());
    bool found = false;
    for (const Choice& choice : every_choice(system)) {
      if (plan.feasible && choice.metal_kg >= plan.metal_kg * (1.0 - 1e-9)) break;
      ++tried;
      if (stands(given(system, choice))) {
        found = true;
        break;
      }
    }
    REQUIRE_FALSE(found);
    if (!plan.feasible) continue;
    ++feasible;
    REQUIRE(plan.optimality.proven);
    REQUIRE(plan.optimality.bound <= plan.optimality.value * (1.0 + 1e-9));
    System wired = wired_system(system, plan);
    wired.rules.stock.clear();
    REQUIRE(stands(wired));
  }
  MESSAGE(tried << " plans tried for " << systems << " systems, of which " << feasible
                << " can be wired");
  CHECK(feasible > least_feasible);
}

}  // namespace

TEST_CASE("no size and device that pass every check weigh less than the plan") {
  Random random(101);
  hold_against_everything(random, {.most_loads = 2, .sizes = 3}, 30 * scale, 15 * scale);
}

TEST_CASE("nor where a converter stands in the middle") {
  // What hangs behind it decides what it takes, and that what the wire before it must be.
  Random random(104);
  hold_against_everything(random, {.most_loads = 1, .sizes = 3, .behind_converter = 1}, 6 * scale,
                          2 * scale);
  hold_against_everything(random, {.most_loads = 1, .sizes = 2, .behind_converter = 2}, scale, 0);
}

TEST_CASE("nor where a converter hangs on a converter, or powered ports beside runs") {
  Random random(105);
  hold_against_everything(random,
                          {.most_loads = 1, .sizes = 2, .behind_converter = 0, .nested = true},
                          scale / 2 + 1, 0);
  hold_against_everything(random,
                          {.most_loads = 1, .sizes = 3, .behind_converter = 1, .links = true},
                          2 * scale, scale / 2);
}

TEST_CASE("less drop allowed, a rule set more, a load more: a plan is never lighter for it") {
  Random random(102);
  int compared = 0;
  for (int k = 0; k < 20 * scale; ++k) {
    CAPTURE(k);
    System system = random_system(random, {.most_loads = 3, .sizes = 5});
    // A resistance elsewhere takes less when the volts sag: only watts that stay are compared.
    for (Load& load : system.loads) load.behaviour = Behaviour::constant_power;
    const WiringPlan before = plan_wiring(system, tables(), bare());
    const auto heavier = [&](const System& stricter) {
      const WiringPlan after = plan_wiring(stricter, tables(), bare());
      if (!before.optimality.proven || !after.optimality.proven) return;
      if (!after.feasible) return;
      REQUIRE(before.feasible);
      ++compared;
      REQUIRE(after.metal_kg >= before.metal_kg * (1.0 - 1e-9));
    };
    System less = system;
    less.rules.drop_critical *= between(random, 0.5, 1.0);
    less.rules.drop_general *= between(random, 0.5, 1.0);
    heavier(less);
    System more_rules = system;
    more_rules.rules.sets.push_back(system.rules.sets[0] == "ABYC E-11" ? "33 CFR 183"
                                                                        : "ABYC E-11");
    heavier(more_rules);
    System more = system;
    Load extra = system.loads.front();
    extra.name = "one more";
    extra.typical_w = between(random, 2.0, 30.0);
    extra.peak_w = extra.typical_w;
    more.loads.push_back(extra);
    Run run = system.runs.back();
    run.name = "one more run";
    run.to = extra.name;
    more.runs.push_back(run);
    heavier(more);
  }
  MESSAGE(compared << " pairs of plans compared");
  CHECK(compared > 20 * scale);
}

TEST_CASE("one size up adds no finding of its own run, and behind it only what more fault brings") {
  // Thicker wire lets more current into a short behind it: that may ask for more of the devices
  // there, and of what they let through. Nothing else may get worse.
  const std::set<std::string> more_fault{"interrupt-rating", "interrupt-unknown", "let-through",
                                         "inrush", "selectivity"};
  Random random(103);
  int compared = 0;
  WiringOptions told = bare();
  told.explain = true;
  for (int k = 0; k < 15 * scale; ++k) {
    CAPTURE(k);
    System system = random_system(random, {.most_loads = 2, .sizes = 4});
    // A resistance that sees more volts draws more, which is no fault of the wire.
    for (Load& load : system.loads) load.behaviour = Behaviour::constant_power;
    const WiringPlan plan = plan_wiring(system, tables(), told);
    const System wired = wired_system(system, plan);
    const WiringPlan before = plan_wiring(wired, tables(), told);
    for (const RunPlan& run : plan.runs) {
      System thicker = wired;
      const auto& stock = system.rules.stock;
      const auto at = std::find(stock.begin(), stock.end(), run.size);
      if (at + 1 == stock.end()) continue;
      thicker.runs[run.index].size = *(at + 1);
      const WiringPlan after = plan_wiring(thicker, tables(), told);
      ++compared;
      for (const Run& other : system.runs) {
        CAPTURE(run.run);
        CAPTURE(other.name);
        const std::set<std::string> was = failing(before, "run", other.name);
        for (const std::string& code : failing(after, "run", other.name)) {
          CAPTURE(code);
          CHECK((was.contains(code) || more_fault.contains(code)));
          if (other.name == run.run && code != "selectivity") CHECK(was.contains(code));
        }
      }
      for (const EndVolts& end : after.ends) {
        const auto found =
            std::find_if(before.ends.begin(), before.ends.end(),
                         [&](const EndVolts& each) { return each.name == end.name; });
        CAPTURE(end.name);
        CHECK((end.passed || !found->passed));
      }
    }
  }
  CHECK(compared > 15 * scale);
}
