/// Fields by path: read, set, refuse.

#include <doctest/doctest.h>

#include "nightbus/scenario_batch.hpp"
#include "systems.hpp"

using namespace nightbus;
using namespace systems;

TEST_CASE("a path reaches one field of one record, whatever the name holds") {
  System system = small();
  system.loads[0].name = "router 2.4 GHz";
  set_field(system, "load.router 2.4 GHz.typical", 33.0);
  CHECK(system.loads[0].typical_w == 33.0);
  CHECK(std::get<double>(field_at(system, "load.router 2.4 GHz.typical")) == 33.0);
  set_field(system, "site.temp_hot", 44.0);
  CHECK(system.site.temp_hot_c == 44.0);
  set_field(system, "rules.drop_critical", std::string("2.5 %"));
  CHECK(system.rules.drop_critical == doctest::Approx(0.025));
}

TEST_CASE("texts are read as an author writes them, in the dimension of the field") {
  System system = small();
  set_field(system, "run.feed.length", std::string("12 ft"));
  CHECK(system.runs[0].length_m == doctest::Approx(3.6576));
  set_field(system, "run.feed.size", std::string("4 AWG"));
  CHECK(*system.runs[0].size == *parse_size("4 AWG"));
  set_field(system, "load.router.window", std::string("10 V to 15 V"));
  CHECK(system.loads[0].window_v->high == 15.0);
  set_field(system, "load.switch.count", 3.0);
  CHECK(system.loads[1].count == 3);
  set_field(system, "run.feed.spare", true);
  CHECK(system.runs[0].spare);
}

TEST_CASE("what is not there is named with its near miss, and what does not fit is refused") {
  System system = small();
  const System before = system;
  const auto message = [&](std::string_view path, const NewValue& value) -> std::string {
    try {
      set_field(system, path, value);
    } catch (const Error& error) {
      return error.what();
    }
    return "accepted";
  };
  CHECK(message("laod.router.typical", 1.0).find("\"load\"") != std::string::npos);
  CHECK(message("load.roter.typical", 1.0).find("\"router\"") != std::string::npos);
  CHECK(message("load.router.typicl", 1.0).find("\"typical\"") != std::string::npos);
  CHECK(message("load.router.typical", std::string("12 V")).find("a power") != std::string::npos);
  CHECK(message("load.router.typical", -1.0).find("out of bounds") != std::string::npos);
  CHECK(message("load.switch.count", 1.5).find("whole number") != std::string::npos);
  CHECK(message("router", 1.0).find("not a path") != std::string::npos);
  CHECK(message("load.typical", 1.0).find("name") != std::string::npos);
  CHECK(system == before);
}

TEST_CASE("every number path can be read and set to itself") {
  System system = small();
  const std::vector<std::string> paths = number_paths(system);
  CHECK(paths.size() > 20);
  const System before = system;
  for (const std::string& path : paths) {
    CAPTURE(path);
    set_field(system, path, std::get<double>(field_at(system, path)));
  }
  CHECK(system == before);
}
