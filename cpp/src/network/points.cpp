// Lanes with a parameter set each, see network_points.hpp.
//
// A point's wires warm by v² G, summed over the wires of a group; a wire that warms by its own
// current, and a diode, by v times the current of its law.

#include <algorithm>
#include <stdexcept>

#include "network/circuit_impl.hpp"
#include "network/result.hpp"
#include "nightbus/network_points.hpp"

namespace nightbus {

using namespace network_detail;

namespace {

struct WireAt {
  std::uint32_t p = 0, n = 0;  // rows
  double conductance_s = 0.0;
  std::uint32_t group = 0;
};

}  // namespace

struct PointLanes::Impl {
  struct Bent {  // warmed by its own current, or a diode
    WireAt at;
    std::uint32_t element = 0;
    ConductorNumbers wire{};
  };
  struct Mine {  // a column of an element
    std::uint32_t slot = 0, column = 0;
  };

  Impl(const Circuit& whole, const LaneKernel& kernel)
      : circuit(whole), runner(whole.impl().fast(), kernel) {}

  const Description& description() const { return circuit.impl().description; }
  const Net& net() const { return *circuit.impl().net; }

  struct Running {  // a converter as long as it is switched on
    ConverterNumbers numbers;
    Place input{}, output{};
    std::uint32_t switch_column = none;
    bool plain = false;  // no column of its own but the switch
  };

  Circuit circuit;
  FastRunner runner;
  std::vector<Running> converters;
  std::vector<std::uint32_t> converter_of_element;
  std::vector<std::uint8_t> last_changed;
  std::vector<std::uint32_t> changed_columns;
  std::vector<double> table, values, node_v;
  std::vector<std::uint32_t> first_column;  // by element, into `columns`
  std::vector<Mine> columns;
  std::vector<WireAt> wires;
  std::vector<Bent> bent;
  double floor_v = 0.0;
  bool folds = true;
};

PointLanes::PointLanes(const Circuit& circuit, std::span<const Parameter> columns,
                       std::span<const int> loss_group, int lanes) {
  const LaneKernel& kernel = choose_kernel(circuit.impl().fast().view(), lanes);
  impl_ = std::make_unique<Impl>(circuit, kernel);
  Impl& own = *impl_;
  const Description& d = own.description();
  lanes_ = kernel.lanes;
  own.folds = own.net().ideal_loops.empty();
  own.values = d.values;
  own.node_v.assign(d.nodes, 0.0);
  own.floor_v = 1e-3 * voltage_scale(d, d.values);

  const auto width = static_cast<std::size_t>(lanes_);
  own.table.resize(columns.size() * width);
  changed_.assign(columns.size(), 1);
  own.last_changed = changed_;
  std::vector<VariedSlot> varied;
  std::vector<std::uint32_t> slots;
  std::vector<std::vector<Impl::Mine>> of_element(d.elements.size());
  for (std::size_t c = 0; c < columns.size(); ++c) {
    const std::uint32_t at = d.offset(columns[c]);
    if (at == none) throw std::out_of_range("nightbus: this element has no such parameter");
    std::fill_n(own.table.begin() + static_cast<std::ptrdiff_t>(c * width), width, d.values[at]);
    varied.push_back({at, own.table.data() + c * width, 1});
    slots.push_back(at);
    of_element[index(columns[c].element)].push_back({at, static_cast<std::uint32_t>(c)});
  }
  for (const auto& mine : of_element) {
    own.first_column.push_back(static_cast<std::uint32_t>(own.columns.size()));
    own.columns.insert(own.columns.end(), mine.begin(), mine.end());
  }
  own.first_column.push_back(static_cast<std::uint32_t>(own.columns.size()));

  own.converter_of_element.assign(d.elements.size(), none);
  for (const Row4& at : own.net().converters) {
    Impl::Running one;
    one.numbers = converter_of(d, d.values, {}, at.element);
    const Element& e = d.elements[at.element];
    one.input = place(NodeId{e.a}, NodeId{e.b});
    one.output = place(NodeId{e.out_p}, NodeId{e.out_n});
    const auto& mine = of_element[at.element];
    one.plain = one.numbers.running && mine.size() <= 1;
    for (const Impl::Mine& column : mine) {
      one.plain = one.plain && column.slot == e.parameters + slot::scale;
      one.switch_column = column.column;
    }
    own.converter_of_element[at.element] = static_cast<std::uint32_t>(own.converters.size());
    own.converters.push_back(one);
  }

  own.runner.set_base(d.values, std::vector<std::uint8_t>(d.elements.size(), 1), true);
  own.runner.set_columns(slots);
  own.runner.set_tables(std::move(varied), {}, true);
  table_ = own.table.data();
  rows_ = own.runner.rows();

  std::size_t groups = 1;
  const auto wire_of = [&](std::uint32_t e) {
    const int group = e < loss_group.size() ? std::max(loss_group[e], 0) : 0;
    groups = std::max(groups, static_cast<std::size_t>(group) + 1);
    const Place at = place(ElementId{e});
    return WireAt{at.p, at.n, 0.0, static_cast<std::uint32_t>(group)};
  };
  for (const Row2& at : own.net().resistors) {
    const ConductorNumbers n = conductor_of(d, d.values, at.element);
    WireAt wire = wire_of(at.element);
    wire.conductance_s = 1.0 / n.ambient_ohm;
    if (n.heating != 0.0)
      own.bent.push_back({wire, at.element, n});
    else
      own.wires.push_back(wire);
  }
  for (const Row2& at : own.net().diodes) own.bent.push_back({wire_of(at.element), at.element, {}});
  std::stable_sort(own.wires.begin(), own.wires.end(),
                   [](const auto& a, const auto& b) { return a.group < b.group; });
  losses_.assign(groups * width, 0.0);
}

PointLanes::~PointLanes() = default;
PointLanes::PointLanes(PointLanes&&) noexcept = default;
PointLanes& PointLanes::operator=(PointLanes&&) noexcept = default;

namespace {

// Built a second time for wider registers; neither form fuses a product with a sum. Not under the
// thread sanitizer, which is not ready when the choice between the two is made.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_THREAD__)
#define NIGHTBUS_ALSO_WIDE __attribute__((target_clones("avx2", "default")))
#else
#define NIGHTBUS_ALSO_WIDE
#endif

// With the number of lanes known the inner loops become vector code.
template <std::size_t width>
inline __attribute__((always_inline)) void wire_losses(const WireAt* wires, std::size_t count,
                                                       const double* rows, double* losses) {
  double sum[width] = {};
  for (std::size_t w = 0; w < count; ++w) {
    const WireAt wire = wires[w];
    const double* p = rows + static_cast<std::size_t>(wire.p) * width;
    const double* n = rows + static_cast<std::size_t>(wire.n) * width;
    for (std::size_t k = 0; k < width; ++k) {
      const double v = p[k] - n[k];
      sum[k] += v * v * wire.conductance_s;
    }
    // Wires stand in the order of their groups.
    if (w + 1 < count && wires[w + 1].group == wire.group) continue;
    double* group = losses + static_cast<std::size_t>(wire.group) * width;
    for (std::size_t k = 0; k < width; ++k) {
      group[k] += sum[k];
      sum[k] = 0.0;
    }
  }
}

NIGHTBUS_ALSO_WIDE void wire_losses_of(int lanes, const WireAt* wires, std::size_t count,
                                       const double* rows, double* losses) {
  if (lanes == 1) wire_losses<1>(wires, count, rows, losses);
  if (lanes == 4) wire_losses<4>(wires, count, rows, losses);
  if (lanes == 8) wire_losses<8>(wires, count, rows, losses);
  if (lanes == 16) wire_losses<16>(wires, count, rows, losses);
}

}  // namespace

std::uint32_t PointLanes::run(int count) {
  Impl& own = *impl_;
  if (!own.folds) return 0;
  if (changed_ != own.last_changed) {
    own.changed_columns.clear();
    for (std::uint32_t c = 0; c < changed_.size(); ++c)
      if (changed_[c] != 0) own.changed_columns.push_back(c);
    own.runner.set_changed(own.changed_columns);
    own.last_changed = changed_;
  }
  std::fill(changed_.begin(), changed_.end(), std::uint8_t{0});
  GroupResult result;
  own.runner.run(0, static_cast<std::uint32_t>(count), result);
  std::fill(losses_.begin(), losses_.end(), 0.0);
  wire_losses_of(lanes_, own.wires.data(), own.wires.size(), rows_, losses_.data());
  for (const Impl::Bent& one : own.bent) {
    const Place at{one.at.p, one.at.n};
    const bool diode = own.description().elements[one.element].kind == ElementKind::diode;
    for (int k = 0; k < count; ++k) {
      const double v = voltage_v(at, k);
      const double i =
          diode ? read(ElementId{one.element}, k).current_a : conductor_branch(one.wire, v).current;
      losses_[cell(one.at.group, k)] += v * i;
    }
  }
  return result.solved;
}

PointLanes::Place PointLanes::place(NodeId p, NodeId n) const {
  const Net& net = impl_->net();
  return {net.row[index(p)], net.row[index(n)]};
}

PointLanes::Place PointLanes::place(ElementId element) const {
  const Element& e = impl_->description().elements[index(element)];
  return place(NodeId{e.a}, NodeId{e.b});
}

ElementReading PointLanes::read(ElementId element, int lane) const {
  Impl& own = *impl_;
  const auto e = static_cast<std::uint32_t>(index(element));
  const Element& plan = own.description().elements[e];
  if (plan.kind == ElementKind::converter && own.converter_of_element[e] != none) {
    const Impl::Running& one = own.converters[own.converter_of_element[e]];
    if (one.plain && (one.switch_column == none || get(one.switch_column, lane) == 1.0)) {
      const double x = voltage_v(one.input, lane);
      const double y = voltage_v(one.output, lane);
      const ConverterPoint point = converter_point(one.numbers, x, y);
      return {x, point.in, y, point.out, point.state};
    }
  }
  for (std::uint32_t c = own.first_column[e]; c < own.first_column[e + 1]; ++c)
    own.values[own.columns[c].slot] = get(own.columns[c].column, lane);
  const Net& net = own.net();
  const auto bring = [&](std::uint32_t node) {
    if (node != none) own.node_v[node] = rows_[cell(net.row[node], lane)];
  };
  bring(plan.a);
  bring(plan.b);
  if (plan.kind == ElementKind::converter) {
    bring(plan.out_p);
    bring(plan.out_n);
  }
  const Reading r = read_element(own.description(), own.values, {}, net.modes[e], own.floor_v, e,
                                 own.node_v, 1.0, false);
  return {r.voltage, r.current, r.output_voltage, r.output_current, r.state};
}

}  // namespace nightbus
