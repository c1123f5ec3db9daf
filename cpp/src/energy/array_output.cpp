// From light on the plane to what an array offers.
//
// Effective light on the cells, with K the incidence modifier at the beam's angle:
//   G = [beam + circumsolar] K(θ) [sun above the skyline] + (sky - circumsolar) K(θs) view + ground
//   K(θg)
// θs = 59.68° - 0.1388 β + 0.001497 β² and θg = 90° - 0.5788 β + 0.002693 β² stand for the slant of
// diffuse light (Duffie & Beckman, section 5.4, from memory; they move the result by a percent).
// A partial shade takes its share of everything while the sun stands below its angle.

#include <algorithm>
#include <cmath>
#include <numbers>

#include "energy/array_internal.hpp"

namespace nightbus {

namespace {

constexpr double rad = std::numbers::pi / 180.0;
constexpr int headings = 12;

}  // namespace

array_detail::PlaneView array_detail::plane_view(const ArrayModel& array, double azimuth_deg) {
  const double tilt = array.plane.tilt_deg;
  const double azimuth = azimuth_deg * rad;
  PlaneView view;
  view.cos_tilt = std::cos(tilt * rad);
  view.sin_tilt = std::sin(tilt * rad);
  view.east = view.sin_tilt * std::sin(azimuth);
  view.north = view.sin_tilt * std::cos(azimuth);
  view.sky_view = array.horizon.sky_view({tilt, azimuth_deg});
  view.sky_modifier =
      incidence_modifier(array.incidence, 59.68 - tilt * (0.1388 - 0.001497 * tilt));
  view.ground_modifier =
      incidence_modifier(array.incidence, 90.0 - tilt * (0.5788 - 0.002693 * tilt));
  return view;
}

std::vector<array_detail::PlaneView> array_detail::plane_views(const ArrayModel& array) {
  std::vector<PlaneView> views;
  if (!array.heading_unknown || array.plane.tilt_deg == 0.0) {
    views.push_back(plane_view(array, array.plane.azimuth_deg));
    return views;
  }
  for (int k = 0; k < headings; ++k) views.push_back(plane_view(array, k * 360.0 / headings));
  return views;
}

double array_detail::effective_on(const ArrayModel& array, const PlaneView& view,
                                  const SunTrack::Direction& sun, const SkyInput& in) {
  const double cos_i = view.cos_tilt * sun.up + view.east * sun.east + view.north * sun.north;
  const PlaneIrradiance p = sky_detail::transpose(
      array.sky, {view.cos_tilt, view.sin_tilt, std::clamp(cos_i, -1.0, 1.0), sun.up}, in);
  double direct = p.beam_wm2 + p.circumsolar_wm2;
  double shade = 1.0;
  const bool needs_height = !array.horizon.empty() || array.partial_shade_share > 0.0;
  if (needs_height && direct > 0.0) {
    const double height = std::asin(std::clamp(sun.up, -1.0, 1.0)) / rad;
    const double azimuth = std::atan2(sun.east, sun.north) / rad;
    if (height < array.horizon.height_deg(azimuth)) direct = 0.0;
    if (height < array.partial_shade_below_deg) shade = 1.0 - array.partial_shade_share;
  }
  if (array.incidence != IncidenceModel::none && direct > 0.0) {
    direct *= incidence_modifier(array.incidence, std::acos(std::clamp(cos_i, 0.0, 1.0)) / rad);
  }
  const double diffuse = (p.sky_wm2 - p.circumsolar_wm2) * view.sky_modifier * view.sky_view;
  return shade * (direct + diffuse + p.ground_wm2 * view.ground_modifier);
}

double effective_irradiance_wm2(const ArrayModel& array, const SkyInput& in) {
  const double z = in.zenith_deg * rad;
  const double a = in.azimuth_deg * rad;
  const SunTrack::Direction sun{std::sin(z) * std::sin(a), std::sin(z) * std::cos(a), std::cos(z),
                                1.0};
  double sum = 0.0;
  const auto views = array_detail::plane_views(array);
  for (const auto& view : views) sum += array_detail::effective_on(array, view, sun, in);
  return sum / static_cast<double>(views.size());
}

double cell_temperature_c(const ArrayModel& array, double plane_wm2, double air_c, double wind_ms) {
  switch (array.temperature) {
    case CellTemperatureModel::sandia:
      return sandia_cell_c(plane_wm2, air_c, wind_ms, array.mount).cell_c;
    case CellTemperatureModel::ross:
      return ross_cell_c(plane_wm2, air_c, array.noct_c);
    case CellTemperatureModel::faiman:
      break;
  }
  return faiman_cell_c(plane_wm2, air_c, wind_ms, array.u0, array.u1);
}

ArrayOutput array_output(const ArrayModel& array, double effective_wm2, double cell_c,
                         double loss_share) {
  ArrayOutput out;
  if (!(effective_wm2 > 0.0)) return out;
  if (array.diode) {
    const DiodeCurve curve = diode_curve(*array.diode, effective_wm2, cell_c);
    const DiodeCurve::Point best = curve.maximum_power();
    out.power_w = best.power_w() * (1.0 - loss_share);
    out.mpp_v = best.voltage_v;
    out.open_circuit_v = curve.open_circuit_v();
  } else {
    out.power_w = simple_power_w(array.simple, effective_wm2, cell_c) * (1.0 - loss_share);
    // A crystalline module's voltage falls with temperature about as its power does.
    out.mpp_v = array.simple_mpp_v * (1.0 + array.simple.coefficient_per_k * (cell_c - 25.0));
  }
  return out;
}

double controller_current_a(const ArrayModel& array, double effective_wm2, double cell_c,
                            double loss_share, double bus_v) {
  if (!(effective_wm2 > 0.0) || !(bus_v > 0.0)) return 0.0;
  const SolarController& c = array.controller;
  double current = 0.0;
  if (c.kind == ControllerKind::pwm) {
    current = array_detail::pwm_current_a(array, effective_wm2, cell_c, loss_share, bus_v);
  } else {
    const ArrayOutput out = array_output(array, effective_wm2, cell_c, loss_share);
    if (out.mpp_v > 0.0 && out.mpp_v < bus_v + c.headroom_v) return 0.0;
    const double p = out.power_w * c.efficiency;
    current = 2.0 * p / (bus_v + std::sqrt(bus_v * bus_v + 4.0 * p * c.path_resistance_ohm));
  }
  return std::clamp(current, 0.0, c.max_current_a);
}

double array_detail::pwm_current_a(const ArrayModel& array, double effective_wm2, double cell_c,
                                   double loss_share, double bus_v) {
  const double kept = 1.0 - loss_share;
  if (array.diode) {
    DiodeCurve curve = diode_curve(*array.diode, effective_wm2, cell_c);
    curve.series_ohm += array.controller.path_resistance_ohm;
    return std::max(curve.current_at(bus_v), 0.0) * kept;
  }
  // Without a curve: the current of the maximum power point up to its voltage, then straight down
  // to nothing at the open-circuit voltage, taken as 1.2 times that.
  const double mpp_v = array.simple_mpp_v;
  if (!(mpp_v > 0.0)) return 0.0;
  // Warm cells lose voltage, not current.
  const double rated_a = array.simple.power_w / mpp_v * effective_wm2 / 1000.0 * kept;
  const double warm_v = mpp_v * (1.0 + array.simple.coefficient_per_k * (cell_c - 25.0));
  return rated_a * std::clamp((1.2 * warm_v - bus_v) / (0.2 * warm_v), 0.0, 1.0);
}

}  // namespace nightbus
