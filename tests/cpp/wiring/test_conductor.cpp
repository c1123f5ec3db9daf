/// One conductor against published examples and tables.

#include "nightbus/wiring_conductor.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numeric>

#include "published_table.hpp"

using namespace nightbus;

namespace {

constexpr double mm2_per_circular_mil = 5.067075e-4;
constexpr double m_per_ft = 0.3048;

double ohm_per_m(const std::string& text) {
  const double value = std::stod(text);
  const bool per_kft = text.find("kft") != std::string::npos;
  return value / (m_per_ft * (per_kft ? 1000.0 : 1.0));
}

double answer(const published::Row& row) {
  const std::string quantity = row.text("quantity");
  const auto number = [&](const char* name) { return std::stod(row.text(name)); };
  if (quantity == "drop") {
    return loop_drop_v(number("a"), ohm_per_m(row.text("b")), number("c") * m_per_ft / 2.0);
  }
  if (quantity == "longest") {
    return 2.0 * longest_run_m(number("c"), number("a"), ohm_per_m(row.text("b"))) / m_per_ft;
  }
  if (quantity == "area") {
    // Ω·cmil/ft is Ω·mm²/m times the ratio of the units.
    const double resistivity = number("a") * mm2_per_circular_mil / m_per_ft;
    return area_for_drop_mm2(resistivity, number("b"), number("c") * m_per_ft / 2.0, number("d")) /
           mm2_per_circular_mil;
  }
  if (quantity == "root estimate") {
    return square_root_estimate_c(number("a"), number("b"), number("c"), number("d"));
  }
  if (quantity == "hot length") return hot_length_m(number("a"), number("b"), number("c"));
  if (quantity == "ratio") return 1.0 / hot_length_m(1.0, number("a"), number("b"));
  return std::nan("");
}

}  // namespace

TEST_CASE("worked examples of drop, length, area and hot wire") {
  int checked = 0;
  published::Table table;
  for (const auto& row : published::read(table, "wiring_examples.csv").rows) {
    const double found = answer(row);
    if (std::isnan(found)) continue;  // the fuse examples stand in the protection tests
    CAPTURE(row.text("quantity"));
    CAPTURE(row.text("source"));
    CHECK(std::abs(found - row.number("answer")) <= row.tolerance("answer"));
    ++checked;
  }
  CHECK(checked == 16);
}

TEST_CASE("two published drops are misprints, and the right values come out") {
  // AC 43.13-1B Table 11-7 prints 3.60 V for 88 ft of 12 AWG at 20 A: 3.555 V.
  CHECK(loop_drop_v(20.0, 0.00202 / m_per_ft, 44.0 * m_per_ft) == doctest::Approx(3.5552));
  // AC 43.13-1B Table 11-8 prints 0.366 V for 19.5 ft of 10 AWG at 20 A: 0.491 V.
  CHECK(loop_drop_v(20.0, 0.00126 / m_per_ft, 9.75 * m_per_ft) == doctest::Approx(0.4914));
}

TEST_CASE("choice of AC 43.13-1B p. 11-26: 28 V, 50 ft with return, 20 A, at most 1 V: 8 AWG") {
  const ConductorFamily& family = Catalogue::builtin().conductor_family("aircraft tinned");
  const Conductor* chosen = nullptr;
  for (const Conductor& conductor : family.conductors) {
    if (loop_drop_v(20.0, conductor.resistance_ohm_per_m, 25.0 * m_per_ft) > 1.0) continue;
    chosen = &conductor;
    break;
  }
  REQUIRE(chosen);
  CHECK(print_size(chosen->size) == "8 AWG");
}

TEST_CASE("free-air ampacity from first principles lies within 15 % of the published one") {
  const Catalogue& catalogue = Catalogue::builtin();
  published::Table table;
  for (const auto& row : published::read(table, "wiring_free_air.csv").rows) {
    CAPTURE(row.text("awg"));
    const auto size = parse_size(row.text("awg") + " AWG");
    WireInAir wire;
    // Over the strands: a concentric stranding fills 0.78 of its circle.
    wire.conductor_diameter_m = 2e-3 * std::sqrt(nominal_area_mm2(*size) / 0.78 / 3.14159265);
    wire.outer_diameter_m = row.number("outer_in") * 0.0254;
    // Stranded bare copper of the same table as the currents.
    wire.resistance_ohm_per_m =
        catalogue.conductor(*size, "NEC stranded bare").resistance_ohm_per_m;
    const double published_a = row.number("amperes");
    double low = 1e9, high = 0.0;
    for (const double emissivity : {0.6, 0.9}) {
      wire.emissivity = emissivity;
      const FreeAirBalance balance = free_air_balance(wire, 90.0, 30.0);
      low = std::min(low, balance.current_a);
      high = std::max(high, balance.current_a);
      CHECK(balance.surface_c > 80.0);
      CHECK(balance.surface_c < 88.0);
      CHECK(balance.convection_w_per_m2k > 8.0);
      CHECK(balance.convection_w_per_m2k < 18.0);
    }
    CHECK(low >= published_a * (1.0 - row.number("tolerance")));
    CHECK(high <= published_a * (1.0 + row.number("tolerance")));
  }
}

TEST_CASE("heat balance: what reaches the surface leaves it, and copper makes it") {
  WireInAir wire;
  wire.conductor_diameter_m = 2.6e-3;
  wire.outer_diameter_m = 4.2e-3;
  wire.resistance_ohm_per_m = 3.3e-3;
  const FreeAirBalance balance = free_air_balance(wire, 75.0, 25.0);
  const double leaving = 3.14159265358979 * wire.outer_diameter_m *
                         (balance.convection_w_per_m2k + balance.radiation_w_per_m2k) *
                         (balance.surface_c - 25.0);
  const double hot_ohm = wire.resistance_ohm_per_m * (234.5 + 75.0) / 254.5;
  CHECK(leaving == doctest::Approx(balance.heat_w_per_m).epsilon(1e-9));
  CHECK(balance.current_a * balance.current_a * hot_ohm ==
        doctest::Approx(balance.heat_w_per_m).epsilon(1e-9));
  CHECK(free_air_balance(wire, 25.0, 25.0).current_a == 0.0);
}

TEST_CASE("temperature at load: rated point, no current, and the balance in between") {
  const double z = 234.5;
  CHECK(*conductor_temperature_c(40.0, 30.0, 40.0, 90.0, 30.0, z) == doctest::Approx(90.0));
  CHECK(*conductor_temperature_c(0.0, 47.0, 40.0, 90.0, 30.0, z) == doctest::Approx(47.0));
  for (const double current_a : {5.0, 17.0, 33.0}) {
    const double temp_c = *conductor_temperature_c(current_a, 41.0, 40.0, 90.0, 30.0, z);
    // Rise over heat is the same as at the rated point.
    const double rated = (90.0 - 30.0) / (40.0 * 40.0 * (z + 90.0));
    CHECK((temp_c - 41.0) / (current_a * current_a * (z + temp_c)) == doctest::Approx(rated));
  }
  CHECK_FALSE(conductor_temperature_c(400.0, 30.0, 40.0, 90.0, 30.0, z));
}

TEST_CASE("ambient factor: every published cell within its rounding, and the table wins") {
  // NFPA 70 (2023) Table 310.15(B)(1)(1): the formula at the upper edge of each band.
  const RuleSet& nec = Catalogue::builtin().rule_set("NEC");
  for (const double column_c : {60.0, 75.0, 90.0}) {
    for (double ambient_c = 35.0; ambient_c < column_c; ambient_c += 5.0) {
      const auto table = nec.ambient_factor(ambient_c, column_c);
      REQUIRE(table);
      CAPTURE(column_c);
      CAPTURE(ambient_c);
      CHECK(std::abs(table->value - ambient_factor(ambient_c, column_c, 30.0)) <= 0.00501);
      // Two decimals: the table's own figure, not the formula's.
      CHECK(std::abs(table->value * 100.0 - std::round(table->value * 100.0)) < 1e-9);
    }
  }
  CHECK(ambient_factor(30.0, 90.0, 30.0) == 1.0);
  CHECK(ambient_factor(90.0, 90.0, 30.0) == 0.0);
}

TEST_CASE("four DC pairs count differently in each rule set, and the strictest is first") {
  const Catalogue& catalogue = Catalogue::builtin();
  const std::vector<const RuleSet*> sets = {&catalogue.rule_set("NEC"),
                                            &catalogue.rule_set("ABYC E-11")};
  AmpacityAsk ask;
  ask.size = *parse_size("14 AWG");
  ask.area_mm2 = nominal_area_mm2(ask.size);
  ask.insulation_c = 105.0;
  ask.terminal_c = 75.0;
  ask.bundle.conductors = 8;
  ask.bundle.size = ask.size;
  const auto all = corrected_ampacities(sets, ask);
  REQUIRE(all.size() == 2);
  for (const CorrectedAmpacity& one : all) {
    REQUIRE(one.known);
    // NFPA 70 Table 310.15(C)(1): 7 to 9 conductors 70 %; ABYC E-11: 7 to 24 conductors 50 %.
    CHECK(one.grouping.value == doctest::Approx(one.rules->name() == "NEC" ? 0.70 : 0.50));
  }
  CHECK(all[0].value_a <= all[1].value_a);
}

TEST_CASE("ambient and bundle factors commute, parallel conductors add, terminals cap") {
  const Catalogue& catalogue = Catalogue::builtin();
  AmpacityAsk ask;
  ask.size = *parse_size("4 AWG");
  ask.area_mm2 = nominal_area_mm2(ask.size);
  ask.insulation_c = 90.0;
  ask.terminal_c = 90.0;
  const RuleSet& nec = catalogue.rule_set("NEC");
  ask.ambient_c = 45.0;
  ask.bundle.conductors = 6;
  ask.bundle.size = ask.size;
  const CorrectedAmpacity both = corrected_ampacity(nec, ask);
  // NFPA 70 Table 310.16: 95 A; 41 to 45 °C 0.87; 4 to 6 conductors 80 %.
  CHECK(both.corrected_a == doctest::Approx(95.0 * 0.87 * 0.80));
  ask.parallel = 2;
  CHECK(corrected_ampacity(nec, ask).corrected_a == doctest::Approx(2.0 * 95.0 * 0.87 * 0.80));
  ask.parallel = 1;
  ask.ambient_c = 20.0;
  ask.bundle.conductors = 2;
  ask.terminal_c = 60.0;
  const CorrectedAmpacity capped = corrected_ampacity(nec, ask);
  CHECK(capped.terminal_governs);
  CHECK(capped.value_a == doctest::Approx(70.0));  // 60 °C column
}

TEST_CASE("a rule set without data says so and never passes for knowledge") {
  const Catalogue& catalogue = Catalogue::builtin();
  AmpacityAsk ask;
  ask.size = *parse_size("14 AWG");
  ask.area_mm2 = nominal_area_mm2(ask.size);
  ask.insulation_c = 60.0;  // ABYC E-11 is carried for 105 °C wire only
  const CorrectedAmpacity unknown = corrected_ampacity(catalogue.rule_set("ABYC E-11"), ask);
  CHECK_FALSE(unknown.known);
  CHECK_FALSE(unknown.missing.empty());
}

TEST_CASE("conductors in parallel share as one over their resistance") {
  const std::vector<double> equal{0.01, 0.01, 0.01};
  for (const double share : parallel_shares(equal)) CHECK(share == doctest::Approx(1.0 / 3.0));
  const std::vector<double> unequal{0.01, 0.03};
  CHECK(parallel_shares(unequal)[0] == doctest::Approx(0.75));
  CHECK(parallel_shares(unequal)[1] == doctest::Approx(0.25));
}
