#pragma once
// A conductor warmed by its own loading. With R_a its resistance at ambient,
//
//   R_a = R0 (1 + alpha (Ta - T0)),   T = Ta + theta I² R,   R = R0 (1 + alpha (T - T0))
//   =>  R = R_a + R0 alpha theta I² R   =>   R(I) = R_a / (1 - k I²),   k = R0 alpha theta
//
// The current has a ceiling 1/sqrt(k): there the wire runs away thermally. As a function of the
// voltage across it the law is smooth, odd and rising everywhere:
//
//   v = I R_a / (1 - k I²)  =>  k v I² + R_a I - v = 0  =>  I = 2 v / (R_a + S)
//   S = sqrt(R_a² + 4 k v²),   dI/dv = (1 - k I²) / S
//
// (differentiate the quadratic: dI (2 k v I + R_a) = (1 - k I²) dv and 2 k v I + R_a = S).

#include <algorithm>
#include <cmath>

#include "network/law_load.hpp"

namespace nightbus::network_detail {

struct ConductorNumbers {
  double ambient_ohm = 0.0;  // R_a
  double heating = 0.0;      // k
};

// The straight line 1 + alpha (T - T0) is held at a hundredth, where it has lost its meaning.
inline ConductorNumbers conductor_numbers(double resistance_ohm, double alpha, double reference_c,
                                          double ambient_c, double kelvin_per_watt) {
  const double factor = std::max(0.01, 1.0 + alpha * (ambient_c - reference_c));
  return {resistance_ohm * factor, resistance_ohm * alpha * kelvin_per_watt};
}

inline Branch conductor_branch(const ConductorNumbers& n, double v) {
  if (n.heating == 0.0) return {v / n.ambient_ohm, 1.0 / n.ambient_ohm};
  const double s = std::sqrt(n.ambient_ohm * n.ambient_ohm + 4.0 * n.heating * v * v);
  const double i = 2.0 * v / (n.ambient_ohm + s);
  return {i, (1.0 - n.heating * i * i) / s};
}

}  // namespace nightbus::network_detail
