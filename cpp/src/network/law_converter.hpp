#pragma once
// A converter between input voltage x and output voltage y. Everything is differentiated by hand:
// subscripts x and y are partial derivatives.
//
//   target   t(x):  low = minimum input;  f = min(1, x / low)
//            buck        min(S, x - drop)
//            boost       max(S f, x - drop)
//            buck-boost  S f
//   output   i = min( (t - y) / r,  I_max,  P_max(x) / y ),  never below 0
//   power    p = y i                           p_x = y i_x        p_y = i + y i_y
//   input    q = P0 f² + (1 + a) p + b p²      q_x = 2 P0 f f_x + m p_x     m = 1 + a + 2 b p
//            j = q / x                         j_x = q_x / x - q / x²       j_y = m p_y / x
//
// P_max is the least of the output power limit and what the input current limit J leaves:
//   b p² + (1 + a) p = x J - P0 f² =: c,   p = 2 c / ((1 + a) + D),   D = sqrt((1 + a)² + 4 b c),
//   p_x = c_x / D.
// In regulation i does not depend on x, so the output side stands on its own and the input is a
// constant-power load. With x <= 0 nothing flows at all. Below `low` the target falls in proportion
// to x, so that p and j vanish together with x and the energy balance holds down to the dark.

#include <algorithm>
#include <cmath>

#include "nightbus/network.hpp"

namespace nightbus::network_detail {

struct ConverterNumbers {
  ConverterTopology kind = ConverterTopology::buck_boost;
  double set_point = 0.0, resistance = 1.0, current_limit = 0.0, power_limit = 0.0;
  double standby = 0.0, loss_fraction = 0.0, loss_per_watt = 0.0, drop_out = 0.0, low = 1.0;
  double input_current_limit = 0.0;
  bool running = true;
  double off_conductance = 0.0;  // of the input when not running
};

struct ConverterPoint {
  double in = 0.0, in_x = 0.0, in_y = 0.0;     // j and its derivatives
  double out = 0.0, out_x = 0.0, out_y = 0.0;  // i and its derivatives
  ElementState state = ElementState::normal;
};

inline ConverterPoint converter_point(const ConverterNumbers& n, double x, double y) {
  ConverterPoint point;
  if (!n.running) {
    point.in = n.off_conductance * x;
    point.in_x = n.off_conductance;
    point.state = ElementState::locked_out;
    return point;
  }
  if (!(x > 0.0)) {
    point.state = ElementState::dark;
    return point;
  }
  const bool weak = x < n.low;
  const double f = weak ? x / n.low : 1.0;
  const double f_x = weak ? 1.0 / n.low : 0.0;
  double target = n.set_point;
  double target_x = 0.0;
  if (n.kind == ConverterTopology::buck) {
    if (x - n.drop_out < n.set_point) {
      target = x - n.drop_out;
      target_x = 1.0;
      point.state = ElementState::drop_out;
    }
  } else {
    target *= f;
    target_x = n.set_point * f_x;
    if (weak) point.state = ElementState::starved;
    if (n.kind == ConverterTopology::boost && x - n.drop_out > target) {
      target = x - n.drop_out;
      target_x = 1.0;
      point.state = ElementState::passing;
    }
  }
  double i = (target - y) / n.resistance;
  double i_x = target_x / n.resistance;
  double i_y = -1.0 / n.resistance;
  if (i > n.current_limit) {
    i = n.current_limit;
    i_x = i_y = 0.0;
    point.state = ElementState::constant_current;
  }
  const double standby = n.standby * f * f;
  const double standby_x = 2.0 * n.standby * f * f_x;
  double most = n.power_limit;
  double most_x = 0.0;
  if (std::isfinite(n.input_current_limit)) {
    const double c = std::max(0.0, x * n.input_current_limit - standby);
    const double one = 1.0 + n.loss_fraction;
    const double d = std::sqrt(one * one + 4.0 * n.loss_per_watt * c);
    const double p = 2.0 * c / (one + d);
    if (p < most) {
      most = p;
      most_x = c > 0.0 ? (n.input_current_limit - standby_x) / d : 0.0;
    }
  }
  if (y > 0.0 && i * y > most) {
    i = most / y;
    i_x = most_x / y;
    i_y = -i / y;
    point.state = ElementState::constant_power;
  }
  if (!(i > 0.0)) {
    i = i_x = i_y = 0.0;
    if (point.state == ElementState::normal && y > target) point.state = ElementState::blocking;
  }
  const double p = std::max(0.0, y * i);
  const double p_x = y > 0.0 ? y * i_x : 0.0;
  const double p_y = y > 0.0 ? i + y * i_y : 0.0;
  const double m = 1.0 + n.loss_fraction + 2.0 * n.loss_per_watt * p;
  const double q = standby + (1.0 + n.loss_fraction + n.loss_per_watt * p) * p;
  point.in = q / x;
  point.in_x = (standby_x + m * p_x) / x - q / (x * x);
  point.in_y = m * p_y / x;
  point.out = i;
  point.out_x = i_x;
  point.out_y = i_y;
  return point;
}

}  // namespace nightbus::network_detail
