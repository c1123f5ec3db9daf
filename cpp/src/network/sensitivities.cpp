// Sensitivities by the adjoint. At a solution f(x, p) = 0 a quantity q(x, p) changes with p by
//
//   dq/dp = q_p + q_x dx/dp,   J dx/dp = -f_p   =>   dq/dp = q_p - lambdaᵀ f_p,   Jᵀ lambda = q_xᵀ
//
// so one transposed solve for each quantity serves every parameter. f_p is the derivative of one
// element's current at fixed voltages and lands on its own rows only:
//
//   conductor  i_R = -v / (S R),  i_Ta = -R0 alpha I / S     (law_conductor.hpp)
//   source     i_E = -1/r,        i_r = -i / r
//   load       i_P = k / v,  i_I = k,  i_G = k v,  i_Q = k v²,  i_k = i / k
//
// Chargers, diodes, converters and loads below their window are differenced in their law alone, by
// Richardson's rule on central differences. An ideal source moves a known row; f is linear or
// smooth in it and is differenced likewise.
#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "network/circuit_impl.hpp"
#include "network/result.hpp"
#include "nightbus/network_study.hpp"

namespace nightbus {

using namespace network_detail;

namespace {

struct Current2 {
  double in = 0.0, out = 0.0;
};

class Adjoint {
 public:
  Adjoint(const Circuit& circuit, const Parameters& parameters, Workspace& workspace,
          std::span<const Parameter> with_respect_to, std::span<const std::uint8_t> previous_on)
      : description_(circuit.impl().description) {
    Parameters used = parameters;
    // A resistance of zero has no row of its own; a microohm has one and is as good as zero.
    for (const Parameter& parameter : with_respect_to)
      if (parameter.kind == ParameterKind::resistance_ohm &&
          circuit.kind(parameter.element) == ElementKind::resistor)
        used.set(parameter, std::max(used.get(parameter), 1e-6));
    SolveOptions options;
    options.previous_on = previous_on;
    point_ = solve(circuit, used, workspace, options);
    values_.assign(used.values().begin(), used.values().end());
    if (point_.status != SolveStatus::solved) return;
    find_modes(description_, values_, point_.on, workspace.impl().modes);
    bench_ = &workspace.impl().bench(workspace.impl().modes);
    Equations& equations = bench_->equations;
    equations.set({values_, point_.on, 1.0, false});
    x_.resize(bench_->net->rows);
    equations.fill_known(x_);
    for (std::size_t node = 0; node < description_.nodes; ++node)
      x_[bench_->net->row[node]] = point_.node_v[node];
    f_.resize(x_.size());
    equations.evaluate(x_, f_, true);
    if (!equations.factor().factorise()) point_.status = SolveStatus::not_converged;
  }

  SolveStatus status() const { return point_.status; }

  // Solves for one quantity; derivative() then serves any parameter.
  void prepare(const Quantity& quantity) {
    quantity_ = quantity;
    lambda_.assign(x_.size(), 0.0);
    const Net& net = *bench_->net;
    const auto add = [&](std::uint32_t node, double weight) { lambda_[net.row[node]] += weight; };
    if (quantity.kind == QuantityKind::node_v) {
      add(quantity.index, 1.0);
    } else {
      const Element& element = description_.elements[quantity.index];
      if (quantity.kind == QuantityKind::voltage_v) {
        add(element.a, 1.0);
        add(element.b, -1.0);
      } else if (quantity.kind == QuantityKind::output_voltage_v) {
        add(element.out_p, 1.0);
        add(element.out_n, -1.0);
      } else {
        add_current_gradient(element);
      }
    }
    direct_ = lambda_;  // known rows keep q_x for ideal sources
    bench_->equations.factor().solve_transposed(lambda_);
  }

  double derivative(const Parameter& parameter) {
    const auto e = static_cast<std::uint32_t>(index(parameter.element));
    const Net& net = *bench_->net;
    const Element& element = description_.elements[e];
    if (element.kind == ElementKind::source && net.modes[e] == Mode::ideal)
      return parameter.kind == ParameterKind::emf_v ? of_known_row(e) : 0.0;
    const Current2 change = current_change(parameter);
    double sum = 0.0;
    const auto pull = [&](std::uint32_t node, double current) {
      const std::uint32_t row = net.row[node];
      if (row < net.unknowns) sum -= lambda_[row] * current;
    };
    pull(element.a, change.in);
    pull(element.b, -change.in);
    if (element.kind == ElementKind::converter) {
      pull(element.out_p, -change.out);
      pull(element.out_n, change.out);
    }
    if (quantity_.kind == QuantityKind::current_a && quantity_.index == e) sum += change.in;
    return sum;
  }

 private:
  Current2 law(std::uint32_t e, std::span<const double> values,
               std::span<const double> node_v) const {
    const Reading r = read_element(description_, values, point_.on, bench_->net->modes[e],
                                   bench_->equations.floor_v(), e, node_v);
    return {r.current, r.output_current};
  }

  // Derivative of `value` at 0, Richardson on central differences with steps h and h / 2.
  template <class Value>
  static Current2 difference(Value value, double h) {
    const auto central = [&](double step) {
      const Current2 up = value(step);
      const Current2 down = value(-step);
      return Current2{(up.in - down.in) / (2.0 * step), (up.out - down.out) / (2.0 * step)};
    };
    const Current2 coarse = central(h);
    const Current2 fine = central(0.5 * h);
    return {(4.0 * fine.in - coarse.in) / 3.0, (4.0 * fine.out - coarse.out) / 3.0};
  }

  void add_current_gradient(const Element& element) {
    const auto e = static_cast<std::uint32_t>(&element - description_.elements.data());
    std::vector<std::uint32_t> nodes{element.a, element.b};
    if (element.kind == ElementKind::converter) {
      nodes.push_back(element.out_p);
      nodes.push_back(element.out_n);
    }
    std::vector<double> node_v(point_.node_v);
    for (const std::uint32_t node : nodes) {
      const Current2 slope = difference(
          [&](double step) {
            node_v[node] = point_.node_v[node] + step;
            const Current2 at = law(e, values_, node_v);
            node_v[node] = point_.node_v[node];
            return at;
          },
          1e-4);
      lambda_[bench_->net->row[node]] += slope.in;
    }
  }

  Current2 current_change(const Parameter& parameter) {
    const auto e = static_cast<std::uint32_t>(index(parameter.element));
    const Element& element = description_.elements[e];
    const std::uint32_t at = description_.offset(parameter);
    if (at == none || bench_->net->modes[e] != Mode::normal) return {};
    const double v = point_.voltage_v[e];
    const double i = point_.current_a[e];
    const double* block = &values_[element.parameters];
    if (element.kind == ElementKind::resistor) {
      const ConductorNumbers n = conductor_of(description_, values_, e);
      const double s = std::sqrt(n.ambient_ohm * n.ambient_ohm + 4.0 * n.heating * v * v);
      if (parameter.kind == ParameterKind::resistance_ohm)
        return {-v / (s * block[slot::resistance]), 0.0};
      if (parameter.kind == ParameterKind::ambient_c)
        return {-block[slot::resistance] *
                    description_.resistors[element.fixed].temperature_coefficient * i / s,
                0.0};
      return {};
    }
    if (element.kind == ElementKind::source) {
      const double r = std::max(block[slot::resistance], floating_source_ohm);
      if (parameter.kind == ParameterKind::emf_v) return {-1.0 / r, 0.0};
      if (parameter.kind == ParameterKind::resistance_ohm) return {-i / r, 0.0};
      return {};
    }
    if (element.kind == ElementKind::load && point_.states[e] == ElementState::normal) {
      const double k = block[slot::enabled] * block[slot::scale];
      switch (parameter.kind) {
        case ParameterKind::power_w:
          return {k / v, 0.0};
        case ParameterKind::current_a:
          return {k, 0.0};
        case ParameterKind::conductance_s:
          return {k * v, 0.0};
        case ParameterKind::fan_a_per_v2:
          return {k * v * v, 0.0};
        case ParameterKind::scale:
          return {block[slot::enabled] * (block[slot::power] / v + block[slot::current] +
                                          (block[slot::conductance] + block[slot::fan] * v) * v),
                  0.0};
        default:
          return {};
      }
    }
    if (parameter.kind == ParameterKind::enabled) return {};
    std::vector<double> values(values_);
    const double size = std::max(1e-3, std::abs(values_[at]));
    if (!std::isfinite(size)) return {};
    return difference(
        [&](double step) {
          values[at] = values_[at] + step;
          return law(e, values, point_.node_v);
        },
        1e-4 * size);
  }

  // d q / d emf of an ideal source: the known rows behind it move, f and q see them move.
  double of_known_row(std::uint32_t source) {
    const Net& net = *bench_->net;
    std::vector<double> shift(x_.size(), 0.0);
    for (const KnownRow& k : net.known)
      shift[k.row] = shift[k.from] + (k.source == source ? k.sign : 0.0);
    std::vector<double> moved(x_), up(f_.size()), down(f_.size());
    double sum = 0.0;
    for (std::uint32_t row = net.unknowns; row < net.rows; ++row) sum += direct_[row] * shift[row];
    const double h = 1e-4;
    for (std::size_t row = 0; row < x_.size(); ++row) moved[row] = x_[row] + h * shift[row];
    bench_->equations.evaluate(moved, up, false);
    for (std::size_t row = 0; row < x_.size(); ++row) moved[row] = x_[row] - h * shift[row];
    bench_->equations.evaluate(moved, down, false);
    for (std::uint32_t row = 0; row < net.unknowns; ++row)
      sum -= lambda_[row] * (up[row] - down[row]) / (2.0 * h);
    return sum;
  }

  const Description& description_;
  OperatingPoint point_;
  std::vector<double> values_, x_, f_, lambda_, direct_;
  Bench* bench_ = nullptr;
  Quantity quantity_;
};

}  // namespace

Sensitivities sensitivities(const Circuit& circuit, const Parameters& parameters,
                            Workspace& workspace, std::span<const Quantity> quantities,
                            std::span<const Parameter> with_respect_to,
                            std::span<const std::uint8_t> previous_on) {
  const Description& d = circuit.impl().description;
  for (const Parameter& parameter : with_respect_to)
    if (d.offset(parameter) == none)
      throw std::out_of_range("nightbus: this element has no such parameter");
  for (const Quantity& quantity : quantities) {
    const bool node = quantity.kind == QuantityKind::node_v;
    const bool known = node || quantity.kind == QuantityKind::voltage_v ||
                       quantity.kind == QuantityKind::current_a ||
                       quantity.kind == QuantityKind::output_voltage_v;
    if (!known || quantity.index >= (node ? d.nodes : d.elements.size()))
      throw std::out_of_range("nightbus: no sensitivity of this quantity");
  }
  Adjoint adjoint(circuit, parameters, workspace, with_respect_to, previous_on);
  Sensitivities result;
  result.status = adjoint.status();
  result.parameter_count = with_respect_to.size();
  result.values.assign(quantities.size() * with_respect_to.size(), 0.0);
  if (result.status != SolveStatus::solved) return result;
  double* value = result.values.data();
  for (const Quantity& quantity : quantities) {
    adjoint.prepare(quantity);
    for (const Parameter& parameter : with_respect_to) *value++ = adjoint.derivative(parameter);
  }
  return result;
}

}  // namespace nightbus
