// Growing all loads by a multiplier m, f(x, m) = 0 is a curve in (x, m). It starts at the no-load
// voltages and, for constant power, bends back at the largest m the network can carry: there J is
// singular and a solve at fixed m fails before and after. So the curve is followed by its own
// length:
//
//   predict   z = z0 + h t,          z = (x / V, m / M), t the unit tangent
//   correct   f(x, m) = 0  and  t · (z - z0) = h      (a plane across the tangent)
//
// V is the voltage scale; M makes the first tangent half x, half m, so that the end of the curve
// lies within a few tenths of a unit whatever the loads are. Newton on both, with two solves by J:
//   J a = -f,  J b = -f_m,   dm = (h - t·(z - z0) - t_x·a/V) / (t_x·b/V + t_m/M),   dx = a + dm b
// The tangent solves J b = -f_m, t = (b/V, 1/M) / |.|, with the sign that goes on as before; past
// the bend t_m is negative. A corrected point that lies far off the tangent, or whose pivots say it
// is on another branch than its tangent does, is refused and the step halved. The end of the curve
// is where t_m changes sign: the length h is narrowed between a point before and a point after it.
// m is stationary there, so an error e in h costs e² in m; at a kink (a converter reaching its
// current limit) bisection closes in on the corner instead.
#include "network/curve.hpp"

#include <algorithm>
#include <cmath>

namespace nightbus::network_detail {

namespace {
constexpr int corrector_limit = 12;
constexpr double shortest = 1e-9;
}  // namespace

Curve::Curve(Equations& equations, Newton& newton, const Equations::Setting& setting,
             double scale_v)
    : equations_(equations), scale_v_(scale_v) {
  const std::size_t rows = equations.net().rows;
  now_.x.assign(rows, 0.0);
  now_.x_slope.assign(rows, 0.0);
  f_.resize(rows);
  direction_.resize(rows);
  a_.resize(rows);
  b_.resize(rows);
  if (!newton.no_load(setting, now_.x)) return;
  now_.multiplier = 0.0;
  now_.multiplier_slope = 1.0;
  const Point upward = now_;
  started_ = tangent(now_, upward);
  if (!started_) return;
  double norm2 = 0.0;
  for (const double slope : now_.x_slope) norm2 += slope * slope;
  const double steepness = std::sqrt(norm2) / std::max(now_.multiplier_slope, 1e-300);
  scale_m_ = std::clamp(1.0 / std::max(steepness, 1e-300), 1e-9, 1e9);
  started_ = tangent(now_, upward);
  before_ = now_;
}

double Curve::along(const Point& from, const Point& to) const {
  double sum = (to.multiplier - from.multiplier) / scale_m_ * from.multiplier_slope;
  for (std::uint32_t row = 0; row < equations_.net().unknowns; ++row)
    sum += (to.x[row] - from.x[row]) / scale_v_ * from.x_slope[row];
  return sum;
}

double Curve::apart_squared(const Point& from, const Point& to) const {
  const double dm = (to.multiplier - from.multiplier) / scale_m_;
  double sum = dm * dm;
  for (std::uint32_t row = 0; row < equations_.net().unknowns; ++row) {
    const double dx = (to.x[row] - from.x[row]) / scale_v_;
    sum += dx * dx;
  }
  return sum;
}

bool Curve::tangent(Point& point, const Point& reference) {
  const std::uint32_t unknowns = equations_.net().unknowns;
  equations_.set_multiplier(point.multiplier);
  equations_.evaluate(point.x, f_, true);
  if (!equations_.factor().factorise()) return false;
  equations_.load_direction(point.x, direction_);
  for (std::uint32_t row = 0; row < unknowns; ++row) b_[row] = -direction_[row];
  equations_.factor().solve(b_);
  const double m = 1.0 / scale_m_;
  double norm2 = m * m;
  double onward = m * reference.multiplier_slope;
  for (std::uint32_t row = 0; row < unknowns; ++row) {
    const double slope = b_[row] / scale_v_;
    norm2 += slope * slope;
    onward += slope * reference.x_slope[row];
  }
  if (!std::isfinite(norm2)) return false;
  const double factor = (onward < 0.0 ? -1.0 : 1.0) / std::sqrt(norm2);
  for (std::uint32_t row = 0; row < unknowns; ++row)
    point.x_slope[row] = b_[row] / scale_v_ * factor;
  point.multiplier_slope = m * factor;
  return (point.multiplier_slope > 0.0) == equations_.factor().positive();
}

bool Curve::correct(const Point& from, double length, Point& to) {
  const std::uint32_t unknowns = equations_.net().unknowns;
  to = from;
  for (std::uint32_t row = 0; row < unknowns; ++row)
    to.x[row] += length * scale_v_ * from.x_slope[row];
  to.multiplier += length * from.multiplier_slope * scale_m_;
  for (int k = 0; k < corrector_limit; ++k) {
    equations_.set_multiplier(to.multiplier);
    equations_.evaluate(to.x, f_, true);
    bool balanced = true;
    for (std::uint32_t row = 0; row < unknowns; ++row)
      if (!(std::abs(f_[row]) <= 10.0 * equations_.tolerance(row))) balanced = false;
    if (balanced && k > 0)
      return apart_squared(from, to) <= 1.5 * length * length + 1e-24 && tangent(to, from);
    if (!equations_.factor().factorise()) return false;
    equations_.load_direction(to.x, direction_);
    for (std::uint32_t row = 0; row < unknowns; ++row) {
      a_[row] = -f_[row];
      b_[row] = -direction_[row];
    }
    equations_.factor().solve(a_);
    equations_.factor().solve(b_);
    double along_a = 0.0;
    double along_b = from.multiplier_slope / scale_m_;
    for (std::uint32_t row = 0; row < unknowns; ++row) {
      along_a += a_[row] / scale_v_ * from.x_slope[row];
      along_b += b_[row] / scale_v_ * from.x_slope[row];
    }
    const double dm = (length - along(from, to) - along_a) / along_b;
    if (!std::isfinite(dm) || std::abs(dm) > 10.0 * (scale_m_ + std::abs(to.multiplier)))
      return false;
    for (std::uint32_t row = 0; row < unknowns; ++row) to.x[row] += a_[row] + dm * b_[row];
    to.multiplier += dm;
  }
  return false;
}

Curve::Step Curve::advance() {
  Point next;
  while (length_ > shortest) {
    // A step that turns too far may have jumped to another branch: shorten it.
    const bool found = correct(now_, length_, next);
    double turn = 0.0;
    if (found) {
      turn = next.multiplier_slope * now_.multiplier_slope;
      for (std::uint32_t row = 0; row < equations_.net().unknowns; ++row)
        turn += next.x_slope[row] * now_.x_slope[row];
    }
    if (found && turn > 0.8) {
      before_ = std::move(now_);
      now_ = std::move(next);
      if (now_.multiplier_slope <= 0.0) return find_peak() ? Step::end : Step::stuck;
      const double longest = 0.05 * (1.0 + std::abs(now_.multiplier) / scale_m_);
      if (turn > 0.98) length_ = std::min(2.0 * length_, longest);
      return Step::forward;
    }
    // A kink turns sharply however short the step: then the corner itself is the end.
    if (found && length_ < 1e-6 && next.multiplier_slope <= 0.0) {
      before_ = now_;
      now_ = std::move(next);
      peak_ = before_;
      return Step::end;
    }
    length_ *= 0.5;
  }
  return Step::stuck;
}

bool Curve::find_peak() {
  double low = 0.0;
  double high = along(before_, now_);
  peak_ = before_;
  double slope_low = before_.multiplier_slope;
  double slope_high = now_.multiplier_slope;
  Point middle;
  for (int k = 0; k < 60; ++k) {
    double at = low + (high - low) * slope_low / (slope_low - slope_high);
    if (k % 3 == 2) at = 0.5 * (low + high);
    if (!correct(before_, at, middle)) {
      // Right at the end J is singular to rounding: the last good point is as near as it gets.
      high = at;
      slope_high = std::min(slope_high, -1e-3);
      if (high - low < 1e-8) break;
      continue;
    }
    if (middle.multiplier >= peak_.multiplier) peak_ = middle;
    if (middle.multiplier_slope > 0.0) {
      low = at;
      slope_low = middle.multiplier_slope;
    } else {
      high = at;
      slope_high = middle.multiplier_slope;
    }
    if (std::abs(middle.multiplier_slope) * (high - low) < 1e-11) break;
  }
  return true;
}

std::optional<Curve::Point> Curve::crossing(const std::function<double(const Point&)>& value,
                                            double relative_accuracy) {
  double low = 0.0;
  double high = along(before_, now_);
  double value_low = value(before_);
  double value_high = value(now_);
  if (!(value_low < 0.0) || value_high < 0.0) return std::nullopt;
  Point middle = now_;
  for (int k = 0; k < 80; ++k) {
    double at = low - value_low * (high - low) / (value_high - value_low);
    if (k % 3 == 2) at = 0.5 * (low + high);
    if (!correct(before_, at, middle)) return std::nullopt;
    const double here = value(middle);
    if (here < 0.0) {
      low = at;
      value_low = here;
    } else {
      high = at;
      value_high = here;
    }
    const double share = std::abs(value_high - value_low) > 0.0
                             ? std::abs(here) / std::abs(value_high - value_low)
                             : 0.0;
    if ((high - low) * std::min(1.0, share) * scale_m_ <
        0.1 * relative_accuracy * (1e-6 * scale_m_ + std::abs(middle.multiplier)))
      return middle;
  }
  return middle;
}

}  // namespace nightbus::network_detail
