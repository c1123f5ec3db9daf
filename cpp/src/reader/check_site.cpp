#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <string>

#include "reader/check.hpp"
#include "reader/labels.hpp"

namespace nightbus::reader_detail {

namespace {

bool zone_letters(const std::string& zone) {
  return std::all_of(zone.begin(), zone.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '/' ||
           c == '_' || c == '-' || c == '+';
  });
}

/// Names of zones under the machine's own database that share the zone's region; empty when the
/// machine has none, and then any well-formed name passes.
std::vector<std::string> zones_near(const std::filesystem::path& database,
                                    const std::string& zone) {
  std::vector<std::string> names;
  std::error_code error;
  const auto region = zone.substr(0, zone.find('/'));
  auto folder = database / region;
  if (!std::filesystem::is_directory(folder, error)) folder = database;
  for (std::filesystem::directory_iterator it(folder, error), end; !error && it != end;
       it.increment(error)) {
    names.push_back(it->path().lexically_relative(database).generic_string());
  }
  return names;
}

}  // namespace

void check_site(const Check& check) {
  const auto& site = check.system.site;
  const auto& damage = check.damage;
  struct Step {
    const char* low_key;
    double low;
    const char* high_key;
    double high;
  };
  for (const auto& step : {Step{"temp_cold", site.temp_cold_c, "temp_mild", site.temp_mild_c},
                           Step{"temp_mild", site.temp_mild_c, "temp_hot", site.temp_hot_c}}) {
    if (step.low <= step.high || damage.has(site.written, step.low_key) ||
        damage.has(site.written, step.high_key))
      continue;
    const bool low_given = site.written.places.count(step.low_key) != 0;
    auto& problem = check.report(
        "out-of-order",
        fmt::format("site: \"{}\" must not lie above \"{}\"", step.low_key, step.high_key),
        Check::place(site.written, low_given ? step.low_key : step.high_key));
    problem.seen = fmt::format("{} and {}", show_quantity(step.low, Dimension::temperature),
                               show_quantity(step.high, Dimension::temperature));
    const bool high_given = site.written.places.count(step.high_key) != 0;
    if (!low_given || !high_given) {
      problem.mend =
          fmt::format("give {} too: it was not written and is taken as {}",
                      low_given ? step.high_key : step.low_key,
                      show_quantity(low_given ? step.high : step.low, Dimension::temperature));
    }
  }

  if (damage.has(site.written, "time_zone")) return;
  const auto& zone = site.time_zone;
  const auto where = Check::place(site.written, "time_zone");
  constexpr auto expected = "an IANA name such as \"Europe/Stockholm\" or \"UTC\"";
  if (zone.empty() || !zone_letters(zone) || zone.front() == '/' ||
      zone.find("//") != std::string::npos) {
    check.report("unknown-zone",
                 fmt::format("site: \"{}\" is not the name of a time zone", zone.substr(0, 60)),
                 where, expected);
    return;
  }
  const std::filesystem::path database = "/usr/share/zoneinfo";
  std::error_code error;
  if (!std::filesystem::is_directory(database, error) ||
      std::filesystem::is_regular_file(database / zone, error))
    return;
  check.report("unknown-zone", fmt::format("site: there is no time zone \"{}\"", zone), where,
               expected, advice_for(zone, zones_near(database, zone)));
}

}  // namespace nightbus::reader_detail
