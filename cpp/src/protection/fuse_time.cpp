/// Opening times. Between two published points of one side, log t is linear in log (I/rating).

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "nightbus/protection_fuse.hpp"

namespace nightbus {

namespace {

struct Point {
  double ratio, time_s;
};

/// The published points of one side, ascending ratio; walks without allocating.
template <class Visit>
void each_point(const OpeningBand& band, BandSide side, Visit visit) {
  for (const OpeningPoint& row : band.points) {
    const auto& time_s = side == BandSide::slowest ? row.most_s : row.least_s;
    if (time_s) visit(Point{row.ratio, *time_s});
  }
}

double between(const Point& a, const Point& b, double ratio) {
  const double share = std::log(ratio / a.ratio) / std::log(b.ratio / a.ratio);
  return a.time_s * std::pow(b.time_s / a.time_s, share);
}

double ratio_between(const Point& a, const Point& b, double time_s) {
  const double share = std::log(time_s / a.time_s) / std::log(b.time_s / a.time_s);
  return a.ratio * std::pow(b.ratio / a.ratio, share);
}

}  // namespace

std::optional<double> opening_time_s(const OpeningBand& band, double ratio, BandSide side) {
  std::optional<Point> before;
  std::optional<double> found;
  each_point(band, side, [&](const Point& point) {
    const bool inside = before ? ratio > before->ratio && ratio < point.ratio : false;
    if (!found && (inside || ratio == point.ratio)) {
      found = inside ? between(*before, point, ratio) : point.time_s;
    }
    before = point;
  });
  if (found || !before || ratio < before->ratio) return found;
  if (side == BandSide::slowest) return before->time_s;
  const double beyond = before->ratio / ratio;
  return before->time_s * beyond * beyond;
}

std::optional<double> current_to_open_a(const OpeningBand& band, double rating_a, double time_s) {
  std::optional<Point> before;
  std::optional<double> ratio;
  each_point(band, BandSide::slowest, [&](const Point& point) {
    // Times fall with current; should a table not, the last crossing counts.
    if (point.time_s <= time_s) {
      if (!ratio) {
        ratio =
            before && before->time_s > time_s ? ratio_between(*before, point, time_s) : point.ratio;
      }
    } else {
      ratio.reset();
    }
    before = point;
  });
  if (!ratio) return std::nullopt;
  return *ratio * rating_a;
}

std::vector<CurrentRange> currents_within_a2s(const OpeningBand& band, double rating_a,
                                              double from_a, double most_a2s) {
  // log I²t is linear in log I between points, so it crosses the limit at most once on the way.
  struct Heat {
    double current_a, a2s;
  };
  std::vector<Heat> heats;
  each_point(band, BandSide::slowest, [&](const Point& point) {
    const double current_a = point.ratio * rating_a;
    heats.push_back({current_a, current_a * current_a * point.time_s});
  });
  std::vector<CurrentRange> ranges;
  const auto allow = [&](double low_a, double high_a) {
    low_a = std::max(low_a, from_a);
    if (high_a < low_a) return;
    if (!ranges.empty() && ranges.back().high_a >= low_a) {
      ranges.back().high_a = high_a;
    } else {
      ranges.push_back({low_a, high_a});
    }
  };
  for (std::size_t k = 0; k + 1 < heats.size(); ++k) {
    const auto& [low_a, low_heat] = heats[k];
    const auto& [high_a, high_heat] = heats[k + 1];
    const bool low_fits = low_heat <= most_a2s;
    const bool high_fits = high_heat <= most_a2s;
    if (!low_fits && !high_fits) continue;
    double crossing_a = low_a;
    if (low_fits != high_fits) {
      const double share = std::log(most_a2s / low_heat) / std::log(high_heat / low_heat);
      crossing_a = low_a * std::pow(high_a / low_a, share);
    }
    allow(low_fits ? low_a : crossing_a, high_fits ? high_a : crossing_a);
  }
  if (!heats.empty() && heats.back().a2s <= most_a2s) {
    allow(heats.back().current_a, std::numeric_limits<double>::infinity());
  }
  return ranges;
}

std::optional<double> let_through_a2s(const OvercurrentForm& form, double rating_a, double from_a,
                                      double to_a, double clearing_over_melting) {
  std::optional<double> most;
  if (const OpeningBand* band = form.opening_of(rating_a)) {
    const auto at = [&](double current_a) {
      if (const auto time_s = opening_time_s(*band, current_a / rating_a, BandSide::slowest)) {
        const double beyond = band->points.back().ratio * rating_a;
        // Past the table the fuse follows its melting integral; the time there is not constant.
        const double heating_a = std::min(current_a, beyond);
        most = std::max(most.value_or(0.0), heating_a * heating_a * *time_s);
      }
    };
    at(from_a);
    at(to_a);
    for (const OpeningPoint& row : band->points) {
      const double current_a = row.ratio * rating_a;
      if (current_a > from_a && current_a < to_a) at(current_a);
    }
  }
  if (const auto melting = melting_figure(form, rating_a); melting && melting->published) {
    most = std::max(most.value_or(0.0), melting->value_a2s * clearing_over_melting);
  }
  return most;
}

}  // namespace nightbus
