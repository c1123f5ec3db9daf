#include <doctest/doctest.h>

#include <algorithm>
#include <set>
#include <string>

#include "nightbus/catalogue.hpp"

using namespace nightbus;

namespace {

const Catalogue& book() {
  return Catalogue::builtin();
}

bool makes(const OvercurrentForm& form, double rating_a) {
  return std::find(form.ratings_a.begin(), form.ratings_a.end(), rating_a) != form.ratings_a.end();
}

}  // namespace

TEST_SUITE("overcurrent forms") {
  TEST_CASE("interrupt pairs of the standards: ISO 8820-3 blades, ISO 8820-5 strips") {
    struct Pair {
      const char* form;
      double bus_v;
      double current_a;
    };
    // ISO 8820-3:2015 scope: 32 V and 58 V, 1000 A. ISO 8820-5:2015: 32 V, 2000 A.
    for (const auto& pair : {Pair{"mini blade", 32, 1000}, Pair{"standard blade", 32, 1000},
                             Pair{"maxi blade", 32, 1000}, Pair{"mini blade 58 V", 58, 1000},
                             Pair{"strip SF 30", 32, 2000}, Pair{"strip SF 51", 32, 2000}}) {
      const auto* found = book().overcurrent_form(pair.form).interrupt_at(pair.bus_v);
      INFO(pair.form);
      REQUIRE(found);
      CHECK(found->current_a == pair.current_a);
      CHECK(found->from.confidence == Confidence::read);
    }
  }

  TEST_CASE("a pair for a lower voltage never serves a higher bus") {
    const auto& blade = book().overcurrent_form("mini blade");
    CHECK(blade.interrupt_at(29.2));  // 24 V lithium bank charging
    CHECK(!blade.interrupt_at(32.01));
    CHECK(!blade.interrupt_at(54.0));
    CHECK(!book().overcurrent_form("mini blade 58 V").interrupt_at(58.4));  // 48 V lithium charging
    CHECK(book().overcurrent_form("strip SF 51 70 V").interrupt_at(58.4));
    const auto& block = book().overcurrent_form("battery post block");
    CHECK(block.interrupt_at(13.0)->current_a == 10000);
    CHECK(block.interrupt_at(14.6)->current_a == 5000);  // 14 V fails at 14.6 V charging
    CHECK(block.interrupt_at(54.0)->current_a == 2000);
    CHECK(!block.interrupt_at(58.4));
  }

  TEST_CASE("no DC pair of class T is its AC figure of 200 kA") {
    for (const auto& pair : book().overcurrent_form("class T").interrupts) {
      CHECK(pair.current_a == 20000);
      CHECK(pair.voltage_v == 125);
      CHECK(!gates(pair.from.confidence));
    }
  }

  TEST_CASE("the 58 V strip breaks less than the 32 V strip") {
    CHECK(book().overcurrent_form("strip SF 30 58 V").interrupt_at(24)->current_a <
          book().overcurrent_form("strip SF 30").interrupt_at(24)->current_a);
  }

  TEST_CASE("each form has its own list of ratings") {
    const auto& mini = book().overcurrent_form("mini blade");
    const auto& standard = book().overcurrent_form("standard blade");
    const auto& nec = book().rule_set("NEC").standard_ratings_a();
    const auto listed = [&](double a) { return std::find(nec.begin(), nec.end(), a) != nec.end(); };
    // 2, 4, 5, 7.5 A exist only as automotive parts; 45, 90, 110 A only in the building list; 35 A
    // is in both but not as a mini blade.
    for (const double a : {2.0, 4.0, 5.0, 7.5}) {
      CHECK(makes(standard, a));
      CHECK(makes(mini, a));
      CHECK(!listed(a));
    }
    for (const double a : {45.0, 90.0, 110.0}) {
      CHECK(!makes(standard, a));
      CHECK(!makes(mini, a));
      CHECK(listed(a));
    }
    CHECK(makes(standard, 35));
    CHECK(!makes(mini, 35));
    CHECK(listed(35));
    CHECK(*mini.at_least(7.6) == 10);
    CHECK(*mini.at_most(9.9) == 7.5);
    CHECK(!mini.at_least(31));
    CHECK(!mini.at_most(1.9));
  }

  TEST_CASE("opening bands are bands: least below most, both falling as the current grows") {
    for (const auto& form : book().overcurrent_forms()) {
      for (const auto& band : form.opening) {
        INFO(form.name);
        std::optional<double> least;
        std::optional<double> most;
        double ratio = 0;
        for (const auto& point : band.points) {
          CHECK(point.ratio > ratio);
          ratio = point.ratio;
          CHECK((point.least_s || point.most_s));
          if (point.least_s && point.most_s) CHECK(*point.least_s < *point.most_s);
          if (point.least_s && least) CHECK(*point.least_s <= *least);
          if (point.most_s && most) CHECK(*point.most_s <= *most);
          if (point.least_s) least = point.least_s;
          if (point.most_s) most = point.most_s;
          // Makers' limits from copies: never an outside check.
          CHECK(!gates(point.from.confidence));
        }
      }
    }
  }

  TEST_CASE("re-rating by the air at the fuse") {
    // One maker's 40 A maxi blade: 34 A at 65 °C, 30 at 85, 25 at 110, 22 at 125.
    const auto& maxi = book().overcurrent_form("maxi blade");
    const auto at = [&](double temp_c) { return 40.0 * maxi.rerating_factor(temp_c)->value; };
    CHECK(at(-40) == 40);
    CHECK(at(20) == 40);
    CHECK(at(65) == doctest::Approx(34));
    CHECK(at(85) == doctest::Approx(30));
    CHECK(at(110) == doctest::Approx(25));
    CHECK(at(125) == doctest::Approx(22));
    CHECK(at(135) == doctest::Approx(22 - 10 * (25.0 - 22.0) / 15.0));  // last slope goes on
    CHECK(at(400) == 0);
    CHECK(maxi.rerating_factor(135)->from.note.find("beyond") != std::string::npos);
    // One maker's 10 A, 58 V mini blade: 7.3 A at 80 °C.
    CHECK(10 * book().overcurrent_form("mini blade 58 V").rerating_factor(80)->value ==
          doctest::Approx(7.3));
  }

  TEST_CASE("no blade is assumed to lose less by heat than 0.3 % a kelvin") {
    const double flattest = book().guide("flattest re-rating slope").value;
    CHECK(flattest == doctest::Approx(0.003));
    for (const auto& form : book().overcurrent_forms()) {
      if (form.name.find("blade") == std::string::npos) continue;
      for (double temp_c = 26; temp_c < 120; temp_c += 1) {
        const double lost = 1.0 - form.rerating_factor(temp_c)->value;
        INFO(form.name, " ", temp_c);
        CHECK(lost >= flattest * (temp_c - form.rerating.front().temp_c) - 1e-12);
      }
    }
  }

  TEST_CASE("a resistance or melting figure is for its rating only") {
    const auto& blade = book().overcurrent_form("standard blade");
    CHECK(blade.cold_resistance_at(10)->value == doctest::Approx(0.0077));
    CHECK(!blade.cold_resistance_at(15));
    CHECK(blade.melting_at(40)->value == 3300);
    CHECK(!blade.melting_at(30));
    // 40 A standard blade: 96 mV against cold R × I = 57.6 mV, 1.67 times.
    CHECK(blade.drop_v.front().value / (blade.cold_resistance_at(40)->value * 40) ==
          doctest::Approx(book().guide("hot over cold at rating").value).epsilon(0.002));
  }

  TEST_CASE("bands serve the ratings they are for") {
    const auto& maxi = book().overcurrent_form("maxi blade");
    CHECK(maxi.opening_of(20));
    CHECK(maxi.opening_of(80));
    CHECK(!maxi.opening_of(100));
    CHECK(!book().overcurrent_form("class T").opening_of(100));
  }

  TEST_CASE("every form has ratings, an interrupt pair and a name that aliases find") {
    std::set<std::string> names;
    for (const auto& form : book().overcurrent_forms()) {
      CHECK(names.insert(form.name).second);
      CHECK(!form.ratings_a.empty());
      CHECK(std::is_sorted(form.ratings_a.begin(), form.ratings_a.end()));
      CHECK(!form.interrupts.empty());
      CHECK(!form.fits.empty());
      CHECK(!form.rerating.empty());
    }
    CHECK(book().overcurrent_form("type F blade").name == "mini blade");
    CHECK_THROWS_WITH_AS(book().overcurrent_form("minni blade"), doctest::Contains("mini blade"),
                         LookupError);
  }
}
