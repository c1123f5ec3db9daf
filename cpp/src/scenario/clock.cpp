/// Local time without a zone database: offsets come from outside, else from the sun.

#include <fmt/format.h>

#include <cmath>

#include "scenario/energy_plan.hpp"

namespace nightbus::scenario_detail {

LocalClock clock_of(const System& system, const PlanOptions& options,
                    std::vector<Finding>& findings) {
  if (!options.clock.changes.empty() || system.site.time_zone == "UTC") {
    return options.clock;
  }
  const double hours = std::round(system.site.longitude_deg / 15.0);
  LocalClock clock;
  clock.changes.push_back({0.0, hours * 3600.0});
  Finding finding = make_finding("missing-safe", "site", system.site.name);
  finding.value = hours * 3600.0;
  finding.dimension = Dimension::time;
  finding.detail = fmt::format(
      "The offsets of the time zone {} were not handed in: local time is the whole hour nearest to "
      "the sun's, without summer time.",
      system.site.time_zone);
  finding.where = system.site.written.where;
  findings.push_back(std::move(finding));
  return clock;
}

std::string clock_text(const LocalClock& clock, double utc_s) {
  const auto minutes = static_cast<int>(std::lround(clock.second_of_day(utc_s) / 60.0)) % 1440;
  return fmt::format("{:02}:{:02}", minutes / 60, minutes % 60);
}

std::vector<DayWindow> day_windows(const std::vector<std::string>& texts) {
  std::vector<DayWindow> windows;
  for (const std::string& text : texts) {
    int h1 = 0, m1 = 0, h2 = 0, m2 = 0;
    if (std::sscanf(text.c_str(), "%d:%d-%d:%d", &h1, &m1, &h2, &m2) != 4) {
      throw Error(fmt::format("\"{}\" is not a window such as \"06:30-22:00\"", text));
    }
    windows.push_back({3600.0 * h1 + 60.0 * m1, 3600.0 * h2 + 60.0 * m2});
  }
  return windows;
}

}  // namespace nightbus::scenario_detail
