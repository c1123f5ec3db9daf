#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "nightbus/catalogue.hpp"

using namespace nightbus;

namespace {

const Catalogue& book() {
  return Catalogue::builtin();
}

/// The head of a user's file, then what the test adds.
std::string file(const std::string& kind, const std::string& name, const std::string& rest) {
  return "format = 1\nkind = \"" + kind + "\"\nname = \"" + name +
         "\"\npurpose = \"ours\"\nfallback = \"none\"\nlimits = \"not a permit\"\n"
         "date = \"2026-01-31\"\n" +
         rest;
}

std::string table(const std::string& id, const std::string& holds, const std::string& rest) {
  return "[[table]]\nid = \"" + id + "\"\nholds = \"" + holds +
         "\"\npurpose = \"ours\"\nstandard = \"house rule\"\nsource = \"our own test\"\n"
         "confidence = \"read\"\n" +
         rest;
}

const std::string ratings =
    table("ratings", "ratings", "columns = [\"rating\"]\nunits = [\"A\"]\nrows = [5, 10, 16]\n");
const std::string interrupts =
    table("interrupt", "interrupt ratings",
          "columns = [\"voltage\", \"current\"]\nunits = [\"V\", \"kA\"]\nrows = [[60, 6]]\n");

std::vector<Problem> problems_of(const std::string& text) {
  try {
    book().with(text, "mine.toml");
  } catch (const InputError& error) {
    return error.problems();
  }
  return {};
}

bool has(const std::vector<Problem>& problems, const std::string& code, std::uint32_t line) {
  for (const auto& problem : problems) {
    if (problem.code == code && problem.where.line == line) return true;
  }
  return false;
}

}  // namespace

TEST_SUITE("user tables") {
  TEST_CASE("a user's form joins the catalogue and leaves the built-in one alone") {
    const auto mine = book().with(
        file("overcurrent", "panel breaker", "device = \"breaker\"\nfits = \"panel\"\n") + ratings +
        interrupts);
    const auto& form = mine.overcurrent_form("panel breaker");
    CHECK(form.kind == DeviceKind::breaker);
    CHECK(form.ratings_a == std::vector<double>{5, 10, 16});
    CHECK(form.interrupt_at(58.4)->current_a == 6000);
    CHECK(!form.ratings_from.pedigree->built_in);
    CHECK(form.ratings_from.pedigree->where.place() == "tables.toml:10:1");
    CHECK_THROWS_AS(book().overcurrent_form("panel breaker"), LookupError);
    CHECK(mine.tables().size() == book().tables().size() + 2);
    // And what was there is still there, with the same numbers.
    CHECK(mine.rule_set("NEC").ampacity(*parse_size("12 AWG"), 90.0)->value == 30);
  }

  TEST_CASE("a user's rule set is treated like any other") {
    const auto mine = book().with(file(
        "rules", "house rules",
        table("amps", "ampacity",
              "installations = [\"conduit\"]\nbase_ambient = \"30 °C\"\n"
              "columns = [\"size\", \"70 °C\"]\nunits = [\"mm²\", \"A\"]\n"
              "rows = [[1.5, 10], [2.5, 16]]\n") +
            table(
                "ceiling", "ceiling",
                "columns = [\"from voltage\", \"below voltage\", \"share\", \"next size\", \"next "
                "size share\", \"next size up to\"]\nunits = [\"V\", \"V\", \"%\", \"\", \"%\", "
                "\"A\"]\nrows = [[\"-\", \"-\", 80, \"no\", \"-\", \"-\"]]\n")));
    const auto& rules = mine.rule_set("house rules");
    CHECK(rules.ampacity(*parse_size("14 AWG"), 90.0)->value == 10);
    CeilingQuery query;
    query.size = *parse_size("2.5 mm2");
    query.ampacity_a = 16;
    query.bus_voltage_v = 12;
    CHECK(rules.ceiling(query)->value == doctest::Approx(12.8));
    CHECK(!rules.ambient_factor(40.0, 70.0));  // it has no ambient data: empty, not 1
    CHECK(!rules.grouping_factor({}));
  }

  TEST_CASE("a table with the name of a built-in one is refused with both places") {
    const auto text = file("overcurrent", "mini blade", "") + ratings;
    const auto problems = problems_of(text);
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].code == "duplicate-table");
    CHECK(problems[0].where.place() == "mine.toml:8:1");
    CHECK(problems[0].other.place().find("data/overcurrent/mini-blade.toml:") == 0);
    CHECK(problems[0].mend.find("replaces") != std::string::npos);
  }

  TEST_CASE("a table that says what it replaces takes its place") {
    const auto mine = book().with(
        file("overcurrent", "mini blade", "") +
        table("my ratings", "ratings",
              "replaces = \"mini blade/ratings\"\ncolumns = [\"rating\"]\nunits = [\"A\"]\n"
              "rows = [3, 5]\n"));
    CHECK(mine.overcurrent_form("mini blade").ratings_a == std::vector<double>{3, 5});
    CHECK(mine.tables().size() == book().tables().size());
    CHECK_THROWS_AS(mine.table("mini blade/ratings"), LookupError);
    CHECK(book().overcurrent_form("mini blade").ratings_a.size() == 10);
  }

  TEST_CASE("the same entry under another table name is refused too") {
    const auto second_list =
        file("overcurrent", "mini blade", "") +
        table("more ratings", "ratings", "columns = [\"rating\"]\nunits = [\"A\"]\nrows = [35]\n");
    auto problems = problems_of(second_list);
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].code == "duplicate-entry");
    CHECK(problems[0].other.known());

    const auto second_cell =
        file("rules", "NEC",
             table("mine", "ampacity",
                   "installations = [\"conduit\"]\nbase_ambient = \"30 °C\"\n"
                   "columns = [\"size\", \"90 °C\"]\nunits = [\"AWG\", \"A\"]\n"
                   "rows = [[12, 99]]\n"));
    problems = problems_of(second_cell);
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].code == "duplicate-entry");
    CHECK(problems[0].where.line == 19);
    CHECK(problems[0].other.place().find("data/rules/nec.toml:") == 0);
  }

  TEST_CASE("a replaced conductor table still feeds its families") {
    const auto mine = book().with(
        file("conductors", "SAE J1127 and J1128",
             table("areas", "conductors",
                   "replaces = \"SAE J1127 and J1128/areas\"\ncolumns = [\"size\", \"area\"]\n"
                   "units = [\"SAE\", \"mm²\"]\nrows = [[12, 3.0]]\n")));
    CHECK(mine.conductor_family("SAE").conductors.size() == 1);
    CHECK(mine.conductor(*parse_size("12 SAE")).area_mm2 == 3.0);
  }

  TEST_CASE("tables can be added twice, one text after the other") {
    const auto one = book().with(file("guides", "Mine",
                                      table("a", "guides",
                                            "columns = [\"name\", \"value\", \"unit\"]\n"
                                            "units = [\"\", \"\", \"\"]\n"
                                            "rows = [[\"my figure\", 3, \"mV\"]]\n")));
    const auto two = one.with(file("guides", "Mine",
                                   table("b", "guides",
                                         "columns = [\"name\", \"value\", \"unit\"]\n"
                                         "units = [\"\", \"\", \"\"]\n"
                                         "rows = [[\"my other\", 4, \"\"]]\n")));
    CHECK(two.guide("my figure").value == doctest::Approx(0.003));
    CHECK(two.guide("my other").value == 4);
    CHECK_THROWS_AS(one.guide("my other"), LookupError);
  }

  TEST_CASE("a name or alias in use is refused") {
    const auto problems = problems_of(file("overcurrent", "type F blade", "device = \"fuse\"\n") +
                                      ratings + interrupts);
    REQUIRE(!problems.empty());
    CHECK(problems[0].code == "duplicate-name");
    CHECK(problems[0].other.place().find("data/overcurrent/mini-blade.toml:") == 0);
  }

  TEST_CASE("a figure, joint, PoE class or insulation of another file is not silently doubled") {
    const std::string guide =
        "columns = [\"name\", \"value\", \"unit\"]\nunits = [\"\", \"\", \"\"]\n"
        "rows = [[\"continuous load factor\", 1, \"\"]]\n";
    const std::string poe_class =
        "columns = [\"class\", \"source power\", \"device power\"]\n"
        "units = [\"\", \"W\", \"W\"]\nrows = [[8, 99, 71.3]]\n";
    const std::string joint =
        "columns = [\"joint\", \"resistance\"]\nunits = [\"\", \"mΩ\"]\nrows = [[\"bond\", 1]]\n";
    const std::string metal =
        "columns = [\"material\", \"resistivity\", \"coefficient\", \"zero resistance\", "
        "\"density\"]\nunits = [\"\", \"Ω·mm²/m\", \"1/K\", \"K\", \"kg/m³\"]\n"
        "rows = [[\"copper\", 0.01, 0.004, 230, 8900]]\n";
    for (const auto& text : {file("guides", "mine", table("a", "guides", guide)),
                             file("poe", "mine", table("a", "poe classes", poe_class)),
                             file("materials", "mine", table("a", "joints", joint)),
                             file("materials", "mine", table("a", "materials", metal))}) {
      const auto problems = problems_of(text);
      REQUIRE(problems.size() == 1);
      CHECK(problems[0].code.substr(0, 9) == "duplicate");
      CHECK(problems[0].where.known());
    }
  }
}

TEST_SUITE("mistakes in tables") {
  TEST_CASE("text that is not TOML points at the place") {
    const auto problems = problems_of("format = 1\nkind = \"rules\nname = 3\n");
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].code == "open-text");
    CHECK(problems[0].where.line == 2);
  }

  TEST_CASE("all problems of a file come in one pass, each with its line") {
    const auto text = file("overcurrent", "odd", "device = \"fues\"\ncolour = 3\n") +  // 8, 9
                      table("ratings", "ratings",                                      // 10
                            "columns = [\"rating\"]\nunits = [\"V\"]\nrows = [5, \"x\"]\n") +
                      table("interrupt", "interrupt ratngs",
                            "columns = [\"voltage\", \"current\"]\nunits = [\"V\"]\nrows = [[60, "
                            "6]]\n");
    const auto problems = problems_of(text);
    CHECK(has(problems, "wrong-value", 8));     // neither fuse nor breaker
    CHECK(has(problems, "unknown-key", 9));     // colour
    CHECK(has(problems, "wrong-unit", 18));     // volts for a rating
    CHECK(has(problems, "wrong-value", 19));    // "x"
    CHECK(has(problems, "wrong-columns", 28));  // two columns, one unit
    for (const auto& problem : problems) {
      if (problem.code == "missing-key") continue;
      CHECK_MESSAGE(problem.where.known(), problem.what);
    }
  }

  TEST_CASE("a table without its pedigree is not taken") {
    const std::string bare =
        "[[table]]\nid = \"ratings\"\nholds = \"ratings\"\ncolumns = [\"rating\"]\n"
        "units = [\"A\"]\nrows = [5]\n";
    const auto problems =
        problems_of(file("overcurrent", "bare", "device = \"fuse\"\n") + bare + interrupts);
    int missing = 0;
    for (const auto& problem : problems) missing += problem.code == "missing-key";
    CHECK(missing == 4);  // purpose, standard, source, confidence
  }

  TEST_CASE("a file must say its format, kind, name, purpose, fallback, limits and date") {
    const auto problems = problems_of("title = \"mine\"\n");
    CHECK(problems.size() >= 7);
    const auto newer = problems_of(
        "format = 2\nkind = \"rules\"\nname = \"x\"\npurpose = \"x\"\n"
        "fallback = \"x\"\nlimits = \"x\"\ndate = \"2026-01-31\"\n");
    REQUIRE(newer.size() == 1);
    CHECK(newer[0].where.line == 1);
    CHECK(newer[0].what.find("format 1") != std::string::npos);
  }

  TEST_CASE("near misses are offered for kinds, contents, confidence, installations and keys") {
    struct Case {
      std::string text;
      std::string mend;
    };
    const std::string amps =
        "installations = [\"conduitt\"]\nbase_ambient = \"30 °C\"\ncolumns = [\"size\", \"75 "
        "°C\"]\nunits = [\"AWG\", \"A\"]\nrows = [[12, 20]]\n";
    for (const auto& mistake : {
             Case{file("rule", "x", ""), "rules"},
             Case{file("rules", "x",
                       table("a", "ampacty",
                             "columns = [\"a\"]\nunits = [\"\"]\n"
                             "rows = [1]\n")),
                  "ampacity"},
             Case{file("rules", "x", table("a", "ampacity", amps)), "conduit"},
             Case{file("rules", "x",
                       table("a", "terminals",
                             "instalation = \"conduit\"\ncolumns = [\"up to circuit\", \"column\"]"
                             "\nunits = [\"A\", \"°C\"]\nrows = [[100, 60]]\n")),
                  "installation"},
         }) {
      bool offered = false;
      for (const auto& problem : problems_of(mistake.text)) {
        offered = offered || problem.mend.find("\"" + mistake.mend + "\"") != std::string::npos;
      }
      CHECK_MESSAGE(offered, mistake.mend);
    }
  }

  TEST_CASE("rows of the wrong length, doubled columns and empty tables are told apart") {
    const auto with_rows = [](const std::string& columns, const std::string& rows) {
      return problems_of(file(
          "guides", "x",
          table("a", "guides",
                "columns = " + columns + "\nunits = [\"\", \"\", \"\"]\nrows = " + rows + "\n")));
    };
    const std::string columns = "[\"name\", \"value\", \"unit\"]";
    CHECK(with_rows(columns, "[[\"a\", 1, \"V\"]]").empty());
    CHECK(with_rows(columns, "[[\"a\", 1]]").front().code == "wrong-columns");
    CHECK(with_rows(columns, "[]").front().what.find("no rows") != std::string::npos);
    CHECK(with_rows("[\"name\", \"value\", \"value\"]", "[[\"a\", 1, 2]]").front().code ==
          "wrong-columns");
    CHECK(with_rows("[\"name\", \"value\", \"units\"]", "[[\"a\", 1, \"V\"]]").size() == 2);
  }

  TEST_CASE("a replacement for a table that is not there is refused") {
    const auto problems =
        problems_of(file("overcurrent", "mini blade",
                         table("r", "ratings",
                               "replaces = \"mini blade/ratngs\"\ncolumns = [\"rating\"]\nunits = "
                               "[\"A\"]\nrows = [5]\n")));
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].mend.find("mini blade/ratings") != std::string::npos);
  }

  TEST_CASE("an opening point whose least time exceeds the most is refused") {
    const auto problems = problems_of(
        file("overcurrent", "odd", "device = \"fuse\"\n") + ratings + interrupts +
        table("t", "opening",
              "columns = [\"current\", \"least\", \"most\"]\nunits = [\"%\", \"s\", \"s\"]\n"
              "rows = [[200, 5, 1]]\n"));
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].code == "wrong-value");
  }

  TEST_CASE("two opening tables may not share a rating") {
    const std::string band =
        "columns = [\"current\", \"least\", \"most\"]\nunits = [\"%\", \"s\", \"s\"]\n"
        "rows = [[200, 1, 5]]\n";
    const auto head = file("overcurrent", "odd", "device = \"fuse\"\n") + ratings + interrupts;
    CHECK(problems_of(head + table("a", "opening", "to_rating = \"9 A\"\n" + band) +
                      table("b", "opening", "from_rating = \"10 A\"\n" + band))
              .empty());
    CHECK(problems_of(head + table("a", "opening", "to_rating = \"10 A\"\n" + band) +
                      table("b", "opening", "from_rating = \"10 A\"\n" + band))
              .size() == 1);
  }

  TEST_CASE("amounts are not negative, sizes, resistances and times not zero") {
    const auto form = file("overcurrent", "odd", "device = \"fuse\"\n");
    CHECK(
        problems_of(form + interrupts +
                    table("r", "ratings", "columns = [\"rating\"]\nunits = [\"A\"]\nrows = [0]\n"))
            .front()
            .code == "wrong-value");
    CHECK(problems_of(form + ratings +
                      table("i", "interrupt ratings",
                            "columns = [\"voltage\", \"current\"]\nunits = [\"V\", \"A\"]\n"
                            "rows = [[32, -1000]]\n"))
              .front()
              .code == "wrong-value");
    CHECK(problems_of(form + ratings + interrupts +
                      table("o", "opening",
                            "columns = [\"current\", \"least\", \"most\"]\nunits = [\"%\", \"s\", "
                            "\"s\"]\nrows = [[200, 0, 5]]\n"))
              .front()
              .code == "wrong-value");
    const auto wire = file("conductors", "odd wire",
                           "system = \"metric\"\n[[family]]\nname = \"odd\"\ntables = [\"t\"]\n"
                           "material = \"copper\"\nconstruction = \"odd\"\ncolumn = \"r\"\n");
    const auto resistance = [&](const std::string& ohm) {
      return problems_of(wire + table("t", "conductors",
                                      "columns = [\"size\", \"r\"]\nunits = [\"mm²\", \"Ω/km\"]\n"
                                      "rows = [[1.5, " +
                                          ohm + "]]\n"));
    };
    CHECK(resistance("13.3").empty());
    CHECK(resistance("0").front().code == "wrong-value");
    CHECK(resistance("-13.3").front().code == "wrong-value");
  }

  TEST_CASE("tables that need a row do not read one that is not there") {
    const auto problems =
        problems_of(file("rules", "x",
                         table("f", "ambient formula",
                               "columns = [\"base ambient\"]\nunits = [\"°C\"]\nrows = []\n")));
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].what.find("no rows") != std::string::npos);
  }

  TEST_CASE("a form without ratings or interrupt rating is not a form") {
    CHECK(!problems_of(file("overcurrent", "odd", "device = \"fuse\"\n") + ratings).empty());
    CHECK(!problems_of(file("overcurrent", "odd", "device = \"fuse\"\n") + interrupts).empty());
  }

  TEST_CASE("a failed addition leaves the catalogue as it was") {
    const auto before = book().tables().size();
    CHECK_THROWS_AS(book().with("nonsense"), InputError);
    CHECK(book().tables().size() == before);
  }
}
