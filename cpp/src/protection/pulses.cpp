#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

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

double pulse_share(double pulses) {
  constexpr std::array<std::pair<double, double>, 4> guide = {
      {{100.0, 0.48}, {1000.0, 0.38}, {10000.0, 0.29}, {100000.0, 0.22}}};
  if (pulses <= guide.front().first) return guide.front().second;
  for (std::size_t k = 1; k < guide.size(); ++k) {
    if (pulses > guide[k].first) continue;
    const auto& [n0, s0] = guide[k - 1];
    const auto& [n1, s1] = guide[k];
    return s0 * std::pow(s1 / s0, std::log(pulses / n0) / std::log(n1 / n0));
  }
  return guide.back().second;
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
