// A clear sky, dimmed month by month until its mean day is the one asked for.
//
//   factor(m) = wanted Wh/m² a day / mean clear Wh/m² a day of that month at that place   (peak
//   sun) factor(m) = the clearness given (clearness) GHI = factor · clear GHI,  DNI and DHI by Erbs
//   from the dimmed GHI
//
// Every day of a month is alike but for the sun's path; real months have bright and dull days, so a
// bank looks better in this weather than in a year of measured hours.

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

#include "nightbus/energy_simulation.hpp"
#include "nightbus/source.hpp"

namespace nightbus {

namespace {

double pressure_of(const SunSite& site) {
  return site.pressure_pa.value_or(pressure_at_altitude_pa(site.altitude_m));
}

double e0_of(const SunPosition& sun) {
  return solar_constant_wm2 / (sun.distance_au * sun.distance_au);
}

double clear_ghi(const ClearSkyYear& year, const SunPosition& sun) {
  return clear_sky(year.model, sun.zenith_deg, sun.apparent_zenith_deg, year.site.altitude_m,
                   pressure_of(year.site), year.linke_turbidity, e0_of(sun))
      .ghi_wm2;
}

/// Mean Wh/m² a day of the undimmed sky over one calendar month (local months differ by hours
/// only).
double clear_month_wh(const ClearSkyYear& year, int calendar_year, int month) {
  const double from = utc_seconds(calendar_year, month, 1);
  const double to =
      month == 12 ? utc_seconds(calendar_year + 1, 1, 1) : utc_seconds(calendar_year, month + 1, 1);
  const SunTrack track(year.site, from, to);
  constexpr double step = 300.0;
  double sum = 0.0;
  for (double t = from + 0.5 * step; t < to; t += step) sum += clear_ghi(year, track.at(t));
  return sum * step / 3600.0 / ((to - from) / 86400.0);
}

void check_twelve(const std::vector<double>& values, const char* what) {
  if (values.empty()) return;
  if (values.size() != 12) throw Error(std::string(what) + ": twelve monthly values are needed");
  for (const double v : values) {
    if (!std::isfinite(v)) throw Error(std::string(what) + ": a monthly value is not a number");
  }
}

}  // namespace

WeatherSeries clear_sky_weather(const ClearSkyYear& year, const LocalClock& clock, double start_s,
                                double step_s, std::size_t steps, std::vector<double>* scale) {
  check_twelve(year.peak_sun_wh_m2, "peak sun");
  check_twelve(year.clearness, "clearness");
  check_twelve(year.temp_mean_c, "mean temperature");
  WeatherSeries w;
  w.start_s = start_s;
  w.step_s = step_s;
  const SunTrack track(year.site, start_s, start_s + static_cast<double>(steps) * step_s);
  std::map<std::pair<int, int>, double> factors;
  if (scale) scale->assign(12, 0.0);
  const long long first_day = clock.day_number(start_s);
  const auto factor_of = [&](const CivilDate& date, double t) {
    if (!year.daily_clearness.empty()) {
      const auto day = static_cast<std::size_t>(clock.day_number(t) - first_day);
      return year.daily_clearness[std::min(day, year.daily_clearness.size() - 1)];
    }
    const auto m = static_cast<std::size_t>(date.month - 1);
    if (year.peak_sun_wh_m2.empty()) return year.clearness.empty() ? 1.0 : year.clearness[m];
    const auto [entry, fresh] = factors.try_emplace({date.year, date.month}, 0.0);
    if (fresh) {
      const double clear = clear_month_wh(year, date.year, date.month);
      entry->second = clear > 0.0 ? year.peak_sun_wh_m2[m] / clear : 0.0;
    }
    return entry->second;
  };
  for (auto* column : {&w.ghi_wm2, &w.dni_wm2, &w.dhi_wm2, &w.temp_c, &w.wind_ms}) {
    column->reserve(steps);
  }
  for (std::size_t k = 0; k < steps; ++k) {
    const double t = start_s + (static_cast<double>(k) + 0.5) * step_s;
    const CivilDate date = civil_date(clock.local_s(t));
    const auto m = static_cast<std::size_t>(date.month - 1);
    const double factor = factor_of(date, t);
    if (scale) (*scale)[m] = factor;
    const SunPosition sun = track.at(t);
    const double ghi = factor * clear_ghi(year, sun);
    const Split split = erbs(ghi, sun.zenith_deg, e0_of(sun));
    w.ghi_wm2.push_back(ghi);
    w.dni_wm2.push_back(split.dni_wm2);
    w.dhi_wm2.push_back(split.dhi_wm2);
    const double mean = year.temp_mean_c.empty() ? year.temp_mild_c : year.temp_mean_c[m];
    const double hour = clock.second_of_day(t) / 3600.0;
    w.temp_c.push_back(mean + 0.5 * year.temp_swing_k *
                                  std::cos(2.0 * std::numbers::pi * (hour - 15.0) / 24.0));
    w.wind_ms.push_back(year.wind_ms);
  }
  return w;
}

}  // namespace nightbus
