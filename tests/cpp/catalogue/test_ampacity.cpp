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

Installation installation(const std::string& word) {
  for (const auto kind : {Installation::free_air, Installation::tray, Installation::clipped,
                          Installation::conduit, Installation::insulation}) {
    if (installation_name(kind) == word) return kind;
  }
  FAIL("no installation " << word);
  return Installation::conduit;
}

double amps(const std::string& rules, const std::string& size, double insulation_c,
            Installation how) {
  const auto found = book().rule_set(rules).ampacity(*parse_size(size), insulation_c, how);
  REQUIRE(found);
  return found->value;
}

}  // namespace

TEST_SUITE("ampacity") {
  TEST_CASE("every cell of every published ampacity table is reproduced exactly") {
    published::Table table;
    for (const auto& row : published::read(table, "rules_ampacity.csv").rows) {
      AmpacityQuery query;
      query.size = *parse_size(row.text("size"));
      query.insulation_c = row.number("insulation_c");
      query.installation = installation(row.text("installation"));
      query.solar = row.text("solar") == "yes";
      const auto found = book().rule_set(row.text("rules")).ampacity(query);
      INFO(row.text("rules"), " ", row.text("size"), " ", query.insulation_c, " ",
           row.text("installation"));
      REQUIRE(found);
      CHECK(found->value == row.number("ampacity_a"));
      CHECK(found->column_c == query.insulation_c);
      CHECK(found->installation == query.installation);
      CHECK(found->from.note.empty());
      CHECK(gates(found->from.confidence));
    }
  }

  TEST_CASE("more insulation temperature never carries less; a thicker conductor never less") {
    for (const auto& rules : book().rule_sets()) {
      for (const auto how : {Installation::free_air, Installation::clipped, Installation::conduit,
                             Installation::insulation}) {
        std::optional<double> thinner;
        for (const auto& size : rules.listed_sizes()) {
          std::optional<double> cooler;
          for (const double insulation_c : {60., 70., 75., 80., 90., 105., 125., 200.}) {
            const auto found = rules.ampacity(size, insulation_c, how);
            if (!found) continue;
            INFO(rules.name(), " ", print_size(size), " ", insulation_c);
            if (cooler) CHECK(found->value >= *cooler);
            cooler = found->value;
          }
          INFO(rules.name(), " ", print_size(size), " ", installation_name(how));
          if (thinner && cooler) CHECK(*cooler >= *thinner);
          if (cooler) thinner = cooler;
        }
      }
    }
  }

  TEST_CASE("an insulation between two columns takes the cooler one") {
    const auto found = book().rule_set("33 CFR 183").ampacity(*parse_size("14 AWG"), 104.0);
    CHECK(found->value == 30);
    CHECK(found->column_c == 90);
    CHECK(!book().rule_set("33 CFR 183").ampacity(*parse_size("14 AWG"), 59.0));
  }

  TEST_CASE("a metric size under AWG rules takes the largest listed size of no more metal") {
    const auto& rules = book().rule_set("33 CFR 183");
    const auto found = rules.ampacity(*parse_size("2.5 mm2"), 105.0);
    CHECK(found->value == 35);  // 14 AWG, 2.08 mm²
    CHECK(found->from.row == "14 AWG");
    CHECK(found->from.note.find("2.5 mm²") != std::string::npos);
    CHECK(rules.ampacity(*parse_size("50 mm2"), 105.0)->from.row == "1 AWG");
    CHECK(!rules.ampacity(*parse_size("0.75 mm2"), 105.0));  // thinner than 18 AWG
    CHECK(book().rule_set("BS 7671").ampacity(*parse_size("12 AWG"), 70.0)->from.row == "2.5 mm²");
  }

  TEST_CASE("SAE cable is judged by its metal, not by its number") {
    AmpacityQuery query;
    query.size = *parse_size("12 SAE");
    query.insulation_c = 105;
    const auto& rules = book().rule_set("33 CFR 183");
    CHECK(!rules.ampacity(query));  // no formula for its area
    query.area_mm2 = book().conductor(query.size).area_mm2;
    CHECK(rules.ampacity(query)->value == 35);  // 14 AWG; 12 AWG would be 45
  }

  TEST_CASE("wire of one number with less metal may not go by the name") {
    AmpacityQuery query;
    query.size = *parse_size("12 AWG");
    query.insulation_c = 105;
    query.area_mm2 = book().conductor(query.size, "aircraft tinned").area_mm2;  // 10 % less
    CHECK(book().rule_set("33 CFR 183").ampacity(query)->from.row == "14 AWG");
    CHECK(book().rule_set("AC 43.13-1B").ampacity(query)->value == 13);  // its own table's wire
  }

  TEST_CASE("a method without a table takes one for a hotter method, never a cooler one") {
    const auto& nec = book().rule_set("NEC");
    // The free-air table ends at 4/0: a thicker conductor has that value there, not a raceway's.
    const auto found = nec.ampacity(*parse_size("250 kcmil"), 75.0, Installation::free_air);
    CHECK(found->value == 360);
    CHECK(found->from.row == "4/0 AWG");
    CHECK(!nec.ampacity(*parse_size("12 AWG"), 75.0, Installation::insulation));
    const auto tray =
        book().rule_set("BS 7671").ampacity(*parse_size("2.5 mm2"), 70.0, Installation::tray);
    CHECK(tray->value == 27);  // no tray cell below 25 mm²
    CHECK(tray->installation == Installation::clipped);
    CHECK(tray->from.note.find("tray") != std::string::npos);
  }

  TEST_CASE(
      "out and back side by side in the open are a cable on a surface, not single conductors") {
    CHECK(installation_of(true, 1) == Installation::conduit);
    CHECK(installation_of(true, 8) == Installation::conduit);
    CHECK(installation_of(false, 1) == Installation::free_air);
    CHECK(installation_of(false, 2) == Installation::clipped);
    // NFPA 70 (2023): 12 AWG at 75 °C, 35 A single in free air, 25 A in a cable.
    const auto& nec = book().rule_set("NEC");
    CHECK(nec.ampacity(*parse_size("12 AWG"), 75.0, installation_of(false, 1))->value == 35);
    CHECK(nec.ampacity(*parse_size("12 AWG"), 75.0, installation_of(false, 2))->value == 25);
  }

  TEST_CASE("the high-temperature table serves solar circuits only") {
    AmpacityQuery query;
    query.size = *parse_size("14 AWG");
    query.insulation_c = 105;
    const auto& nec = book().rule_set("NEC");
    CHECK(nec.ampacity(query)->value == 25);
    CHECK(nec.ampacity(query)->column_c == 90);
    query.solar = true;
    CHECK(nec.ampacity(query)->value == 29);
  }

  TEST_CASE("aluminium has no ampacity here and is not taken for copper") {
    for (const auto& rules : book().rule_sets()) {
      AmpacityQuery query;
      query.size = *parse_size("2 AWG");
      query.insulation_c = 90;
      query.material = "aluminium";
      CHECK(!rules.ampacity(query));
    }
  }

  TEST_CASE("from 6 AWG up Table 5 at 60 and 75 °C is a free-air table, and says so in conduit") {
    // 33 CFR 183.425 Table 5 against NFPA 70 (2023) Tables 310.17 and 310.16: 41 to 58 % above.
    double least = 10;
    double most = 0;
    for (const auto* name : {"6 AWG", "4 AWG", "3 AWG", "2 AWG", "1 AWG", "1/0 AWG", "2/0 AWG",
                             "3/0 AWG", "4/0 AWG"}) {
      for (const double insulation_c : {60.0, 75.0}) {
        const double boat = amps("33 CFR 183", name, insulation_c, Installation::free_air);
        CHECK(boat == amps("NEC", name, insulation_c, Installation::free_air));
        const double over = boat / amps("NEC", name, insulation_c, Installation::conduit) - 1.0;
        least = std::min(least, over);
        most = std::max(most, over);
      }
    }
    CHECK(least == doctest::Approx(120.0 / 85.0 - 1.0));  // 3 AWG at 60 °C, 41 %
    CHECK(most == doctest::Approx(260.0 / 165.0 - 1.0));  // 3/0 AWG at 60 °C, 58 %
    const auto& rules = book().rule_set("33 CFR 183");
    CHECK(!rules.ampacity(*parse_size("4 AWG"), 75.0, Installation::conduit)->caution.empty());
    CHECK(rules.ampacity(*parse_size("4 AWG"), 75.0, Installation::free_air)->caution.empty());
  }

  TEST_CASE("the older building-code cells are not carried") {
    // Tables 310-16 and 310.15(B)(16) had 14/12/10 AWG at 60 °C as 20/25/30, 3 AWG 90 °C 110,
    // 1 AWG 90 °C 150.
    CHECK(amps("NEC", "14 AWG", 60, Installation::conduit) == 15);
    CHECK(amps("NEC", "12 AWG", 60, Installation::conduit) == 20);
    CHECK(amps("NEC", "3 AWG", 90, Installation::conduit) == 115);
    CHECK(amps("NEC", "1 AWG", 90, Installation::conduit) == 145);
  }

  TEST_CASE("terminals cap the circuit: 60 °C to 100 A, 75 °C above, more only when marked") {
    // NFPA 70 (2023) 110.14(C)(1) with Table 310.16.
    AmpacityQuery query;
    query.size = *parse_size("12 AWG");
    query.insulation_c = 90;
    query.installation = Installation::free_air;
    const auto& nec = book().rule_set("NEC");
    CHECK(nec.terminal_ampacity(query, 20)->value == 20);
    CHECK(nec.terminal_ampacity(query, 20, 75.0)->value == 25);
    CHECK(nec.terminal_ampacity(query, 20, 90.0)->value == 30);
    query.size = *parse_size("1/0 AWG");
    CHECK(nec.terminal_ampacity(query, 100)->value == 125);
    CHECK(nec.terminal_ampacity(query, 100.1)->value == 150);
    // Terminals do not lift a cooler insulation.
    query.insulation_c = 60;
    CHECK(nec.terminal_ampacity(query, 150)->value == 125);
    CHECK(!book().rule_set("33 CFR 183").terminal_ampacity(query, 20));
  }

  TEST_CASE(
      "sizes Table 310.16 leaves blank below 90 °C fall back to fixture wire, with a caution") {
    const auto& nec = book().rule_set("NEC");
    const auto found = nec.ampacity(*parse_size("18 AWG"), 75.0);
    CHECK(found->value == 6);
    CHECK(found->from.pedigree->table == "Table 402.5");
    CHECK(!found->caution.empty());
    CHECK(nec.ampacity(*parse_size("18 AWG"), 90.0)->value == 14);
  }
}
