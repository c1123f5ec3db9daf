#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <string>

#include "nightbus/fields.hpp"
#include "nightbus/reader.hpp"

using namespace nightbus;

namespace {

constexpr auto small = R"(nightbus = 1
title = "Skarvhus"

[site]
latitude = "46° 57' N"
longitude = 10.85
elevation = "-12 m"

[[bank]]
name = "cellar bank"
chemistry = "AGM"
voltage = 24
capacity = "230 Ah"
reserve = 40

[[bus]]
name = "hut block"

[[run]]
name = "bank lead"
from = "cellar bank"
to = "hut block"
length = "4 ft 6 in"
size = "35 mm2"

[[load]]
name = "door radio"
typical = "6 W"
window = "20 V to 30 V"
schedule = ["22:00-06:00", "12:00-13:30"]
feed = { from = "hut block", length = "3 m", joint_resistance = 0.25 }

[[charger]]
name = "mains charger"
current = "20 A"
feed.to = "hut block"
feed.length = "2 m"
feed.name = "charger lead"
)";

System read(const std::string& text) {
  return read_system(text, "hut.toml");
}

std::string problem_of(const std::string& text) {
  const auto examined = examine_system(text, "hut.toml");
  return examined.problems.empty() ? "" : render(examined.problems.front());
}

}  // namespace

TEST_CASE("every kind of value arrives in its inside unit") {
  const auto system = read(small);
  CHECK(system.title == "Skarvhus");
  CHECK(system.site.latitude_deg == 46.95);
  CHECK(system.site.longitude_deg == 10.85);
  CHECK(system.site.elevation_m == -12.0);
  REQUIRE(system.banks.size() == 1);
  CHECK(system.banks[0].nominal_v == 24.0);
  CHECK(system.banks[0].reserve == 0.4);  // a plain number takes the field's unit: percent
  REQUIRE(system.runs.size() == 3);
  CHECK(system.runs[0].length_m == 1.3716);
  CHECK(system.runs[0].size == ConductorSize{SizeSystem::metric, 35});
  CHECK(system.loads[0].window_v == Range{20, 30});
  CHECK(system.loads[0].usage.schedule.size() == 2);
}

TEST_CASE("a feed becomes the run that leads to or from its record") {
  const auto system = read(small);
  CHECK(system.runs[1].name == "door radio");
  CHECK(system.runs[1].from == "hut block");
  CHECK(system.runs[1].to == "door radio");
  CHECK(system.runs[1].joint_ohm == 0.00025);
  CHECK(system.runs[2].name == "charger lead");
  CHECK(system.runs[2].from == "mains charger");
  CHECK(system.runs[2].to == "hut block");
}

TEST_CASE("records know their line, each value its place, and what was written") {
  const auto system = read(small);
  const auto& bank = system.banks[0];
  CHECK(bank.written.where.place() == "hut.toml:10:8");
  CHECK(bank.written.places.at("capacity").place() == "hut.toml:13:12");
  const auto& type = record_type("bank");
  CHECK_FALSE(is_assumed(type, *type.find("reserve"), &bank));
  CHECK(is_assumed(type, *type.find("ageing"), &bank));
  CHECK(system.runs[1].written.where.line == 31);
}

TEST_CASE("line ends, a byte order mark and comments change nothing") {
  std::string dos;
  for (char c : std::string(small)) dos += c == '\n' ? std::string("\r\n") : std::string(1, c);
  CHECK(read(dos) == read(small));
  CHECK(read("\xEF\xBB\xBF" + std::string(small)) == read(small));
  CHECK(read("# first\n" + std::string(small) + "# last") == read(small));
}

TEST_CASE("a problem is shown as people will see it") {
  auto text = std::string(small);
  text.replace(text.find("length = \"4 ft"), 6, "lenght");
  CHECK(problem_of(text).starts_with(
      "hut.toml:23:1: run \"bank lead\": unknown key \"lenght\"\n"
      "   23 | lenght = \"4 ft 6 in\"\n"
      "      | ^^^^^^\n"
      "  expected: one of \"name\", \"note\", \"from\", \"to\", \"length\","));
  CHECK(problem_of(text).ends_with("  to mend:  did you mean \"length\"?\n"));
  auto wrong = std::string(small);
  wrong.replace(wrong.find("\"230 Ah\""), 8, "\"230 V\"");
  CHECK(problem_of(wrong) ==
        "hut.toml:13:13: bank \"cellar bank\": \"capacity\" must be a charge\n"
        "   13 | capacity = \"230 V\"\n"
        "      |             ^^^^^\n"
        "  expected: a charge such as \"100 Ah\"\n"
        "  found:    \"230 V\" is a voltage\n");
}

TEST_CASE("a file is read by its path, and what cannot be opened is said") {
  const auto path = std::filesystem::temp_directory_path() / "nightbus_reader_test.toml";
  std::ofstream(path) << small;
  CHECK(read_system_file(path) == read(small));
  std::filesystem::remove(path);
  CHECK_THROWS_AS((void)read_system_file(path), Error);
  CHECK_THROWS_AS((void)read_system_file(std::filesystem::temp_directory_path()), Error);
}

TEST_CASE("very large and very deep input is refused in good time") {
  CHECK_FALSE(
      examine_system(std::string(std::size_t{17} << 20, '#'), "large.toml").problems.empty());
  const auto deep = "a = " + std::string(20000, '[');
  CHECK_FALSE(examine_system(deep, "deep.toml").problems.empty());
  std::string many;
  for (int i = 0; i < 3000; ++i) many += "x" + std::to_string(i) + " = bad value here\n";
  const auto examined = examine_system(many, "many.toml");
  CHECK(examined.problems.size() < 40);  // syntax problems are counted, then reading stops
}

TEST_CASE("systems with thousands of records are read in good time") {
  std::string text = small;
  for (int i = 0; i < 3000; ++i) {
    text += "\n[[load]]\nname = \"lamp " + std::to_string(i) +
            "\"\ntypical = \"2 W\"\nfeed = { from = \"hut block\", length = \"3 m\" }\n";
  }
  const auto system = read(text);
  CHECK(system.loads.size() == 3001);
  CHECK(system.runs.size() == 3003);
}

TEST_CASE("the demo systems are sound") {
  const auto folder = std::filesystem::path(NIGHTBUS_SOURCE_DIR) / "notebooks/systems";
  int count = 0;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    if (entry.path().extension() != ".toml") continue;
    CAPTURE(entry.path().filename().string());
    ++count;
    try {
      const auto system = read_system_file(entry.path());
      CHECK(system.loads.size() + system.poe_links.size() >= 15);
      CHECK(read_system(write_system(system), "again.toml") == system);
    } catch (const InputError& error) {
      FAIL_CHECK(std::string(error.what()));
    }
  }
  CHECK(count >= 4);
}
