#include "network/equations.hpp"

#include <algorithm>
#include <cmath>

namespace nightbus::network_detail {

ConductorNumbers conductor_of(const Description& d, std::span<const double> values,
                              std::uint32_t e) {
  const Element& element = d.elements[e];
  const ResistorFixed& fixed = d.resistors[element.fixed];
  return conductor_numbers(values[element.parameters + slot::resistance],
                           fixed.temperature_coefficient, fixed.reference_c,
                           values[element.parameters + slot::ambient], fixed.kelvin_per_watt);
}

ChargerNumbers charger_of(const Description& d, std::span<const double> values, std::uint32_t e) {
  const double* block = &values[d.elements[e].parameters];
  const double enabled = block[slot::enabled];
  return {block[slot::ceiling], block[slot::resistance],
          enabled == 0.0 ? 0.0 : block[slot::current_limit], block[slot::power_limit]};
}

LoadNumbers load_of(const Description& d, std::span<const double> values,
                    std::span<const std::uint8_t> on, std::uint32_t e, double multiplier,
                    double floor, bool lifted) {
  const Element& element = d.elements[e];
  const double* block = &values[element.parameters];
  if (!is_on(on, e))
    return {0.0, 0.0, block[slot::enabled] * d.loads[element.fixed].off_conductance_s, 0.0, floor};
  const double k = block[slot::enabled] * block[slot::scale] * multiplier;
  return {k * block[slot::power], k * block[slot::current], k * block[slot::conductance],
          k * block[slot::fan], lifted ? floor : std::max(floor, block[slot::minimum])};
}

ConverterNumbers converter_of(const Description& d, std::span<const double> values,
                              std::span<const std::uint8_t> on, std::uint32_t e) {
  const Element& element = d.elements[e];
  const ConverterFixed& fixed = d.converters[element.fixed];
  const double* block = &values[element.parameters];
  ConverterNumbers n;
  n.kind = fixed.kind;
  n.set_point = block[slot::set_point];
  n.resistance = block[slot::resistance];
  n.current_limit = block[slot::current_limit];
  n.power_limit = block[slot::power_limit];
  n.standby = block[slot::standby];
  n.loss_fraction = fixed.loss_fraction;
  n.loss_per_watt = fixed.loss_per_watt;
  n.drop_out = fixed.drop_out_v;
  n.low = fixed.minimum_input_v > 0.0 ? fixed.minimum_input_v : 0.1 * n.set_point;
  n.input_current_limit = fixed.input_current_limit_a;
  const bool wanted = block[slot::enabled] != 0.0 && block[slot::scale] > 0.0;
  n.running = wanted && is_on(on, e);
  if (wanted && !n.running && element.off_below_v > 0.0)
    n.off_conductance = fixed.off_w / (element.off_below_v * element.off_below_v);
  return n;
}

double voltage_scale(const Description& d, std::span<const double> values) {
  double scale = least_scale_v;
  for (const Element& element : d.elements) {
    if (!sets_scale(element.kind)) continue;
    static_assert(slot::emf == slot::ceiling && slot::emf == slot::set_point);
    scale = std::max(scale, values[element.parameters + slot::emf]);
  }
  return scale;
}

Equations::Equations(const Description& description, const Net& net)
    : description_(&description), net_(&net), factor_(net.elimination, net.converters.empty()) {
  const auto place = [&](const std::vector<Row2>& list, std::vector<Stamp>& at) {
    at.reserve(list.size());
    for (const Row2& row : list) at.push_back(factor_.stamp(row.u, row.w));
  };
  place(net.resistors, resistor_at_);
  place(net.sources, source_at_);
  place(net.chargers, charger_at_);
  place(net.loads, load_at_);
  place(net.diodes, diode_at_);
  place(net.leaks, leak_at_);
  for (const Row4& c : net.converters)
    converter_at_.push_back({factor_.stamp(c.u, c.w), factor_.stamp(c.s, c.t),
                             factor_.entry(c.u, c.s), factor_.entry(c.u, c.t),
                             factor_.entry(c.w, c.s), factor_.entry(c.w, c.t),
                             factor_.entry(c.s, c.u), factor_.entry(c.s, c.w),
                             factor_.entry(c.t, c.u), factor_.entry(c.t, c.w)});
  resistors_.resize(net.resistors.size());
  chargers_.resize(net.chargers.size());
  loads_.resize(net.loads.size());
  converters_.resize(net.converters.size());
  stiffness_.resize(net.rows);
  noise_.resize(net.rows);
}

void Equations::set(const Setting& setting) {
  setting_ = setting;
  const Description& d = *description_;
  const auto& values = setting.values;
  scale_v_ = voltage_scale(d, values);
  floor_v_ = 1e-3 * scale_v_;
  std::fill(stiffness_.begin(), stiffness_.end(), leak_s);
  const auto stiffen = [&](std::uint32_t u, std::uint32_t w, double g) {
    stiffness_[u] += g;
    stiffness_[w] += g;
  };
  for (std::size_t k = 0; k < resistors_.size(); ++k) {
    resistors_[k] = conductor_of(d, values, net_->resistors[k].element);
    stiffen(net_->resistors[k].u, net_->resistors[k].w, 1.0 / resistors_[k].ambient_ohm);
  }
  for (const Row2& place : net_->sources) {
    const double r = values[d.elements[place.element].parameters + slot::resistance];
    stiffen(place.u, place.w, 1.0 / std::max(r, floating_source_ohm));
  }
  for (std::size_t k = 0; k < chargers_.size(); ++k) {
    chargers_[k] = charger_of(d, values, net_->chargers[k].element);
    stiffen(net_->chargers[k].u, net_->chargers[k].w, 1.0 / chargers_[k].resistance);
  }
  for (const Row2& place : net_->diodes) {
    const double r = values[d.elements[place.element].parameters + slot::resistance];
    stiffen(place.u, place.w, 1.0 / r);
  }
  for (std::size_t k = 0; k < converters_.size(); ++k) {
    const Row4& place = net_->converters[k];
    converters_[k] = converter_of(d, values, setting.on, place.element);
    stiffen(place.s, place.t, 1.0 / converters_[k].resistance);
  }
  for (std::size_t row = 0; row < noise_.size(); ++row) noise_[row] = stiffness_[row] * scale_v_;
  set_multiplier(setting.multiplier);
}

void Equations::set_multiplier(double multiplier) {
  setting_.multiplier = multiplier;
  for (std::size_t k = 0; k < loads_.size(); ++k)
    loads_[k] = load_of(*description_, setting_.values, setting_.on, net_->loads[k].element,
                        multiplier, floor_v_, setting_.lifted);
}

void Equations::fill_known(std::span<double> x) const {
  x[net_->unknowns] = 0.0;
  for (const KnownRow& k : net_->known)
    x[k.row] = x[k.from] +
               k.sign * setting_.values[description_->elements[k.source].parameters + slot::emf];
}

void Equations::stamp(const Stamp& at, double slope) {
  std::vector<double>& a = factor_.values();
  a[at.uu] += slope;
  a[at.ww] += slope;
  a[at.uw] -= slope;
  a[at.wu] -= slope;
}

void Equations::add(const Row2& place, const Stamp& at, const Branch& branch, std::span<double> f,
                    bool jacobian) {
  f[place.u] += branch.current;
  f[place.w] -= branch.current;
  if (jacobian && place.u != place.w) stamp(at, branch.slope);
}

// Conductors, sources and leaks.
void Equations::linear_part(std::span<const double> x, std::span<double> f, bool jacobian) {
  const Description& d = *description_;
  std::fill(f.begin(), f.end(), 0.0);
  if (jacobian) factor_.clear();
  for (std::size_t k = 0; k < resistors_.size(); ++k) {
    const Row2& place = net_->resistors[k];
    add(place, resistor_at_[k], conductor_branch(resistors_[k], x[place.u] - x[place.w]), f,
        jacobian);
  }
  for (std::size_t k = 0; k < net_->sources.size(); ++k) {
    const Row2& place = net_->sources[k];
    const double* block = &setting_.values[d.elements[place.element].parameters];
    const double g = 1.0 / std::max(block[slot::resistance], floating_source_ohm);
    add(place, source_at_[k], {(x[place.u] - x[place.w] - block[slot::emf]) * g, g}, f, jacobian);
  }
  for (std::size_t k = 0; k < net_->leaks.size(); ++k) {
    const Row2& place = net_->leaks[k];
    add(place, leak_at_[k], {leak_s * (x[place.u] - x[place.w]), leak_s}, f, jacobian);
  }
}

void Equations::evaluate_start(std::span<const double> x, std::span<double> f) {
  const Description& d = *description_;
  linear_part(x, f, true);
  for (std::size_t k = 0; k < chargers_.size(); ++k) {
    const Row2& place = net_->chargers[k];
    const double g = chargers_[k].current_limit > 0.0 ? 1.0 / chargers_[k].resistance : 0.0;
    add(place, charger_at_[k], {(x[place.u] - x[place.w] - chargers_[k].ceiling) * g, g}, f, true);
  }
  for (std::size_t k = 0; k < net_->diodes.size(); ++k) {
    const Row2& place = net_->diodes[k];
    const double g = d.diodes[d.elements[place.element].fixed].leakage_s;
    add(place, diode_at_[k], {g * (x[place.u] - x[place.w]), g}, f, true);
  }
  for (std::size_t k = 0; k < converters_.size(); ++k) {
    if (!converters_[k].running) continue;
    const Row4& place = net_->converters[k];
    const double g = 1.0 / converters_[k].resistance;
    add({place.element, place.s, place.t}, converter_at_[k].out,
        {(x[place.s] - x[place.t] - converters_[k].set_point) * g, g}, f, true);
  }
}

void Equations::evaluate(std::span<const double> x, std::span<double> f, bool jacobian) {
  const Description& d = *description_;
  linear_part(x, f, jacobian);
  ElementState state{};
  for (std::size_t k = 0; k < chargers_.size(); ++k) {
    const Row2& place = net_->chargers[k];
    add(place, charger_at_[k], charger_branch(chargers_[k], x[place.u] - x[place.w], state), f,
        jacobian);
  }
  for (std::size_t k = 0; k < loads_.size(); ++k) {
    const Row2& place = net_->loads[k];
    add(place, load_at_[k], load_branch(loads_[k], x[place.u] - x[place.w]), f, jacobian);
  }
  for (std::size_t k = 0; k < net_->diodes.size(); ++k) {
    const Row2& place = net_->diodes[k];
    const Element& element = d.elements[place.element];
    const double* block = &setting_.values[element.parameters];
    const DiodeFixed& fixed = d.diodes[element.fixed];
    const double v = x[place.u] - x[place.w];
    add(place, diode_at_[k],
        block[slot::enabled] == 0.0
            ? Branch{leak_s * v, leak_s}
            : diode_branch(fixed.forward_v, block[slot::resistance], fixed.leakage_s, v),
        f, jacobian);
  }
  std::vector<double>& a = factor_.values();
  for (std::size_t k = 0; k < converters_.size(); ++k) {
    const Row4& place = net_->converters[k];
    const ConverterPoint point =
        converter_point(converters_[k], x[place.u] - x[place.w], x[place.s] - x[place.t]);
    f[place.u] += point.in;
    f[place.w] -= point.in;
    f[place.s] -= point.out;
    f[place.t] += point.out;
    const double passed_on = std::abs(point.in_y) * scale_v_;
    noise_[place.u] = std::max(noise_[place.u], stiffness_[place.u] * scale_v_ + passed_on);
    noise_[place.w] = std::max(noise_[place.w], stiffness_[place.w] * scale_v_ + passed_on);
    if (!jacobian) continue;
    const ConverterStamp& at = converter_at_[k];
    if (place.u != place.w) stamp(at.in, point.in_x);
    if (place.s != place.t) stamp(at.out, -point.out_y);
    a[at.us] += point.in_y;
    a[at.ut] -= point.in_y;
    a[at.ws] -= point.in_y;
    a[at.wt] += point.in_y;
    a[at.su] -= point.out_x;
    a[at.sw] += point.out_x;
    a[at.tu] += point.out_x;
    a[at.tw] -= point.out_x;
  }
}

void Equations::load_direction(std::span<const double> x, std::span<double> direction) const {
  std::fill(direction.begin(), direction.end(), 0.0);
  for (const Row2& place : net_->loads) {
    if (!is_on(setting_.on, place.element)) continue;
    const LoadNumbers unit = load_of(*description_, setting_.values, setting_.on, place.element,
                                     1.0, floor_v_, setting_.lifted);
    const double i = load_branch(unit, x[place.u] - x[place.w]).current;
    direction[place.u] += i;
    direction[place.w] -= i;
  }
}

std::uint32_t Equations::fallen_load(std::span<const double> x) const {
  std::uint32_t worst = none;
  double lowest = 1.0;
  for (std::uint32_t k = 0; k < loads_.size(); ++k) {
    const LoadNumbers& n = loads_[k];
    if (n.minimum > floor_v_ || (n.power == 0.0 && n.current == 0.0)) continue;
    const double share = (x[net_->loads[k].u] - x[net_->loads[k].w]) / n.minimum;
    if (share < lowest) {
      lowest = share;
      worst = k;
    }
  }
  return worst;
}

std::uint32_t Equations::weakest_load(std::span<const double> x,
                                      std::span<const double> mode) const {
  std::uint32_t weakest = none;
  double most = 0.0;
  for (std::uint32_t k = 0; k < loads_.size(); ++k) {
    const Row2& place = net_->loads[k];
    const double slope = load_branch(loads_[k], x[place.u] - x[place.w]).slope;
    const double across = mode[place.u] - mode[place.w];
    if (-slope * across * across > most) {
      most = -slope * across * across;
      weakest = k;
    }
  }
  return weakest;
}

}  // namespace nightbus::network_detail
