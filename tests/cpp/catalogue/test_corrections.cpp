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

double root(double ambient_c, double column_c, double base_c = 30.0) {
  return std::sqrt((column_c - ambient_c) / (column_c - base_c));
}

}  // namespace

TEST_SUITE("ambient") {
  TEST_CASE("every published ambient factor is reproduced, over its whole band") {
    published::Table table;
    for (const auto& row : published::read(table, "rules_ambient.csv").rows) {
      const auto& rules = book().rule_set(row.text("rules"));
      const double column_c = row.number("column_c");
      for (double ambient_c = row.number("low_c"); ambient_c <= row.number("edge_c");
           ambient_c += 1.0) {
        const auto found = rules.ambient_factor(ambient_c, column_c, true);
        INFO(row.text("rules"), " ", column_c, " °C wire in ", ambient_c, " °C");
        REQUIRE(found);
        CHECK(found->value == row.number("factor"));
        CHECK(found->from.confidence == Confidence::read_copy);
      }
    }
  }

  TEST_CASE("the square-root formula at a band's upper edge meets the printed cell within 0.005") {
    published::Table table;
    std::size_t differing = 0;
    for (const auto& row : published::read(table, "rules_ambient.csv").rows) {
      const double formula = root(row.number("edge_c"), row.number("column_c"));
      const double off = std::abs(formula - row.number("factor"));
      INFO(row.text("rules"), " ", row.number("column_c"), " ", row.number("edge_c"));
      if (row.text("formula") == "yes") {
        CHECK(off <= 0.00501);
      } else {
        CHECK(off > 0.00501);  // the table gives less credit for cold than the formula
        CHECK(row.number("factor") < formula);
        ++differing;
      }
    }
    CHECK(differing == 3);
  }

  TEST_CASE("1 at base, 0 at the insulation's temperature and above, falling in between") {
    for (const auto& rules : book().rule_sets()) {
      for (const double column_c : {60., 70., 75., 80., 90., 105., 125., 150., 200.}) {
        std::optional<double> before;
        for (double ambient_c = -40.0; ambient_c <= 210.0; ambient_c += 0.25) {
          const auto found = rules.ambient_factor(ambient_c, column_c);
          if (!found) continue;
          INFO(rules.name(), " ", column_c, " ", ambient_c);
          CHECK(found->value <= 1.0);
          CHECK(found->value >= 0.0);
          if (ambient_c <= 30.0) CHECK(found->value == 1.0);
          if (ambient_c >= column_c) CHECK(found->value == 0.0);
          if (before) CHECK(found->value <= *before);
          before = found->value;
        }
      }
    }
  }

  TEST_CASE("no factor is more generous than the formula at the ambient itself, but for rounding") {
    for (const auto& rules : book().rule_sets()) {
      for (const double column_c : {60., 70., 75., 90., 105., 125., 200.}) {
        for (double ambient_c = 31.0; ambient_c < column_c; ambient_c += 0.5) {
          const auto found = rules.ambient_factor(ambient_c, column_c);
          if (!found || found->value == 1.0) continue;  // 1: base of another ambient
          INFO(rules.name(), " ", column_c, " ", ambient_c);
          const double base_c = rules.name() == "AC 43.13-1B" ? 70.0 : 30.0;
          if (column_c > base_c) CHECK(found->value <= root(ambient_c, column_c, base_c) + 0.00501);
        }
      }
    }
  }

  TEST_CASE("the engine-space table wins over the formula at 50 °C and says where it came from") {
    // 33 CFR 183.425 Table 5 note 1: 0.85; the formula gives 0.856, NFPA 70 prints 0.86.
    for (const auto* name : {"33 CFR 183", "ABYC E-11"}) {
      const auto found = book().rule_set(name).ambient_factor(50.0, 105.0);
      CHECK(found->value == 0.85);
      CHECK(found->from.confidence == Confidence::read_copy);
      const auto near = book().rule_set(name).ambient_factor(49.0, 105.0);
      CHECK(near->value == doctest::Approx(root(49.0, 105.0)));
      CHECK(near->from.confidence == Confidence::computed);
      CHECK(book().rule_set(name).ambient_factor(50.1, 105.0)->value <= 0.85);
    }
    CHECK(book().rule_set("NEC").ambient_factor(50.0, 105.0)->value == 0.86);
  }

  TEST_CASE(
      "remembered engine-space factors are not used: the formula is, and is never above them") {
    const auto& rules = book().rule_set("33 CFR 183");
    const auto& remembered = book().table("33 CFR 183/engine space, other insulations");
    CHECK(remembered.pedigree->confidence == Confidence::memory);
    for (const auto& row : remembered.rows) {
      const auto found = rules.ambient_factor(50.0, std::stod(row[0]));
      CHECK(found->from.confidence == Confidence::computed);
      CHECK(found->value == doctest::Approx(root(50.0, std::stod(row[0]))));
      CHECK(found->value <= std::stod(row[1]) + 0.005);
    }
  }

  TEST_CASE("credit for cold: only where the rules give it, and only when asked") {
    CHECK(book().rule_set("NEC").ambient_factor(10.0, 60.0)->value == 1.0);
    CHECK(book().rule_set("NEC").ambient_factor(10.0, 60.0, true)->value == 1.29);
    CHECK(book().rule_set("NEC").ambient_factor(-40.0, 60.0, true)->value == 1.29);
    CHECK(book().rule_set("BS 7671").ambient_factor(0.0, 70.0, true)->value == 1.03);
    CHECK(book().rule_set("33 CFR 183").ambient_factor(0.0, 105.0, true)->value == 1.0);
    CHECK(book().rule_set("NEC").gives_cold_credit());
    CHECK(!book().rule_set("33 CFR 183").gives_cold_credit());
    CHECK(!book().rule_set("AC 43.13-1B").gives_cold_credit());
  }

  TEST_CASE("a cell past a column's last is the formula at the band's edge") {
    const auto& nec = book().rule_set("NEC");
    CHECK(nec.ambient_factor(57.0, 60.0)->value == 0.0);  // 56-60 band of 60 °C wire
    CHECK(nec.ambient_factor(74.0, 75.0)->value == 0.0);
    CHECK(nec.ambient_factor(88.0, 90.0)->value == doctest::Approx(root(88.0, 90.0)));
  }

  TEST_CASE("90 °C wire at 41 to 45 °C takes its own column") {
    // A published example takes 0.82, the 75 °C column: 12 AWG, nine wires, then 17.2 A. Right is
    // 30 × 0.87 × 0.70 = 18.27 A.
    const auto& nec = book().rule_set("NEC");
    const auto wire = nec.ampacity(*parse_size("12 AWG"), 90.0);
    Bundle bundle;
    bundle.conductors = 9;
    const double amps = wire->value * nec.ambient_factor(43.0, wire->column_c)->value *
                        nec.grouping_factor(bundle)->value;
    CHECK(amps == doctest::Approx(18.27));
  }
}

TEST_SUITE("grouping") {
  TEST_CASE("every published grouping factor is reproduced for every count of its band") {
    published::Table table;
    for (const auto& row : published::read(table, "rules_grouping.csv").rows) {
      const auto& rules = book().rule_set(row.text("rules"));
      for (int count = static_cast<int>(row.number("low")); count <= row.number("high"); ++count) {
        Bundle bundle;
        bundle.bus_voltage_v = 60.0;
        bundle.single_layer = row.text("single_layer") == "yes";
        bundle.installation = row.text("installation") == "tray"
                                  ? Installation::tray
                                  : (row.text("installation") == "clipped" ? Installation::clipped
                                                                           : Installation::conduit);
        if (row.text("counts") == "circuits") {
          bundle.circuits = count;
          bundle.conductors = 2 * count;
        } else {
          bundle.conductors = count;
        }
        const auto found = rules.grouping_factor(bundle);
        INFO(row.text("rules"), " ", count);
        REQUIRE(found);
        CHECK(found->value == doctest::Approx(row.number("factor")).epsilon(1e-12));
      }
    }
  }

  TEST_CASE("four DC pairs: three ways of counting give 0.70, 0.50 and 0.65") {
    Bundle bundle;
    bundle.conductors = 8;
    CHECK(book().rule_set("NEC").grouping_factor(bundle)->value == 0.70);
    CHECK(book().rule_set("ABYC E-11").grouping_factor(bundle)->value == 0.50);
    CHECK(book().rule_set("BS 7671").grouping_factor(bundle)->value == 0.65);
  }

  TEST_CASE("33 CFR binds bundles only from 50 V, ABYC at any voltage") {
    Bundle bundle;
    bundle.conductors = 8;
    bundle.bus_voltage_v = 12.0;
    const auto found = book().rule_set("33 CFR 183").grouping_factor(bundle);
    CHECK(found->value == 1.0);
    CHECK(!found->from.note.empty());
    bundle.bus_voltage_v = 50.0;
    CHECK(book().rule_set("33 CFR 183").grouping_factor(bundle)->value == 0.50);
    bundle.bus_voltage_v = 12.0;
    CHECK(book().rule_set("ABYC E-11").grouping_factor(bundle)->value == 0.50);
  }

  TEST_CASE("the building code adjusts only what lies together for more than 24 in") {
    Bundle bundle;
    bundle.conductors = 8;
    bundle.length_m = 0.6;
    CHECK(book().rule_set("NEC").grouping_factor(bundle)->value == 1.0);
    bundle.length_m = 0.61;
    CHECK(book().rule_set("NEC").grouping_factor(bundle)->value == 0.70);
  }

  TEST_CASE("a clear gap of more than two diameters needs no factor in BS 7671") {
    Bundle bundle;
    bundle.conductors = 8;
    bundle.diameters_apart = 2.5;
    CHECK(book().rule_set("BS 7671").grouping_factor(bundle)->value == 1.0);
    bundle.diameters_apart = 2.0;
    CHECK(book().rule_set("BS 7671").grouping_factor(bundle)->value == 0.65);
  }

  TEST_CASE("a single layer is believed only where its table is for the way of installing") {
    Bundle bundle;
    bundle.conductors = 8;
    bundle.single_layer = true;
    bundle.installation = Installation::conduit;
    CHECK(book().rule_set("BS 7671").grouping_factor(bundle)->value == 0.65);
    bundle.installation = Installation::clipped;
    CHECK(book().rule_set("BS 7671").grouping_factor(bundle)->value == 0.75);
  }

  TEST_CASE("past the end of a closed table there is no factor rather than the last one") {
    Bundle bundle;
    bundle.conductors = 42;
    CHECK(!book().rule_set("BS 7671").grouping_factor(bundle));
    bundle.size = *parse_size("12 AWG");
    bundle.conductors = 33;
    CHECK(book().rule_set("AC 43.13-1B").grouping_factor(bundle)->value == 1.0);
    bundle.conductors = 34;
    CHECK(!book().rule_set("AC 43.13-1B").grouping_factor(bundle));
    bundle.size = *parse_size("8 AWG");
    bundle.conductors = 10;
    CHECK(!book().rule_set("AC 43.13-1B").grouping_factor(bundle));
    bundle.conductors = 9;
    CHECK(book().rule_set("AC 43.13-1B").grouping_factor(bundle)->value == 1.0);
    CHECK(!book().rule_set("ISO 10133").grouping_factor(bundle));
  }

  TEST_CASE("more together never carries more") {
    for (const auto& rules : book().rule_sets()) {
      std::optional<double> before;
      for (int count = 1; count <= 60; ++count) {
        Bundle bundle;
        bundle.conductors = count;
        bundle.bus_voltage_v = 60;
        const auto found = rules.grouping_factor(bundle);
        if (!found) continue;
        if (before) CHECK(found->value <= *before);
        before = found->value;
      }
    }
  }

  TEST_CASE("Table 5 times its factors gives the reprinted cells of ABYC E-11") {
    published::Table table;
    for (const auto& row : published::read(table, "rules_abyc_cells.csv").rows) {
      for (const auto* name : {"ABYC E-11", "33 CFR 183"}) {
        const auto& rules = book().rule_set(name);
        const double ambient_c = row.text("engine_space") == "yes" ? 50.0 : 30.0;
        const auto wire = rules.ampacity(*parse_size(row.text("size")), 105.0);
        Bundle bundle;
        bundle.conductors = static_cast<int>(row.number("conductors"));
        bundle.bus_voltage_v = 50.0;
        published::check(row, "ampacity_a",
                         wire->value * rules.ambient_factor(ambient_c, 105.0)->value *
                             rules.grouping_factor(bundle)->value);
      }
    }
  }
}

TEST_SUITE("drop") {
  TEST_CASE("class 2 resistance, its rise to 70 °C and the factor two give BS 7671 mV/A/m") {
    published::Table table;
    const double hot = book().material("copper").resistance_ratio(70.0);
    for (const auto& row : published::read(table, "rules_bs_drop.csv").rows) {
      const auto& wire = book().conductor(*parse_size(row.text("size")), "metric class 2");
      published::check(row, "mv_per_am", 2.0 * wire.resistance_ohm_per_m * hot * 1000.0);
    }
  }

  TEST_CASE("the drop constant of ABYC is pure copper near 29 °C") {
    // K = 10.75 Ω·cmil/ft; 1 Ω·cmil/ft = 1.66243e-9 Ω·m. Copper: 0.017241 (234.5 + T)/254.5.
    const auto* guide = book().rule_set("ABYC E-11").guide("drop constant");
    REQUIRE(guide);
    const auto& copper = book().material("copper");
    const double ratio = guide->value * 1.66243e-9 * 1e6 / copper.resistivity_ohm_mm2_per_m;
    CHECK(ratio * 254.5 - 234.5 == doctest::Approx(29.3).epsilon(0.005));
  }
}
