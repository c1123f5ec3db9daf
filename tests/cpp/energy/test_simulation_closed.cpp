// The simulation against closed forms and independently computed runs.

#include <doctest/doctest.h>

#include "energy/simulated_system.hpp"

using namespace simulated;

namespace {

const SimEvent* first(const SimulationResult& r, EventKind kind) {
  for (const SimEvent& event : r.events) {
    if (event.kind == kind) return &event;
  }
  return nullptr;
}

}  // namespace

TEST_CASE("20 W from a full 100 Ah LFP bank down to a fifth: 53.178 h, 80.000 Ah, 13.2944 V") {
  // Computed independently from the same table (means at 0.05, linear, R 4 mΩ, 1 s steps).
  for (const double step : {1.0, 60.0, 3600.0}) {
    SimulationInput in = bare(plain_lfp(), 1.0, 20.0, 3.0, step);
    in.groups.push_back({.off_soc = 0.2, .on_soc = 0.3, .delay_s = 0.0});
    in.loads[0].group = 0;
    const SimulationResult r = simulate(in);
    REQUIRE(r.status == SimStatus::done);
    const SimEvent* shed = first(r, EventKind::group_shed);
    REQUIRE(shed);
    const double hours = (shed->time_s - in.options.start_s) / 3600.0;
    INFO("step ", step, " hours ", hours, " Ah ", r.banks[0].discharged_ah);
    CHECK(std::abs(hours - 53.178) < 0.0005 + 1e-3 / 3600.0);
    CHECK(std::abs(r.banks[0].discharged_ah - 80.0) < 0.0005);
    CHECK(std::abs(r.ledger.load_wh[0] / r.banks[0].discharged_ah - 13.2944) < 0.00005);
    CHECK(r.ledger.relative_gap() < 1e-9);
  }
}

TEST_CASE("taper at constant voltage over a straight OCV: 20 to 4 A in 4.024 h and 40 Ah") {
  // τ = R Q / k = 0.03·100/1.2 = 2.5 h (computed).
  BankModel bank = plain_lfp();
  bank.cells = 1;
  bank.mean_v = {{0.0, 1.0}, {12.4, 13.6}};
  bank.resistance_ohm = 0.03;
  bank.voltages = {.absorption_v = 13.6, .float_v = 13.0, .ceiling_v = 14.0};
  bank.rules = {.absorption_s = 1e6, .tail_current_a = 4.0, .rebulk_v = 12.0};
  for (const double step : {60.0, 600.0, 3600.0}) {
    SimulationInput in = bare(bank, 0.2, 0.0, 1.0, step);
    in.chargers.push_back({.max_current_a = 20.0, .always = true});
    const SimulationResult r = simulate(in);
    const SimEvent* begins = first(r, EventKind::stage_absorption);
    const SimEvent* ends = first(r, EventKind::stage_float);
    REQUIRE(begins);
    REQUIRE(ends);
    INFO("step ", step);
    // 0.2 → 0.5 at 20 A is 1.5 h.
    CHECK(std::abs((begins->time_s - in.options.start_s) / 3600.0 - 1.5) < 1e-5);
    // The trapezoid of an exponential: error h²/(12 τ²) of the time constant.
    const double h = step / 3600.0 / 2.5;
    CHECK(std::abs((ends->time_s - begins->time_s) / 3600.0 - 4.0236) <
          0.0005 + 4.03 * h * h / 6.0);
    CHECK(std::abs(ends->value - 13.6) < 1e-6);
    CHECK(r.ledger.relative_gap() < 1e-9);
  }
}

TEST_CASE("Peukert in the simulation: 10 A from 100 Ah of 20 h, k 1.2, lasts 8.70551 h") {
  BankModel bank = plain_lfp();
  bank.peukert = 1.2;
  SimulationInput in = bare(bank, 1.0, 0.0, 0.5, 60.0);
  in.loads.push_back({.draw = SteadyDraw{120.0}, .law = DrawLaw::current, .nominal_v = 12.0});
  const SimulationResult r = simulate(in);
  const SimEvent* empty = first(r, EventKind::bank_empty);
  REQUIRE(empty);
  CHECK(std::abs((empty->time_s - in.options.start_s) / 3600.0 - 8.70551) < 1e-5);
  CHECK(std::abs(r.banks[0].discharged_ah - 87.0551) < 1e-4);
  CHECK(r.ledger.relative_gap() < 1e-9);
}

TEST_CASE("self-discharge alone follows its rate, and doubles ten kelvin higher") {
  BankModel bank = plain_lfp();
  bank.self_discharge_per_s = 0.02 / (30.0 * 86400.0);
  for (const double temp : {25.0, 35.0}) {
    SimulationInput in = bare(bank, 0.5, 0.0, 30.0, 3600.0);
    in.weather = still_weather(in.options.start_s, 30.0, temp);
    const SimulationResult r = simulate(in);
    CHECK(0.5 - r.banks[0].final_soc ==
          doctest::Approx(0.02 * (temp > 30.0 ? 2.0 : 1.0)).epsilon(1e-9));
    CHECK(r.ledger.relative_gap() < 1e-9);
  }
}

TEST_CASE("a converter chain draws what the closed form says") {
  // Class 3 device of 12.95 W through two stages of 0.9: 15.9877 W at the battery (computed).
  SimulationInput in = bare(plain_lfp(), 0.6, 0.0, 0.1, 60.0);
  const double a = 1.0 / 0.9 - 1.0;
  in.converters.push_back({.output_v = 24.0, .a = a});
  in.converters.push_back({.output_v = 54.0, .a = a, .feed = 0});
  in.loads.push_back({.draw = SteadyDraw{12.95}, .feed = 1});
  const SimulationResult r = simulate(in);
  const double hours = 2.4;
  CHECK(r.ledger.load_wh[0] / hours == doctest::Approx(12.95));
  CHECK((r.ledger.load_wh[0] + r.ledger.converter_loss_wh) / hours ==
        doctest::Approx(15.98765).epsilon(1e-6));
}

TEST_CASE(
    "12 W for a day: a DC-DC of 93 % takes 309.68 Wh, an adapter behind an inverter 510.51 Wh") {
  // Computed; the adapter is Level VI (10 CFR 430.32(w), memory): 0.82963 at 12 W.
  const double level_vi = 0.071 * std::log(12.0) - 0.0014 * 12.0 + 0.67;
  CHECK(level_vi == doctest::Approx(0.82963).epsilon(1e-5));
  const auto day = [](double a, double standby) {
    SimulationInput in = bare(plain_lfp(), 0.9, 0.0, 1.0, 60.0);
    in.converters.push_back({.output_v = 12.0, .standby_w = standby, .a = a});
    in.loads.push_back({.draw = SteadyDraw{12.0}, .feed = 0});
    const SimulationResult r = simulate(in);
    return r.ledger.delivered_wh() + r.ledger.converter_loss_wh;
  };
  CHECK(day(1.0 / 0.93 - 1.0, 0.0) == doctest::Approx(309.68).epsilon(2e-5));
  CHECK(day(1.0 / (level_vi * 0.90) - 1.0, 5.2) == doctest::Approx(510.51).epsilon(2e-5));
}

TEST_CASE("tare runs all day: 5.2 W are 124.8 Wh") {
  BankModel bank = plain_lfp();
  bank.standby_w = 5.2;
  const SimulationResult r = simulate(bare(bank, 0.9, 0.0, 1.0, 60.0));
  CHECK(r.ledger.bank_standby_wh == doctest::Approx(124.8));
}
