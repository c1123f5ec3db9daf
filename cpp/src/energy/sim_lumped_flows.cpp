// The lumped bus's loads before it is solved, and what flows where afterwards.

#include <algorithm>
#include <cmath>

#include "energy/sim_lumped_bus.hpp"

namespace nightbus::sim_detail {

LoadFlow LumpedBus::behind(const SimLoad& load, double power_w, double feed_v) const {
  const double r = load.path_resistance_ohm;
  LoadFlow flow;
  switch (load.law) {
    case DrawLaw::current:
      flow.current_a = power_w / load.nominal_v;
      break;
    case DrawLaw::resistance:
      flow.current_a =
          power_w > 0.0 ? feed_v / (load.nominal_v * load.nominal_v / power_w + r) : 0.0;
      break;
    case DrawLaw::power: {
      const double square = feed_v * feed_v - 4.0 * power_w * r;
      if (square < 0.0) return {0.5 * feed_v / r, 0.0};
      flow.current_a = feed_v > 0.0 ? 2.0 * power_w / (feed_v + std::sqrt(square)) : 0.0;
      break;
    }
  }
  flow.voltage_v = feed_v - flow.current_a * r;
  return flow;
}

void LumpedBus::pack(const BusProblem& problem, BusSolution& out) {
  packed_version_ = problem.version;
  power_loads_.clear();
  plain_loads_.clear();
  plain_w_ = problem.standby_w;
  constant_a_ = conductance_s_ = inner_wire_w_ = 0.0;
  packed_overdrawn_load_ = packed_overdrawn_converter_ = -1;
  out.loads.assign(input_.loads.size(), {});
  out.converters.assign(input_.converters.size(), {});
  for (std::size_t k = 0; k < input_.loads.size(); ++k) {
    const SimLoad& load = input_.loads[k];
    const LoadPort& port = problem.loads[k];
    if (!port.on || port.power_w <= 0.0) continue;
    if (load.feed >= 0) {
      const auto c = static_cast<std::size_t>(load.feed);
      if (!problem.converter_on[c]) continue;
      const double feed_v = input_.converters[c].output_v;
      out.loads[k] = behind(load, port.power_w, feed_v);
      if (out.loads[k].voltage_v <= 0.0) packed_overdrawn_load_ = static_cast<int>(k);
      inner_wire_w_ += out.loads[k].current_a * out.loads[k].current_a * load.path_resistance_ohm;
      out.converters[c].output_w += feed_v * out.loads[k].current_a;
      continue;
    }
    if (load.law == DrawLaw::current) {
      constant_a_ += port.power_w / load.nominal_v;
    } else if (load.law == DrawLaw::resistance) {
      conductance_s_ +=
          1.0 / (load.nominal_v * load.nominal_v / port.power_w + load.path_resistance_ohm);
    } else if (load.path_resistance_ohm > 0.0) {
      power_loads_.push_back({port.power_w, load.path_resistance_ohm, static_cast<int>(k), -1});
    } else {
      plain_w_ += port.power_w;
      plain_loads_.push_back(static_cast<int>(k));
    }
  }
  // Upstream converters have smaller indices.
  for (std::size_t c = input_.converters.size(); c-- > 0;) {
    const SimConverter& law = input_.converters[c];
    ConverterFlow& flow = out.converters[c];
    if (!problem.converter_on[c]) continue;
    if (flow.output_w > law.max_output_w) packed_overdrawn_converter_ = static_cast<int>(c);
    flow.input_w = law.standby_w + flow.output_w * (1.0 + law.a + law.b * flow.output_w);
    flow.loss_w = flow.input_w - flow.output_w;
    if (law.feed < 0) {
      power_loads_.push_back({flow.input_w, law.path_resistance_ohm, -1, static_cast<int>(c)});
      continue;
    }
    const auto up = static_cast<std::size_t>(law.feed);
    const double feed_v = input_.converters[up].output_v;
    const double square = feed_v * feed_v - 4.0 * flow.input_w * law.path_resistance_ohm;
    if (square < 0.0) packed_overdrawn_converter_ = static_cast<int>(c);
    const double current = 2.0 * flow.input_w / (feed_v + std::sqrt(std::max(square, 0.0)));
    flow.input_v = feed_v - current * law.path_resistance_ohm;
    inner_wire_w_ += current * current * law.path_resistance_ohm;
    out.converters[up].output_w += feed_v * current;
  }
}

void LumpedBus::write(const BusProblem& problem, double v, double held_set_v,
                      double pushed_out_below, BusSolution& out) const {
  out.status = BusStatus::fine;
  out.bus_v = v;
  out.turned_down = held_set_v > 0.0 && held_set_v == turned_down_v_;
  out.wire_loss_w = inner_wire_w_;
  out.banks.resize(problem.banks.size());
  out.supplies.resize(problem.supplies.size());

  double needed = loads_at(v).f;
  double bank_slope = 0.0;
  for (std::size_t k = 0; k < problem.banks.size(); ++k) {
    const BankPort& bank = problem.banks[k];
    BankFlow& flow = out.banks[k];
    const double over = v - bank.emf_v;
    flow = {};
    if (over >= 0.0) {
      const double g = 1.0 / (bank.charge_ohm + bank.path_ohm);
      flow.limited = over * g > bank.charge_limit_a;
      flow.current_a = flow.limited ? bank.charge_limit_a : over * g;
      bank_slope += flow.limited ? 0.0 : g;
    } else if (bank.can_discharge) {
      const double g = 1.0 / (bank.discharge_ohm + bank.path_ohm);
      flow.current_a = over * g;
      bank_slope += g;
    }
    needed += flow.current_a;
    out.wire_loss_w += flow.current_a * flow.current_a * bank.path_ohm;
  }
  const double needed_in_all = needed;
  // Those at the set voltage share what the others leave over, in proportion to what they could
  // give.
  double could = 0.0;
  for (std::size_t k = 0; k < problem.supplies.size(); ++k) {
    const SupplyPort& s = problem.supplies[k];
    out.supplies[k] = {};
    if (!s.on) continue;
    if (set_of(s) < pushed_out_below) {
      out.supplies[k].at_set = true;
      continue;
    }
    out.supplies[k].current_a = supply_at(s, v).f;
    if (set_of(s) == held_set_v) {
      could += out.supplies[k].current_a;
    } else {
      needed -= out.supplies[k].current_a;
    }
  }
  for (std::size_t k = 0; k < problem.supplies.size(); ++k) {
    const SupplyPort& s = problem.supplies[k];
    SupplyFlow& flow = out.supplies[k];
    if (s.on && set_of(s) == held_set_v && could > 0.0) {
      flow.current_a *= std::clamp(needed / could, 0.0, 1.0);
      flow.at_set = true;
    }
    const double lost = flow.current_a * flow.current_a * s.path_ohm;
    flow.power_w = v * flow.current_a + lost;
    out.wire_loss_w += lost;
  }
  // Rounding of V times a bank's conductance is what the balance of currents lacks: the banks take
  // it.
  double given = 0.0;
  for (const SupplyFlow& flow : out.supplies) given += flow.current_a;
  if (bank_slope > 0.0) {
    const double missing = given - needed_in_all;
    for (std::size_t k = 0; k < problem.banks.size(); ++k) {
      const BankPort& bank = problem.banks[k];
      BankFlow& flow = out.banks[k];
      if (flow.limited || (v < bank.emf_v && !bank.can_discharge)) continue;
      const double r = v >= bank.emf_v ? bank.charge_ohm : bank.discharge_ohm;
      flow.current_a += missing / (r + bank.path_ohm) / bank_slope;
    }
  }
  for (std::size_t k = 0; k < problem.banks.size(); ++k) {
    out.banks[k].terminal_v = v - out.banks[k].current_a * problem.banks[k].path_ohm;
  }
  for (const PowerLoad& load : power_loads_) {
    const double square = v * v - 4.0 * load.power_w * load.path_ohm;
    const double root = std::sqrt(std::max(square, 0.0));
    const double current = 2.0 * load.power_w / (v + root);
    const double volts = v - current * load.path_ohm;
    out.wire_loss_w += current * current * load.path_ohm;
    if (load.load >= 0) {
      out.loads[static_cast<std::size_t>(load.load)] = {current, volts};
      if (square < 0.0) out.overdrawn_load = load.load;
    } else {
      out.converters[static_cast<std::size_t>(load.converter)].input_v = volts;
      if (square < 0.0) out.overdrawn_converter = load.converter;
    }
  }
  for (const int k : plain_loads_) {
    const auto load = static_cast<std::size_t>(k);
    out.loads[load] = {problem.loads[load].power_w / v, v};
  }
  if (constant_a_ > 0.0 || conductance_s_ > 0.0) {
    for (std::size_t k = 0; k < input_.loads.size(); ++k) {
      const SimLoad& load = input_.loads[k];
      if (load.feed >= 0 || load.law == DrawLaw::power || !problem.loads[k].on) continue;
      out.loads[k] = behind(load, problem.loads[k].power_w, v);
      out.wire_loss_w += out.loads[k].current_a * out.loads[k].current_a * load.path_resistance_ohm;
    }
  }
  out.lift = 0.0;
  if (held_set_v < 0.0) {
    const Value all = total(problem, v, pushed_out_below);
    if (all.slope < 0.0) out.lift = std::min(bank_slope / -all.slope, 2.0);
  }
}

}  // namespace nightbus::sim_detail
