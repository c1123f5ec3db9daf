#include <cmath>

#include "nightbus/protection_fuse.hpp"

namespace nightbus {

double pulse_a2s(PulseShape shape, double peak_a, double time_s, double end_a) {
  const double square = peak_a * peak_a * time_s;
  switch (shape) {
    case PulseShape::square:
      return square;
    case PulseShape::trapezoid:
      return (peak_a * peak_a + peak_a * end_a + end_a * end_a) * time_s / 3.0;
    case PulseShape::half_sine:
      return square / 2.0;
    case PulseShape::triangle:
      return square / 3.0;
    case PulseShape::parabola:
      return square / 5.0;
    case PulseShape::decay:
      return square / 2.0;
  }
  return square;
}

CapacitorPulse capacitor_pulse(double capacitance_f, double voltage_v, double resistance_ohm) {
  CapacitorPulse pulse;
  pulse.energy_j = 0.5 * capacitance_f * voltage_v * voltage_v;
  pulse.peak_a = voltage_v / resistance_ohm;
  pulse.time_constant_s = resistance_ohm * capacitance_f;
  pulse.i2t_a2s = pulse.energy_j / resistance_ohm;
  return pulse;
}

double pulse_share(const Curve& share_by_pulses, double pulses) {
  const auto& points = share_by_pulses.points;
  if (pulses <= points.front().x) return points.front().y;
  for (std::size_t k = 1; k < points.size(); ++k) {
    if (pulses > points[k].x) continue;
    const auto& [x0, y0] = points[k - 1];
    const auto& [x1, y1] = points[k];
    return y0 * std::pow(y1 / y0, std::log(pulses / x0) / std::log(x1 / x0));
  }
  return points.back().y;
}

double needed_melting_a2s(double pulse_i2t_a2s, double share) {
  return pulse_i2t_a2s / share;
}

Precharge precharge(double voltage_v, double capacitance_f, double limit_a) {
  Precharge result;
  result.resistance_ohm = voltage_v / limit_a;
  result.time_constant_s = result.resistance_ohm * capacitance_f;
  result.done_s = 5.0 * result.time_constant_s;
  result.energy_j = 0.5 * capacitance_f * voltage_v * voltage_v;
  result.peak_w = voltage_v * limit_a;
  return result;
}

}  // namespace nightbus
