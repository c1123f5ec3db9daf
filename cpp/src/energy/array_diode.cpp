// One diode, one light current, two resistances:
//
//   I = IL - I0 (e^((V + I Rs)/a) - 1) - (V + I Rs)/Rsh
//
// With the diode voltage w = V + I Rs as the parameter both V and I follow directly,
//
//   I(w) = IL - I0 (e^(w/a) - 1) - w/Rsh          V(w) = w - Rs I(w)
//
// and dI/dw = -(I0/a) e^(w/a) - 1/Rsh < 0, dV/dw = 1 - Rs dI/dw >= 1: V rises with w, so the one
// root of V(w) = V has a bracket and Newton from above never overshoots (V(w) is convex). The
// maximum of P(w) = I V is the root of dP/dw, which falls from w = 0 to open circuit.
//
// At light S and cell temperature T (K), T0 = 298.15 K, k = 8.617333e-5 eV/K:
//   IL = S/1000 (IL_ref + α (T - T0)),  Rsh = Rsh_ref·1000/S,  a = a_ref T/T0
//   I0 = I0_ref (T/T0)³ exp(Eg0/(k T0) - Eg/(k T)),  Eg = Eg0 (1 + slope (T - T0))

#include <algorithm>
#include <cmath>
#include <limits>

#include "nightbus/energy_array.hpp"

namespace nightbus {

namespace {

constexpr double reference_k = 298.15;
constexpr double boltzmann_ev_per_k = 8.617333e-5;

struct Slope {
  double current, current_slope;
};

Slope at_diode(const DiodeCurve& c, double w) {
  const double e = std::exp(w / c.a_v);
  return {c.light_current_a - c.saturation_a * (e - 1.0) - w / c.shunt_ohm,
          -c.saturation_a / c.a_v * e - 1.0 / c.shunt_ohm};
}

/// Largest diode voltage of interest: where the diode alone takes the light current and 1 kA more.
double highest_w(const DiodeCurve& c) {
  return c.a_v * std::log1p((c.light_current_a + 1000.0) / c.saturation_a);
}

/// Root of a rising function given with its slope, by Newton kept inside [low, high].
template <class Function>
double rising_root(Function&& f, double low, double high, double start) {
  double w = std::clamp(start, low, high);
  for (int k = 0; k < 200; ++k) {
    const auto [value, slope] = f(w);
    if (value > 0.0) {
      high = w;
    } else {
      low = w;
    }
    double next = w - value / slope;
    if (!(next > low && next < high)) next = 0.5 * (low + high);
    const double moved = std::abs(next - w);
    w = next;
    if (moved <= 4.0 * std::numeric_limits<double>::epsilon() * std::max(1.0, std::abs(w))) break;
  }
  return w;
}

}  // namespace

DiodeCurve diode_curve(const DiodeModule& m, double effective_wm2, double cell_c) {
  const double s = std::max(effective_wm2, 0.0) / 1000.0;
  const double t = cell_c + 273.15;
  const double ratio = t / reference_k;
  const double gap = m.gap_ref_ev * (1.0 + m.gap_slope_per_k * (t - reference_k));
  DiodeCurve c;
  c.light_current_a = s * (m.light_current_ref_a + m.alpha_isc_a_per_k * (t - reference_k));
  c.saturation_a =
      m.saturation_ref_a * ratio * ratio * ratio *
      std::exp(m.gap_ref_ev / (boltzmann_ev_per_k * reference_k) - gap / (boltzmann_ev_per_k * t));
  c.series_ohm = m.series_ohm;
  // In the dark the shunt is open; a large number keeps the arithmetic finite.
  c.shunt_ohm = s > 1e-9 ? m.shunt_ref_ohm / s : m.shunt_ref_ohm * 1e9;
  c.a_v = m.a_ref_v * ratio;
  return c;
}

DiodeModule combine(const DiodeModule& module, int series, int parallel) {
  DiodeModule m = module;
  m.a_ref_v *= series;
  m.series_ohm *= static_cast<double>(series) / parallel;
  m.shunt_ref_ohm *= static_cast<double>(series) / parallel;
  m.light_current_ref_a *= parallel;
  m.saturation_ref_a *= parallel;
  m.alpha_isc_a_per_k *= parallel;
  return m;
}

double DiodeCurve::current_at(double voltage_v) const {
  const auto voltage_error = [&](double w) {
    const Slope s = at_diode(*this, w);
    return std::pair{w - series_ohm * s.current - voltage_v, 1.0 - series_ohm * s.current_slope};
  };
  const double high = std::max(highest_w(*this), voltage_v + 1.0);
  double low = std::min(voltage_v, 0.0) - 1.0;
  while (voltage_error(low).first > 0.0) low = 2.0 * low - 1.0;
  const double start = voltage_v + series_ohm * std::max(light_current_a, 0.0);
  return at_diode(*this, rising_root(voltage_error, low, high, start)).current;
}

double DiodeCurve::voltage_at(double current_a) const {
  const auto current_error = [&](double w) {
    const Slope s = at_diode(*this, w);
    return std::pair{current_a - s.current, -s.current_slope};
  };
  double low = -1.0;
  while (current_error(low).first > 0.0) low = 2.0 * low - 1.0;
  const double w = rising_root(current_error, low, highest_w(*this), 0.5 * highest_w(*this));
  return w - series_ohm * current_a;
}

double DiodeCurve::open_circuit_v() const {
  return light_current_a > 0.0 ? voltage_at(0.0) : 0.0;
}

double DiodeCurve::short_circuit_a() const {
  return current_at(0.0);
}

DiodeCurve::Point DiodeCurve::maximum_power() const {
  const double open = open_circuit_v();
  if (!(open > 0.0)) return {};
  // -dP/dw, rising in w; its own slope by difference would cost as much as bisection, so it is
  // exact:
  //   P = I (w - Rs I),  P' = I' (w - 2 Rs I) + I,  P'' = I'' (w - 2 Rs I) + 2 I' - 2 Rs I'²
  const auto falling_power = [&](double w) {
    const Slope s = at_diode(*this, w);
    const double curvature = -saturation_a / (a_v * a_v) * std::exp(w / a_v);
    const double lever = w - 2.0 * series_ohm * s.current;
    return std::pair{-(s.current_slope * lever + s.current),
                     -(curvature * lever + 2.0 * s.current_slope -
                       2.0 * series_ohm * s.current_slope * s.current_slope)};
  };
  const double w = rising_root(falling_power, 0.0, open, 0.85 * open);
  const double current = at_diode(*this, w).current;
  return {w - series_ohm * current, current};
}

double cold_open_circuit_v(const DiodeModule& module, double coldest_c, double bright_wm2) {
  return diode_curve(module, bright_wm2, coldest_c).open_circuit_v();
}

}  // namespace nightbus
