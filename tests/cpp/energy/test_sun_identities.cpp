// What must hold for any place and time.

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "nightbus/energy_sun.hpp"

using namespace nightbus;

namespace {

constexpr double rad = std::numbers::pi / 180.0;

/// Great-circle distance between two directions.
double apart_deg(const SunPosition& a, const SunPosition& b) {
  const double daz = (a.azimuth_deg - b.azimuth_deg) * rad;
  const double dz = (a.zenith_deg - b.zenith_deg) * rad;
  const double s = std::sin(0.5 * dz);
  const double t = std::sin(0.5 * daz);
  return 2.0 *
         std::asin(std::sqrt(s * s +
                             std::sin(a.zenith_deg * rad) * std::sin(b.zenith_deg * rad) * t * t)) /
         rad;
}

}  // namespace

TEST_CASE(
    "the cheap track stays within 1e-5° of the full algorithm, anywhere on earth, 1990 to 2060") {
  std::mt19937_64 random(20240229);
  std::uniform_real_distribution<double> latitude(-90.0, 90.0), longitude(-180.0, 180.0),
      height(0.0, 5000.0), year(20.0, 90.0);
  double worst = 0.0;
  double worst_time = 0.0;
  for (int site_number = 0; site_number < 40; ++site_number) {
    const SunSite site{.latitude_deg = latitude(random),
                       .longitude_deg = longitude(random),
                       .altitude_m = height(random)};
    const double start = year(random) * 365.25 * 86400.0 + longitude(random);
    const SunTrack track(site, start, start + 40.0 * 86400.0, 69.0);
    for (int k = 0; k <= 200; ++k) {
      const double t = start + k * 40.0 * 86400.0 / 200.0;
      const SunPosition full = sun_position(t, site, 69.0);
      const SunPosition fast = track.at(t);
      worst = std::max(worst, apart_deg(full, fast));
      worst_time =
          std::max(worst_time, std::abs(full.equation_of_time_min - fast.equation_of_time_min));
      CHECK(std::abs(full.apparent_zenith_deg - fast.apparent_zenith_deg) < 1e-3);
      CHECK(std::abs(full.distance_au - fast.distance_au) < 1e-8);
      CHECK(std::abs(full.declination_deg - fast.declination_deg) < 1e-5);
      CHECK(std::abs(std::remainder(full.hour_angle_deg - fast.hour_angle_deg, 360.0)) < 1e-4);
    }
  }
  CHECK(worst < 1e-5);
  CHECK(worst_time < 1e-4);
  MESSAGE("worst deviation of the track: ", worst, " deg, ", worst_time, " min");
}

TEST_CASE("the track's ends are covered") {
  const SunSite site{.latitude_deg = 51.0, .longitude_deg = 3.0};
  const double start = utc_seconds(2025, 2, 28, 43210.0);
  const SunTrack one(site, start, start);
  CHECK(apart_deg(one.at(start), sun_position(start, site)) < 1e-5);
}

TEST_CASE("columns of positions equal single calls, sparse and dense") {
  const SunSite site{.latitude_deg = -33.0, .longitude_deg = 151.0};
  const double start = utc_seconds(2024, 12, 30);
  for (const double step : {600.0, 40.0 * 86400.0}) {
    std::vector<double> times, zenith(50), azimuth(50);
    for (int k = 0; k < 50; ++k) times.push_back(start + k * step);
    SunColumns out;
    out.zenith_deg = zenith;
    out.azimuth_deg = azimuth;
    sun_positions(times, site, out, 69.0);
    for (std::size_t k = 0; k < times.size(); ++k) {
      const SunPosition p = sun_position(times[k], site, 69.0);
      CHECK(std::abs(zenith[k] - p.zenith_deg) < 1e-5);
      CHECK(std::abs(std::remainder(azimuth[k] - p.azimuth_deg, 360.0)) < 1e-4);
    }
  }
}

TEST_CASE("at rise and set the sun stands 0.8333° below the horizon, and noon lies between") {
  for (double latitude = -66.0; latitude <= 66.0; latitude += 11.0) {
    for (int month = 1; month <= 12; ++month) {
      const SunSite site{.latitude_deg = latitude, .longitude_deg = 25.0 * month - 170.0};
      const double noon =
          utc_seconds(2026, month, 15, 43200.0) - site.longitude_deg / 15.0 * 3600.0;
      const SunTimes t = sun_times(noon, site);
      if (!t.rise_s || !t.set_s) continue;
      CHECK(*t.rise_s < t.transit_s);
      CHECK(t.transit_s < *t.set_s);
      CHECK(std::abs(t.transit_s - noon) < 20.0 * 60.0);
      // The topocentric sun is lower by the parallax, up to 0.0025°.
      CHECK(std::abs(sun_position(*t.rise_s, site).elevation_deg() + 0.8333) < 0.003);
      CHECK(std::abs(sun_position(*t.set_s, site).elevation_deg() + 0.8333) < 0.003);
      CHECK(sun_position(*t.set_s + 60.0, site).elevation_deg() <
            sun_position(*t.set_s, site).elevation_deg());
    }
  }
}

TEST_CASE("polar day and polar night are two flags, and they change over at the right season") {
  const SunSite tromso{.latitude_deg = 69.6489, .longitude_deg = 18.95508};
  const SunTimes june = sun_times(utc_seconds(2026, 6, 21, 39000.0), tromso);
  CHECK(june.polar_day);
  CHECK_FALSE(june.polar_night);
  CHECK_FALSE(june.rise_s);
  const SunTimes december = sun_times(utc_seconds(2026, 12, 21, 39000.0), tromso);
  CHECK(december.polar_night);
  CHECK_FALSE(december.polar_day);
  const SunSite south{.latitude_deg = -69.6489, .longitude_deg = 18.95508};
  CHECK(sun_times(utc_seconds(2026, 12, 21, 39000.0), south).polar_day);
  CHECK(sun_times(utc_seconds(2026, 6, 21, 39000.0), south).polar_night);
}

TEST_CASE(
    "the noon sun of the tropics may stand north or south; out of them it faces the equator") {
  const auto noon_azimuth = [](double latitude, int month, int day) {
    const SunSite site{.latitude_deg = latitude, .longitude_deg = 0.0};
    const double transit = sun_times(utc_seconds(2026, month, day, 43200.0), site).transit_s;
    return sun_position(transit, site).azimuth_deg;
  };
  const auto north = [](double azimuth) { return azimuth < 1.0 || azimuth > 359.0; };
  const auto south = [](double azimuth) { return std::abs(azimuth - 180.0) < 1.0; };
  CHECK(north(noon_azimuth(5.0, 6, 21)));
  CHECK(south(noon_azimuth(5.0, 12, 21)));
  CHECK(south(noon_azimuth(48.0, 6, 21)));
  CHECK(north(noon_azimuth(-35.0, 12, 21)));
}

TEST_CASE("rise and set belong to the local day: within one UTC day the set may come first") {
  const SunSite auckland{.latitude_deg = -36.85, .longitude_deg = 174.76};
  const double noon = utc_seconds(2026, 1, 10);  // 12:00 at UTC+12
  const SunTimes t = sun_times(noon, auckland);
  REQUIRE(t.rise_s);
  REQUIRE(t.set_s);
  CHECK(*t.rise_s < *t.set_s);
  CHECK(civil_date(*t.rise_s).day == 9);
  CHECK(civil_date(*t.set_s).day == 10);
}

TEST_CASE("civil dates go to seconds and back, leap days included") {
  CHECK(utc_seconds(1970, 1, 1) == 0.0);
  CHECK(utc_seconds(2000, 3, 1) == 951868800.0);
  for (double day = -20000; day < 40000; day += 37) {
    const CivilDate d = civil_date(day * 86400.0 + 80000.0);
    CHECK(utc_seconds(d.year, d.month, d.day) == day * 86400.0);
    CHECK(utc_seconds(d.year, 1, 1) + (d.day_of_year - 1) * 86400.0 == day * 86400.0);
  }
  CHECK(civil_date(utc_seconds(2024, 12, 31)).day_of_year == 366);
}

TEST_CASE(
    "terrestrial minus universal time is continuous to a second and near the observed values") {
  // IERS: 2000.0 63.83 s, 2020.0 69.36 s; the polynomial runs high later on.
  CHECK(delta_t_s(utc_seconds(2000, 1, 1)) == doctest::Approx(63.83).epsilon(0.005));
  CHECK(std::abs(delta_t_s(utc_seconds(2020, 1, 1)) - 69.36) < 3.0);
  for (int year = 1961; year < 2149; ++year) {
    CHECK(std::abs(delta_t_s(utc_seconds(year + 1, 6, 1)) - delta_t_s(utc_seconds(year, 6, 1))) <
          3.0);
  }
}
