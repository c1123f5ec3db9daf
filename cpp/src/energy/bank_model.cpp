// The bank's tables scaled to the bank: EMF, resistance, capacity, what it accepts.

#include <algorithm>
#include <cmath>
#include <limits>

#include "nightbus/energy_bank.hpp"

namespace nightbus {

double PiecewiseLinear::at(double value) const {
  if (x.empty()) return 0.0;
  if (value <= x.front()) return y.front();
  if (value >= x.back()) return y.back();
  const auto after = std::upper_bound(x.begin(), x.end(), value);
  const auto k = static_cast<std::size_t>(after - x.begin());
  const double share = (value - x[k - 1]) / (x[k] - x[k - 1]);
  return y[k - 1] + share * (y[k] - y[k - 1]);
}

namespace {

double factor(const PiecewiseLinear& curve, double value) {
  return curve.empty() ? 1.0 : curve.at(value);
}

/// Slope of the segment that is entered when moving from `value` up (or down).
double slope_at(const PiecewiseLinear& curve, double value, bool up) {
  if (curve.x.size() < 2) return 0.0;
  const auto edge = up ? std::upper_bound(curve.x.begin(), curve.x.end(), value)
                       : std::lower_bound(curve.x.begin(), curve.x.end(), value);
  if (edge == curve.x.begin() || edge == curve.x.end()) return 0.0;
  const auto k = static_cast<std::size_t>(edge - curve.x.begin());
  return (curve.y[k] - curve.y[k - 1]) / (curve.x[k] - curve.x[k - 1]);
}

}  // namespace

double ChargeVoltages::setpoint_v(double at_25_v, double temp_c) const {
  const double felt = std::clamp(temp_c, compensation_low_c, compensation_high_c);
  return std::min(at_25_v, ceiling_v) + compensation_v_per_k * (felt - 25.0);
}

double BankModel::mean_emf_v(double s) const {
  return cells * mean_v.at(s);
}

double BankModel::swing_of_v(double s) const {
  return swing_v.empty() ? 0.0 : cells * swing_v.at(s);
}

double BankModel::emf_v(double s, double temp_c, double h) const {
  return mean_emf_v(s) + h * swing_of_v(s) + cells * ocv_v_per_k * (temp_c - 25.0);
}

double BankModel::emf_slope_v(double s, double h, bool charging) const {
  double slope = slope_at(mean_v, s, charging);
  if (!swing_v.empty()) {
    // dh/ds = (1 - h)/w when charging, (1 + h)/w when s falls: h runs towards the branch in use.
    const double march = (charging ? 1.0 - h : 1.0 + h) / hysteresis_charge;
    slope += h * slope_at(swing_v, s, charging) + swing_v.at(s) * march;
  }
  return cells * slope;
}

double BankModel::resistance_at(double s, double temp_c) const {
  return resistance_ohm * factor(resistance_by_charge, s) * factor(resistance_by_temp, temp_c);
}

double BankModel::coulombic_at(double s) const {
  return factor(coulombic, s);
}

double BankModel::peukert_factor(double discharge_a) const {
  const double rated = usable_ah() / rated_hours;
  if (peukert <= 1.0 || discharge_a <= rated) return 1.0;
  return std::pow(discharge_a / rated, peukert - 1.0);
}

double BankModel::charge_limit_a(double temp_c) const {
  if (charge_rate_by_temp.empty()) return max_charge_a;
  return std::min(max_charge_a, charge_rate_by_temp.at(temp_c) * usable_ah());
}

double BankModel::acceptance_a(double s) const {
  if (s >= 1.0) return gassing_rate * usable_ah();
  if (acceptance_hours <= 0.0) return std::numeric_limits<double>::infinity();
  return ((1.0 - s) / acceptance_hours + gassing_rate) * usable_ah();
}

double BankModel::self_discharge_a(double temp_c) const {
  return usable_ah() * self_discharge_per_s * 3600.0 *
         std::exp2((temp_c - 25.0) / self_discharge_doubling_k);
}

double BankModel::empty_soc(double temp_c) const {
  return std::clamp(1.0 - factor(capacity_by_temp, temp_c), 0.0, 1.0);
}

double BankModel::stored_wh(double s) const {
  // ∫ of the piecewise straight table from 0, with its ends held flat.
  const auto& x = mean_v.x;
  const auto& y = mean_v.y;
  if (x.empty()) return 0.0;
  double area = y.front() * std::min(s, x.front());
  for (std::size_t k = 1; k < x.size() && s > x[k - 1]; ++k) {
    const double to = std::min(s, x[k]);
    const double share = (to - x[k - 1]) / (x[k] - x[k - 1]);
    const double y_to = y[k - 1] + share * (y[k] - y[k - 1]);
    area += 0.5 * (y[k - 1] + y_to) * (to - x[k - 1]);
  }
  if (s > x.back()) area += y.back() * (s - x.back());
  return usable_ah() * cells * area;
}

double BankModel::next_corner(double s, bool charging) const {
  const auto& x = mean_v.x;
  if (charging) {
    const auto edge = std::upper_bound(x.begin(), x.end(), s);
    return edge == x.end() ? 1.0 : std::min(*edge, 1.0);
  }
  const auto edge = std::lower_bound(x.begin(), x.end(), s);
  return edge == x.begin() ? 0.0 : std::max(*(edge - 1), 0.0);
}

ChargeBounds charge_from_rest_voltage(const BankModel& bank, double voltage_v, double temp_c,
                                      double voltage_tolerance_v) {
  // The highest charge that fits is on the discharge branch at the lowest reading, and the other
  // way round; both branches rise with s, so bisection will do.
  const auto charge_at = [&](double volts, double h) {
    double low = 0.0;
    double high = 1.0;
    for (int k = 0; k < 50; ++k) {
      const double middle = 0.5 * (low + high);
      (bank.emf_v(middle, temp_c, h) < volts ? low : high) = middle;
    }
    return 0.5 * (low + high);
  };
  return {charge_at(voltage_v - voltage_tolerance_v, 1.0),
          charge_at(voltage_v + voltage_tolerance_v, -1.0)};
}

}  // namespace nightbus
