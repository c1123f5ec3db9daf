#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>
#include <random>
#include <string>
#include <vector>

#include "nightbus/fields.hpp"
#include "nightbus/reader.hpp"

using namespace nightbus;

namespace {

/// Fills fields at random with values that the reader accepts; names and references by plan.
class Generator {
 public:
  explicit Generator(std::uint64_t seed) : random_(seed) {}

  System system() {
    System system;
    const auto bus_count = 1 + pick(3);
    system.title = text();
    system.note = text();
    fill(record_type("site"), &system.site);
    fill(record_type("rules"), &system.rules);
    for (int i = 0; i <= pick(2); ++i) {
      system.compartments.emplace_back().name = name("space", i);
      fill(record_type("compartment"), &system.compartments.back());
    }
    spaces_ = static_cast<int>(system.compartments.size());
    system.banks.emplace_back().name = "bank 1";
    fill(record_type("bank"), &system.banks.back());
    system.banks.back().chemistry = "LFP";
    for (int i = 0; i < bus_count; ++i) {
      system.buses.emplace_back().name = name("bus", i);
      fill(record_type("bus"), &system.buses.back());
    }
    for (int i = 0; i < pick(5); ++i) {
      system.loads.emplace_back().name = name("load", i);
      fill(record_type("load"), &system.loads.back());
    }
    for (int i = 0; i < pick(3); ++i) {
      system.arrays.emplace_back().name = name("array", i);
      fill(record_type("array"), &system.arrays.back());
    }
    for (int i = 0; i < pick(3); ++i) {
      auto& one = system.converters.emplace_back();
      one.name = name("stage", i);
      fill(record_type("converter"), &one);
    }
    for (int i = 0; i < pick(3); ++i) {
      system.cases.emplace_back().name = name("case", i);
      fill(record_type("case"), &system.cases.back());
    }
    add_runs(system);
    return system;
  }

 private:
  int pick(int below) { return static_cast<int>(random_() % static_cast<std::uint64_t>(below)); }
  bool chance() { return pick(2) == 0; }
  static std::string name(const char* kind, int i) {
    return std::string(kind) + " " + std::to_string(i + 1);
  }

  std::string text() {
    static const std::vector<std::string> texts{"",
                                                "plain",
                                                "with \"quotes\" and \\ and #",
                                                "two\nlines\tand a tab",
                                                "湖 µΩ ²",
                                                "'single' = 1",
                                                "\x01\x7f"};
    return texts[static_cast<std::size_t>(pick(static_cast<int>(texts.size())))];
  }

  /// Runs in any order, some named like what they feed and some not.
  void add_runs(System& system) {
    std::vector<std::pair<std::string, bool>> ends;  // name, gives
    for (const auto& bus : system.buses) ends.emplace_back(bus.name, false);
    for (const auto& load : system.loads) ends.emplace_back(load.name, false);
    for (const auto& stage : system.converters) ends.emplace_back(stage.name, false);
    for (const auto& array : system.arrays) ends.emplace_back(array.name, true);
    if (chance()) std::shuffle(ends.begin(), ends.end(), random_);
    for (std::size_t i = 0; i < ends.size(); ++i) {
      auto& run = system.runs.emplace_back();
      fill(record_type("run"), &run);
      const auto other = ends[i].first == "bus 1" ? std::string("bank 1") : std::string("bus 1");
      run.name = pick(4) == 0 ? "lead " + std::to_string(i) : ends[i].first;
      run.from = ends[i].second ? ends[i].first : other;
      run.to = ends[i].second ? other : ends[i].first;
    }
    for (const auto& stage : system.converters) {
      auto& run = system.runs.emplace_back();
      fill(record_type("run"), &run);
      run.name = "output of " + stage.name;
      run.from = stage.name;
      run.to = "bus 1";
    }
  }

  double number(const Field& field) {
    const auto plausible = plausible_range(field.dimension);
    const double low = field.low.value_or(plausible.low);
    const double high = std::min(field.high.value_or(plausible.high), low + 1e6);
    const double share = std::uniform_real_distribution<double>(0.001, 1.0)(random_);
    const double value = low + (high - low) * share;
    return chance() ? std::min(std::ceil(value), high) : value;
  }

  void fill(const RecordType& type, void* record) {
    for (const auto& field : type.fields) {
      if (field.key == "name" || (!field.required && chance())) continue;
      set(field, record);
    }
  }

  void set(const Field& field, void* record) {
    switch (field.kind) {
      case FieldKind::flag:
        field.set(record, FieldValue(chance()));
        break;
      case FieldKind::count: {
        const auto low = static_cast<int>(field.low.value_or(0));
        const auto high = static_cast<int>(std::min(field.high.value_or(50), 50.0));
        field.set(record, FieldValue(static_cast<std::int64_t>(low + pick(high - low + 1))));
        break;
      }
      case FieldKind::quantity:
        field.set(record, FieldValue(number(field)));
        break;
      case FieldKind::text:
        field.set(record,
                  FieldValue(field.key == "time_zone" ? std::string("Europe/Vienna") : text()));
        break;
      case FieldKind::choice:
        field.set(record, FieldValue(field.choices[static_cast<std::size_t>(
                              pick(static_cast<int>(field.choices.size())))]));
        break;
      case FieldKind::range: {
        double a = number(field);
        double b = number(field);
        if (a > b) std::swap(a, b);
        field.set(record, FieldValue(Range{a, b}));
        break;
      }
      case FieldKind::size:
        field.set(record,
                  FieldValue(ConductorSize{SizeSystem::awg, static_cast<double>(pick(20) - 3)}));
        break;
      case FieldKind::quantities: {
        std::vector<double> list(field.exactly != 0 ? field.exactly
                                                    : static_cast<std::size_t>(1 + pick(4)));
        for (auto& one : list) one = number(field);
        field.set(record, FieldValue(list));
        break;
      }
      case FieldKind::windows:
        field.set(record, FieldValue(std::vector<std::string>{"06:30-12:00", "22:00-05:00"}));
        break;
      case FieldKind::sizes:
        field.set(record, FieldValue(std::vector<ConductorSize>{{SizeSystem::metric, 2.5},
                                                                {SizeSystem::awg, 0}}));
        break;
      case FieldKind::efficiency:
        field.set(record,
                  FieldValue(std::vector<EfficiencyPoint>{{0.1, 0.8}, {1.0 / 3, 0.9}, {1, 0.88}}));
        break;
      case FieldKind::reference:
        if (field.refers_to == "compartment" && spaces_ > 0)
          field.set(record, FieldValue(name("space", pick(spaces_))));
        break;
      case FieldKind::texts:
      case FieldKind::references:
        break;
    }
  }

  std::mt19937_64 random_;
  int spaces_ = 0;
};

}  // namespace

TEST_CASE(
    "what is written reads back to an equal system, whatever the values and the order of runs") {
  for (std::uint64_t seed = 1; seed <= 150; ++seed) {
    CAPTURE(seed);
    const auto system = Generator(seed).system();
    const auto text = write_system(system);
    // Random values do not fit each other, so only the reading counts here: problems of syntax,
    // keys or values would lose something, and then the systems differ.
    const auto examined = examine_system(text, "written.toml");
    const bool equal = examined.system == system;
    if (!equal) MESSAGE(text << render(examined.problems));
    REQUIRE(equal);
    CHECK(write_system(examined.system) == text);
  }
}

TEST_CASE("the text is pleasant: units, feeds inside, nothing that says nothing") {
  System system;
  system.title = "Skarvhus";
  system.site.latitude_deg = 46.95;
  system.site.longitude_deg = 10.85;
  system.banks.emplace_back();
  system.banks[0].name = "cellar bank";
  system.banks[0].chemistry = "AGM";
  system.banks[0].nominal_v = 24;
  system.banks[0].capacity_ah = 230;
  system.loads.emplace_back();
  system.loads[0].name = "door radio";
  system.loads[0].typical_w = 6;
  system.loads[0].temp_c = Range{-20, 50};
  system.runs.emplace_back();
  system.runs[0].name = "door radio";
  system.runs[0].from = "cellar bank";
  system.runs[0].to = "door radio";
  system.runs[0].length_m = 3.6576;
  CHECK(write_system(system) == R"(nightbus = 1
title = "Skarvhus"

[site]
latitude = "46.95°"
longitude = "10.85°"

[[bank]]
name = "cellar bank"
chemistry = "AGM"
voltage = "24 V"
capacity = "230 Ah"

[[load]]
name = "door radio"
typical = "6 W"
temp = "-20 °C to 50 °C"
feed = { from = "cellar bank", length = "3.6576 m" }
)");
  CHECK(check_system(system).empty());
}

TEST_CASE("what was written by hand stays written, also when it is the default") {
  const std::string text = R"(nightbus = 1

[site]
latitude = "46.95°"
longitude = "10.85°"
albedo = 0.2

[[bank]]
name = "cellar bank"
chemistry = "AGM"
voltage = "24 V"
capacity = "230 Ah"
reserve = "20 %"

[[load]]
name = "door radio"
typical = "6 W"
feed = { from = "cellar bank", length = "3 m" }
)";
  CHECK(write_system(read_system(text, "hut.toml")) == text);
}

TEST_CASE("a text that is not UTF-8 is not written half") {
  System system;
  system.title = "bad \xff title";
  CHECK_THROWS_AS((void)write_system(system), Error);
  const auto path = std::filesystem::temp_directory_path() / "nightbus_write_test.toml";
  CHECK_THROWS_AS(write_system_file(system, path), Error);
  CHECK_FALSE(std::filesystem::exists(path));
  system.title = "good title";
  write_system_file(system, path);
  CHECK(std::filesystem::exists(path));
  CHECK_FALSE(std::filesystem::exists(path.string() + ".part"));
  std::filesystem::remove(path);
  CHECK_THROWS_AS(write_system_file(system, "/nowhere/at/all.toml"), Error);
}
