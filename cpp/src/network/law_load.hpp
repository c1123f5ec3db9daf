#pragma once
// A load at terminal voltage v, scale k, inside its window (v >= m):
//
//   i(v) = k (P / v + I + G v + Q v²)        di/dv = k (-P / v² + G + 2 Q v)
//
// Below its window, v < m, it is the resistance that takes the same current at m:
//
//   i(v) = g v,   g = k (P / m + I + G m + Q m²) / m
//
// so i is continuous at m while its slope jumps from k (-P/m² + …) to +g. A load without a window
// has m = floor, a thousandth of the largest EMF in the network: no device works there, so a
// solution that needs it is a collapse. Q v² is a fan whose speed follows the voltage: torque and
// hence current go with the square of speed.

namespace nightbus::network_detail {

struct Branch {
  double current = 0.0;
  double slope = 0.0;
};

struct LoadNumbers {
  double power = 0.0, current = 0.0, conductance = 0.0, fan = 0.0;  // already scaled
  double minimum = 0.0;                                             // > 0
};

inline Branch load_inside(const LoadNumbers& n, double v) {
  const double p = n.power / v;
  return {p + n.current + (n.conductance + n.fan * v) * v,
          -p / v + n.conductance + 2.0 * n.fan * v};
}

inline Branch load_branch(const LoadNumbers& n, double v) {
  if (v >= n.minimum) return load_inside(n, v);
  const double g = load_inside(n, n.minimum).current / n.minimum;
  return {g * v, g};
}

}  // namespace nightbus::network_detail
