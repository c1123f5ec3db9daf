#pragma once
// The curve of solutions as all loads grow together: see curve.cpp.

#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <vector>

#include "network/newton.hpp"

namespace nightbus::network_detail {

class Curve {
 public:
  struct Point {
    std::vector<double> x;  // rows
    double multiplier = 0.0;
    std::vector<double>
        x_slope;  // unit tangent: d x / d s (over the voltage scale), d lambda / d s
    double multiplier_slope = 0.0;
  };

  // Starts without load. `setting.multiplier` is ignored.
  Curve(Equations& equations, Newton& newton, const Equations::Setting& setting, double scale_v);

  bool started() const { return started_; }
  const Point& point() const { return now_; }
  const Point& previous() const { return before_; }

  enum class Step { forward, end, stuck };
  // One step along the curve, not beyond `largest` by more than a step. `end`: the multiplier
  // turned back; the end itself is then in peak().
  Step advance();
  const Point& peak() const { return peak_; }

  // Between previous() and point(): where `value` (negative at the first, not at the second)
  // crosses 0.
  std::optional<Point> crossing(const std::function<double(const Point&)>& value,
                                double relative_accuracy);
  // Null mode at `point`: the direction in which voltages run away there.
  std::span<const double> mode(const Point& point) const { return point.x_slope; }

 private:
  bool correct(const Point& from, double length, Point& to);
  bool tangent(Point& point, const Point& reference);
  // Along the tangent of `from`, how far `to` is; and how far off it, squared, in all.
  double along(const Point& from, const Point& to) const;
  double apart_squared(const Point& from, const Point& to) const;
  bool find_peak();

  Equations& equations_;
  double scale_v_;
  double scale_m_ = 1.0;  // multiplier over which voltages would move by about themselves
  double length_ = 0.02;
  bool started_ = false;
  Point before_, now_, peak_;
  std::vector<double> f_, direction_, a_, b_;
};

}  // namespace nightbus::network_detail
