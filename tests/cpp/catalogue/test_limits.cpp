#include <doctest/doctest.h>

#include <algorithm>
#include <string>

#include "nightbus/catalogue.hpp"
#include "published_table.hpp"

using namespace nightbus;

namespace {

const Catalogue& book() {
  return Catalogue::builtin();
}

CeilingQuery ceiling_query(const std::string& size, double ampacity_a, double bus_v = 12.0) {
  CeilingQuery query;
  query.size = *parse_size(size);
  query.ampacity_a = ampacity_a;
  query.bus_voltage_v = bus_v;
  query.ratings_a = book().overcurrent_form("standard blade").ratings_a;
  return query;
}

}  // namespace

TEST_SUITE("device ceilings") {
  TEST_CASE("every published largest device is reproduced") {
    published::Table table;
    for (const auto& row : published::read(table, "rules_ceilings.csv").rows) {
      const auto& rules = book().rule_set(row.text("rules"));
      const auto size = row.text("size");
      // Generous ampacity for limits that go by size; the 105 °C cell where it goes by ampacity.
      const auto wire = rules.ampacity(*parse_size(size), 105.0);
      const bool by_ampacity = row.text("rules") == "33 CFR 183";
      auto query = ceiling_query(size, by_ampacity ? wire->value : 1000.0);
      query.breaker = row.text("breaker") == "yes";
      const auto found = rules.ceiling(query);
      INFO(row.text("rules"), " ", size);
      REQUIRE(found);
      CHECK(found->value == row.number("device_a"));
      if (row.has("continuous_a")) {
        CHECK(rules.small_conductor_continuous(query)->value == row.number("continuous_a"));
      }
    }
  }

  TEST_CASE("one wire, many fuses: 14 AWG of 105 °C under four rule sets") {
    // 33 CFR 183.455(c)(1) 52.5 A; ABYC up to its ampacity of 35 A; NFPA 70 240.4(D) 15 A;
    // AC 43.13-1B Table 11-3 15 A fuse or 20 A breaker.
    CHECK(book().rule_set("33 CFR 183").ceiling(ceiling_query("14 AWG", 35))->value == 52.5);
    CHECK(book().rule_set("ABYC E-11").ceiling(ceiling_query("14 AWG", 35))->value == 35);
    CHECK(book().rule_set("NEC").ceiling(ceiling_query("14 AWG", 25))->value == 15);
    auto aircraft = ceiling_query("14 AWG", 10);
    CHECK(book().rule_set("AC 43.13-1B").ceiling(aircraft)->value == 15);
    aircraft.breaker = true;
    CHECK(book().rule_set("AC 43.13-1B").ceiling(aircraft)->value == 20);
  }

  TEST_CASE(
      "the boat rule changes at 50 V: 150 %, then the ampacity or the next size up to 150 %") {
    const auto& rules = book().rule_set("33 CFR 183");
    CHECK(rules.ceiling(ceiling_query("12 AWG", 22, 49.9))->value == doctest::Approx(33));
    const auto above = rules.ceiling(ceiling_query("12 AWG", 22, 50));
    CHECK(above->value == 25);
    CHECK(above->next_size_used);
    // From 2.2 A the next size made is 3 A, 136 %: allowed. From 5.0 A no larger one is needed.
    CHECK(rules.ceiling(ceiling_query("12 AWG", 2.2, 60))->value == 3);
    CHECK(rules.ceiling(ceiling_query("12 AWG", 5, 60))->value == 5);
    // Beyond the list of the form there is no next size.
    CHECK(rules.ceiling(ceiling_query("4 AWG", 41, 60))->value == 41);
  }

  TEST_CASE("a next size beyond 150 % is not allowed where the rules cap it") {
    auto query = ceiling_query("12 AWG", 6, 12);
    query.ratings_a = {5, 10};  // 10 A is 167 %
    CHECK(book().rule_set("ABYC E-11").ceiling(query)->value == 6);
    CHECK(!book().rule_set("ABYC E-11").ceiling(query)->next_size_used);
    query.ratings_a = {5, 9};
    CHECK(book().rule_set("ABYC E-11").ceiling(query)->value == 9);
  }

  TEST_CASE("the building code uses its own list, up to 800 A, and its small-conductor limits") {
    const auto& nec = book().rule_set("NEC");
    CHECK(nec.ceiling(ceiling_query("6 AWG", 55))->value == 60);
    CHECK(nec.ceiling(ceiling_query("6 AWG", 60))->value == 60);
    CHECK(nec.ceiling(ceiling_query("4/0 AWG", 799))->value == 800);
    CHECK(nec.ceiling(ceiling_query("4/0 AWG", 801))->value == 801);
    const auto small = nec.ceiling(ceiling_query("12 AWG", 25));
    CHECK(small->value == 20);
    CHECK(small->from.pedigree->table == "240.4(D)");
    CHECK(small->considered.size() == 2);
    CHECK(!small->next_size_used);
    // A metric size is held to the small-conductor limit of the AWG size it counts as.
    CHECK(nec.ceiling(ceiling_query("2.5 mm2", 25))->value == 15);
    CHECK(nec.ceiling(ceiling_query("10 mm2", 50))->value == 50);
  }

  TEST_CASE("aluminium has its own small-conductor limits") {
    auto query = ceiling_query("12 AWG", 100);
    query.material = "aluminium";
    CHECK(book().rule_set("NEC").small_conductor_limit(query)->value == 15);
    query.size = *parse_size("10 AWG");
    CHECK(book().rule_set("NEC").small_conductor_limit(query)->value == 25);
    query.size = *parse_size("8 AWG");
    CHECK(!book().rule_set("NEC").small_conductor_limit(query));
  }

  TEST_CASE("a ceiling never falls when the ampacity grows") {
    for (const auto& rules : book().rule_sets()) {
      for (const double bus_v : {12.0, 24.0, 54.0}) {
        double before = 0;
        for (double ampacity_a = 1; ampacity_a < 200; ampacity_a += 0.5) {
          const auto found = rules.ceiling(ceiling_query("12 AWG", ampacity_a, bus_v));
          if (!found) continue;
          INFO(rules.name(), " ", ampacity_a);
          CHECK(found->value >= before);
          before = found->value;
        }
      }
    }
  }

  TEST_CASE("standard ratings are the published list, and the next one is found") {
    published::Table table;
    const auto& list = book().rule_set("NEC").standard_ratings_a();
    const auto& rows = published::read(table, "overcurrent_standard_ratings.csv").rows;
    REQUIRE(list.size() == rows.size());
    for (std::size_t i = 0; i < rows.size(); ++i) CHECK(list[i] == rows[i].number("rating_a"));
    // 22 A continuous × 1.25 = 27.5 A.
    CHECK(book().rule_set("NEC").next_standard_rating(27.5)->value == 30);
    CHECK(!book().rule_set("NEC").next_standard_rating(6001));
    CHECK(!book().rule_set("33 CFR 183").next_standard_rating(10));
  }
}

TEST_SUITE("distances, tiers, drop, least sizes") {
  TEST_CASE("placement: 7 in bare, 40 in sheathed, 72 in sheathed at the battery, 18 in, none") {
    constexpr double in = 0.0254;
    const auto at = [](const char* name, SourceKind source, bool sheathed) {
      const auto found = book().rule_set(name).placement(source, sheathed);
      return found ? found->value : -1.0;
    };
    // 33 CFR 183.455(b).
    CHECK(at("33 CFR 183", SourceKind::battery, false) == doctest::Approx(7 * in));
    CHECK(at("33 CFR 183", SourceKind::battery, true) == doctest::Approx(40 * in));
    CHECK(at("33 CFR 183", SourceKind::other, true) == doctest::Approx(40 * in));
    // ABYC E-11 (2004) 11.12.1.1.
    CHECK(at("ABYC E-11", SourceKind::battery, false) == doctest::Approx(7 * in));
    CHECK(at("ABYC E-11", SourceKind::battery, true) == doctest::Approx(72 * in));
    CHECK(at("ABYC E-11", SourceKind::other, true) == doctest::Approx(40 * in));
    // NFPA 70 552.10(E)(4).
    CHECK(at("NEC 552", SourceKind::battery, false) == doctest::Approx(18 * in));
    CHECK(at("BS 7671", SourceKind::battery, true) == -1.0);
  }

  TEST_CASE("interrupting capacity by cranking amperes") {
    // ABYC E-11: to 650 A 1500/750, 651 to 1100 A 3000/1500, above 5000/2500; above 2200 A the
    // bank's own short-circuit current governs.
    const auto& abyc = book().rule_set("ABYC E-11");
    const auto at = [&](double cranking_a, bool main) {
      const auto found = abyc.interrupt_minimum(cranking_a, main);
      return found ? found->value : -1.0;
    };
    CHECK(at(600, true) == 1500);
    CHECK(at(600, false) == 750);
    CHECK(at(650, true) == 1500);
    CHECK(at(651, true) == 3000);
    CHECK(at(1100, false) == 1500);
    CHECK(at(1200, true) == 5000);
    CHECK(at(1200, false) == 2500);
    CHECK(at(2201, true) == -1.0);
    CHECK(!book().rule_set("NEC").interrupt_minimum(600, true));
  }

  TEST_CASE("drop limits bind or advise, by class") {
    const auto& abyc = book().rule_set("ABYC E-11");
    CHECK(abyc.drop_limit("critical")->ratio == doctest::Approx(0.03));
    CHECK(abyc.drop_limit("general")->ratio == doctest::Approx(0.10));
    CHECK(abyc.drop_limit("critical")->binding);
    const auto& nec = book().rule_set("NEC");
    CHECK(nec.drop_limit("branch")->ratio == doctest::Approx(0.03));
    CHECK(nec.drop_limit("total")->ratio == doctest::Approx(0.05));
    CHECK(!nec.drop_limit("total")->binding);
    CHECK(nec.drop_limit("sensitive total")->binding);
    CHECK(book().rule_set("ISO 10133").drop_limit("critical")->ratio == doctest::Approx(0.03));
    CHECK(!nec.drop_limit("critical"));
  }

  TEST_CASE("least sizes by situation") {
    const auto least = [](const char* name, const char* situation) {
      const auto found = book().rule_set(name).minimum_size(situation);
      return found ? print_size(found->size) : std::string("none");
    };
    // 33 CFR 183.425(d) to (f); ABYC E-11 11.14.1.2; ISO 10133 (2012) 7.7; 46 CFR 183.340(c).
    CHECK(least("33 CFR 183", "alone") == "16 AWG");
    CHECK(least("33 CFR 183", "in sheath") == "18 AWG");
    CHECK(least("ABYC E-11", "alone") == "16 AWG");
    CHECK(least("ISO 10133", "alone") == "1 mm²");
    CHECK(least("ISO 10133", "in sheath") == "0.75 mm²");
    CHECK(least("46 CFR 183", "alone") == "14 AWG");
    CHECK(least("46 CFR 183", "control") == "14 AWG");  // "any" is the larger
    CHECK(least("NEC", "alone") == "none");             // Article 720 does not apply everywhere
    CHECK(least("NEC", "article 720") == "12 AWG");
    CHECK(least("NEC 552", "chassis bond") == "8 AWG");
  }

  TEST_CASE("a reference prints as the trade writes it") {
    const auto& rules = book().rule_set("33 CFR 183");
    const auto wire = rules.ampacity(*parse_size("18 AWG"), 105.0);
    CHECK(wire->from.pedigree->cite() == "33 CFR 183.425 Table 5");
    CHECK(wire->from.text() == "33 CFR 183.425 Table 5, 18 AWG");
    const auto nec = book().rule_set("NEC").ampacity(*parse_size("12 AWG"), 90.0);
    CHECK(nec->from.text() == "NFPA 70 (2023) Table 310.16, 12 AWG");
  }
}
