// What stands between the sky and the bank: skyline, shade, slant, heading, soiling, the
// controller's limits, and several arrays on one bank.

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <vector>

#include "energy/simulated_system.hpp"

using namespace nightbus;
using namespace simulated;

namespace {

SkyInput afternoon(double zenith_deg, double azimuth_deg) {
  const double up = std::cos(zenith_deg * 3.14159265358979 / 180.0);
  SkyInput in;
  in.sky = {.ghi_wm2 = 700.0 * up + 90.0, .dni_wm2 = 700.0, .dhi_wm2 = 90.0};
  in.zenith_deg = zenith_deg;
  in.azimuth_deg = azimuth_deg;
  return in;
}

ArrayModel tilted(double tilt_deg, double azimuth_deg) {
  ArrayModel array;
  array.plane = {.tilt_deg = tilt_deg, .azimuth_deg = azimuth_deg};
  array.simple.power_w = 100.0;
  return array;
}

SimulationInput with(const ArrayModel& model) {
  SimulationInput in = sunny(plain_lfp(1000.0), 1.0, 300.0);
  in.banks[0].soc = 0.3;
  const double path_ohm = in.arrays[0].model.controller.path_resistance_ohm;
  in.arrays[0].model = model;
  in.arrays[0].model.controller.path_resistance_ohm = path_ohm;
  return in;
}

}  // namespace

TEST_CASE("a skyline takes the beam from below it and nothing of the beam from above") {
  ArrayModel open = tilted(30.0, 180.0);
  ArrayModel walled = open;
  const std::array<double, 4> at{0.0, 90.0, 180.0, 270.0};
  const std::array<double, 4> high{25.0, 25.0, 25.0, 25.0};
  walled.horizon = Horizon(at, high);
  // The same diffuse light is lost in both cases; what differs between them is the beam.
  const double below = effective_irradiance_wm2(open, afternoon(70.0, 200.0)) -
                       effective_irradiance_wm2(walled, afternoon(70.0, 200.0));
  const double above = effective_irradiance_wm2(open, afternoon(60.0, 200.0)) -
                       effective_irradiance_wm2(walled, afternoon(60.0, 200.0));
  const PlaneIrradiance beam = plane_irradiance(open.sky, open.plane, afternoon(70.0, 200.0));
  CHECK(below >= beam.beam_wm2);
  CHECK(above < 30.0);
  CHECK(above > 0.0);
}

TEST_CASE("a skyline at nought is no skyline, and a higher one never brings more") {
  ArrayModel array = tilted(40.0, 150.0);
  const double open = effective_irradiance_wm2(array, afternoon(65.0, 130.0));
  double last = 1e9;
  for (const double height : {0.0, 5.0, 15.0, 24.0, 26.0, 40.0, 70.0}) {
    const std::array<double, 2> at{0.0, 180.0};
    const std::array<double, 2> high{height, height};
    array.horizon = Horizon(at, high);
    const double light = effective_irradiance_wm2(array, afternoon(65.0, 130.0));
    if (height == 0.0) CHECK(light == doctest::Approx(open).epsilon(2e-3));
    CHECK(light <= last + 1e-9);
    last = light;
  }
  CHECK(last > 0.0);
}

TEST_CASE("partial shade takes its share of the array while the sun stands low, else nothing") {
  ArrayModel array = tilted(20.0, 180.0);
  ArrayModel shaded = array;
  shaded.partial_shade_share = 0.3;
  shaded.partial_shade_below_deg = 20.0;
  const SkyInput low = afternoon(75.0, 180.0);
  const SkyInput high = afternoon(60.0, 180.0);
  CHECK(effective_irradiance_wm2(shaded, high) == effective_irradiance_wm2(array, high));
  // The share of the array that lies in shade gives nothing at all: its cells stand in series.
  CHECK(effective_irradiance_wm2(shaded, low) ==
        doctest::Approx(0.7 * effective_irradiance_wm2(array, low)));
}

TEST_CASE("soiling and snow by month take their share of the watts, each in its own month") {
  const double clean = simulate(with(tilted(30.0, 180.0))).ledger.array_wh;
  ArrayModel snowed = tilted(30.0, 180.0);
  snowed.monthly_loss[2] = 0.4;  // March, when the run is
  CHECK(simulate(with(snowed)).ledger.array_wh == doctest::Approx(0.6 * clean).epsilon(1e-9));
  ArrayModel other = tilted(30.0, 180.0);
  other.monthly_loss[3] = 0.4;
  CHECK(simulate(with(other)).ledger.array_wh == doctest::Approx(clean).epsilon(1e-12));
  ArrayModel both = snowed;
  both.fixed_loss = 0.1;
  CHECK(simulate(with(both)).ledger.array_wh == doctest::Approx(0.54 * clean).epsilon(1e-9));
}

TEST_CASE("a vehicle that turns gets the mean over its headings, between the worst and the best") {
  ArrayModel turning = tilted(25.0, 180.0);
  turning.heading_unknown = true;
  const double mean = simulate(with(turning)).ledger.array_wh;
  double sum = 0.0;
  double worst = 1e9;
  double best = 0.0;
  for (int k = 0; k < 24; ++k) {
    const double wh = simulate(with(tilted(25.0, 15.0 * k))).ledger.array_wh;
    sum += wh / 24.0;
    worst = std::min(worst, wh);
    best = std::max(best, wh);
  }
  CHECK(mean == doctest::Approx(sum).epsilon(0.01));
  CHECK(worst < 0.8 * mean);
  CHECK(best > 1.1 * mean);
  // Flat on a roof, the heading does not matter.
  ArrayModel flat = tilted(0.0, 90.0);
  const double one_way = simulate(with(flat)).ledger.array_wh;
  flat.heading_unknown = true;
  CHECK(simulate(with(flat)).ledger.array_wh == doctest::Approx(one_way).epsilon(1e-6));
}

TEST_CASE("arrays at different tilts bring what each brings alone") {
  SimulationInput both = with(tilted(60.0, 120.0));
  both.arrays.push_back(both.arrays[0]);
  both.arrays[1].model.plane = {.tilt_deg = 10.0, .azimuth_deg = 250.0};
  const SimulationResult together = simulate(both);
  const double east = simulate(with(tilted(60.0, 120.0))).ledger.array_wh;
  const double west = simulate(with(tilted(10.0, 250.0))).ledger.array_wh;
  CHECK(together.ledger.array_wh == doctest::Approx(east + west).epsilon(1e-9));
  CHECK(together.ledger.curtailed_wh == doctest::Approx(0.0).epsilon(1e-6));
}

TEST_CASE("a controller gives no more than its current, and the rest is told as curtailed") {
  SimulationInput in = with(tilted(40.0, 180.0));
  in.arrays[0].model.simple.power_w = 600.0;
  in.arrays[0].model.controller.max_current_a = 10.0;
  const SimulationResult run = simulate(in);
  const auto& bus = run.trace.find("bus_voltage")->values;
  const auto& watts = run.trace.find("array_power")->values;
  double most = 0.0;
  for (std::size_t k = 0; k < bus.size(); ++k) most = std::max(most, watts[k] / bus[k]);
  // At its own terminals, which stand a little above the bus.
  CHECK(most <= 10.0 * 1.005);
  CHECK(most > 9.99);
  CHECK(run.ledger.curtailed_wh > 0.2 * run.ledger.array_wh);
  CHECK(run.ledger.relative_gap() < 1e-9);
}

TEST_CASE("the coldest open-circuit voltage stands above the rated one by the module's own law") {
  // M36: two modules M18 of the De Soto rows in series (tests/published/sun_modules.csv).
  const DiodeModule m36{.alpha_isc_a_per_k = 0.003,
                        .a_ref_v = 0.946,
                        .light_current_ref_a = 7.545,
                        .saturation_ref_a = 1.94e-9,
                        .shunt_ref_ohm = 31.44,
                        .series_ohm = 0.188};
  const double warm = diode_curve(m36, 1000.0, 25.0).open_circuit_v();
  const double cold = cold_open_circuit_v(m36, -25.0);
  CHECK(warm == doctest::Approx(20.80224).epsilon(1e-5));  // twice M18's 10.40112
  CHECK(cold == doctest::Approx(diode_curve(m36, 1000.0, -25.0).open_circuit_v()));
  CHECK(cold > 1.08 * warm);
  CHECK(cold < 1.30 * warm);
}

TEST_CASE("chargers run by the clock, by the charge, or always; each by its own rule") {
  SimulationInput in = bare(plain_lfp(), 0.6, 60.0, 2.0, 60.0);
  const auto hours_of = [&](const SimCharger& charger) {
    SimulationInput one = in;
    one.chargers.push_back(charger);
    const SimulationResult run = simulate(one);
    REQUIRE(run.status == SimStatus::done);
    CHECK(run.ledger.relative_gap() < 1e-9);
    return run.charger_run_s / 3600.0;
  };
  // An engine that drives one hour in the morning and one in the evening: two days, four hours.
  const std::vector<DayWindow> drives{{8 * 3600.0, 9 * 3600.0}, {17 * 3600.0, 18 * 3600.0}};
  CHECK(hours_of({.max_current_a = 20.0, .windows = drives}) == doctest::Approx(4.0));
  CHECK(hours_of({.max_current_a = 20.0, .always = true}) > 10.0);
  CHECK(hours_of({.max_current_a = 20.0}) == 0.0);
  const double by_charge =
      hours_of({.max_current_a = 20.0, .start_below_soc = 0.4, .stop_above_soc = 0.6});
  CHECK(by_charge > 0.5);
  CHECK(by_charge < 20.0);
}

TEST_CASE("random bursts with a seed come again the same, another seed gives others") {
  const auto wh = [](std::uint64_t seed) {
    SimulationInput in = bare(plain_lfp(), 1.0, 0.0, 2.0, 300.0);
    in.loads.push_back({.draw = BurstDraw{2.0, 30.0, 1800.0, 120.0, seed}});
    const SimulationResult run = simulate(in);
    return run.ledger.delivered_wh();
  };
  CHECK(wh(7) == wh(7));
  CHECK(wh(7) != wh(8));
  double sum = 0.0;
  for (std::uint64_t seed = 1; seed <= 30; ++seed) sum += wh(seed) / 30.0;
  // 2 W, and 30 W for 120 of every 1 920 s: 3.75 W over 48 h.
  CHECK(sum == doctest::Approx(48.0 * (2.0 + 28.0 * 120.0 / 1920.0)).epsilon(0.03));
}

TEST_CASE("each heading of a vehicle gives what planes that stand so give, the worst faces away") {
  ArrayModel left = tilted(30.0, 90.0);
  ArrayModel front = tilted(15.0, 0.0);
  const ArrayModel fixed = tilted(20.0, 180.0);
  left.heading_unknown = front.heading_unknown = true;
  SimulationInput in = with(left);
  in.arrays.push_back({.model = front});
  in.arrays.push_back({.model = fixed});
  const HeadingReport report = heading_report(in);
  REQUIRE(report.array_wh.size() == 12);
  double sum = 0.0;
  for (std::size_t h = 0; h < 12; ++h) {
    SimulationInput stands = in;
    for (std::size_t a = 0; a < 2; ++a) {
      stands.arrays[a].model.heading_unknown = false;
      stands.arrays[a].model.plane.azimuth_deg += 30.0 * static_cast<double>(h);
    }
    CHECK(report.array_wh[h] == doctest::Approx(simulate(stands).ledger.array_wh).epsilon(1e-9));
    sum += report.array_wh[h];
  }
  CHECK(report.mean_wh == doctest::Approx(sum / 12.0));
  CHECK(report.worst_wh == *std::min_element(report.array_wh.begin(), report.array_wh.end()));
  CHECK(report.best_wh == *std::max_element(report.array_wh.begin(), report.array_wh.end()));

  const HeadingReport one = heading_report(with(left));
  CHECK(one.worst_heading_deg == 270.0);  // 90 + 270: its plane faces north
  CHECK(one.best_heading_deg == 90.0);
  CHECK(one.worst_wh < 0.8 * one.mean_wh);
  // The simulation of the mean heading has the mean of the headings, give or take warm cells.
  CHECK(simulate(with(left)).ledger.array_wh == doctest::Approx(one.mean_wh).epsilon(0.01));
  const HeadingReport flat = heading_report(with(tilted(0.0, 90.0)));
  CHECK(flat.worst_wh == doctest::Approx(flat.best_wh).epsilon(1e-12));
}
