/// Systems built in code are checked by the same rules, without places.

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <string>
#include <string_view>

#include "nightbus/reader.hpp"

using namespace nightbus;

namespace {

System sound() {
  System system;
  system.site.latitude_deg = 58.9;
  system.site.longitude_deg = 15.4;
  auto& bank = system.banks.emplace_back();
  bank.name = "house bank";
  bank.chemistry = "LFP";
  bank.nominal_v = 12;
  bank.capacity_ah = 280;
  system.buses.emplace_back().name = "main bus";
  auto& lead = system.runs.emplace_back();
  lead.name = "bank lead";
  lead.from = "house bank";
  lead.to = "main bus";
  lead.length_m = 0.9;
  auto& load = system.loads.emplace_back();
  load.name = "router";
  load.typical_w = 9;
  auto& feed = system.runs.emplace_back();
  feed.name = "router feed";
  feed.from = "main bus";
  feed.to = "router";
  feed.length_m = 1.1;
  return system;
}

bool reports(const System& system, std::string_view code) {
  const auto problems = check_system(system);
  return std::any_of(problems.begin(), problems.end(),
                     [code](const Problem& p) { return p.code == code; });
}

}  // namespace

TEST_CASE("a sound system has no problems, and loops are allowed") {
  auto system = sound();
  CHECK(check_system(system).empty());
  auto& loop = system.runs.emplace_back();
  loop.name = "second lead";
  loop.from = "house bank";
  loop.to = "main bus";
  loop.length_m = 2;
  CHECK(check_system(system).empty());
}

TEST_CASE("each mistake made in code is found") {
  struct Mistake {
    std::string_view code;
    std::function<void(System&)> make;
  };
  const Mistake mistakes[] = {
      {"out-of-range", [](System& s) { s.runs[0].length_m = 0; }},
      {"out-of-range", [](System& s) { s.runs[0].length_m = -1; }},
      {"out-of-range", [](System& s) { s.runs[0].length_m = std::nan(""); }},
      {"out-of-range", [](System& s) { s.loads[0].typical_w = HUGE_VAL; }},
      {"out-of-range", [](System& s) { s.site.latitude_deg = 91; }},
      {"out-of-range", [](System& s) { s.banks[0].strings = 0; }},
      {"out-of-order",
       [](System& s) {
         s.loads[0].window_v = Range{30, 9};
       }},
      {"out-of-order", [](System& s) { s.banks[0].charge_low = 0.9; }},
      {"wrong-count",
       [](System& s) {
         s.site.clearness = {0.5, 0.6};
       }},
      {"bad-time", [](System& s) { s.loads[0].usage.schedule = {"dawn-dusk"}; }},
      {"overlap",
       [](System& s) {
         s.loads[0].usage.schedule = {"06:00-08:00", "07:59-09:00"};
       }},
      {"missing-name", [](System& s) { s.loads[0].name.clear(); }},
      {"bad-name", [](System& s) { s.buses[0].name = "main bus "; }},
      {"bad-name", [](System& s) { s.compartments.emplace_back().name = "outside"; }},
      {"duplicate-name", [](System& s) { s.loads[0].name = "main bus"; }},
      {"duplicate-name", [](System& s) { s.runs[1].name = "bank lead"; }},
      {"unknown-name", [](System& s) { s.runs[1].from = "mian bus"; }},
      {"unknown-name", [](System& s) { s.runs[1].to.clear(); }},
      {"unknown-name", [](System& s) { s.loads[0].compartment = "rack"; }},
      {"unknown-entry", [](System& s) { s.banks[0].chemistry = "cheese"; }},
      {"unknown-entry", [](System& s) { s.rules.sets = {"none such"}; }},
      {"unknown-size",
       [](System& s) {
         s.runs[0].size = ConductorSize{SizeSystem::metric, 3};
       }},
      {"unknown-size",
       [](System& s) {
         s.rules.stock = {{SizeSystem::sae, 40}};
       }},
      {"unknown-zone", [](System& s) { s.site.time_zone = "Moon/Tycho"; }},
      {"no-bank",
       [](System& s) {
         s.banks.clear();
         s.runs.erase(s.runs.begin());
       }},
      {"not-fed", [](System& s) { s.runs.pop_back(); }},
      {"dead-end",
       [](System& s) {
         s.loads.clear();
         s.runs.pop_back();
       }},
      {"wrong-end", [](System& s) { std::swap(s.runs[1].from, s.runs[1].to); }},
      {"voltage-misfit",
       [](System& s) {
         s.loads[0].window_v = Range{20, 30};
       }},
      {"bank-voltage", [](System& s) { s.banks[0].nominal_v = 13.4; }},
      {"out-of-range",
       [](System& s) {
         auto& stage = s.converters.emplace_back();
         stage.name = "stage";
         stage.output_v = 5;
         stage.power_w = 20;
         stage.efficiency = {{0.5, 1.2}};
       }},
  };
  for (const auto& mistake : mistakes) {
    auto system = sound();
    mistake.make(system);
    const auto text = render(check_system(system));
    CAPTURE(text);
    CHECK_MESSAGE(reports(system, mistake.code), mistake.code);
  }
}

TEST_CASE("an unreachable load is told from one without a run") {
  auto system = sound();
  system.buses.emplace_back().name = "island";
  auto& lamp = system.loads.emplace_back();
  lamp.name = "lamp";
  lamp.typical_w = 2;
  auto& horn = system.loads.emplace_back();
  horn.name = "horn";
  horn.typical_w = 2;
  for (const char* name : {"lamp", "horn"}) {
    auto& run = system.runs.emplace_back();
    run.name = std::string(name) + " feed";
    run.from = "island";
    run.to = name;
    run.length_m = 1;
  }
  CHECK(reports(system, "unreachable"));
  CHECK_FALSE(reports(system, "not-fed"));
}

TEST_CASE("a load behind a converter is reached, and has the converter's voltage") {
  auto system = sound();
  auto& stage = system.converters.emplace_back();
  stage.name = "five volt stage";
  stage.output_v = 5;
  stage.power_w = 30;
  auto& lamp = system.loads.emplace_back();
  lamp.name = "lamp";
  lamp.typical_w = 2;
  lamp.window_v = Range{4.5, 5.5};
  auto& in = system.runs.emplace_back();
  in.name = "stage feed";
  in.from = "main bus";
  in.to = "five volt stage";
  in.length_m = 1;
  auto& out = system.runs.emplace_back();
  out.name = "lamp feed";
  out.from = "five volt stage";
  out.to = "lamp";
  out.length_m = 1;
  CHECK(check_system(system).empty());
  system.runs[2].from = "five volt stage";  // fed from itself only
  CHECK(reports(system, "wrong-end"));
}

TEST_CASE("problems of a system built in code are plain sentences") {
  auto system = sound();
  system.runs[0].length_m = -1;
  const auto problems = check_system(system);
  REQUIRE(problems.size() == 1);
  CHECK(render(problems[0]) ==
        "run \"bank lead\": \"length\" is out of range\n"
        "  expected: above 0 m, up to 10 km\n"
        "  found:    -1 m\n");
}
