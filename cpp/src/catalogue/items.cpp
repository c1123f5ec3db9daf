// Small look-ups inside one family, form, curve or chemistry.

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "nightbus/catalogue.hpp"

namespace nightbus {

namespace {

const Guide* find_guide(const std::vector<Guide>& guides, std::string_view name) {
  for (const auto& guide : guides) {
    if (guide.name == name) return &guide;
  }
  return nullptr;
}

std::optional<TableValue> at_rating(const std::vector<RatingValue>& values, double rating_a) {
  for (const auto& entry : values) {
    if (entry.rating_a == rating_a) return TableValue{entry.value, entry.from};
  }
  return std::nullopt;
}

double line(double x, double x0, double y0, double x1, double y1) {
  return y0 + (y1 - y0) * (x - x0) / (x1 - x0);
}

}  // namespace

double Curve::at(double x) const {
  if (points.empty()) return 0.0;
  if (x <= points.front().x) return points.front().y;
  if (x >= points.back().x) return points.back().y;
  const auto above = std::upper_bound(points.begin(), points.end(), x,
                                      [](double at, const CurvePoint& p) { return at < p.x; });
  const auto below = above - 1;
  return line(x, below->x, below->y, above->x, above->y);
}

const Conductor* ConductorFamily::find(const ConductorSize& size) const {
  for (const auto& conductor : conductors) {
    if (conductor.size == size) return &conductor;
  }
  return nullptr;
}

const Conductor* ConductorFamily::at_least(double area_mm2) const {
  for (const auto& conductor : conductors) {
    if (conductor.area_mm2 >= area_mm2) return &conductor;
  }
  return nullptr;
}

std::optional<double> OvercurrentForm::at_least(double current_a) const {
  const auto at = std::lower_bound(ratings_a.begin(), ratings_a.end(), current_a);
  return at == ratings_a.end() ? std::nullopt : std::optional(*at);
}

std::optional<double> OvercurrentForm::at_most(double current_a) const {
  const auto at = std::upper_bound(ratings_a.begin(), ratings_a.end(), current_a);
  return at == ratings_a.begin() ? std::nullopt : std::optional(*(at - 1));
}

const InterruptRating* OvercurrentForm::interrupt_at(double highest_bus_v) const {
  const InterruptRating* best = nullptr;
  for (const auto& pair : interrupts) {
    if (pair.voltage_v < highest_bus_v) continue;
    if (!best || pair.current_a > best->current_a) best = &pair;
  }
  return best;
}

const OpeningBand* OvercurrentForm::opening_of(double rating_a) const {
  for (const auto& band : opening) {
    if (rating_a >= band.low_a && rating_a <= band.high_a) return &band;
  }
  return nullptr;
}

std::optional<TableValue> OvercurrentForm::rerating_factor(double temp_c) const {
  if (rerating.empty()) return std::nullopt;
  if (temp_c <= rerating.front().temp_c || rerating.size() == 1) {
    return TableValue{rerating.front().factor, rerating.front().from};
  }
  auto above = std::find_if(rerating.begin(), rerating.end(),
                            [&](const TemperaturePoint& point) { return point.temp_c >= temp_c; });
  const bool beyond = above == rerating.end();
  if (beyond) --above;
  const auto below = above - 1;
  const double factor = line(temp_c, below->temp_c, below->factor, above->temp_c, above->factor);
  TableValue out{std::max(0.0, factor), above->from};
  out.from.row = fmt::format("{:.4g} °C", temp_c);
  if (beyond) out.from.note = "beyond the table, its last slope goes on";
  return out;
}

std::optional<TableValue> OvercurrentForm::melting_at(double rating_a) const {
  return at_rating(melting_a2s, rating_a);
}

std::optional<TableValue> OvercurrentForm::cold_resistance_at(double rating_a) const {
  return at_rating(cold_ohm, rating_a);
}

const Guide* OvercurrentForm::guide(std::string_view wanted) const {
  return find_guide(guides, wanted);
}

const Guide* BatteryChemistry::guide(std::string_view quantity) const {
  return find_guide(guides, quantity);
}

double BatteryChemistry::value(std::string_view quantity) const {
  if (const auto* found = guide(quantity)) return found->value;
  std::vector<std::string> known;
  for (const auto& entry : guides) known.push_back(entry.name);
  const auto near = near_misses(quantity, known, 3);
  throw LookupError(fmt::format("chemistry \"{}\" has no figure \"{}\"{}{}", name, quantity,
                                near.empty() ? "" : "; did you mean: ", fmt::join(near, ", ")));
}

int BatteryChemistry::cells_for(double nominal_v) const {
  return static_cast<int>(std::lround(nominal_v / 12.0 * cells_per_12v));
}

}  // namespace nightbus
