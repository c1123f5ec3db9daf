// Many years: weather made by drawing blocks of days, or by a clearness that remembers the day
// before; and what the simulated years say, with the interval that their number allows.

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

#include "nightbus/energy_answers.hpp"
#include "nightbus/source.hpp"

namespace nightbus {

namespace {

constexpr std::size_t year_days = 365;

/// Uniform in [0, 1), the same on every platform.
double uniform(std::mt19937_64& random) {
  return static_cast<double>(random() >> 11) * 0x1.0p-53;
}

std::size_t pick(std::mt19937_64& random, std::size_t count) {
  return std::min(static_cast<std::size_t>(uniform(random) * static_cast<double>(count)),
                  count - 1);
}

}  // namespace

std::vector<std::uint32_t> bootstrap_days(std::size_t days_in_file,
                                          const BootstrapOptions& options) {
  if (days_in_file < year_days) throw Error("a bootstrap needs weather of at least a year");
  if (options.block_days < 1 || options.window_days < 0) {
    throw Error("a bootstrap needs blocks of at least a day and a window of at least none");
  }
  std::mt19937_64 random(options.seed);
  const std::size_t file_years = days_in_file / year_days;
  const auto block = static_cast<std::size_t>(options.block_days);
  const auto window = static_cast<std::size_t>(options.window_days);
  std::vector<std::uint32_t> days;
  days.reserve(options.years * year_days);
  for (std::size_t year = 0; year < options.years; ++year) {
    for (std::size_t day = 0; day < year_days; day += block) {
      const std::size_t from_year = pick(random, file_years);
      const std::size_t offset = pick(random, 2 * window + 1);
      const std::size_t start = from_year * year_days + day + days_in_file + offset - window;
      for (std::size_t k = 0; k < block && day + k < year_days; ++k) {
        days.push_back(static_cast<std::uint32_t>((start + k) % days_in_file));
      }
    }
  }
  return days;
}

WeatherSeries shuffled_weather(const WeatherSeries& file, std::span<const std::uint32_t> days,
                               double start_s) {
  const auto per_day = static_cast<std::size_t>(std::llround(86400.0 / file.step_s));
  if (per_day == 0 || file.size() % per_day != 0) {
    throw Error("weather that is to be shuffled must hold whole days");
  }
  WeatherSeries made;
  made.start_s = start_s;
  made.step_s = file.step_s;
  const auto copy = [&](const std::vector<double>& from, std::vector<double>& to) {
    if (from.empty()) return;
    to.reserve(days.size() * per_day);
    for (const std::uint32_t day : days) {
      const auto at = static_cast<std::ptrdiff_t>(day * per_day);
      if (static_cast<std::size_t>(at) + per_day > from.size())
        throw Error("no such day in the weather");
      to.insert(to.end(), from.begin() + at,
                from.begin() + at + static_cast<std::ptrdiff_t>(per_day));
    }
  };
  copy(file.ghi_wm2, made.ghi_wm2);
  copy(file.dni_wm2, made.dni_wm2);
  copy(file.dhi_wm2, made.dhi_wm2);
  copy(file.temp_c, made.temp_c);
  copy(file.wind_ms, made.wind_ms);
  return made;
}

std::vector<double> persistent_clearness(std::size_t days, const PersistenceOptions& options) {
  std::mt19937_64 random(options.seed);
  const double fresh =
      options.deviation * std::sqrt(std::max(1.0 - options.correlation * options.correlation, 0.0));
  const auto normal = [&] {
    const double radius = std::sqrt(-2.0 * std::log(1.0 - uniform(random)));
    return radius * std::cos(2.0 * std::numbers::pi * uniform(random));
  };
  std::vector<double> k;
  k.reserve(days);
  // The memory is of the unlimited value; limits only shape what is handed out.
  double inner = options.mean + options.deviation * normal();
  for (std::size_t day = 0; day < days; ++day) {
    k.push_back(std::clamp(inner, options.lowest, options.highest));
    inner = options.mean + options.correlation * (inner - options.mean) + fresh * normal();
  }
  return k;
}

AvailabilityReport availability_report(std::span<const double> unmet_h,
                                       std::span<const double> unmet_wh, double hours_in_year,
                                       std::uint64_t seed) {
  AvailabilityReport report;
  report.years = unmet_h.size();
  if (unmet_h.empty()) return report;
  const double count = static_cast<double>(unmet_h.size());
  double clean = 0.0;
  for (const double h : unmet_h) {
    report.mean_unmet_h += h / count;
    report.worst_unmet_h = std::max(report.worst_unmet_h, h);
    if (h <= 0.0) clean += 1.0;
  }
  for (const double wh : unmet_wh)
    report.mean_unmet_wh += wh / static_cast<double>(unmet_wh.size());
  report.years_without_failure = clean / count;

  constexpr std::size_t resamples = 2000;
  std::mt19937_64 random(seed);
  std::vector<double> means(resamples);
  for (double& mean : means) {
    double sum = 0.0;
    for (std::size_t k = 0; k < unmet_h.size(); ++k) sum += unmet_h[pick(random, unmet_h.size())];
    mean = sum / count;
  }
  std::sort(means.begin(), means.end());
  report.low_unmet_h = means[resamples / 40];
  report.high_unmet_h = means[resamples - 1 - resamples / 40];
  report.availability = 1.0 - report.mean_unmet_h / hours_in_year;
  report.availability_low = 1.0 - report.high_unmet_h / hours_in_year;
  report.availability_high = 1.0 - report.low_unmet_h / hours_in_year;
  return report;
}

AvailabilityReport availability_of(std::span<const SimulationInput> years, std::size_t threads) {
  std::vector<double> hours;
  std::vector<double> wh;
  double span_h = 0.0;
  for (const SimulationResult& run : simulate_many(years, threads)) {
    if (run.status != SimStatus::done) throw Error("a simulated year failed: " + run.message);
    hours.push_back(run.unmet_h);
    wh.push_back(run.critical_unmet_wh);
  }
  for (const SimulationInput& year : years) {
    span_h =
        std::max(span_h, year.options.step_s * static_cast<double>(year.options.steps) / 3600.0);
  }
  return availability_report(hours, wh, span_h);
}

}  // namespace nightbus
