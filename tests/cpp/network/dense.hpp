#pragma once
// A second solver, written to share nothing with the library: elements as plain records, currents
// by their definitions, a Jacobian by differences, dense elimination with pivoting, damped Newton
// from the no-load voltages. Slow and plain.

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <optional>
#include <vector>

#include "nightbus/network.hpp"

namespace dense {

using namespace nightbus;

struct Part {
  ElementKind kind{};
  std::size_t a = 0, b = 0, s = 0, t = 0;  // terminals; converter output s, t
  double ohm = 0.0, alpha = 0.0, ambient_c = 20.0, kelvin_per_watt = 0.0;  // resistor, source …
  double emf = 0.0;                                                        // source, ceiling
  double limit_a = no_limit, limit_w = no_limit;
  LoadLaw load;
  DiodeLaw diode;
  ConverterLaw converter;
};

struct Sheet {
  std::size_t nodes = 0;
  std::vector<Part> parts;
  std::vector<std::size_t> grounds;  // one for each island
  std::vector<double> hint_v;        // where the plain solver starts

  Circuit build() const {
    CircuitBuilder b;
    const std::vector<NodeId> n = b.add_nodes(nodes);
    for (const std::size_t g : grounds) b.set_reference(n[g]);
    for (const Part& p : parts) switch (p.kind) {
        case ElementKind::resistor:
          b.add_conductor(n[p.a], n[p.b], {p.ohm, p.alpha, 20.0, p.ambient_c, p.kelvin_per_watt});
          break;
        case ElementKind::source:
          b.add_source(n[p.a], n[p.b], {p.emf, p.ohm});
          break;
        case ElementKind::charger:
          b.add_charger(n[p.a], n[p.b], {p.emf, p.limit_a, p.limit_w, p.ohm});
          break;
        case ElementKind::load:
          b.add_load(n[p.a], n[p.b], p.load);
          break;
        case ElementKind::diode:
          b.add_diode(n[p.a], n[p.b], p.diode);
          break;
        case ElementKind::converter:
          b.add_converter(n[p.a], n[p.b], n[p.s], n[p.t], p.converter);
          break;
      }
    return b.compile();
  }
};

struct Flow {
  double in = 0.0, out = 0.0;
};

inline double heated_current(const Part& p, double v) {
  // Temperature and current agree: bisection on the current, which rises with v.
  double low = 0.0, high = std::abs(v) / (p.ohm * 0.5);
  for (int k = 0; k < 200; ++k) {
    const double i = 0.5 * (low + high);
    // Resistance at the temperature that i itself makes: R = R0 (1 + alpha (Ta - 20 + theta i
    // |v|)).
    const double r =
        p.ohm * (1.0 + p.alpha * (p.ambient_c - 20.0 + p.kelvin_per_watt * i * std::abs(v)));
    (i * r < std::abs(v) ? low : high) = i;
  }
  return v < 0.0 ? -low : low;
}

inline double load_current(const LoadLaw& l, double v) {
  const auto inside = [&](double u) {
    return l.power_w / u + l.current_a + l.conductance_s * u + l.fan_a_per_v2 * u * u;
  };
  if (v >= l.minimum_v && v > 1e-3) return l.scale * inside(v);
  const double m = std::max(l.minimum_v, 1e-3);
  return l.scale * inside(m) / m * v;
}

inline Flow converter_flow(const ConverterLaw& c, double x, double y) {
  if (x <= 0.0) return {};
  const double low = c.minimum_input_v > 0.0 ? c.minimum_input_v : 0.1 * c.set_point_v;
  const double f = std::min(1.0, x / low);
  double target = c.set_point_v * f;
  if (c.kind == ConverterTopology::buck) target = std::min(c.set_point_v, x - c.drop_out_v);
  if (c.kind == ConverterTopology::boost) target = std::max(target, x - c.drop_out_v);
  double i = std::min((target - y) / c.output_resistance_ohm, c.current_limit_a);
  if (y > 0.0) i = std::min(i, c.power_limit_w / y);
  i = std::max(i, 0.0);
  const double p = std::max(0.0, y * i);
  return {(c.standby_w * f * f + (1.0 + c.loss_fraction) * p + c.loss_per_watt * p * p) / x, i};
}

inline Flow flow(const Part& p, const std::vector<double>& v, double demand) {
  const double u = v[p.a] - v[p.b];
  switch (p.kind) {
    case ElementKind::resistor:
      if (p.kelvin_per_watt > 0.0) return {heated_current(p, u), 0.0};
      return {u / (p.ohm * (1.0 + p.alpha * (p.ambient_c - 20.0))), 0.0};
    case ElementKind::source:
      return {(u - p.emf) / p.ohm, 0.0};
    case ElementKind::charger: {
      double out = std::min((p.emf - u) / p.ohm, p.limit_a);
      if (u > 0.0) out = std::min(out, p.limit_w / u);
      return {-std::max(0.0, out), 0.0};
    }
    case ElementKind::load:
      return {demand * load_current(p.load, u), 0.0};
    case ElementKind::diode:
      return {u < p.diode.forward_v ? p.diode.leakage_s * u
                                    : p.diode.leakage_s * p.diode.forward_v +
                                          (u - p.diode.forward_v) / p.diode.resistance_ohm,
              0.0};
    case ElementKind::converter:
      return converter_flow(p.converter, u, v[p.s] - v[p.t]);
  }
  return {};
}

inline std::vector<double> imbalance(const Sheet& sheet, const std::vector<double>& v,
                                     double demand) {
  std::vector<double> f(sheet.nodes, 0.0);
  for (const Part& p : sheet.parts) {
    const Flow i = flow(p, v, demand);
    f[p.a] += i.in;
    f[p.b] -= i.in;
    if (p.kind == ElementKind::converter) {
      f[p.s] -= i.out;
      f[p.t] += i.out;
    }
  }
  for (const std::size_t g : sheet.grounds) f[g] = v[g];
  return f;
}

inline bool eliminate(std::vector<std::vector<double>>& a, std::vector<double>& b) {
  const std::size_t n = b.size();
  for (std::size_t k = 0; k < n; ++k) {
    std::size_t best = k;
    for (std::size_t i = k + 1; i < n; ++i)
      if (std::abs(a[i][k]) > std::abs(a[best][k])) best = i;
    if (a[best][k] == 0.0) return false;
    std::swap(a[k], a[best]);
    std::swap(b[k], b[best]);
    for (std::size_t i = k + 1; i < n; ++i) {
      const double l = a[i][k] / a[k][k];
      if (l == 0.0) continue;
      for (std::size_t j = k; j < n; ++j) a[i][j] -= l * a[k][j];
      b[i] -= l * b[k];
    }
  }
  for (std::size_t k = n; k-- > 0;) {
    for (std::size_t j = k + 1; j < n; ++j) b[k] -= a[k][j] * b[j];
    b[k] /= a[k][k];
  }
  return true;
}

inline double worst(const std::vector<double>& f) {
  double w = 0.0;
  for (const double x : f) w = std::max(w, std::isfinite(x) ? std::abs(x) : 1e300);
  return w;
}

// Demand is raised from nothing to all in a few steps, each a damped Newton.
inline std::optional<std::vector<double>> solve(const Sheet& sheet) {
  std::vector<double> v(sheet.hint_v);
  for (const std::size_t g : sheet.grounds) v[g] = 0.0;
  for (const double demand : {0.0, 0.25, 0.5, 0.75, 0.9, 1.0}) {
    bool settled = false;
    for (int k = 0; k < 200; ++k) {
      const std::vector<double> f = imbalance(sheet, v, demand);
      std::vector<std::vector<double>> j(sheet.nodes, std::vector<double>(sheet.nodes));
      for (std::size_t c = 0; c < sheet.nodes; ++c) {
        std::vector<double> up(v), down(v);
        up[c] += 1e-5;
        down[c] -= 1e-5;
        const std::vector<double> fu = imbalance(sheet, up, demand);
        const std::vector<double> fd = imbalance(sheet, down, demand);
        for (std::size_t r = 0; r < sheet.nodes; ++r) j[r][c] = (fu[r] - fd[r]) / 2e-5;
      }
      std::vector<double> step(f);
      if (!eliminate(j, step)) return std::nullopt;
      double t = 1.0;
      std::vector<double> next;
      for (;; t *= 0.5) {
        next = v;
        for (std::size_t r = 0; r < sheet.nodes; ++r) next[r] -= t * step[r];
        if (worst(imbalance(sheet, next, demand)) <= worst(f) || t < 1e-4) break;
      }
      v = next;
      if (t * worst(step) < 1e-11) {
        settled = true;
        break;
      }
    }
    if (!settled) return std::nullopt;
  }
  return v;
}

}  // namespace dense
