// Fault currents as linear solves. With loads, chargers and converters off what is left is sources
// and resistances, J x = -f(0):
//
//   x_oc = -J⁻¹ f(0)                      voltages before the fault
//   J z = e_p - e_n,  R = z_p - z_n       resistance seen from the pair (p, n)
//   I = (x_oc,p - x_oc,n) / R             the bolted fault
//
// One factorisation serves every point. A diode makes the network unsymmetric in direction; then
// each fault is solved as it is, with the short put in.
#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "network/circuit_impl.hpp"
#include "network/port_network.hpp"

namespace nightbus {

using namespace network_detail;

namespace network_detail {

std::vector<double> passive_values(const Description& d, std::span<const double> values) {
  std::vector<double> passive(values.begin(), values.end());
  for (const Element& element : d.elements)
    if (element.kind == ElementKind::load || element.kind == ElementKind::charger ||
        element.kind == ElementKind::converter)
      passive[element.parameters + slot::enabled] = 0.0;
  return passive;
}

PortNetwork::PortNetwork(const Description& d, std::vector<double> passive)
    : values_(std::move(passive)) {
  std::vector<Mode> modes;
  find_modes(d, values_, {}, modes);
  net_ = std::make_unique<Net>(build_net(d, modes));
  equations_ = std::make_unique<Equations>(d, *net_);
  equations_->set({values_, {}, 1.0, false});
  open_.assign(net_->rows, 0.0);
  equations_->fill_known(open_);
  std::vector<double> f(net_->rows);
  equations_->evaluate(open_, f, true);
  sound_ = equations_->factor().factorise();
  if (!sound_) return;
  for (double& value : f) value = -value;
  equations_->factor().solve(f);
  for (std::uint32_t row = 0; row < net_->unknowns; ++row) open_[row] += f[row];
}

double PortNetwork::open_circuit_v(FaultPoint at) const {
  return open_[net_->row[index(at.p)]] - open_[net_->row[index(at.n)]];
}

std::vector<double> PortNetwork::response(FaultPoint at) {
  std::vector<double> z(net_->rows, 0.0);
  const std::uint32_t p = net_->row[index(at.p)];
  const std::uint32_t n = net_->row[index(at.n)];
  if (p < net_->unknowns) z[p] += 1.0;
  if (n < net_->unknowns) z[n] -= 1.0;
  equations_->factor().solve(z);
  for (std::uint32_t row = net_->unknowns; row < net_->rows; ++row) z[row] = 0.0;
  return z;
}

double PortNetwork::across(std::span<const double> z, FaultPoint at) const {
  return z[net_->row[index(at.p)]] - z[net_->row[index(at.n)]];
}

}  // namespace network_detail

namespace {

// The passive network, with a bolted short as its last element when `at` says where.
OperatingPoint solve_passive(const Circuit& circuit, const Parameters& parameters,
                             const FaultPoint* at) {
  Description d = circuit.impl().description;
  d.values = passive_values(d, parameters.values());
  if (at != nullptr) {
    Element bolted;
    bolted.kind = ElementKind::resistor;
    bolted.a = static_cast<std::uint32_t>(index(at->p));
    bolted.b = static_cast<std::uint32_t>(index(at->n));
    bolted.parameters = static_cast<std::uint32_t>(d.values.size());
    bolted.fixed = static_cast<std::uint32_t>(d.resistors.size());
    d.elements.push_back(bolted);
    d.resistors.emplace_back();
    d.values.insert(d.values.end(), {1.0, 0.0, 20.0});
  }
  const Circuit passive = CircuitImpl::wrap(std::move(d));
  Workspace workspace(passive);
  return solve(passive, workspace);
}

FaultCurrent nonlinear_fault(const Circuit& circuit, const Parameters& parameters, FaultPoint at,
                             double open_circuit_v) {
  FaultCurrent fault;
  fault.open_circuit_v = open_circuit_v;
  const OperatingPoint point = solve_passive(circuit, parameters, &at);
  fault.unlimited = point.status == SolveStatus::short_circuit;
  if (point.status == SolveStatus::solved) fault.current_a = point.current_a.back();
  if (fault.current_a != 0.0) fault.resistance_ohm = open_circuit_v / fault.current_a;
  return fault;
}

}  // namespace

std::vector<FaultCurrent> fault_currents(const Circuit& circuit, const Parameters& parameters,
                                         std::span<const FaultPoint> points) {
  const Description& d = circuit.impl().description;
  std::vector<FaultCurrent> faults(points.size());
  if (find_bad_value(d, parameters.values())) return faults;
  for (const FaultPoint& at : points)
    if (index(at.p) >= d.nodes || index(at.n) >= d.nodes)
      throw std::out_of_range("nightbus: no such node");
  if (!d.diodes.empty()) {
    const OperatingPoint open = solve_passive(circuit, parameters, nullptr);
    for (std::size_t k = 0; k < points.size(); ++k)
      faults[k] =
          nonlinear_fault(circuit, parameters, points[k],
                          open.node_v[index(points[k].p)] - open.node_v[index(points[k].n)]);
    return faults;
  }
  PortNetwork network(d, passive_values(d, parameters.values()));
  if (!network.sound()) return faults;
  for (std::size_t k = 0; k < points.size(); ++k) {
    FaultCurrent& fault = faults[k];
    fault.open_circuit_v = network.open_circuit_v(points[k]);
    const std::vector<double> z = network.response(points[k]);
    fault.resistance_ohm = network.across(z, points[k]);
    if (std::abs(fault.open_circuit_v) < 1e-9) {
      fault.open_circuit_v = 0.0;
    } else if (fault.resistance_ohm <= ideal_resistance_ohm) {
      fault.resistance_ohm = 0.0;
      fault.unlimited = true;
    } else {
      fault.current_a = fault.open_circuit_v / fault.resistance_ohm;
    }
  }
  return faults;
}

double fault_current_through(const Circuit& circuit, const Parameters& parameters, FaultPoint point,
                             ElementId element) {
  if (find_bad_value(circuit.impl().description, parameters.values())) return 0.0;
  const OperatingPoint shorted = solve_passive(circuit, parameters, &point);
  if (shorted.status == SolveStatus::short_circuit) return no_limit;
  return shorted.status == SolveStatus::solved ? shorted.current_a.at(index(element)) : 0.0;
}

}  // namespace nightbus
