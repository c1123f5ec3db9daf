#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

#include "nightbus/catalogue.hpp"
#include "published_table.hpp"

using namespace nightbus;

namespace {
const Catalogue& book() {
  return Catalogue::builtin();
}
}  // namespace

TEST_SUITE("batteries") {
  TEST_CASE("LFP open-circuit curves are the whole published data") {
    published::Table table;
    const auto& lfp = book().chemistry("LFP");
    for (const auto& row : published::read(table, "battery_lfp_open_circuit.csv").rows) {
      const auto branch = row.text("branch");
      const auto& curve = branch == "mean"
                              ? lfp.ocv_mean
                              : (branch == "charge" ? lfp.ocv_charge : lfp.ocv_discharge);
      published::check(row, "voltage_v", curve.at(row.number("charge_state")));
    }
  }

  TEST_CASE("LFP capacity and resistance by temperature") {
    published::Table table;
    const auto& lfp = book().chemistry("LFP");
    for (const auto& row : published::read(table, "battery_lfp_temperature.csv").rows) {
      const double temp_c = row.number("temp_c");
      published::check(row, "capacity_ratio", lfp.capacity_ratio.at(temp_c));
      CHECK(lfp.resistance_ratio.at(temp_c) ==
            doctest::Approx(row.number("resistance_mohm") / 9.8).epsilon(1e-9));
    }
  }

  TEST_CASE("four cells at half charge rest at 13.233 V, hysteresis 0.07 V either way") {
    const auto& lfp = book().chemistry("LFP");
    // 13.233 V is rounded to a millivolt, each of the four cells to a tenth of one.
    CHECK(std::abs(4 * lfp.ocv_mean.at(0.5) - 13.233) <= 0.0005 + 4 * 0.00005);
    CHECK(std::abs(4 * (lfp.ocv_charge.at(0.5) - lfp.ocv_discharge.at(0.5)) / 2 - 0.07) <= 0.005);
  }

  TEST_CASE("the discharge branch lies below the mean and the charge branch above it") {
    const auto& lfp = book().chemistry("LFP");
    for (const auto& point : lfp.ocv_discharge.points) {
      CHECK(point.y < lfp.ocv_mean.at(point.x));
      CHECK(lfp.ocv_charge.at(point.x) > lfp.ocv_mean.at(point.x));
    }
  }

  TEST_CASE("open-circuit voltage rises with charge in every chemistry") {
    for (const auto& battery : book().chemistries()) {
      INFO(battery.name);
      for (const auto* curve : {&battery.ocv_mean, &battery.ocv_discharge, &battery.ocv_charge}) {
        for (std::size_t i = 1; i < curve->points.size(); ++i) {
          CHECK(curve->points[i].x > curve->points[i - 1].x);
          CHECK(curve->points[i].y > curve->points[i - 1].y);
        }
      }
      CHECK(battery.ocv_mean.points.front().x == 0.0);
      CHECK(battery.ocv_mean.points.back().x == 1.0);
    }
  }

  TEST_CASE("capacity falls in the cold, resistance rises, both 1 at 25 °C") {
    for (const auto& battery : book().chemistries()) {
      INFO(battery.name);
      CHECK(battery.capacity_ratio.at(25) == doctest::Approx(1.0));
      for (std::size_t i = 1; i < battery.capacity_ratio.points.size(); ++i) {
        CHECK(battery.capacity_ratio.points[i].y > battery.capacity_ratio.points[i - 1].y);
      }
      if (!battery.resistance_ratio.empty()) CHECK(battery.resistance_ratio.at(25) == 1.0);
    }
  }

  TEST_CASE("the lead-acid charge efficiency meets the three published figures") {
    // Stevens and Corey: 91 % on average from 0 to 84 % of charge, 55 % from 79 to 84 %, below 50 %
    // above 90 %, more than 95 % at low charge. Published to whole percent.
    const auto& curve = book().chemistry("flooded").charge_efficiency;
    REQUIRE(!curve.empty());
    const auto average = [&](double from, double to) {
      constexpr int steps = 20000;
      double sum = 0;
      for (int i = 0; i < steps; ++i) sum += curve.at(from + (to - from) * (i + 0.5) / steps);
      return sum / steps;
    };
    CHECK(std::abs(average(0.0, 0.84) - 0.91) <= 0.005);
    CHECK(std::abs(average(0.79, 0.84) - 0.55) <= 0.005);
    CHECK(average(0.90, 1.0) < 0.50);
    CHECK(curve.at(0.3) > 0.95);
  }

  TEST_CASE("evidence for lead-acid: electrode potentials give the published cell voltages") {
    // H. Bode 1977 as coded in PyBaMM, Sulzer2019: molality 1, 3, 5, 6
    // -> 1.92200, 2.01675, 2.08961, 2.12265 V (computed).
    const auto& rows = book().table("flooded/electrode potentials").rows;
    const auto cell_v = [&](double molality) {
      const double x = std::log10(molality);
      double out = 0;
      for (const auto& row : rows) {
        out += (std::stod(row[1]) - std::stod(row[2])) * std::pow(x, std::stod(row[0]));
      }
      return out;
    };
    CHECK(std::abs(cell_v(1) - 1.92200) <= 5e-6);
    CHECK(std::abs(cell_v(3) - 2.01675) <= 5.001e-6);
    CHECK(std::abs(cell_v(5) - 2.08961) <= 5.001e-6);
    CHECK(std::abs(cell_v(6) - 2.12265) <= 5.001e-6);
  }

  TEST_CASE("evidence for LFP: cycling loss of the published fit") {
    // Journal of Energy Storage 2023: 25 °C, depth 0.8, 0.5C: 365 cycles 2.873 %, 1000 6.619 %.
    const auto& row = book().table("LFP/ageing").rows.front();
    const auto a = [&](std::size_t i) { return std::stod(row[i]); };
    const auto loss = [&](double cycles) {
      const double t = 298.15;
      return (a(0) + a(1) * 0.8 + a(2) * 0.5) * (std::exp(a(3) / t) + std::exp(-a(4) / t)) *
             std::pow(cycles, a(5));
    };
    CHECK(std::abs(100 * loss(365) - 2.873) <= 0.0005001);
    CHECK(std::abs(100 * loss(1000) - 6.619) <= 0.0005001);
  }

  TEST_CASE("cells in series by nominal voltage") {
    CHECK(book().chemistry("LFP").cells_for(12) == 4);
    CHECK(book().chemistry("LFP").cells_for(24) == 8);
    CHECK(book().chemistry("LFP").cells_for(48) == 16);
    CHECK(book().chemistry("AGM").cells_for(12) == 6);
    CHECK(book().chemistry("flooded").cells_for(24) == 12);
  }

  TEST_CASE("voltages of one chemistry are in order; lithium is not charged below 0 °C") {
    for (const auto& battery : book().chemistries()) {
      INFO(battery.name);
      CHECK(battery.value("disconnect voltage") < battery.value("reconnect voltage"));
      CHECK(battery.value("reconnect voltage") <= battery.value("recharge voltage"));
      CHECK(battery.value("recharge voltage") < battery.value("float voltage"));
      CHECK(battery.value("float voltage") < battery.value("absorption voltage"));
      CHECK(battery.value("absorption voltage") <= battery.value("highest voltage"));
      CHECK(battery.value("temperature compensation") <= 0.0);
      CHECK(battery.value("charge lowest temperature") <
            battery.value("charge highest temperature"));
      CHECK(battery.value("Peukert exponent") >= 1.0);
      CHECK(battery.value("coulombic efficiency") <= 1.0);
      CHECK(battery.value("energy efficiency") < battery.value("coulombic efficiency"));
      CHECK(battery.value("resistance times capacity") > 0.0);
    }
    CHECK(book().chemistry("LFP").value("charge lowest temperature") == 0.0);
    CHECK_THROWS_WITH_AS(book().chemistry("LFP").value("flaot voltage"),
                         doctest::Contains("float voltage"), LookupError);
  }

  TEST_CASE("what is remembered or habit says so") {
    const auto& flooded = book().chemistry("flooded");
    CHECK(flooded.ocv_mean.from.confidence == Confidence::memory);
    CHECK(flooded.guide("Peukert exponent")->from.confidence == Confidence::practice);
    CHECK(flooded.guide("disconnect voltage")->from.confidence == Confidence::read_copy);
    CHECK(book().chemistry("LFP").ocv_mean.from.confidence == Confidence::read);
    CHECK(book().chemistry("LFP").guide("absorption voltage")->from.confidence ==
          Confidence::practice);
  }

  TEST_CASE("a curve is linear between points and held at its ends") {
    Curve curve;
    curve.points = {{0.0, 1.0}, {1.0, 3.0}};
    CHECK(curve.at(-1) == 1.0);
    CHECK(curve.at(0.25) == 1.5);
    CHECK(curve.at(2) == 3.0);
    CHECK(Curve{}.at(0.5) == 0.0);
  }
}
