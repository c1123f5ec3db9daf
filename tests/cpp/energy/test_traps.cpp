// The ways in which such a program goes wrong without a word, each with a test that would see it.
// What other files hold already is named beside its number in the list at the end.

#include <doctest/doctest.h>

#include <cmath>

#include "energy/simulated_system.hpp"

using namespace nightbus;
using namespace simulated;

TEST_CASE("a bank feeds 124.8 Wh a day to 5.2 W whatever it is called: watt-hours by the EMF") {
  // 13: 100 Ah is 1329 Wh at the mean EMF of the cells, and neither 1200 nor 1280.
  const BankModel bank = plain_lfp();
  CHECK(bank.stored_wh(1.0) == doctest::Approx(1313.0).epsilon(0.02));
  CHECK(bank.stored_wh(1.0) > 1290.0);
}

TEST_CASE("two banks of different volts count their own amp-hours") {
  BankModel low = plain_lfp();
  BankModel high = plain_lfp();
  high.cells = 8;
  CHECK(high.stored_wh(1.0) == doctest::Approx(2.0 * low.stored_wh(1.0)));
  CHECK(high.usable_ah() == low.usable_ah());
}

TEST_CASE("the tail counts the bank's own current: loads on the bus do not keep absorption up") {
  // A charger that saw 5 A of tail and 8 A of load would never end on a 6 A rule.
  const auto float_time = [](double load_w) {
    SimulationInput in = sunny(plain_lfp(), 2.0, 60.0, 0.95, 900.0);
    in.banks[0].model.rules.absorption_s = 1e6;
    in.banks[0].model.rules.tail_current_a = 4.0;
    for (SimLoad& load : in.loads) load.draw = SteadyDraw{0.0};
    in.loads[0].draw = SteadyDraw{load_w};
    const SimulationResult run = simulate(in);
    REQUIRE(run.status == SimStatus::done);
    for (const SimEvent& event : run.events) {
      if (event.kind == EventKind::stage_float) return event.time_s;
    }
    return -1.0;
  };
  const double idle = float_time(0.0);
  const double loaded = float_time(110.0);  // 8 A
  REQUIRE(idle > 0.0);
  REQUIRE(loaded > 0.0);
  CHECK(loaded - idle < 3.0 * 3600.0);
}

TEST_CASE("a pwm controller budgets amps, a tracking one watts") {
  // 9: below the module's best voltage the pwm array gives its current at the bank's volts, and
  // warmth takes nothing from it; the tracking one loses by warmth.
  ArrayModel array;
  array.simple.power_w = 100.0;
  array.simple.coefficient_per_k = -0.004;
  array.simple_mpp_v = 17.0;
  array.controller.kind = ControllerKind::pwm;
  const double cold_a = controller_current_a(array, 1000.0, 25.0, 0.0, 13.0);
  const double warm_a = controller_current_a(array, 1000.0, 55.0, 0.0, 13.0);
  CHECK(cold_a == doctest::Approx(100.0 / 17.0).epsilon(0.03));
  CHECK(warm_a == doctest::Approx(cold_a).epsilon(0.03));
  CHECK(cold_a * 13.0 < 0.8 * 100.0);
  array.controller.kind = ControllerKind::mppt;
  CHECK(array_output(array, 1000.0, 55.0, 0.0).power_w ==
        doctest::Approx(0.88 * array_output(array, 1000.0, 25.0, 0.0).power_w));
}

TEST_CASE("constant power takes more amps from a lower bus, and lasts less long for it") {
  // 14: a bank at the same charge with twice the resistance is empty sooner.
  const auto hours = [](double ohm) {
    BankModel bank = plain_lfp();
    bank.resistance_ohm = ohm;
    SimulationInput in = bare(bank, 1.0, 60.0, 2.0, 60.0);
    const SimulationResult run = simulate(in);
    for (const SimEvent& event : run.events) {
      if (event.kind == EventKind::bank_empty) return (event.time_s - in.options.start_s) / 3600.0;
    }
    return 0.0;
  };
  const double stiff = hours(0.002);
  const double soft = hours(0.2);
  REQUIRE(stiff > 10.0);
  // I²R of about 4.6 A in 0.2 ohm is 4 W of 60.
  CHECK(soft / stiff == doctest::Approx(1.0 - 4.2 / 64.2).epsilon(0.01));
}

TEST_CASE("cold LFP gives nearly all its charge and takes none: the sun of that day is lost") {
  // 17
  SimulationInput in = sunny(lossy_lfp(), 1.0, 300.0);
  for (double& temp : in.weather.temp_c) temp = -8.0;
  const SimulationResult run = simulate(in);
  REQUIRE(run.status == SimStatus::done);
  CHECK(run.banks[0].charged_ah == 0.0);
  CHECK(run.banks[0].discharged_ah > 1.0);
  CHECK(run.banks[0].blocked_charge_s > 6.0 * 3600.0);
  CHECK(run.ledger.curtailed_wh > 0.3 * run.ledger.array_wh);
  CHECK(lossy_lfp().empty_soc(-8.0) < 0.02);
}

TEST_CASE("lead-acid near full refills slowly: an energy count alone is too fast") {
  // 10: from 80 to 99 % at 14.4 V by acceptance, against the same current all the way.
  SimulationInput in = bare(lead(100.0), 0.8, 0.0, 3.0, 60.0);
  in.chargers.push_back({.max_current_a = 30.0, .always = true});
  in.banks[0].model.rules.absorption_s = 1e9;
  in.banks[0].model.rules.tail_current_a = 0.0;
  const SimulationResult run = simulate(in);
  REQUIRE(run.banks[0].first_full_s.has_value());
  const double hours = (*run.banks[0].first_full_s - in.options.start_s) / 3600.0;
  const double by_energy_h = 19.0 / 30.0 / 0.9;
  CHECK(hours > 3.0 * by_energy_h);
}

TEST_CASE("efficiency is charged once: amp-hours by the coulombic share, watt-hours by the volts") {
  // 19: what goes in and out over one deep cycle. Only the coulombic share and I²R lose anything.
  BankModel bank = plain_lfp();
  bank.coulombic = PiecewiseLinear::constant(0.98);
  SimulationInput in = bare(bank, 0.9, 40.0, 0.5, 60.0);
  const SimulationResult out = simulate(in);
  CHECK(out.ledger.bank_charge_loss_wh == doctest::Approx(0.0).epsilon(1e-9));
  in.loads.clear();
  in.banks[0].soc = out.banks[0].final_soc;
  in.chargers.push_back({.max_current_a = 5.0, .always = true});
  const SimulationResult back = simulate(in);
  const BankRecord& b = back.banks[0];
  CHECK((b.final_soc - in.banks[0].soc) * 100.0 ==
        doctest::Approx(0.98 * b.charged_ah).epsilon(1e-9));
  CHECK(back.ledger.bank_charge_loss_wh /
            (back.ledger.bank_charge_loss_wh + back.ledger.stored_change_wh) ==
        doctest::Approx(0.02).epsilon(1e-9));
}

TEST_CASE(
    "a bright start hides a lean year: the charge at the start is told, and a second year forgets "
    "it") {
  // 21: a year from full and one from a fifth differ in unmet hours; run twice they do not.
  std::vector<double> sun(8760);
  for (std::size_t k = 0; k < sun.size(); ++k) {
    const double hour = static_cast<double>(k % 24);
    const double season = 0.6 - 0.4 * std::cos(2.0 * 3.14159265 * static_cast<double>(k) / 8760.0);
    sun[k] = 100.0 * season * std::max(0.0, std::sin((hour - 6.0) / 12.0 * 3.14159265));
  }
  const std::vector<double> load(8760, 15.0);
  const auto year = [&](double start) {
    return plain_year(sun, load, 3600.0, {3000.0, 0.2, start, 0.95});
  };
  const PlainYear full = year(1.0);
  const PlainYear low = year(0.2);
  CHECK(low.unmet_steps > full.unmet_steps + 20);
  CHECK(low.start_wh == 600.0);
  const PlainYear after_full = year(full.end_wh / 3000.0);
  const PlainYear after_low = year(low.end_wh / 3000.0);
  CHECK(after_full.unmet_steps == after_low.unmet_steps);
}

TEST_CASE("the sun at noon stands north in the tropics in June, and a plane may face either side") {
  // 3
  const SunSite bogota{.latitude_deg = 4.60971, .longitude_deg = -74.08175};
  const double noon_s = utc_seconds(2026, 6, 21, 17.0 * 3600.0);
  const double azimuth = sun_position(noon_s, bogota).azimuth_deg;
  CHECK(std::cos(azimuth * 3.14159265 / 180.0) > 0.9);
  CHECK(std::cos(sun_position(utc_seconds(2026, 12, 21, 17.0 * 3600.0), bogota).azimuth_deg *
                 3.14159265 / 180.0) < -0.9);
}

TEST_CASE("low sun: cos z is held up in clearness and in Rb, clearness is capped, no beam at 88°") {
  // 6: by the formulas, with the floors 0.065 (z = 86.3°) and 0.01745 (z = 89°).
  constexpr double e0 = 1366.1;
  const double kt = 40.0 / (e0 * 0.065);
  const Split low = erbs(40.0, 86.8, e0);
  CHECK(low.clearness == doctest::Approx(kt));
  const double diffuse = 0.9511 - 0.1604 * kt + 4.388 * kt * kt - 16.638 * std::pow(kt, 3.0) +
                         12.336 * std::pow(kt, 4.0);
  CHECK(low.dhi_wm2 == doctest::Approx(diffuse * 40.0));
  const Split edge = erbs(1500.0, 30.0, e0);  // a cloud's edge, brighter than the sun above the air
  CHECK(edge.clearness == 1.0);
  CHECK(edge.dhi_wm2 == doctest::Approx(0.165 * 1500.0));
  const Split dusk = erbs(20.0, 88.0, e0);
  CHECK(dusk.dni_wm2 == 0.0);
  CHECK(dusk.dhi_wm2 == 20.0);

  SkyInput in{.sky = {50.8727, 100.0, 50.0}, .zenith_deg = 89.5, .azimuth_deg = 90.0};
  in.extraterrestrial_wm2 = e0;
  const PlaneIrradiance wall = plane_irradiance(SkyModel::hay_davies, {90.0, 90.0}, in);
  const double share = 100.0 / e0;
  const double rb = std::sin(89.5 * 3.14159265358979 / 180.0) / 0.01745;
  CHECK(wall.sky_wm2 == doctest::Approx(50.0 * (share * rb + (1.0 - share) * 0.5)));
}

// Where the others are: 1 zones and fixed offsets, 4 stamps, 8 typical years: tests/python/
// test_weather.py. 2 rise and set by local date, 5 true and refracted zenith: test_sun_identities.
// 7 quiet inputs: test_sky_published. 11 tail definitions: above and
// test_simulation_closed (taper). 12 volts say little: test_bank_model. 15 window of 12 V gear: the
// plan's window findings (tests/cpp/scenario). 16 Peukert: test_bank_published,
// test_simulation_closed. 18 reserve: test_answers (autonomy). 20 tare: test_simulation_closed.
