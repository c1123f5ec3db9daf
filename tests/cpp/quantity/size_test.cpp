#include <doctest/doctest.h>

#include <stdexcept>
#include <string_view>

#include "nightbus/quantity.hpp"

using namespace nightbus;

TEST_CASE("conductor sizes are read in every usual spelling") {
  struct Row {
    std::string_view text;
    SizeSystem system;
    double number;
    std::string_view printed;
  };
  const Row rows[] = {
      {"18 AWG", SizeSystem::awg, 18, "18 AWG"},
      {"18AWG", SizeSystem::awg, 18, "18 AWG"},
      {"AWG 12", SizeSystem::awg, 12, "12 AWG"},
      {"12 awg", SizeSystem::awg, 12, "12 AWG"},
      {"1/0 AWG", SizeSystem::awg, 0, "1/0 AWG"},
      {"0 AWG", SizeSystem::awg, 0, "1/0 AWG"},
      {"00 AWG", SizeSystem::awg, -1, "2/0 AWG"},
      {"4/0 AWG", SizeSystem::awg, -3, "4/0 AWG"},
      {"0000 AWG", SizeSystem::awg, -3, "4/0 AWG"},
      {"12 SAE", SizeSystem::sae, 12, "12 SAE"},
      {"SAE 2/0", SizeSystem::sae, -1, "2/0 SAE"},
      {"2.5 mm2", SizeSystem::metric, 2.5, "2.5 mm²"},
      {"2.5 mm²", SizeSystem::metric, 2.5, "2.5 mm²"},
      {"2.5mm^2", SizeSystem::metric, 2.5, "2.5 mm²"},
      {"16 sq mm", SizeSystem::metric, 16, "16 mm²"},
      {"250 kcmil", SizeSystem::kcmil, 250, "250 kcmil"},
      {"250 MCM", SizeSystem::kcmil, 250, "250 kcmil"},
      {" 0.75 mm² ", SizeSystem::metric, 0.75, "0.75 mm²"},
  };
  for (const auto& row : rows) {
    CAPTURE(row.text);
    const auto size = parse_size(row.text);
    if (!size) FAIL_CHECK(describe(size.problem));
    if (!size) continue;
    CHECK(size->system == row.system);
    CHECK(size->number == row.number);
    CHECK(print_size(*size) == row.printed);
    CHECK(*parse_size(print_size(*size)) == *size);
  }
}

TEST_CASE("every gauge prints to a text that reads back") {
  for (const auto system : {SizeSystem::awg, SizeSystem::sae}) {
    for (int gauge = -3; gauge <= 40; ++gauge) {
      const ConductorSize size{system, static_cast<double>(gauge)};
      const auto text = print_size(size);
      CAPTURE(text);
      REQUIRE(parse_size(text));
      CHECK(*parse_size(text) == size);
    }
  }
}

TEST_CASE("a size that could mean two wires, or none, is refused with the right spelling") {
  struct Row {
    std::string_view text;
    std::string_view seen;
    std::string_view mend;
  };
  const Row rows[] = {
      {"", "an empty text", "number and its system"},
      {"12", "a size without its system", "\"12 AWG\" or \"12 mm²\""},
      {"AWG", "no number", "12 AWG"},
      {"12 ga", "names no system", "\"12 SAE\" for vehicle cable"},
      {"12 gauge", "names no system", "\"12 AWG\""},
      {"#12", "names no system", "\"12 AWG\""},
      {"2.5 mm", "not how conductor sizes are named", "\"2.5 mm²\""},
      {"12 AGW", "unknown size system \"AGW\"", "did you mean \"AWG\"?"},
      {"2.5 mm3", "unknown size system", "did you mean \"mm²\"?"},
      {"250 kcml", "unknown size system", "did you mean \"kcmil\"?"},
      {"12 furlongs", "unknown size system", "AWG, SAE, mm² and kcmil"},
      {"12.5 AWG", "\"12.5\" is not a gauge", "whole numbers"},
      {"5/0 AWG", "no such gauge", "4/0 AWG"},
      {"41 AWG", "no such gauge", "40 AWG"},
      {"-3 AWG", "is not a gauge", "whole numbers"},
      {"012 AWG", "is not a gauge", "whole numbers"},
      {"0 mm²", "no such size", "above 0"},
      {"2,5 mm2", "a decimal comma", "\"2.5\""},
      {"9999 mm²", "no such size", "2500"},
      {"nan mm²", "unknown size system", ""},
      {"12 V", "unknown size system \"V\"", ""},
  };
  for (const auto& row : rows) {
    CAPTURE(row.text);
    const auto size = parse_size(row.text);
    REQUIRE_FALSE(size);
    CAPTURE(size.problem.seen);
    CAPTURE(size.problem.mend);
    CHECK(size.problem.seen.find(row.seen) != std::string::npos);
    CHECK(size.problem.mend.find(row.mend) != std::string::npos);
    CHECK(size.problem.offset + size.problem.length <= row.text.size());
  }
}

TEST_CASE("the AWG formula gives the two diameters that define it") {
  // ASTM B258-02 (standard nominal diameters): 36 AWG 0.0050 in, 4/0 AWG 0.4600 in.
  const double inch_circle = 0.25 * 3.14159265358979323846 * 25.4 * 25.4;
  CHECK(nominal_area_mm2({SizeSystem::awg, 36}) ==
        doctest::Approx(inch_circle * 0.005 * 0.005).epsilon(1e-12));
  CHECK(nominal_area_mm2({SizeSystem::awg, -3}) ==
        doctest::Approx(inch_circle * 0.46 * 0.46).epsilon(1e-12));
}

TEST_CASE("circular mils and metric labels are areas by definition") {
  CHECK(nominal_area_mm2({SizeSystem::metric, 2.5}) == 2.5);
  // 1 cmil = 5.067075e-4 mm² (a circle of 0.001 in).
  CHECK(nominal_area_mm2({SizeSystem::kcmil, 250}) == doctest::Approx(126.6769).epsilon(1e-6));
  CHECK_THROWS_AS((void)nominal_area_mm2({SizeSystem::sae, 12}), std::invalid_argument);
}
