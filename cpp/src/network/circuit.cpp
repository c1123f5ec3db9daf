#include <algorithm>
#include <stdexcept>

#include "network/circuit_impl.hpp"

namespace nightbus {

using namespace network_detail;

CircuitImpl::CircuitImpl(Description from) : description(std::move(from)) {
  std::vector<Mode> modes;
  find_modes(description, description.values, {}, modes);
  net = std::make_shared<const Net>(build_net(description, modes));
}

const FastPath& CircuitImpl::fast() const {
  std::call_once(fast_once_, [this] {
    std::vector<double> start_v(description.nodes, 0.0);
    if (!find_bad_value(description, description.values)) {
      Workspace::Impl work(std::shared_ptr<const CircuitImpl>(std::shared_ptr<void>(), this));
      SolveOptions options;
      options.diagnose = false;
      OperatingPoint point;
      solve_carefully(*this, description.values, work, options, point);
      if (point.status == SolveStatus::solved) {
        start_v = point.node_v;
      } else if (!work.benches.empty()) {
        Bench& bench = *work.benches.front();
        bench.newton.no_load({description.values, {}, 1.0, false}, bench.x);
        for (std::uint32_t node = 0; node < description.nodes; ++node)
          start_v[node] = bench.x[bench.net->row[node]];
      }
    }
    fast_ = std::make_unique<const FastPath>(description, *net, start_v);
  });
  return *fast_;
}

std::size_t Circuit::node_count() const {
  return impl_->description.nodes;
}
std::size_t Circuit::element_count() const {
  return impl_->description.elements.size();
}
ElementKind Circuit::kind(ElementId element) const {
  return impl_->description.elements.at(index(element)).kind;
}
NodeId Circuit::first(ElementId element) const {
  return NodeId{impl_->description.elements.at(index(element)).a};
}
NodeId Circuit::second(ElementId element) const {
  return NodeId{impl_->description.elements.at(index(element)).b};
}
NodeId Circuit::reference(NodeId node) const {
  return NodeId{impl_->net->reference.at(index(node))};
}

Parameters Circuit::parameters() const {
  Parameters parameters;
  parameters.circuit_ = impl_;
  parameters.values_ = impl_->description.values;
  return parameters;
}
bool Circuit::has(Parameter parameter) const {
  return impl_->description.offset(parameter) != none;
}
Circuit Circuit::rebuilt(const Parameters& as_built) const {
  Description description = impl_->description;
  description.values.assign(as_built.values().begin(), as_built.values().end());
  return CircuitImpl::wrap(std::move(description));
}
Circuit::Shape Circuit::shape() const {
  const Program& program = impl_->fast().program();
  Shape shape;
  shape.unknowns = program.unknowns;
  shape.folded = program.folded;
  shape.closed_leaves = program.loads.size() - program.direct;
  shape.fill = program.entry_row.size();
  return shape;
}

double Parameters::get(Parameter parameter) const {
  const std::uint32_t at = circuit_->description.offset(parameter);
  if (at == none) throw std::out_of_range("nightbus: this element has no such parameter");
  return values_[at];
}
void Parameters::set(Parameter parameter, double value) {
  const std::uint32_t at = circuit_->description.offset(parameter);
  if (at == none) throw std::out_of_range("nightbus: this element has no such parameter");
  values_[at] = value;
}

namespace network_detail {

Bench::Bench(const Description& description, std::shared_ptr<const Net> shared_net)
    : net(std::move(shared_net)),
      equations(description, *net),
      newton(equations),
      x(net->rows, 0.0),
      no_load_x(net->rows, 0.0) {}

}  // namespace network_detail

Workspace::Impl::Impl(std::shared_ptr<const CircuitImpl> shared_circuit)
    : circuit(std::move(shared_circuit)) {}

Bench& Workspace::Impl::bench(std::span<const Mode> wanted) {
  constexpr std::size_t kept = 8;
  for (std::size_t k = 0; k < benches.size(); ++k)
    if (std::equal(wanted.begin(), wanted.end(), benches[k]->net->modes.begin())) {
      std::rotate(benches.begin(), benches.begin() + static_cast<std::ptrdiff_t>(k),
                  benches.begin() + static_cast<std::ptrdiff_t>(k) + 1);
      return *benches.front();
    }
  std::shared_ptr<const Net> net = circuit->net;
  if (!std::equal(wanted.begin(), wanted.end(), net->modes.begin()))
    net = std::make_shared<const Net>(build_net(circuit->description, wanted));
  if (benches.size() == kept) benches.pop_back();
  benches.insert(benches.begin(), std::make_unique<Bench>(circuit->description, std::move(net)));
  return *benches.front();
}

Workspace::Workspace(const Circuit& circuit)
    : impl_(std::make_unique<Impl>(circuit.shared_impl())) {}
Workspace::~Workspace() = default;
Workspace::Workspace(Workspace&&) noexcept = default;
Workspace& Workspace::operator=(Workspace&&) noexcept = default;

}  // namespace nightbus
