#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "nightbus/catalogue.hpp"
#include "published_table.hpp"

using namespace nightbus;

namespace {
const Catalogue& book() {
  return Catalogue::builtin();
}
}  // namespace

TEST_SUITE("PoE") {
  TEST_CASE("types are the whole table of IEEE 802.3") {
    published::Table table;
    for (const auto& row : published::read(table, "poe_types.csv").rows) {
      const auto& type = book().poe_type(static_cast<int>(row.number("type")));
      const auto quantity = row.text("quantity");
      double got = -1;
      if (quantity == "source_w") got = type.source_w;
      if (quantity == "device_w") got = type.device_w;
      if (quantity == "source_v_low") got = type.source_v.low;
      if (quantity == "source_v_high") got = type.source_v.high;
      if (quantity == "device_v_low") got = type.device_v.low;
      if (quantity == "device_v_high") got = type.device_v.high;
      if (quantity == "pair_set_ma") got = type.pair_set_a * 1000.0;
      if (quantity == "pairs_low") got = type.pairs_low;
      if (quantity == "pairs_high") got = type.pairs_high;
      if (quantity == "loop_ohm") got = type.pair_set_loop_ohm;
      INFO(row.text("type"), " ", quantity);
      CHECK(got == doctest::Approx(row.number("value")).epsilon(1e-12));
    }
  }

  TEST_CASE("classes are the whole table of IEEE 802.3; class 8 is 90 W, not the misprint 99 W") {
    published::Table table;
    const auto& rows = published::read(table, "poe_classes.csv").rows;
    CHECK(rows.size() == book().poe_classes().size());
    for (const auto& row : rows) {
      const auto& entry = book().poe_class(static_cast<int>(row.number("class")));
      CHECK(entry.source_w == row.number("source_w"));
      CHECK(entry.device_w == row.number("device_w"));
    }
    CHECK(book().poe_class(8).source_w == 90);
    CHECK(book().poe_type(2).source_w == 30);  // 34.2 W is 57 V times 0.6 A, not the type's power
  }

  TEST_CASE("a type's own figures close: port power minus loop loss at the lowest voltage") {
    // Type 1: 44 V, 350 mA, 20 Ω -> 37 V, 12.95 W. Type 2: 50 V, 600 mA, 12.5 Ω -> 42.5 V, 25.5 W.
    // Type 3 over four pairs: 50 V, 1.2 A, 6.25 Ω -> 42.5 V, 51 W. Type 4: 41.2 V, 71.3 W.
    for (const auto& type : book().poe_types()) {
      const double current_a = type.source_w / type.source_v.low;
      const double loop_ohm = type.loop_ohm(type.pairs_high);
      INFO(type.name);
      CHECK(std::abs(type.source_v.low - current_a * loop_ohm - type.device_v.low) <= 0.1);
      CHECK(std::abs(type.source_w - current_a * current_a * loop_ohm - type.device_w) <= 0.05);
    }
  }

  TEST_CASE("classes: the lowest type that can power them, and four pairs from class 5 up") {
    const int types[] = {1, 1, 1, 1, 2, 3, 3, 4, 4};
    for (const auto& entry : book().poe_classes()) {
      CHECK(entry.type == types[entry.number]);
      CHECK(entry.pairs == (entry.number >= 5 ? 4 : 2));
      CHECK(entry.device_w < entry.source_w);
    }
  }

  TEST_CASE("cable: the limit of TIA-568 governs, ideal copper lies below it") {
    // ANSI/TIA-568: 28.6 Ω per 305 m = 9.377 Ω/100 m. Ideal: 84.2 and 66.8 mΩ/m.
    for (const auto& cable : book().poe_cables()) {
      CHECK(cable.resistance_ohm_per_m == doctest::Approx(0.0938));
      CHECK(cable.resistance_ohm_per_m >= 28.6 / 305.0);
      CHECK(cable.ideal_ohm_per_m < cable.resistance_ohm_per_m);
      const double awg = nominal_area_mm2(*parse_size(cable.name));
      CHECK(cable.area_mm2 == doctest::Approx(awg).epsilon(0.003));
    }
    CHECK(std::abs(book().poe_cable("24 AWG").ideal_ohm_per_m - 0.0842) <= 0.00011);
    CHECK(std::abs(book().poe_cable("23 AWG").ideal_ohm_per_m - 0.0668) <= 0.00005);
  }

  TEST_CASE("a two-pair loop is one conductor one way, four pairs halve it") {
    const auto& cable = book().poe_cable("24 AWG");
    CHECK(cable.loop_ohm(100, 2) == doctest::Approx(9.38));
    CHECK(cable.loop_ohm(100, 4) == doctest::Approx(4.69));
    CHECK(book().poe_type(3).loop_ohm(2) == 12.5);
    CHECK(book().poe_type(3).loop_ohm(4) == 6.25);
  }

  TEST_CASE("the largest input capacitor fills within the time that a port limits its current") {
    // 180 µF to 57 V at 0.400 A: C V / I = 25.65 ms, below the 50 ms of the port; 0.2924 J go in
    // (computed from the start-up figures of IEEE 802.3 as a handbook gives them).
    const double farad = book().guide("PoE device capacitance").value;
    const double ampere = book().guide("PoE inrush current").low;
    const double volt = book().poe_type(1).source_v.high;
    CHECK(std::abs(farad * volt / ampere - 25.65e-3) <= 0.5e-5);
    CHECK(farad * volt / ampere < book().guide("PoE inrush time").low);
    CHECK(std::abs(0.5 * farad * volt * volt - 0.2924) <= 0.5e-4);
  }

  TEST_CASE("there is no type 0 or 5 and no class 9") {
    CHECK_THROWS_AS(book().poe_type(0), LookupError);
    CHECK_THROWS_AS(book().poe_type(5), LookupError);
    CHECK_THROWS_AS(book().poe_class(9), LookupError);
  }
}
