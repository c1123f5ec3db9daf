// Switching on empty capacitors.
//
// One capacitor C through R on V:  i = (V/R) e^(-t/RC): peak V/R, I²t = C V² / (2 R), heat C V²
// / 2.
//
// Several at once.  Seen from the capacitors' terminals the passive network is a symmetric positive
// matrix Z of resistances (plus each device's own on the diagonal), open voltages e, and
//   C dv/dt = I,   e - Z I = v,   y := e - v   =>   dy/dt = -C⁻¹ Z⁻¹ y
// With M = C^½ Z C^½ = U diag(tau) Uᵀ the modes part, each with its own time constant:
//   I(t) = C^½ U diag(e^(-t/tau) / tau) Uᵀ C^½ y0
// A fuse carries h·I, h_j its share of an ampere drawn at terminal j: i(t) = sum a_k e^(-t/tau_k),
//   charge sum a_k tau_k,   I²t = sum_jk a_j a_k tau_j tau_k / (tau_j + tau_k).
#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>

#include "network/circuit_impl.hpp"
#include "network/port_network.hpp"

namespace nightbus {

using namespace network_detail;

Inrush inrush(double voltage_v, double resistance_ohm, double capacitance_f) {
  Inrush pulse;
  pulse.resistance_ohm = resistance_ohm;
  pulse.energy_j = 0.5 * capacitance_f * voltage_v * voltage_v;
  if (!(resistance_ohm > 0.0)) {
    pulse.peak_a = voltage_v == 0.0 ? 0.0 : no_limit;
    pulse.i2t_a2s = pulse.energy_j == 0.0 ? 0.0 : no_limit;
    return pulse;
  }
  pulse.peak_a = voltage_v / resistance_ohm;
  pulse.time_constant_s = resistance_ohm * capacitance_f;
  pulse.duration_s = pulse.time_constant_s * std::log(100.0);
  pulse.i2t_a2s = pulse.energy_j / resistance_ohm;
  return pulse;
}

std::vector<Inrush> inrush_each(const Circuit& circuit, const Parameters& parameters,
                                std::span<const InrushPart> parts) {
  std::vector<FaultPoint> points;
  points.reserve(parts.size());
  for (const InrushPart& part : parts) points.push_back(part.at);
  const std::vector<FaultCurrent> seen = fault_currents(circuit, parameters, points);
  std::vector<Inrush> pulses;
  pulses.reserve(parts.size());
  for (std::size_t k = 0; k < parts.size(); ++k)
    pulses.push_back(inrush(seen[k].open_circuit_v,
                            seen[k].resistance_ohm + parts[k].own_resistance_ohm,
                            parts[k].capacitance_f));
  return pulses;
}

namespace {

struct Modes {
  Eigen::VectorXd amplitude_a, tau_s;

  double current(double t) const {
    return (amplitude_a.array() * (-t / tau_s.array()).exp()).sum();
  }
  double charge_left(double t) const {
    return (amplitude_a.array() * tau_s.array() * (-t / tau_s.array()).exp()).sum();
  }
};

double peak_of(const Modes& modes) {
  double peak = std::abs(modes.current(0.0));
  const double last = 5.0 * modes.tau_s.maxCoeff();
  for (double t = 1e-3 * modes.tau_s.minCoeff(); t < last; t *= 1.05)
    peak = std::max(peak, std::abs(modes.current(t)));
  return peak;
}

double time_to_charge(const Modes& modes, double share_left) {
  const double total = std::abs(modes.charge_left(0.0));
  double low = 0.0;
  double high = 50.0 * modes.tau_s.maxCoeff();
  for (int k = 0; k < 100; ++k) {
    const double middle = 0.5 * (low + high);
    (std::abs(modes.charge_left(middle)) > share_left * total ? low : high) = middle;
  }
  return high;
}

}  // namespace

Inrush inrush_together(const Circuit& circuit, const Parameters& parameters,
                       std::span<const InrushPart> parts, ElementId through) {
  const Description& d = circuit.impl().description;
  Inrush pulse;
  const auto count = static_cast<Eigen::Index>(parts.size());
  if (count == 0 || count > 64 || find_bad_value(d, parameters.values())) return pulse;
  std::vector<double> values = passive_values(d, parameters.values());
  const Element& element = d.elements.at(index(through));
  double& through_ohm = values[element.parameters + slot::resistance];
  if (element.kind == ElementKind::resistor || element.kind == ElementKind::source)
    through_ohm = std::max(through_ohm, 1e-6);  // an ideal switch: its share needs a voltage
  const double share_s =
      element.kind == ElementKind::resistor
          ? 1.0 / conductor_of(d, values, static_cast<std::uint32_t>(index(through))).ambient_ohm
          : 1.0 / through_ohm;
  PortNetwork network(d, values);
  if (!network.sound()) return pulse;

  Eigen::MatrixXd z(count, count);
  Eigen::VectorXd open(count), share(count), root_c(count);
  const FaultPoint ends{NodeId{element.a}, NodeId{element.b}};
  for (Eigen::Index j = 0; j < count; ++j) {
    const InrushPart& part = parts[static_cast<std::size_t>(j)];
    const std::vector<double> response = network.response(part.at);
    for (Eigen::Index i = 0; i < count; ++i)
      z(i, j) = network.across(response, parts[static_cast<std::size_t>(i)].at);
    z(j, j) += part.own_resistance_ohm;
    open(j) = network.open_circuit_v(part.at);
    share(j) = -network.across(response, ends) * share_s;
    root_c(j) = std::sqrt(part.capacitance_f);
  }
  const Eigen::MatrixXd m = root_c.asDiagonal() * (0.5 * (z + z.transpose())) * root_c.asDiagonal();
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver(m);
  Modes modes;
  modes.tau_s = solver.eigenvalues().cwiseMax(1e-15);
  const Eigen::MatrixXd& u = solver.eigenvectors();
  const Eigen::VectorXd start = u.transpose() * root_c.cwiseProduct(open);
  const Eigen::VectorXd seen = u.transpose() * root_c.cwiseProduct(share);
  modes.amplitude_a = seen.cwiseProduct(start).cwiseQuotient(modes.tau_s);

  pulse.peak_a = peak_of(modes);
  for (Eigen::Index j = 0; j < count; ++j)
    for (Eigen::Index k = 0; k < count; ++k)
      pulse.i2t_a2s += modes.amplitude_a(j) * modes.amplitude_a(k) * modes.tau_s(j) *
                       modes.tau_s(k) / (modes.tau_s(j) + modes.tau_s(k));
  for (Eigen::Index j = 0; j < count; ++j)
    pulse.energy_j += 0.5 * parts[static_cast<std::size_t>(j)].capacitance_f * open(j) * open(j);
  if (pulse.peak_a > 0.0) {
    pulse.time_constant_s = std::abs(modes.charge_left(0.0)) / pulse.peak_a;
    pulse.resistance_ohm = open.cwiseAbs().maxCoeff() / pulse.peak_a;
    pulse.duration_s = time_to_charge(modes, 0.01);
  }
  return pulse;
}

}  // namespace nightbus
