// What must hold in every run: the ledger, invariants, independence of step and threads.

#include <doctest/doctest.h>

#include "energy/simulated_system.hpp"

using namespace simulated;

TEST_CASE("the ledger closes: in = out + stored, for every chemistry, controller and step") {
  for (const bool with_lead : {false, true}) {
    for (const ControllerKind kind : {ControllerKind::mppt, ControllerKind::pwm}) {
      for (const double step : {30.0, 60.0, 600.0, 3600.0}) {
        SimulationInput in = sunny(with_lead ? lead() : lossy_lfp(), 6.0, step);
        in.arrays[0].model.controller.kind = kind;
        in.arrays[0].model.simple_mpp_v = 18.0;
        const SimulationResult r = simulate(in);
        REQUIRE(r.status == SimStatus::done);
        INFO(in.banks[0].model.chemistry, " step ", step, " in ", r.ledger.in_wh(), " out ",
             r.ledger.out_wh(), " stored ", r.ledger.stored_change_wh, " gap ", r.ledger.gap_wh());
        CHECK(r.ledger.relative_gap() < 1e-9);
        CHECK(r.ledger.in_wh() > 1000.0);
        CHECK(r.ledger.curtailed_wh >= -1e-9);
        CHECK(r.ledger.bank_charge_loss_wh > 0.0);
      }
    }
  }
}

TEST_CASE(
    "halving the step changes a week's answers by a quarter of the change before (second order)") {
  // Smooth drive: constant loads, steady sun of a held irradiance, no schedule.
  const auto run = [](double step) {
    SimulationInput in = bare(lossy_lfp(), 0.9, 25.0, 1.0, step);
    in.loads[0].path_resistance_ohm = 0.05;
    const SimulationResult r = simulate(in);
    REQUIRE(r.events.empty());
    return r.banks[0].final_soc;
  };
  const double exact = run(7.5);
  const double e1 = std::abs(run(3600.0) - exact);
  const double e2 = std::abs(run(1800.0) - exact);
  const double e3 = std::abs(run(900.0) - exact);
  INFO(e1, " ", e2, " ", e3);
  CHECK(e1 / e2 > 3.0);
  CHECK(e2 / e3 > 3.0);
  CHECK(e1 < 1e-5);
}

TEST_CASE("a sunny fortnight at 30, 60 and 300 s agrees within a stated bound") {
  const auto run = [](double step) {
    SimulationInput in = sunny(lossy_lfp(), 14.0, step, 0.45);
    return simulate(in);
  };
  const SimulationResult fine = run(30.0);
  for (const double step : {60.0, 300.0}) {
    const SimulationResult r = run(step);
    INFO("step ", step);
    CHECK(std::abs(r.banks[0].final_soc - fine.banks[0].final_soc) < 2e-3);
    CHECK(r.ledger.delivered_wh() == doctest::Approx(fine.ledger.delivered_wh()).epsilon(2e-3));
    CHECK(r.ledger.array_wh == doctest::Approx(fine.ledger.array_wh).epsilon(1e-3));
  }
}

TEST_CASE("the same input gives the same bits, alone, again, and in any number of threads") {
  std::vector<SimulationInput> inputs;
  for (int k = 0; k < 7; ++k) {
    inputs.push_back(
        sunny(k % 2 ? lead() : lossy_lfp(), 3.0, 120.0, 0.3 + 0.1 * k, 200.0 + 20.0 * k));
    inputs.back().loads.push_back({.draw = BurstDraw{1.0, 20.0, 1800.0, 120.0, 42}});
  }
  inputs[3].banks[0].model.capacity_ah = -1.0;  // a failure stays with its own run
  const auto alone = simulate_many(inputs, 1);
  for (const std::size_t threads : {2u, 3u, 16u}) {
    const auto many = simulate_many(inputs, threads);
    REQUIRE(many.size() == inputs.size());
    for (std::size_t k = 0; k < inputs.size(); ++k) {
      CHECK(many[k].status == alone[k].status);
      if (k == 3) continue;
      CHECK(many[k].banks[0].final_soc == alone[k].banks[0].final_soc);
      CHECK(many[k].ledger.delivered_wh() == alone[k].ledger.delivered_wh());
      CHECK(many[k].events.size() == alone[k].events.size());
      CHECK(many[k].trace.find("bus_voltage")->values ==
            alone[k].trace.find("bus_voltage")->values);
    }
  }
  CHECK(alone[3].status == SimStatus::bad_input);
  CHECK(alone[3].message.find("capacity") != std::string::npos);
}

TEST_CASE("the trace and the ledger tell the same story") {
  const SimulationInput in = sunny(lossy_lfp(), 2.0, 60.0);
  const SimulationResult r = simulate(in);
  const auto sum_wh = [&](const char* name, int index = -1) {
    double sum = 0.0;
    for (const double w : r.trace.find(name, index)->values) sum += w;
    return sum * r.trace.row_s / 3600.0;
  };
  CHECK(r.trace.time_s.size() == 2880);
  CHECK(sum_wh("load_power") == doctest::Approx(r.ledger.delivered_wh()).epsilon(1e-9));
  CHECK(sum_wh("array_available") == doctest::Approx(r.ledger.array_wh).epsilon(1e-9));
  CHECK(sum_wh("array_power") ==
        doctest::Approx(r.ledger.array_wh - r.ledger.curtailed_wh - r.ledger.controller_loss_wh)
            .epsilon(1e-9));
  const double ah = sum_wh("bank_current", 0);
  CHECK(ah == doctest::Approx(r.banks[0].charged_ah - r.banks[0].discharged_ah).epsilon(1e-9));
}

TEST_CASE("nothing rises above the ceiling, nothing is charged when cold, no charge is negative") {
  for (const bool with_lead : {false, true}) {
    SimulationInput in = sunny(with_lead ? lead() : lossy_lfp(), 8.0, 60.0, 0.9, 600.0);
    in.banks[0].path_resistance_ohm = 0.0;
    for (std::size_t k = 0; k < in.weather.temp_c.size(); ++k) {
      in.weather.temp_c[k] = 2.0 + 6.0 * std::sin(static_cast<double>(k) / 288.0 * 6.2832 / 3.0);
    }
    in.options.record_loads = true;
    const SimulationResult r = simulate(in);
    REQUIRE(r.status == SimStatus::done);
    CHECK(r.ledger.relative_gap() < 1e-9);
    const BankModel& model = in.banks[0].model;
    const auto& volts = r.trace.find("bus_voltage")->values;
    const auto& amps = r.trace.find("bank_current", 0)->values;
    const auto& temps = r.trace.find("bank_temperature", 0)->values;
    const auto& charge = r.trace.find("bank_charge", 0)->values;
    for (std::size_t k = 0; k < volts.size(); ++k) {
      const double set = model.voltages.setpoint_v(model.voltages.absorption_v, temps[k]);
      CHECK(volts[k] <= set + 0.01);
      if (k > 0 && std::max(temps[k], temps[k - 1]) < model.charge_low_c - 1e-6)
        CHECK(amps[k] <= 1e-9);
      CHECK(charge[k] >= -1e-9);
      CHECK(charge[k] <= 1.0 + 1e-6);
    }
    if (!with_lead) {
      CHECK(r.banks[0].blocked_charge_s > 3600.0);
      bool blocked = false;
      for (const SimEvent& e : r.events) blocked = blocked || e.kind == EventKind::charge_blocked;
      CHECK(blocked);
    }
  }
}

TEST_CASE("while the cold blocks charging, the sun still carries the loads") {
  SimulationInput in = sunny(lossy_lfp(), 1.0, 60.0, 1.0, 600.0);
  for (double& t : in.weather.temp_c) t = -8.0;
  const SimulationResult r = simulate(in);
  CHECK(r.banks[0].charged_ah < 1e-6);
  // Half of a spring day has light: the bank gives far less than the whole day's draw.
  const double all_ah = r.ledger.delivered_wh() / 13.0;
  CHECK(r.banks[0].discharged_ah < 0.75 * all_ah);
  CHECK(r.ledger.unmet_wh == 0.0);
}

TEST_CASE("the least critical loads are shed first and come back last") {
  SimulationInput in = bare(lossy_lfp(), 0.30, 0.0, 4.0, 60.0);
  in.groups.push_back({.off_soc = 0.25, .on_soc = 0.60, .delay_s = 60.0});  // least critical
  in.groups.push_back({.off_soc = 0.12, .on_soc = 0.30, .delay_s = 60.0});
  in.loads.push_back({.draw = SteadyDraw{30.0}, .group = 0, .critical = false});
  in.loads.push_back({.draw = SteadyDraw{20.0}, .group = 1});
  in.loads.push_back({.draw = SteadyDraw{5.0}});
  in.chargers.push_back({.max_current_a = 20.0, .windows = {{12 * 3600.0, 16 * 3600.0}}});
  const SimulationResult r = simulate(in);
  CHECK(r.ledger.relative_gap() < 1e-9);
  double shed[2] = {0, 0};
  double back[2] = {0, 0};
  for (const SimEvent& e : r.events) {
    if (e.kind == EventKind::group_shed && shed[e.index] == 0) shed[e.index] = e.time_s;
    if (e.kind == EventKind::group_returned && back[e.index] == 0) back[e.index] = e.time_s;
  }
  CHECK(shed[0] > 0.0);
  CHECK(shed[1] > shed[0]);
  CHECK(back[1] > shed[1]);
  CHECK(back[0] > back[1]);
  CHECK(r.loads[2].down_s == 0.0);
  CHECK(r.loads[0].down_s > r.loads[1].down_s);
  CHECK(r.unmet_h == doctest::Approx(r.loads[1].down_s / 3600.0));
}

TEST_CASE("a disconnect by voltage waits for its delay and does not chatter") {
  SimulationInput in = bare(lead(60.0), 0.5, 0.0, 3.0, 60.0);
  in.groups.push_back({.off_v = 11.7, .on_v = 12.6, .delay_s = 120.0});  // EN 62509
  in.loads.push_back({.draw = SteadyDraw{60.0}, .group = 0});
  in.chargers.push_back({.max_current_a = 10.0, .windows = {{10 * 3600.0, 18 * 3600.0}}});
  const SimulationResult r = simulate(in);
  int sheds = 0;
  double last = -1e9;
  for (const SimEvent& e : r.events) {
    if (e.kind != EventKind::group_shed) continue;
    CHECK(e.time_s - last > 3600.0);
    last = e.time_s;
    ++sheds;
    CHECK(e.value < 11.7);
  }
  CHECK(sheds >= 1);
  CHECK(sheds <= 6);
}

TEST_CASE(
    "an empty bank that nobody charges stays empty: no charge below nothing, no small steps") {
  SimulationInput in = bare(lead(60.0), 0.02, 60.0, 20.0, 600.0);
  const SimulationResult r = simulate(in);
  REQUIRE(r.status == SimStatus::done);
  CHECK(r.ledger.relative_gap() < 1e-9);
  CHECK(r.banks[0].lowest_soc < 1e-6);
  CHECK(r.banks[0].lowest_soc > -1e-7);
  CHECK(r.sub_steps < r.steps + 100);
}

TEST_CASE("a load whose lock-out lies within the bus's own droop loops slowly and is seen") {
  // 25 W behind 0.5 Ω: it drops at 10.5 V with more than 1 V of droop, and starts again at 11.5 V.
  BankModel bank = plain_lfp();
  bank.cells = 1;
  bank.mean_v = {{0.0, 1.0}, {11.6, 11.7}};
  bank.voltages = {.absorption_v = 14.0, .float_v = 13.0, .ceiling_v = 14.0};
  SimulationInput in = bare(bank, 0.9, 0.0, 0.1, 60.0);
  in.loads.push_back({.draw = SteadyDraw{25.0},
                      .path_resistance_ohm = 0.5,
                      .off_v = 10.5,
                      .on_v = 11.5,
                      .restart_s = 60.0,
                      .boot_w = 25.0});
  const SimulationResult r = simulate(in);
  CHECK(r.status == SimStatus::done);
  CHECK(r.loads[0].drops > 20);
  CHECK(r.loads[0].drops < 400);
  CHECK(r.ledger.relative_gap() < 1e-9);
}

TEST_CASE("a generator starts and stops by the state of charge") {
  SimulationInput in = bare(lossy_lfp(), 0.5, 40.0, 6.0, 60.0);
  in.chargers.push_back(
      {.max_current_a = 25.0, .efficiency = 0.85, .start_below_soc = 0.3, .stop_above_soc = 0.8});
  const SimulationResult r = simulate(in);
  CHECK(r.ledger.relative_gap() < 1e-9);
  CHECK(r.banks[0].lowest_soc == doctest::Approx(0.3).epsilon(0.01));
  CHECK(r.charger_run_s > 3600.0);
  CHECK(r.charger_input_wh == doctest::Approx(r.ledger.charger_wh / 0.85));
  CHECK(r.ledger.unmet_wh == 0.0);
}

TEST_CASE("two banks share by their resistance and end at the same voltage") {
  SimulationInput in = bare(lossy_lfp(100.0), 0.8, 60.0, 0.2, 60.0);
  in.banks.push_back({.model = lossy_lfp(50.0), .soc = 0.8});
  in.banks[1].model.resistance_ohm = 0.008;
  const SimulationResult r = simulate(in);
  CHECK(r.ledger.relative_gap() < 1e-9);
  CHECK(r.banks[0].discharged_ah == doctest::Approx(2.0 * r.banks[1].discharged_ah).epsilon(0.01));
  // An old bank low on charge is filled by the better one beside it.
  in.banks[1].soc = 0.05;
  in.loads.clear();
  const SimulationResult uneven = simulate(in);
  CHECK(uneven.banks[1].charged_ah > 1.0);
  CHECK(uneven.ledger.relative_gap() < 1e-9);
}

TEST_CASE("demand beyond what the bank can carry drops the largest load, and says collapse") {
  BankModel weak = plain_lfp();
  weak.resistance_ohm = 0.5;
  SimulationInput in = bare(weak, 0.9, 0.0, 0.05, 60.0);
  in.loads.push_back({.draw = SteadyDraw{120.0}});
  in.loads.push_back({.draw = SteadyDraw{10.0}});
  const SimulationResult r = simulate(in);
  REQUIRE_FALSE(r.events.empty());
  CHECK(r.events[0].kind == EventKind::collapse);
  CHECK(r.events[0].index == 0);
  CHECK(r.loads[1].down_s == 0.0);
  CHECK(r.loads[0].down_s > 0.0);
}

TEST_CASE("a draw beyond its own cable's limit is dropped, the others stay") {
  SimulationInput in = bare(plain_lfp(), 0.9, 10.0, 0.05, 60.0);
  in.loads.push_back({.draw = SteadyDraw{60.0}, .path_resistance_ohm = 1.0});
  const SimulationResult r = simulate(in);
  REQUIRE_FALSE(r.events.empty());
  CHECK(r.events[0].kind == EventKind::collapse);
  CHECK(r.events[0].index == 1);
  CHECK(r.loads[0].down_s == 0.0);
}

TEST_CASE("schedules keep the wall clock through the change to summer time") {
  SimulationInput in = bare(plain_lfp(), 1.0, 0.0, 3.0, 60.0);
  in.options.start_s = utc_seconds(2026, 3, 28, -3600.0);  // local midnight
  in.weather.start_s = in.options.start_s;
  in.clock.changes = {{utc_seconds(2025, 10, 26, 3600.0), 3600.0},
                      {utc_seconds(2026, 3, 29, 3600.0), 7200.0}};
  in.loads.push_back({.draw = WindowDraw{{{1.5 * 3600.0, 3.5 * 3600.0}}, 10.0, 0.0}});
  const SimulationResult r = simulate(in);
  // Two hours on the 28th and the 30th, one on the 29th, when 02:00 to 03:00 does not exist.
  CHECK(r.ledger.load_wh[0] == doctest::Approx(10.0 * (2.0 + 1.0 + 2.0)));
}

TEST_CASE("events fall inside steps: a duty cycle is not smeared by a long step") {
  for (const double step : {60.0, 3600.0}) {
    SimulationInput in = bare(plain_lfp(), 1.0, 0.0, 1.0, step);
    in.loads.push_back({.draw = DutyDraw{700.0, 130.0, 10.0, 30.0, 2.0, {}}});
    const SimulationResult r = simulate(in);
    double expected = 0.0;
    for (int s = 0; s < 86400; ++s) {
      const double phase = std::fmod(in.options.start_s + s + 0.5 - 10.0, 700.0);
      expected += phase < 130.0 ? 30.0 : 2.0;
    }
    CHECK(r.ledger.load_wh[0] == doctest::Approx(expected / 3600.0).epsilon(1e-6));
  }
}

TEST_CASE("infra-red lamps burn from sunset to sunrise") {
  SimulationInput in = bare(plain_lfp(200.0), 1.0, 0.0, 1.0, 600.0);
  in.options.start_s = utc_seconds(2026, 3, 20, 10.0 * 3600.0 + 54.0 * 60.0);
  in.weather.start_s = in.options.start_s;
  in.site = {.latitude_deg = 59.32938, .longitude_deg = 18.06871};
  in.loads.push_back({.draw = DayNightDraw{2.0, 8.0, {}, 0.0}});
  const SimulationResult r = simulate(in);
  // US Naval Observatory: set 17:02, next rise 04:47 UTC: 11 h 45 min of night, whole minutes.
  CHECK(std::abs(r.ledger.load_wh[0] - (2.0 * 24.0 + 6.0 * 11.75)) < 6.0 * 2.0 / 60.0);
}

TEST_CASE("heaters follow the cold, and their rooms follow them") {
  SimulationInput in = bare(plain_lfp(300.0), 1.0, 0.0, 2.0, 60.0);
  for (double& t : in.weather.temp_c) t = -15.0;
  AirSpace box;
  box.heat_capacity_j_per_k = 30000.0;
  box.outside_w_per_k = 1.5;
  in.thermal.spaces.push_back(box);
  in.start_space_c = {10.0};
  in.loads.push_back(
      {.draw = HeaterDraw{HeaterDraw::Sensor::space, 0, 3.0, 6.0, 60.0, 0.0}, .space = 0});
  const SimulationResult r = simulate(in);
  const auto& temps = r.trace.find("space_temperature", 0)->values;
  for (std::size_t k = 200; k < temps.size(); ++k) {
    CHECK(temps[k] > 2.9);
    CHECK(temps[k] < 6.1);
  }
  // Mean heat holds about 4.5 °C against -15 °C.
  CHECK(r.ledger.load_wh[0] / 48.0 == doctest::Approx(1.5 * 19.5).epsilon(0.1));
  CHECK(r.ledger.relative_gap() < 1e-9);
}

TEST_CASE(
    "a fan draws by its step, its heat stays in the room, and without power it stands still") {
  SimulationInput in = bare(plain_lfp(300.0), 1.0, 40.0, 1.0, 60.0);
  for (double& t : in.weather.temp_c) t = 30.0;
  AirSpace box;
  box.heat_capacity_j_per_k = 20000.0;
  box.outside_w_per_k = 2.0;
  SpaceFan fan;
  fan.steps = {{0.0, 0.0}, {0.01, 1.5}, {0.02, 4.0}};
  fan.control = {.set_point_c = 32.0, .step_k = 3.0, .lowest = 0, .hysteresis_k = 1.5};
  box.fans.push_back(fan);
  in.thermal.spaces.push_back(box);
  in.loads[0].space = 0;
  in.loads.push_back({.draw = FanDraw{0, 0}, .space = 0});
  const SimulationResult with = simulate(in);
  CHECK(with.ledger.load_wh[1] > 10.0);
  CHECK(with.ledger.relative_gap() < 1e-9);
  const double still = 30.0 + 40.0 / 2.0;
  CHECK(with.hottest_space_c[0] < still - 10.0);
  // The same with the fan's circuit shed.
  in.groups.push_back({.off_soc = 2.0, .on_soc = 3.0, .delay_s = 0.0});
  in.loads[1].group = 0;
  const SimulationResult without = simulate(in);
  CHECK(without.hottest_space_c[0] == doctest::Approx(still).epsilon(0.01));
  CHECK(without.ledger.load_wh[1] == doctest::Approx(0.0).epsilon(1e-6));
}

TEST_CASE("a run can be stopped and keeps what was done") {
  const SimulationInput in = sunny(lossy_lfp(), 10.0, 60.0);
  const SimulationResult r = simulate(in, [](double share) { return share < 0.3; });
  CHECK(r.status == SimStatus::stopped);
  CHECK(r.steps > 3000);
  CHECK(r.steps < 6000);
  CHECK(r.trace.time_s.size() == r.steps);
  CHECK(r.ledger.relative_gap() < 1e-9);
}

TEST_CASE("inputs that make no sense are refused with words, all at once") {
  SimulationInput in = sunny(lossy_lfp(), 1.0, 60.0);
  in.weather.temp_c[3] = 293.0;
  in.loads[0].feed = 7;
  in.groups.push_back({.off_v = 12.0, .on_v = 11.0});
  in.banks[0].soc = 1.5;
  const auto problems = check_input(in);
  CHECK(problems.size() == 4);
  const SimulationResult r = simulate(in);
  CHECK(r.status == SimStatus::bad_input);
  CHECK(r.message.find("kelvin") != std::string::npos);
}
