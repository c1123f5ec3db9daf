#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

#include "nightbus/catalogue.hpp"
#include "published_table.hpp"

using namespace nightbus;

namespace {

constexpr double cmil_mm2 = 5.067075e-4;
constexpr double kft_m = 304.8;

const Catalogue& book() {
  return Catalogue::builtin();
}

const Conductor& conductor(const std::string& size, const std::string& family) {
  return book().conductor(*parse_size(size), family);
}

}  // namespace

TEST_SUITE("conductors") {
  TEST_CASE("AWG area and resistance reproduce the published wire table at 20, 50 and 75 °C") {
    published::Table table;
    const double z = book().material("copper").zero_resistance_k;
    for (const auto& row : published::read(table, "conductors_awg.csv").rows) {
      const auto& wire = conductor(row.text("size"), "AWG solid");
      const auto quantity = row.text("quantity");
      if (quantity == "cmil") {
        published::check(row, "value", wire.area_mm2 / cmil_mm2);
      } else if (quantity == "mm2") {
        published::check(row, "value", wire.area_mm2);
      } else {
        const double temp_c = std::stod(quantity.substr(quantity.rfind('_') + 1));
        published::check(row, "value",
                         wire.resistance_ohm_per_m * kft_m * (z + temp_c) / (z + 20.0));
      }
    }
  }

  TEST_CASE("stranded AWG is 2 % above solid in resistance and mass, and the usual family") {
    for (const auto& solid : book().conductor_family("AWG solid").conductors) {
      const auto& stranded = book().conductor(solid.size);
      CHECK(stranded.resistance_ohm_per_m == doctest::Approx(1.02 * solid.resistance_ohm_per_m));
      CHECK(stranded.mass_kg_per_m == doctest::Approx(1.02 * solid.mass_kg_per_m));
    }
  }

  TEST_CASE("the 2 % for stranding lies within the stranded to solid ratios of NEC Table 8") {
    // NFPA 70 (2023) Chapter 9 Table 8: ratios of the printed cells, 1.018 to 1.026.
    for (const auto& solid : book().conductor_family("NEC solid bare").conductors) {
      const auto& stranded = book().conductor(solid.size, "NEC stranded bare");
      const double ratio = stranded.resistance_ohm_per_m / solid.resistance_ohm_per_m;
      CHECK(ratio > 1.0175);
      CHECK(ratio < 1.0265);
    }
  }

  TEST_CASE("handbook masses of solid wire") {
    // Lessons in Electric Circuits, wire table: 10 AWG 31.43 lb/kft, 14 AWG 12.43 lb/kft.
    const double lb_per_kft = 0.45359237 / kft_m;
    CHECK(conductor("10 AWG", "AWG solid").mass_kg_per_m / lb_per_kft ==
          doctest::Approx(31.43).epsilon(0.0005));
    CHECK(conductor("14 AWG", "AWG solid").mass_kg_per_m / lb_per_kft ==
          doctest::Approx(12.43).epsilon(0.0005));
  }

  TEST_CASE("metric resistance limits are the whole table of IEC 60228") {
    published::Table table;
    std::vector<const ConductorFamily*> seen;
    std::size_t cells = 0;
    for (const auto& row : published::read(table, "conductors_iec_60228.csv").rows) {
      const auto& wire = conductor(row.text("size"), row.text("family"));
      CHECK(wire.resistance_ohm_per_m * 1000.0 ==
            doctest::Approx(row.number("ohm_per_km")).epsilon(1e-12));
      ++cells;
    }
    std::size_t carried = 0;
    for (const auto& family : book().conductor_families()) {
      if (family.system == SizeSystem::metric) carried += family.conductors.size();
    }
    CHECK(carried == cells);
  }

  TEST_CASE("building-wire resistance is the whole of NEC Chapter 9 Table 8 at 75 °C") {
    published::Table table;
    for (const auto& row : published::read(table, "conductors_nec_table_8.csv").rows) {
      const auto& wire = conductor(row.text("size"), row.text("family"));
      const double hot =
          wire.resistance_ohm_per_m * book().material(wire.material).resistance_ratio(75.0);
      published::check(row, "ohm_per_kft_75", hot * kft_m);
    }
    // A cold wire measures 18 % below the table.
    const auto& wire = conductor("12 AWG", "NEC stranded bare");
    CHECK(wire.resistance_ohm_per_m * kft_m == doctest::Approx(1.98 / 1.2161).epsilon(0.001));
  }

  TEST_CASE("aircraft wire is the whole of Table 11-9, area and resistance") {
    published::Table table;
    for (const auto& row : published::read(table, "conductors_aircraft.csv").rows) {
      const auto& wire = conductor(row.text("size"), "aircraft tinned");
      published::check(row, "ohm_per_kft", wire.resistance_ohm_per_m * kft_m);
      published::check(row, "cmil", wire.area_mm2 / cmil_mm2);
    }
  }

  TEST_CASE("SAE cable is a system of its own with its own areas") {
    published::Table table;
    for (const auto& row : published::read(table, "conductors_sae.csv").rows) {
      const auto size = *parse_size(row.text("size"));
      CHECK(size.system == SizeSystem::sae);
      published::check(row, "cmil", book().conductor(size).area_mm2 / cmil_mm2);
    }
  }

  TEST_CASE("one number, three areas: SAE 12 has 11 % less copper than AWG, MIL 18 has 17 % more") {
    const double sae = conductor("12 SAE", "SAE").area_mm2 / conductor("12 AWG", "AWG").area_mm2;
    const double mil =
        conductor("18 AWG", "aircraft tinned").area_mm2 / conductor("18 AWG", "AWG").area_mm2;
    CHECK(sae == doctest::Approx(0.89).epsilon(0.006));
    CHECK(mil == doctest::Approx(1.17).epsilon(0.005));
    // Every SAE number has less metal than the AWG of that number.
    for (const auto& cable : book().conductor_family("SAE").conductors) {
      const ConductorSize awg{SizeSystem::awg, cable.size.number};
      CHECK(cable.area_mm2 < book().conductor(awg).area_mm2);
    }
  }

  TEST_CASE("three AWG steps double the area and ten make it tenfold") {
    for (const auto& wire : book().conductor_family("AWG").conductors) {
      if (wire.size.system != SizeSystem::awg) continue;
      const double n = wire.size.number;
      const double area = nominal_area_mm2(wire.size);
      CHECK(nominal_area_mm2({SizeSystem::awg, n - 3}) / area ==
            doctest::Approx(2.005).epsilon(1e-3));
      CHECK(nominal_area_mm2({SizeSystem::awg, n - 10}) / area ==
            doctest::Approx(10.16).epsilon(1e-3));
    }
  }

  TEST_CASE("families go from thin to thick, by area; resistance falls with it in each") {
    for (const auto& family : book().conductor_families()) {
      INFO(family.name);
      REQUIRE(!family.conductors.empty());
      for (std::size_t i = 1; i < family.conductors.size(); ++i) {
        CHECK(family.conductors[i - 1].area_mm2 < family.conductors[i].area_mm2);
        CHECK(family.conductors[i - 1].resistance_ohm_per_m >
              family.conductors[i].resistance_ohm_per_m);
        CHECK(family.conductors[i - 1].mass_kg_per_m < family.conductors[i].mass_kg_per_m);
      }
    }
  }

  TEST_CASE("no order between metric classes is assumed: at 50 mm² class 5 is below class 2") {
    CHECK(conductor("50 mm²", "metric class 5").resistance_ohm_per_m <
          conductor("50 mm²", "metric class 2").resistance_ohm_per_m);
    CHECK(conductor("35 mm²", "metric class 5").resistance_ohm_per_m >
          conductor("35 mm²", "metric class 2").resistance_ohm_per_m);
  }

  TEST_CASE("class 2 limits lie above pure copper of the label by the published margins") {
    // Computed from IEC 60228: 4.4 to 7.4 % up to 35 mm², 12.2 % at 50, 8.8 % at 70.
    for (const auto& wire : book().conductor_family("metric class 2").conductors) {
      const double over = wire.resistance_ohm_per_m / (0.017241 / wire.area_mm2) - 1.0;
      INFO(print_size(wire.size));
      if (wire.area_mm2 <= 35) {
        CHECK(over > 0.0435);
        CHECK(over < 0.0745);
      } else if (wire.area_mm2 == 50) {
        CHECK(over == doctest::Approx(0.122).epsilon(0.005));
      } else if (wire.area_mm2 == 70) {
        CHECK(over == doctest::Approx(0.088).epsilon(0.006));
      }
    }
  }

  TEST_CASE("class 5 by resistance is worth less copper than its label") {
    // Computed: area of pure copper with the same resistance.
    const std::vector<std::pair<std::string, double>> worth{
        {"1.5 mm²", 1.30}, {"2.5 mm²", 2.16}, {"6 mm²", 5.22}, {"16 mm²", 14.25},
        {"35 mm²", 31.1},  {"70 mm²", 63.4},  {"95 mm²", 83.7}};
    for (const auto& [size, area_mm2] : worth) {
      const double got = 0.017241 / conductor(size, "metric class 5").resistance_ohm_per_m;
      CHECK(got == doctest::Approx(area_mm2).epsilon(0.004));
    }
  }

  TEST_CASE("metric neighbours of AWG sizes: only 0.75 and 50 mm² are the smaller partner") {
    const std::vector<std::pair<std::string, std::string>> partners{
        {"18 AWG", "0.75 mm²"}, {"16 AWG", "1.5 mm²"}, {"14 AWG", "2.5 mm²"}, {"12 AWG", "4 mm²"},
        {"10 AWG", "6 mm²"},    {"8 AWG", "10 mm²"},   {"6 AWG", "16 mm²"},   {"4 AWG", "25 mm²"},
        {"2 AWG", "35 mm²"},    {"1/0 AWG", "50 mm²"}, {"2/0 AWG", "70 mm²"}, {"3/0 AWG", "95 mm²"},
        {"4/0 AWG", "120 mm²"}};
    for (const auto& [awg, metric] : partners) {
      const bool smaller =
          nominal_area_mm2(*parse_size(metric)) < nominal_area_mm2(*parse_size(awg));
      INFO(metric);
      CHECK(smaller == (metric == "0.75 mm²" || metric == "50 mm²"));
    }
  }

  TEST_CASE("an unknown size or family is refused with what there is") {
    CHECK_THROWS_AS(book().conductor(*parse_size("7 AWG")), LookupError);
    CHECK_THROWS_WITH_AS(book().conductor_family("metric clas 5"),
                         doctest::Contains("metric class 5"), LookupError);
  }

  TEST_CASE("the thinnest conductor of at least an area") {
    const auto& family = book().conductor_family("AWG");
    CHECK(print_size(family.at_least(2.0)->size) == "14 AWG");
    CHECK(print_size(family.at_least(nominal_area_mm2(*parse_size("14 AWG")))->size) == "14 AWG");
    CHECK(family.at_least(1e4) == nullptr);
  }
}

TEST_SUITE("materials") {
  TEST_CASE("copper resistance rises by 1.2162 from 20 to 75 °C and by 1.2750 to 90 °C") {
    // (234.5 + 75)/254.5 and (234.5 + 90)/254.5; 0.00393 per kelvin gives the same in four digits.
    const auto& copper = book().material("copper");
    CHECK(copper.resistance_ratio(75.0) == doctest::Approx(1.2161).epsilon(1e-4));
    CHECK(copper.resistance_ratio(75.0) ==
          doctest::Approx(1.0 + copper.coefficient_per_k * 55.0).epsilon(1e-4));
    CHECK(copper.resistance_ratio(90.0) == doctest::Approx(1.2750).epsilon(1e-4));
    // The factor table printed with IEC 60228 for 30 °C is 0.962.
    CHECK(1.0 / copper.resistance_ratio(30.0) == doctest::Approx(0.962).epsilon(0.0005));
    CHECK(1.0 / copper.resistance_ratio(70.0) == doctest::Approx(0.836).epsilon(0.0005));
  }

  TEST_CASE("constants of one metal belong together: intercept and coefficient agree") {
    for (const auto& metal : book().materials()) {
      CHECK(1.0 / metal.coefficient_per_k - 20.0 ==
            doctest::Approx(metal.zero_resistance_k).epsilon(0.001));
    }
    // 61 % conductivity.
    CHECK(book().material("copper").resistivity_ohm_mm2_per_m /
              book().material("aluminium").resistivity_ohm_mm2_per_m ==
          doctest::Approx(0.61).epsilon(1e-4));
  }

  TEST_CASE("resistance times density is the standard by mass") {
    // NBS Handbook 100: 0.15328 ohm·g/m².
    const auto& copper = book().material("copper");
    CHECK(copper.resistivity_ohm_mm2_per_m * copper.density_kg_per_m3 * 1e-3 ==
          doctest::Approx(0.15328).epsilon(1e-4));
  }

  TEST_CASE("every published k is K·sqrt(ln((final + beta)/(rated + beta))) within its rounding") {
    const auto& copper = book().material("copper");
    for (const auto& row : book().insulations()) {
      const double k =
          copper.adiabatic_k * std::sqrt(std::log((row.final_c + copper.adiabatic_beta_k) /
                                                  (row.rated_c + copper.adiabatic_beta_k)));
      INFO(row.name);
      CHECK(std::abs(k - row.k) <= 0.5001);
    }
  }

  TEST_CASE("the short-time limit takes the strictest insulation of the rating or the one below") {
    CHECK(book().short_time_limit(70, 10)->k == 115);
    CHECK(book().short_time_limit(70, 400)->k == 103);
    CHECK(book().short_time_limit(75, 10)->final_c == 160);
    CHECK(book().short_time_limit(90, 10)->final_c == 160);  // PVC, not XLPE
    CHECK(book().short_time_limit(105, 10)->final_c == 150);
    CHECK(book().short_time_limit(105, 10)->k == doctest::Approx(79.73));
    CHECK(!book().short_time_limit(200, 10));  // nothing published above it
    CHECK(!book().short_time_limit(50, 10));
  }

  TEST_CASE("stud terminals: 7.5 mV at rated current") {
    // MIL-DTL-83454A 4.5.3 Table VIII; quotients 0.300, 0.250, 0.214, 0.174 mΩ.
    const std::vector<std::pair<std::string, double>> studs{
        {"stud #6", 0.300}, {"stud #8", 0.250}, {"stud #10", 0.214}, {"stud 1/4 in", 0.174}};
    for (const auto& [name, mohm] : studs) {
      CHECK(std::abs(book().joint_kind(name).resistance_ohm * 1e3 - mohm) <= 0.0005);
    }
  }

  TEST_CASE("a switch category names the loads it is meant for; none of them is AC") {
    for (const auto& category : book().switch_categories()) {
      CHECK(category.name.substr(0, 3) == "DC-");
      CHECK(category.serves.empty() == (category.name == "DC-20"));
    }
  }
}
