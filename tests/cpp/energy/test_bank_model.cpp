// The bank model itself, and what becomes of the catalogue's chemistries.

#include <doctest/doctest.h>

#include <cmath>

#include "nightbus/catalogue.hpp"
#include "nightbus/energy_bank.hpp"

using namespace nightbus;

namespace {
const BatteryChemistry& chemistry(const char* name) {
  return Catalogue::builtin().chemistry(name);
}
}  // namespace

TEST_CASE("every chemistry makes a bank whose EMF rises with charge on both branches") {
  for (const char* name : {"LFP", "flooded", "AGM", "gel"}) {
    for (const double nominal : {12.0, 24.0, 48.0}) {
      std::vector<std::string> assumptions;
      const BankModel bank = bank_model(chemistry(name), nominal, 200.0, &assumptions);
      INFO(name, " ", nominal);
      CHECK_FALSE(assumptions.empty());
      for (const double h : {-1.0, 0.0, 1.0}) {
        for (double s = 0.0; s < 1.0; s += 0.01) {
          CHECK(bank.emf_v(s + 0.01, 25.0, h) >= bank.emf_v(s, 25.0, h));
        }
      }
      CHECK(bank.voltages.float_v <= bank.voltages.absorption_v);
      CHECK(bank.voltages.absorption_v <= bank.voltages.ceiling_v);
      CHECK(bank.rules.rebulk_v < bank.voltages.absorption_v);
      CHECK(bank.emf_v(0.5, 25.0, 0.0) == doctest::Approx(nominal * 1.07).epsilon(0.06));
    }
  }
}

TEST_CASE("four LFP cells at half charge rest at 13.233 V, seven hundredths either way") {
  // Plett's cell data as processed for the catalogue.
  const BankModel bank = bank_model(chemistry("LFP"), 12.0, 100.0);
  CHECK(bank.emf_v(0.5, 25.0, 0.0) == doctest::Approx(13.2324).epsilon(1e-9));
  CHECK(bank.emf_v(0.5, 25.0, 1.0) - bank.emf_v(0.5, 25.0, -1.0) ==
        doctest::Approx(4.0 * (3.3249 - 3.2914)).epsilon(1e-9));
  CHECK(bank.peukert == 1.0);
  CHECK(bank.charge_low_c == 0.0);
  CHECK(bank.cells == 4);
}

TEST_CASE("a rest voltage in the flat middle says little about an LFP bank, and much about lead") {
  const BankModel lfp = bank_model(chemistry("LFP"), 12.0, 100.0);
  const ChargeBounds wide = charge_from_rest_voltage(lfp, 13.25, 25.0, 0.01);
  CHECK(wide.high - wide.low > 0.25);
  const BankModel lead = bank_model(chemistry("flooded"), 12.0, 100.0);
  const ChargeBounds narrow = charge_from_rest_voltage(lead, 12.24, 25.0, 0.01);
  CHECK(narrow.low < 0.5);
  CHECK(narrow.high > 0.5);
  CHECK(narrow.high - narrow.low < 0.04);
}

TEST_CASE("100 Ah is not one number of watt-hours") {
  // Nominal 12.0, 12.8 and the mean of the table, about 13.2 V: three answers.
  const BankModel bank = bank_model(chemistry("LFP"), 12.0, 100.0);
  CHECK(bank.stored_wh(1.0) > 1290.0);
  CHECK(bank.stored_wh(1.0) < 1330.0);
}

TEST_CASE("stored energy is the integral of the mean EMF") {
  for (const char* name : {"LFP", "flooded"}) {
    const BankModel bank = bank_model(chemistry(name), 12.0, 80.0);
    double sum = 0.0;
    const int steps = 200000;
    for (int k = 0; k < steps; ++k) sum += bank.mean_emf_v((k + 0.5) / steps) * 80.0 / steps;
    CHECK(bank.stored_wh(1.0) == doctest::Approx(sum).epsilon(1e-8));
    CHECK(bank.stored_wh(0.0) == 0.0);
  }
}

TEST_CASE("corners of the table are found both ways, and the slope between them is the table's") {
  const BankModel bank = bank_model(chemistry("LFP"), 12.0, 100.0);
  CHECK(bank.next_corner(0.52, true) == doctest::Approx(0.55));
  CHECK(bank.next_corner(0.52, false) == doctest::Approx(0.50));
  CHECK(bank.next_corner(0.55, true) == doctest::Approx(0.60));
  CHECK(bank.next_corner(0.55, false) == doctest::Approx(0.50));
  CHECK(bank.next_corner(0.0, false) == 0.0);
  CHECK(bank.next_corner(1.0, true) == 1.0);
  // With h on the branch the march is over and only the tables slope.
  const double step = 1e-6;
  CHECK(bank.emf_slope_v(0.52, 1.0, true) ==
        doctest::Approx((bank.emf_v(0.52 + step, 25, 1.0) - bank.emf_v(0.52, 25, 1.0)) / step)
            .epsilon(1e-6));
}

TEST_CASE("cold takes charge from lead, hardly from LFP, and blocks LFP from charging") {
  const BankModel lfp = bank_model(chemistry("LFP"), 12.0, 100.0);
  const BankModel lead = bank_model(chemistry("flooded"), 12.0, 100.0);
  CHECK(lfp.empty_soc(-20.0) < 0.03);
  // IEEE 485: 1.52 at 25 °F.
  CHECK(lead.empty_soc((25.0 - 32.0) / 1.8) == doctest::Approx(1.0 - 1.0 / 1.52).epsilon(1e-3));
  CHECK(lead.empty_soc(40.0) == 0.0);
  CHECK(lfp.resistance_at(0.5, -25.0) > 3.0 * lfp.resistance_at(0.5, 25.0));
}

TEST_CASE("Peukert counts only above the rated current") {
  BankModel bank;
  bank.capacity_ah = 100.0;
  bank.peukert = 1.2;
  CHECK(bank.peukert_factor(1.0) == 1.0);
  CHECK(bank.peukert_factor(5.0) == 1.0);
  // 87.0551 Ah at 10 A (rated-hour form).
  CHECK(100.0 / bank.peukert_factor(10.0) == doctest::Approx(87.0551).epsilon(1e-6));
}

TEST_CASE(
    "a full bank accepts nothing, or its gassing current only; cold turns the chargers down") {
  const BankModel lfp = bank_model(chemistry("LFP"), 12.0, 100.0);
  CHECK(lfp.acceptance_a(1.0) == 0.0);
  CHECK(std::isinf(lfp.acceptance_a(0.9)));
  CHECK(lfp.charge_limit_a(25.0) == doctest::Approx(50.0));
  CHECK(lfp.charge_limit_a(10.0) == doctest::Approx(16.0));
  const BankModel lead = bank_model(chemistry("flooded"), 12.0, 100.0);
  CHECK(lead.acceptance_a(1.0) == doctest::Approx(1.0));
  CHECK(lead.acceptance_a(0.8) == doctest::Approx(21.0));
  CHECK(lead.charge_limit_a(0.0) == lead.max_charge_a);
}

TEST_CASE("self-discharge doubles every ten kelvin") {
  const BankModel bank = bank_model(chemistry("AGM"), 12.0, 100.0);
  const double month_s = 365.25 / 12.0 * 86400.0;
  CHECK(bank.self_discharge_a(25.0) * month_s / 3600.0 == doctest::Approx(2.0).epsilon(1e-6));
  CHECK(bank.self_discharge_a(35.0) == doctest::Approx(2.0 * bank.self_discharge_a(25.0)));
}

TEST_CASE("life is estimated only where there is a source, and says which") {
  BankModel bank;
  bank.chemistry = "LFP";
  bank.capacity_ah = 100.0;
  const LifeEstimate life = life_estimate(bank, 80.0 * 365.25, 365.25, 0.8, 50.0, 25.0);
  CHECK(life.full_cycles_per_year == doctest::Approx(0.8 * 365.25));
  CHECK(life.loss_per_year == doctest::Approx(lfp_cycle_loss(0.8 * 365.25, 0.8, 0.5, 25.0)));
  REQUIRE(life.years_to_80_percent);
  CHECK(lfp_cycle_loss(*life.years_to_80_percent * 0.8 * 365.25, 0.8, 0.5, 25.0) ==
        doctest::Approx(0.2));
  bank.chemistry = "gel";
  const LifeEstimate unknown = life_estimate(bank, 1000.0, 100.0, 0.3, 5.0, 25.0);
  CHECK_FALSE(unknown.years_to_80_percent);
  CHECK(unknown.source.find("no sourced") != std::string::npos);
}
