#include <cmath>
#include <stdexcept>

#include "network/circuit_impl.hpp"
#include "network/description.hpp"

namespace nightbus {

using network_detail::Description;
using network_detail::Element;
using network_detail::none;

struct CircuitBuilder::Data {
  Description description;
};

CircuitBuilder::CircuitBuilder() : data_(std::make_unique<Data>()) {}
CircuitBuilder::~CircuitBuilder() = default;
CircuitBuilder::CircuitBuilder(CircuitBuilder&&) noexcept = default;
CircuitBuilder& CircuitBuilder::operator=(CircuitBuilder&&) noexcept = default;
CircuitBuilder::CircuitBuilder(const CircuitBuilder& other)
    : data_(std::make_unique<Data>(*other.data_)) {}
CircuitBuilder& CircuitBuilder::operator=(const CircuitBuilder& other) {
  if (this != &other) data_ = std::make_unique<Data>(*other.data_);
  return *this;
}

NodeId CircuitBuilder::add_node() {
  return NodeId{data_->description.nodes++};
}

std::vector<NodeId> CircuitBuilder::add_nodes(std::size_t count) {
  std::vector<NodeId> nodes(count);
  for (NodeId& node : nodes) node = add_node();
  return nodes;
}

namespace {

std::uint32_t checked(const Description& description, NodeId node) {
  if (index(node) >= description.nodes) throw std::out_of_range("nightbus: no such node");
  return static_cast<std::uint32_t>(index(node));
}

bool fine(double value) {
  return std::isfinite(value) && value >= 0.0 && value < 1e12;
}

ElementId append(Description& description, ElementKind kind, NodeId a, NodeId b, std::size_t fixed,
                 std::initializer_list<double> values, bool fixed_in_range) {
  Element element;
  element.kind = kind;
  element.a = checked(description, a);
  element.b = checked(description, b);
  element.fixed = static_cast<std::uint32_t>(fixed);
  element.parameters = static_cast<std::uint32_t>(description.values.size());
  const auto id = static_cast<std::uint32_t>(description.elements.size());
  description.elements.push_back(element);
  description.values.insert(description.values.end(), values);
  if (!fixed_in_range && !description.bad_fixed) description.bad_fixed = id;
  return ElementId{id};
}

void set_lock_out(Description& description, ElementId id, double off_below_v, double on_above_v) {
  Element& element = description.elements[index(id)];
  element.has_lock_out = true;
  element.off_below_v = off_below_v;
  element.on_above_v = on_above_v;
  const bool ok = fine(off_below_v) && fine(on_above_v) && on_above_v >= off_below_v;
  if (!ok && !description.bad_fixed) description.bad_fixed = static_cast<std::uint32_t>(index(id));
}

}  // namespace

ElementId CircuitBuilder::add_resistor(NodeId a, NodeId b, double resistance_ohm) {
  ConductorLaw law;
  law.resistance_ohm = resistance_ohm;
  return add_conductor(a, b, law);
}

ElementId CircuitBuilder::add_conductor(NodeId a, NodeId b, const ConductorLaw& law) {
  Description& d = data_->description;
  const bool ok = fine(law.temperature_coefficient) && std::isfinite(law.reference_c) &&
                  fine(law.kelvin_per_watt);
  const ElementId id = append(d, ElementKind::resistor, a, b, d.resistors.size(),
                              {1.0, law.resistance_ohm, law.ambient_c}, ok);
  d.resistors.push_back(
      {law.temperature_coefficient, law.reference_c, law.kelvin_per_watt, none, none});
  return id;
}

ElementId CircuitBuilder::add_relay(NodeId a, NodeId b, NodeId sense_p, NodeId sense_n,
                                    const RelayLaw& law) {
  Description& d = data_->description;
  const std::uint32_t p = checked(d, sense_p);
  const std::uint32_t n = checked(d, sense_n);
  const ElementId id = add_resistor(a, b, law.resistance_ohm);
  d.resistors.back().sense_p = p;
  d.resistors.back().sense_n = n;
  set_lock_out(d, id, law.open_below_v, law.close_above_v);
  return id;
}

ElementId CircuitBuilder::add_source(NodeId p, NodeId n, const SourceLaw& law) {
  return append(data_->description, ElementKind::source, p, n, 0,
                {1.0, law.resistance_ohm, law.emf_v}, true);
}

ElementId CircuitBuilder::add_charger(NodeId p, NodeId n, const ChargerLaw& law) {
  return append(data_->description, ElementKind::charger, p, n, 0,
                {1.0, law.resistance_ohm, law.ceiling_v, law.current_limit_a, law.power_limit_w},
                true);
}

ElementId CircuitBuilder::add_load(NodeId p, NodeId n, const LoadLaw& law) {
  Description& d = data_->description;
  const ElementId id = append(d, ElementKind::load, p, n, d.loads.size(),
                              {1.0, law.power_w, law.current_a, law.conductance_s, law.fan_a_per_v2,
                               law.scale, law.minimum_v},
                              fine(law.off_conductance_s));
  d.loads.push_back({law.off_conductance_s});
  if (law.lock_out) set_lock_out(d, id, law.lock_out->off_below_v, law.lock_out->on_above_v);
  return id;
}

ElementId CircuitBuilder::add_diode(NodeId anode, NodeId cathode, const DiodeLaw& law) {
  Description& d = data_->description;
  const ElementId id =
      append(d, ElementKind::diode, anode, cathode, d.diodes.size(), {1.0, law.resistance_ohm},
             fine(law.forward_v) && fine(law.leakage_s) && law.leakage_s > 0.0);
  d.diodes.push_back({law.forward_v, law.leakage_s});
  return id;
}

ElementId CircuitBuilder::add_converter(NodeId in_p, NodeId in_n, NodeId out_p, NodeId out_n,
                                        const ConverterLaw& law) {
  Description& d = data_->description;
  const std::uint32_t p = checked(d, out_p);
  const std::uint32_t n = checked(d, out_n);
  const bool ok = law.input_current_limit_a >= 0.0 && fine(law.loss_fraction) &&
                  fine(law.loss_per_watt) && fine(law.drop_out_v) && fine(law.minimum_input_v) &&
                  fine(law.off_w);
  const ElementId id = append(d, ElementKind::converter, in_p, in_n, d.converters.size(),
                              {1.0, law.output_resistance_ohm, law.set_point_v, law.current_limit_a,
                               law.power_limit_w, law.scale, law.standby_w},
                              ok);
  Element& element = d.elements.back();
  element.out_p = p;
  element.out_n = n;
  d.converters.push_back({law.kind, law.input_current_limit_a, law.loss_fraction, law.loss_per_watt,
                          law.drop_out_v, law.minimum_input_v, law.off_w});
  if (law.lock_out) set_lock_out(d, id, law.lock_out->off_below_v, law.lock_out->on_above_v);
  return id;
}

void CircuitBuilder::set_reference(NodeId node) {
  data_->description.references.push_back(checked(data_->description, node));
}

std::size_t CircuitBuilder::node_count() const {
  return data_->description.nodes;
}
std::size_t CircuitBuilder::element_count() const {
  return data_->description.elements.size();
}

Circuit CircuitBuilder::compile() const {
  return CircuitImpl::wrap(data_->description);
}

}  // namespace nightbus
