#include "network/result.hpp"

#include <algorithm>
#include <cmath>

namespace nightbus::network_detail {

Reading read_element(const Description& d, std::span<const double> values,
                     std::span<const std::uint8_t> on, Mode mode, double floor_v, std::uint32_t e,
                     std::span<const double> node_v, double multiplier, bool lifted) {
  const Element& element = d.elements[e];
  const double* block = &values[element.parameters];
  Reading r;
  r.voltage = node_v[element.a] - node_v[element.b];
  switch (element.kind) {
    case ElementKind::resistor: {
      const ResistorFixed& fixed = d.resistors[element.fixed];
      r.temp_c = block[slot::ambient];
      if (mode == Mode::removed) {
        r.state = ElementState::open;
      } else if (mode == Mode::normal) {
        r.current = conductor_branch(conductor_of(d, values, e), r.voltage).current;
        r.temp_c += fixed.kelvin_per_watt * r.voltage * r.current;
      }
      r.loss = r.voltage * r.current;
      break;
    }
    case ElementKind::source: {
      if (mode == Mode::removed) {
        r.state = ElementState::open;
      } else if (mode == Mode::normal) {
        const double ohm = std::max(block[slot::resistance], floating_source_ohm);
        r.current = (r.voltage - block[slot::emf]) * (1.0 / ohm);
        r.loss = r.current * r.current * block[slot::resistance];
      }
      break;
    }
    case ElementKind::charger: {
      const Branch branch = charger_branch(charger_of(d, values, e), r.voltage, r.state);
      r.current = branch.current;
      if (block[slot::enabled] == 0.0) r.state = ElementState::open;
      break;
    }
    case ElementKind::load: {
      const LoadNumbers n = load_of(d, values, on, e, multiplier, floor_v, lifted);
      r.current = load_branch(n, r.voltage).current;
      const bool asks = n.power > 0.0 || n.current > 0.0 || n.fan > 0.0 || n.conductance > 0.0;
      if (block[slot::enabled] == 0.0)
        r.state = ElementState::open;
      else if (!is_on(on, e))
        r.state = ElementState::locked_out;
      else if (std::abs(r.voltage) < floor_v)
        r.state = ElementState::dark;
      else if (asks && r.voltage < n.minimum)
        r.state = ElementState::starved;
      break;
    }
    case ElementKind::diode: {
      const DiodeFixed& fixed = d.diodes[element.fixed];
      if (block[slot::enabled] == 0.0) {
        r.current = leak_s * r.voltage;
        r.state = ElementState::open;
      } else {
        r.current =
            diode_branch(fixed.forward_v, block[slot::resistance], fixed.leakage_s, r.voltage)
                .current;
        if (r.voltage < fixed.forward_v) r.state = ElementState::blocking;
      }
      r.loss = r.voltage * r.current;
      break;
    }
    case ElementKind::converter: {
      r.output_voltage = node_v[element.out_p] - node_v[element.out_n];
      const ConverterPoint point =
          converter_point(converter_of(d, values, on, e), r.voltage, r.output_voltage);
      r.current = point.in;
      r.output_current = point.out;
      r.state = point.state;
      if (block[slot::enabled] == 0.0 || block[slot::scale] == 0.0)
        r.state = ElementState::open;
      else if (is_on(on, e) && std::abs(r.voltage) < floor_v)
        r.state = ElementState::dark;
      break;
    }
  }
  r.power = r.voltage * r.current;
  if (element.kind == ElementKind::source && r.power > 0.0) r.state = ElementState::absorbing;
  if (element.kind == ElementKind::converter)
    r.loss = r.power - r.output_voltage * r.output_current;
  return r;
}

namespace {

// read_element() for the most frequent kind.
void read_wire(const Description& d, std::span<const double> values, std::uint32_t e,
               OperatingPoint& result) {
  const Element& element = d.elements[e];
  const ResistorFixed& fixed = d.resistors[element.fixed];
  const double* block = &values[element.parameters];
  const double v = result.node_v[element.a] - result.node_v[element.b];
  const double i = conductor_branch(conductor_of(d, values, e), v).current;
  result.voltage_v[e] = v;
  result.current_a[e] = i;
  result.power_w[e] = result.loss_w[e] = v * i;
  result.output_voltage_v[e] = result.output_current_a[e] = 0.0;
  result.temp_c[e] = block[slot::ambient] + fixed.kelvin_per_watt * v * i;
  result.states[e] = Reading{}.state;
}

// Losses of all resistors, without writing down each one's reading.
double loss_of_resistors(const Description& d, const Net& net, std::span<const double> values,
                         std::span<const double> node_v) {
  double sum_w = 0.0;
  for (const Row2& at : net.resistors) {
    const Element& element = d.elements[at.element];
    const double v = node_v[element.a] - node_v[element.b];
    sum_w += v * conductor_branch(conductor_of(d, values, at.element), v).current;
  }
  return sum_w;
}

// Ideal elements carry what the nodes beyond them leave over; see Net::ideal_tree.
void recover_ideal_currents(const Description& d, const Net& net, OperatingPoint& result) {
  if (net.ideal_tree.empty()) return;
  std::vector<double> leaving(d.nodes, 0.0);
  for (std::uint32_t e = 0; e < d.elements.size(); ++e) {
    const Element& element = d.elements[e];
    leaving[element.a] += result.current_a[e];
    leaving[element.b] -= result.current_a[e];
    if (element.kind != ElementKind::converter) continue;
    leaving[element.out_p] -= result.output_current_a[e];
    leaving[element.out_n] += result.output_current_a[e];
  }
  for (const IdealEdge& edge : net.ideal_tree) {
    const Element& element = d.elements[edge.element];
    const double into_node = leaving[edge.node];  // must come through this edge
    result.current_a[edge.element] = element.b == edge.node ? into_node : -into_node;
    leaving[edge.parent] += into_node;
    leaving[edge.node] = 0.0;
    result.power_w[edge.element] = result.voltage_v[edge.element] * result.current_a[edge.element];
    if (element.kind == ElementKind::source && result.power_w[edge.element] > 0.0)
      result.states[edge.element] = ElementState::absorbing;
  }
}

}  // namespace

void read_all(const Description& d, const Net& net, std::span<const double> values, double floor_v,
              OperatingPoint& result, bool wires, std::optional<double> resistor_loss_w) {
  const std::size_t count = d.elements.size();
  result.voltage_v.resize(count);
  result.current_a.resize(count);
  result.power_w.resize(count);
  result.output_voltage_v.resize(count);
  result.output_current_a.resize(count);
  result.loss_w.resize(count);
  result.temp_c.resize(count);
  result.states.resize(count);
  const bool each = wires || !net.ideal_tree.empty();
  for (std::uint32_t e = 0; e < count; ++e) {
    if (d.elements[e].kind == ElementKind::resistor) {
      if (!each) continue;
      if (net.modes[e] == Mode::normal) {
        read_wire(d, values, e, result);
        continue;
      }
    }
    const Reading r = read_element(d, values, result.on, net.modes[e], floor_v, e, result.node_v);
    result.voltage_v[e] = r.voltage;
    result.current_a[e] = r.current;
    result.power_w[e] = r.power;
    result.output_voltage_v[e] = r.output_voltage;
    result.output_current_a[e] = r.output_current;
    result.loss_w[e] = r.loss;
    result.temp_c[e] = r.temp_c;
    result.states[e] = r.state;
  }
  recover_ideal_currents(d, net, result);
  result.supplied_w = result.load_w = result.total_loss_w = result.wire_loss_w = 0.0;
  if (!each)
    result.wire_loss_w =
        resistor_loss_w ? *resistor_loss_w : loss_of_resistors(d, net, values, result.node_v);
  result.total_loss_w += result.wire_loss_w;
  for (std::uint32_t e = 0; e < count; ++e) {
    const ElementKind kind = d.elements[e].kind;
    if (!each && kind == ElementKind::resistor) continue;
    result.total_loss_w += result.loss_w[e];
    if (kind == ElementKind::resistor || kind == ElementKind::diode)
      result.wire_loss_w += result.loss_w[e];
    if (kind == ElementKind::load) result.load_w += result.power_w[e];
    // A source's own heat is part of what its EMF supplies.
    if (kind == ElementKind::source) result.supplied_w -= result.power_w[e] - result.loss_w[e];
    if (kind == ElementKind::charger) result.supplied_w -= result.power_w[e];
  }
  for (const auto& [a, b] : net.leak_nodes) {
    const double v = result.node_v[a] - result.node_v[b];
    result.total_loss_w += leak_s * v * v;
  }
  result.balance_w = result.supplied_w - result.load_w - result.total_loss_w;
}

}  // namespace nightbus::network_detail
