// What a vehicle that turns may expect: the sun on its arrays for each way it may stand.

#include <algorithm>

#include "energy/array_internal.hpp"
#include "energy/sim_weather.hpp"
#include "nightbus/energy_answers.hpp"

namespace nightbus {

namespace {

constexpr std::size_t headings = 12;
constexpr double turn_deg = 360.0 / static_cast<double>(headings);

/// The orientation of an array at each heading.
std::vector<array_detail::PlaneView> turned(const ArrayModel& array) {
  std::vector<array_detail::PlaneView> views;
  for (std::size_t h = 0; h < headings; ++h) {
    const double by = array.heading_unknown ? turn_deg * static_cast<double>(h) : 0.0;
    views.push_back(array_detail::plane_view(array, array.plane.azimuth_deg + by));
  }
  return views;
}

}  // namespace

HeadingReport heading_report(const SimulationInput& in) {
  const SimOptions& o = in.options;
  const double end_s = o.start_s + o.step_s * static_cast<double>(o.steps);
  const SunTrack track(in.site, o.start_s, end_s);
  const sim_detail::WeatherPlayer weather(in.weather, track, o.step_s, o.hourly_sun);
  std::vector<std::vector<array_detail::PlaneView>> views;
  for (const SimArray& array : in.arrays) views.push_back(turned(array.model));

  HeadingReport report;
  report.array_wh.assign(headings, 0.0);
  for (std::size_t k = 0; k < o.steps; ++k) {
    const double middle_s = o.start_s + o.step_s * (static_cast<double>(k) + 0.5);
    const double sun_s = o.hourly_sun ? weather.middle_of(middle_s) : middle_s;
    if (weather.dark_at(sun_s)) continue;
    const SunTrack::Direction sun = track.direction(sun_s);
    const sim_detail::Weather air = weather.at(sun_s, sun);
    SkyInput sky{.sky = air.sky, .extraterrestrial_wm2 = air.e0_wm2, .albedo = o.albedo};
    sky.relative_air_mass = relative_air_mass(track.at(sun_s).apparent_zenith_deg);
    const auto month = static_cast<std::size_t>(civil_date(in.clock.local_s(middle_s)).month - 1);
    for (std::size_t a = 0; a < in.arrays.size(); ++a) {
      const ArrayModel& array = in.arrays[a].model;
      const double loss = 1.0 - (1.0 - array.fixed_loss) * (1.0 - array.monthly_loss[month]);
      for (std::size_t h = 0; h < headings; ++h) {
        const double light = array_detail::effective_on(array, views[a][h], sun, sky);
        const double cell_c = cell_temperature_c(array, light, air.temp_c, air.wind_ms);
        report.array_wh[h] += array_output(array, light, cell_c, loss).power_w * o.step_s / 3600.0;
      }
    }
  }
  const auto& wh = report.array_wh;
  const auto worst = std::min_element(wh.begin(), wh.end());
  const auto best = std::max_element(wh.begin(), wh.end());
  for (const double one : wh) report.mean_wh += one / static_cast<double>(headings);
  report.worst_wh = *worst;
  report.best_wh = *best;
  report.worst_heading_deg = turn_deg * static_cast<double>(worst - wh.begin());
  report.best_heading_deg = turn_deg * static_cast<double>(best - wh.begin());
  return report;
}

}  // namespace nightbus
