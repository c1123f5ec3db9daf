#include <algorithm>
#include <cmath>

#include "nightbus/protection_fuse.hpp"

namespace nightbus {

double usable_current_a(double rating_a, double rerating, double continuous_factor) {
  return rating_a * rerating / continuous_factor;
}

double needed_rating_a(double continuous_a, double rerating, double continuous_factor) {
  return continuous_a * continuous_factor / rerating;
}

std::optional<double> next_rating_a(std::span<const double> ratings_a, double current_a) {
  const auto found = std::lower_bound(ratings_a.begin(), ratings_a.end(), current_a);
  if (found == ratings_a.end()) return std::nullopt;
  return *found;
}

SolarCurrents solar_currents(double short_circuit_a, int strings) {
  const double continuous_a = 1.25 * short_circuit_a * strings;
  return {continuous_a, 1.25 * continuous_a};
}

std::optional<MeltingFigure> melting_figure(const OvercurrentForm& form, double rating_a) {
  if (const auto exact = form.melting_at(rating_a)) {
    return MeltingFigure{exact->value, true, exact->from};
  }
  const RatingValue* below = nullptr;
  for (const RatingValue& row : form.melting_a2s) {
    if (row.rating_a < rating_a && (!below || row.rating_a > below->rating_a)) below = &row;
  }
  if (!below) return std::nullopt;
  return MeltingFigure{below->value, false, below->from};
}

Selective selective(const OvercurrentForm& upstream, double upstream_a,
                    const OvercurrentForm& downstream, double downstream_a, double fault_a,
                    double ratio) {
  if (upstream_a <= downstream_a) return Selective::no;
  const OpeningBand* upper = upstream.opening_of(upstream_a);
  const OpeningBand* lower = downstream.opening_of(downstream_a);
  bool certain = false;
  if (upper && lower) {
    const auto clears_s = opening_time_s(*lower, fault_a / downstream_a, BandSide::slowest);
    const auto melts_s = opening_time_s(*upper, fault_a / upstream_a, BandSide::fastest);
    if (clears_s) {
      // Below its first point the upper device does not move at all.
      const double first_ratio = upper->points.front().ratio;
      const bool stays = melts_s ? *melts_s > *clears_s : fault_a / upstream_a < first_ratio;
      if (!stays) return Selective::no;
      certain = true;
    }
  }
  const auto upper_melts = melting_figure(upstream, upstream_a);
  const auto lower_melts = melting_figure(downstream, downstream_a);
  if (upper_melts && lower_melts && lower_melts->published) {
    if (2.0 * lower_melts->value_a2s >= upper_melts->value_a2s && !certain) return Selective::no;
    return Selective::yes;
  }
  if (certain) return Selective::yes;
  return upstream_a >= ratio * downstream_a ? Selective::unknown : Selective::no;
}

}  // namespace nightbus
