#include "network/fast.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <limits>
#include <new>

#include "network/equations.hpp"

namespace nightbus::network_detail {

namespace {
constexpr double infinity = std::numeric_limits<double>::infinity();
}

FastPath::FastPath(const Description& description, const Net& net, std::span<const double> start_v)
    : description_(&description),
      net_(&net),
      program_(fold(description, net, description.values, start_v)) {
  set_constants();
  set_bounds();
  set_dependents();
  row_node_.assign(net.rows, 0);
  for (Index node = description.nodes; node-- > 0;) row_node_[net.row[node]] = node;
  start_from(start_v, start_x_, start_leaf_);

  const Program& p = program_;
  LaneView& v = view_;
  v.unknowns = p.unknowns;
  v.total = p.total;
  v.off_count = p.off_count;
  v.rows = p.rows;
  v.max_degree = p.max_degree;
  v.two_terminal_links = p.two_terminal_links;
  v.pure = p.pure;
  v.mixed = p.mixed;
  v.direct = p.direct;
  v.known = list_of(p.known);
  v.known_slots = list_of(known_slots_);
  v.chains = list_of(p.chains);
  v.links = list_of(p.links);
  v.sweep_links = list_of(p.sweep_links);
  v.ports = list_of(p.ports);
  v.leak_ports = list_of(p.leak_ports);
  v.loads = list_of(p.loads);
  v.load_constants = list_of(loads_);
  v.sources = list_of(p.sources);
  v.source_blocks = list_of(source_blocks_);
  v.chargers = list_of(p.chargers);
  v.diodes = list_of(p.diodes);
  v.conductors = list_of(p.conductors);
  v.charger_constants = list_of(chargers_);
  v.diode_constants = list_of(diodes_);
  v.conductor_constants = list_of(conductors_);
  v.converters = list_of(p.converters);
  v.converter_constants = list_of(converters_);
  v.columns = list_of(p.columns);
  v.all_still = p.all_still;
  v.entry_row = list_of(p.entry_row);
  v.entry_upper = list_of(p.entry_upper);
  v.one_way = list_of(p.one_way);
  v.targets = list_of(p.targets);
  v.from_x = list_of(p.from_x);
  v.pairs = list_of(p.pairs);
  v.row_chains = list_of(p.row_chains);
  v.leaf_rows = list_of(p.leaf_rows);
  v.linear_rows = list_of(p.linear_rows);
  v.source_rows = list_of(p.source_rows);
  v.chain_rows = list_of(p.chain_rows);
  v.copies = list_of(p.copies);
  v.inverse_tolerance = p.inverse_tolerance.data();
  v.start_x = start_x_.data();
  v.start_leaf = start_leaf_.data();
  v.slots = static_cast<std::uint32_t>(description.values.size());
  v.values = description.values.data();
  none_varied_.assign(description.values.size(), none);
  v.varied_of_slot = none_varied_.data();
  v.low = low_.data();
  v.high = high_.data();
  v.binary = binary_.data();
  set_base();
}

// The start's own factors, from the scalar kernel.
void FastPath::set_base() {
  base_off_.assign(view_.off_count + 1, 0.0);
  base_inverse_.assign(view_.unknowns + 1, 0.0);
  base_port_.assign(view_.ports.size + 1, {});
  base_direct_p_.assign(view_.direct + 1, 0.0);
  std::vector<double> leaf_c(view_.pure + view_.mixed + 1, 0.0);
  const LaneKernel& kernel = *scalar_kernel();
  std::vector<double> memory(kernel.memory(view_) + 8, 0.0);
  kernel.prepare(view_, memory.data());
  BaseNumbers base{base_off_.data(), base_inverse_.data(),  base_port_.data(),
                   leaf_c.data(),    base_direct_p_.data(), false};
  kernel.take_base(view_, memory.data(), base);
  if (!base.sound) return;
  for (std::size_t k = 0; k < start_leaf_.size(); ++k) start_leaf_[k].c = leaf_c[k];
  view_.base_off = base_off_.data();
  view_.base_inverse = base_inverse_.data();
  view_.base_port = base_port_.data();
  view_.base_direct_p = base_direct_p_.data();
}

void FastPath::set_constants() {
  const Description& d = *description_;
  const auto block = [&](Index element) { return d.elements[element].parameters; };
  for (const LoadPlan& load : program_.loads)
    loads_.push_back(
        {block(load.element), d.loads[d.elements[load.element].fixed].off_conductance_s, true});
  for (const SourcePlan& source : program_.sources) source_blocks_.push_back(block(source.element));
  for (const KnownRow& known : program_.known) known_slots_.push_back(block(known.source));
  for (const BranchPlan& charger : program_.chargers)
    chargers_.push_back({block(charger.element), 0.0, 0.0, 0.0, 0.0, 0.0});
  for (const BranchPlan& diode : program_.diodes) {
    const DiodeFixed& fixed = d.diodes[d.elements[diode.element].fixed];
    diodes_.push_back({block(diode.element), fixed.forward_v, fixed.leakage_s, 0.0, 0.0, 0.0});
  }
  for (const BranchPlan& conductor : program_.conductors) {
    const ResistorFixed& fixed = d.resistors[d.elements[conductor.element].fixed];
    conductors_.push_back({block(conductor.element), 0.0, 0.0, fixed.temperature_coefficient,
                           fixed.reference_c, fixed.kelvin_per_watt});
  }
  for (const ConverterPlan& converter : program_.converters) {
    const Element& element = d.elements[converter.element];
    const ConverterFixed& fixed = d.converters[element.fixed];
    ConverterConstants c;
    c.kind = static_cast<int>(fixed.kind);
    c.loss_fraction = fixed.loss_fraction;
    c.loss_per_watt = fixed.loss_per_watt;
    c.drop_out = fixed.drop_out_v;
    c.minimum_input = fixed.minimum_input_v;
    c.input_current_limit = fixed.input_current_limit_a;
    if (element.off_below_v > 0.0)
      c.off_conductance = fixed.off_w / (element.off_below_v * element.off_below_v);
    c.block = element.parameters;
    converters_.push_back(c);
  }
}

// The range of each number inside which the topology and the load classes stay as folded, and the
// number is valid at all.
double FastPath::scale_v(std::span<const double> values) const {
  double scale = least_scale_v;
  for (const std::uint32_t s : scale_slots_) scale = std::max(scale, values[s]);
  return scale;
}

void FastPath::set_bounds() {
  const Description& d = *description_;
  low_.assign(d.values.size(), 0.0);
  high_.assign(d.values.size(), 1e12);
  binary_.assign(d.values.size(), 0);
  const double above_ideal = std::nextafter(ideal_resistance_ohm, 1.0);
  const double below_open = std::nextafter(open_resistance_ohm, 0.0);
  for (std::uint32_t e = 0; e < d.elements.size(); ++e) {
    const Element& element = d.elements[e];
    const std::uint32_t at = element.parameters;
    if (sets_scale(element.kind)) scale_slots_.push_back(at + slot::emf);
    binary_[at + slot::enabled] = 1;
    high_[at + slot::enabled] = 1.0;
    const auto bound = [&](std::uint32_t slot_index, double low, double high) {
      low_[at + slot_index] = low;
      high_[at + slot_index] = high;
    };
    switch (element.kind) {
      case ElementKind::resistor:
      case ElementKind::source: {
        const double present = d.values[at + slot::resistance];
        const bool heated = element.kind == ElementKind::resistor &&
                            d.resistors[element.fixed].kelvin_per_watt > 0.0;
        if (element.kind == ElementKind::resistor) bound(slot::ambient, -273.0, 1e6);
        if (net_->modes[e] == Mode::removed) {
          if (d.values[at + slot::enabled] == 0.0)
            bound(slot::enabled, 0.0, 0.0);
          else
            bound(slot::resistance, open_resistance_ohm, infinity);
          break;
        }
        bound(slot::enabled, 1.0, 1.0);
        if (present <= ideal_resistance_ohm && !(heated && present > 0.0))
          bound(slot::resistance, 0.0, ideal_resistance_ohm);
        else
          bound(slot::resistance, heated ? 1e-12 : above_ideal, below_open);
        break;
      }
      case ElementKind::charger:
        bound(slot::resistance, 1e-12, 1e12);
        bound(slot::current_limit, 0.0, infinity);
        bound(slot::power_limit, 0.0, infinity);
        break;
      case ElementKind::diode:
        bound(slot::resistance, 1e-12, 1e12);
        break;
      case ElementKind::converter:
        bound(slot::resistance, 1e-12, 1e12);
        bound(slot::set_point, 1e-9, 1e9);
        bound(slot::current_limit, 0.0, infinity);
        bound(slot::power_limit, 0.0, infinity);
        break;
      case ElementKind::load:
        break;
    }
  }
  for (const LoadPlan& load : program_.loads) {
    const std::uint32_t at = d.elements[load.element].parameters;
    const auto must_be_zero = [&](std::uint32_t slot_index) { high_[at + slot_index] = 0.0; };
    if (load.kind != LoadClass::direct) must_be_zero(slot::fan);
    if (load.kind == LoadClass::linear) must_be_zero(slot::power);
    if (load.kind == LoadClass::pure) {
      must_be_zero(slot::current);
      must_be_zero(slot::conductance);
    }
  }
}

void FastPath::set_dependents() {
  const Description& d = *description_;
  const Program& p = program_;
  std::vector<std::pair<std::uint32_t, Dependent>> all;
  const auto block_of = [&](Index element, Stale kind, Index item) {
    const Element& e = d.elements[element];
    for (std::uint32_t s = 0; s < d.block_size(e.kind); ++s)
      all.push_back({e.parameters + s, {kind, item}});
  };
  const auto part_of = [&](Index k, Stale kind, Index item) {
    all.push_back({p.chains[k].block + slot::resistance, {kind, item}});
    all.push_back({p.chains[k].block + slot::ambient, {kind, item}});
  };
  const auto chain_of = [&](Range chain, Stale kind, Index item) {
    for (Index k = chain.first; k < chain.last; ++k) part_of(k, kind, item);
  };
  for (Index k = 0; k < p.chains.size(); ++k) part_of(k, Stale::chain, k);
  for (Index k = 0; k < p.links.size(); ++k) chain_of(p.links[k].chain, Stale::link, k);
  for (Index k = 0; k < p.loads.size(); ++k) {
    block_of(p.loads[k].element, Stale::load, k);
    chain_of(p.loads[k].chain, Stale::load_chain, k);
    chain_of(p.loads[k].chain, Stale::load, k);
  }
  for (Index k = 0; k < p.sources.size(); ++k) {
    block_of(p.sources[k].element, Stale::source, k);
    chain_of(p.sources[k].chain, Stale::source, k);
  }
  for (Index k = 0; k < p.chargers.size(); ++k) block_of(p.chargers[k].element, Stale::charger, k);
  for (Index k = 0; k < p.diodes.size(); ++k) block_of(p.diodes[k].element, Stale::diode, k);
  for (Index k = 0; k < p.conductors.size(); ++k)
    block_of(p.conductors[k].element, Stale::conductor, k);
  for (Index k = 0; k < p.converters.size(); ++k)
    block_of(p.converters[k].element, Stale::converter, k);
  for (const KnownRow& known : p.known) block_of(known.source, Stale::known, 0);
  std::stable_sort(all.begin(), all.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  starts_.assign(d.values.size() + 1, 0);
  for (const auto& [slot_index, dependent] : all) ++starts_[slot_index + 1];
  for (std::size_t s = 1; s < starts_.size(); ++s) starts_[s] += starts_[s - 1];
  for (const auto& [slot_index, dependent] : all) dependents_.push_back(dependent);
}

void FastPath::start_from(std::span<const double> node_v, std::vector<double>& x,
                          std::vector<LeafStart>& leaf) const {
  const Program& p = program_;
  x.assign(p.unknowns, 0.0);
  const auto row_v = [&](Index row) { return node_v[row_node_[row]]; };
  for (const RowFromX& at : p.from_x)
    if (at.x < p.unknowns) x[at.x] = row_v(at.row);
  for (const RowPair& pair : p.pairs) x[pair.x] = row_v(pair.p) - row_v(pair.n);
  leaf.assign(p.pure + p.mixed, {});
  for (Index k = 0; k < leaf.size(); ++k) {
    const Element& element = description_->elements[p.loads[k].element];
    leaf[k].v = node_v[element.a] - node_v[element.b];
    // q = 1 / (2 A v - B) with the numbers as built; B = A v + C / v.
    const std::span<const double> values = description_->values;
    const LoadNumbers n = load_of(*description_, values, {}, p.loads[k].element, 1.0, 0.0, true);
    double r = 0.0;
    for (Index c = p.loads[k].chain.first; c < p.loads[k].chain.last; ++c)
      r += values[p.chains[c].block + slot::resistance];
    const double v = leaf[k].v > 0.0 ? leaf[k].v : 1.0;
    leaf[k].q = 1.0 / ((1.0 + r * n.conductance) * v - r * n.power / v);
    if (!(leaf[k].q > 0.0)) leaf[k].q = 1.0 / v;
  }
}

}  // namespace nightbus::network_detail
