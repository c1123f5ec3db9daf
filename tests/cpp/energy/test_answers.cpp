// The night, the grey days, the plain year.

#include <doctest/doctest.h>

#include "energy/simulated_system.hpp"

using namespace simulated;

TEST_CASE("the night's draw is what the loads and losses take between sunset and sunrise") {
  SimulationInput in = sunny(lossy_lfp(), 6.0, 60.0);
  const NightReport night = night_report(in, in.options.start_s + 43200.0, 0.8, 5);
  CHECK_FALSE(night.polar);
  CHECK(night.night_h > 12.5);  // 1 March at 45° north
  CHECK(night.night_h < 13.5);
  double loads = 0.0;
  for (const double wh : night.load_wh) loads += wh;
  CHECK(night.night_wh > loads);
  CHECK(night.night_wh < 1.25 * loads + 60.0);
  CHECK(night.night_wh / night.night_ah == doctest::Approx(13.2).epsilon(0.02));
  CHECK(night.soc_sunrise < night.soc_sunset);
  CHECK((night.soc_sunset - night.soc_sunrise) * 100.0 ==
        doctest::Approx(night.night_ah).epsilon(0.02));
  CHECK(night.load_wh[3] == doctest::Approx(9.0 * night.night_h).epsilon(1e-3));  // lamps at night
  CHECK(night.lowest_bus_v > 12.5);
  CHECK(night.lowest_bus_v < 13.3);
}

TEST_CASE("hours to full shrink with a larger array, and a starved bank is never full") {
  const auto hours = [](double array_w) {
    SimulationInput in = sunny(lossy_lfp(), 12.0, 120.0, 0.9, array_w);
    return night_report(in, in.options.start_s + 43200.0, 0.8, 10);
  };
  const NightReport small = hours(420.0);
  const NightReport large = hours(1200.0);
  REQUIRE(large.hours_to_full);
  REQUIRE(small.hours_to_full);
  CHECK(*large.hours_to_full < *small.hours_to_full);
  const NightReport starved = hours(60.0);
  CHECK(starved.never_full);
  CHECK_FALSE(starved.hours_to_full);
}

TEST_CASE("polar night: a day of 24 h from noon is taken and said") {
  SimulationInput in = sunny(lossy_lfp(), 4.0, 300.0);
  in.site = {.latitude_deg = 69.6489, .longitude_deg = 18.95508};
  in.options.start_s = utc_seconds(2025, 12, 20);
  ClearSkyYear year;
  year.site = in.site;
  in.weather = clear_sky_weather(year, in.clock, in.options.start_s, 600.0, 4 * 144);
  const NightReport night = night_report(in, utc_seconds(2025, 12, 21), 0.9, 2);
  CHECK(night.polar);
  CHECK(night.night_h == doctest::Approx(24.0));
  CHECK(night.night_wh > 0.0);
}

TEST_CASE("autonomy without sun: the reserve first, then the first drop; both by the simulation") {
  SimulationInput in = bare(lossy_lfp(), 1.0, 20.0, 1.0, 60.0);
  in.loads[0].off_v = 11.0;
  in.loads[0].on_v = 12.0;
  const AutonomyReport r = autonomy(in, in.options.start_s, 1.0, 0.2, 10.0);
  REQUIRE(r.until_empty_h);
  REQUIRE(r.until_first_drop_h);
  CHECK(*r.until_first_drop_h > *r.until_empty_h);
  CHECK(r.first_drop_load == 0);
  // About 80 Ah at 13.2 V over 20.4 W.
  CHECK(*r.until_empty_h == doctest::Approx(80.0 * 13.2 / 20.5).epsilon(0.03));
  // Half the charge above the reserve lasts half as long.
  const AutonomyReport half = autonomy(in, in.options.start_s, 0.6, 0.2, 10.0);
  CHECK(*half.until_empty_h == doctest::Approx(0.5 * *r.until_empty_h).epsilon(0.03));
  // Chargers and sun are out of it.
  in.chargers.push_back({.max_current_a = 50.0, .always = true});
  CHECK(*autonomy(in, in.options.start_s, 1.0, 0.2, 10.0).until_empty_h ==
        doctest::Approx(*r.until_empty_h));
}

TEST_CASE("marks cut steps and read the books exactly there") {
  SimulationInput in = bare(plain_lfp(), 1.0, 12.0, 1.0, 3600.0);
  in.options.marks_s = {in.options.start_s + 1000.5, in.options.start_s + 7777.25};
  const SimulationResult r = simulate(in);
  REQUIRE(r.marks.size() == 2);
  CHECK(r.marks[0].ledger.load_wh[0] == doctest::Approx(12.0 * 1000.5 / 3600.0).epsilon(1e-6));
  CHECK(r.marks[1].ledger.load_wh[0] == doctest::Approx(12.0 * 7777.25 / 3600.0).epsilon(1e-6));
}

TEST_CASE("the plain year balances, and a pack of years equals lone ones bit for bit") {
  std::vector<double> sun(2000);
  for (std::size_t k = 0; k < sun.size(); ++k) {
    sun[k] = std::max(0.0, 90.0 * std::sin(static_cast<double>(k) / 24.0 * 6.2832)) *
             (0.3 + 0.7 * std::abs(std::sin(static_cast<double>(k) * 0.013)));
  }
  std::vector<PlainBank> banks;
  std::vector<double> scale;
  for (int k = 0; k < 53; ++k) {
    banks.push_back({300.0 + 40.0 * k, 0.2, 1.0, 0.9 + 0.001 * k});
    scale.push_back(0.4 + 0.01 * k);
  }
  const double load = 15.0;
  PlainBatch batch;
  batch.array_w = sun;
  batch.load_w = {&load, 1};
  batch.array_scale = scale;
  batch.banks = banks;
  batch.steps = sun.size();
  batch.threads = 3;
  const auto years = plain_years(batch);
  for (std::size_t k = 0; k < banks.size(); ++k) {
    std::vector<double> own;
    for (const double w : sun) own.push_back(w * scale[k]);
    const PlainYear lone = plain_year(own, batch.load_w, 3600.0, banks[k]);
    CHECK(std::abs(years[k].balance_gap_wh()) < 1e-8);
    CHECK(lone.unmet_wh == years[k].unmet_wh);
    CHECK(lone.end_wh == years[k].end_wh);
    CHECK(lone.unmet_steps == years[k].unmet_steps);
    CHECK(lone.longest_unmet_steps == years[k].longest_unmet_steps);
    CHECK(lone.lowest_share == years[k].lowest_share);
    CHECK(years[k].lowest_share >= 0.2 - 1e-12);
  }
  // A larger bank never fails more.
  for (std::size_t k = 1; k < 20; ++k) {
    const PlainYear a =
        plain_year(sun, batch.load_w, 3600.0, {400.0 * static_cast<double>(k), 0.2, 1.0, 0.95});
    const PlainYear b =
        plain_year(sun, batch.load_w, 3600.0, {400.0 * static_cast<double>(k + 1), 0.2, 1.0, 0.95});
    CHECK(b.unmet_wh <= a.unmet_wh + 1e-9);
  }
}

TEST_CASE("a clear sky is dimmed month by month to the mean day asked for") {
  ClearSkyYear year;
  year.site = {.latitude_deg = 46.0, .longitude_deg = 8.0, .altitude_m = 1200.0};
  year.peak_sun_wh_m2 = {1300, 2100, 3300, 4300, 5000, 5600, 5800, 5000, 3800, 2500, 1500, 1100};
  for (const ClearSkyModel model : {ClearSkyModel::haurwitz, ClearSkyModel::ineichen}) {
    year.model = model;
    std::vector<double> scale;
    const double start = utc_seconds(2025, 1, 1);
    const WeatherSeries w = clear_sky_weather(year, {}, start, 600.0, 365 * 144, &scale);
    std::vector<double> sum(12), days(12);
    for (std::size_t k = 0; k < w.size(); ++k) {
      const CivilDate d = civil_date(start + (static_cast<double>(k) + 0.5) * 600.0);
      sum[static_cast<std::size_t>(d.month - 1)] += w.ghi_wm2[k] / 6.0;
      days[static_cast<std::size_t>(d.month - 1)] += 1.0 / 144.0;
      CHECK(w.dni_wm2[k] >= 0.0);
      CHECK(w.dhi_wm2[k] <= w.ghi_wm2[k] + 1e-9);
    }
    for (std::size_t m = 0; m < 12; ++m) {
      CHECK(sum[m] / days[m] == doctest::Approx(year.peak_sun_wh_m2[m]).epsilon(2e-3));
      CHECK(scale[m] > 0.3);
      CHECK(scale[m] < 1.05);
    }
  }
}

TEST_CASE("hourly weather played by the minute keeps its hours") {
  SimulationInput in = sunny(lossy_lfp(), 1.0, 60.0);
  // Hourly means of an overcast and a bright spell, as a file would give them.
  WeatherSeries hourly;
  hourly.start_s = in.options.start_s;
  hourly.step_s = 3600.0;
  const SunTrack track(in.site, hourly.start_s, hourly.start_s + 86400.0);
  for (int h = 0; h < 24; ++h) {
    double up = 0.0;
    for (int m = 0; m < 60; ++m) {
      up += std::max(track.direction(hourly.start_s + h * 3600.0 + m * 60.0 + 30.0).up, 0.0) / 60.0;
    }
    const double ghi = up * (h % 2 ? 800.0 : 300.0);
    hourly.ghi_wm2.push_back(ghi);
    hourly.dhi_wm2.push_back(0.4 * ghi);
    hourly.dni_wm2.push_back(up > 0.0 ? 0.6 * ghi / up : 0.0);
    hourly.temp_c.push_back(20.0);
  }
  in.weather = hourly;
  const SimulationResult r = simulate(in);
  const auto& ghi = r.trace.find("global_irradiance")->values;
  for (std::size_t h = 0; h < 24; ++h) {
    double mean = 0.0;
    for (std::size_t m = 0; m < 60; ++m) mean += ghi[h * 60 + m] / 60.0;
    CHECK(mean == doctest::Approx(hourly.ghi_wm2[h]).epsilon(1e-4));
  }
}
