/// The raw solution, read back by name.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "network/system_impl.hpp"

namespace nightbus {

using namespace compile_detail;

bool LoadResult::running() const {
  return state == ElementState::normal;
}

namespace {

class Reader {
 public:
  Reader(const CompiledSystem& compiled, const CaseInputs& inputs, const OperatingPoint& raw)
      : compiled_(compiled), layout_(*compiled.impl().layout), inputs_(inputs), raw_(raw) {}

  CaseResult read() {
    CaseResult result;
    result.name = inputs_.name;
    result.status = raw_.status;
    result.collapse_multiplier = raw_.collapse_multiplier;
    result.iterations = raw_.iterations;
    result.inputs = inputs_;
    for (const StateChange& change : raw_.loop) {
      result.loop.push_back(fmt::format("{} {} at {}", compiled_.element_name(change.element),
                                        change.turned_on ? "starts" : "stops",
                                        show_quantity(change.voltage_v, Dimension::voltage)));
    }
    if (raw_.node_v.size() != compiled_.circuit().node_count()) {
      return result;
    }
    find_source_volts();
    read_points(result);
    read_runs(result);
    read_sources(result);
    read_draws(result);
    result.balance.supplied_w = raw_.supplied_w;
    result.balance.load_w = raw_.load_w;
    result.balance.loss_w = raw_.total_loss_w;
    result.balance.gap_w = raw_.supplied_w - raw_.load_w - raw_.total_loss_w;
    result.balance.node_residual_a = raw_.residual_a;
    return result;
  }

 private:
  double node_v(NodeId node) const { return raw_.node_v[index(node)]; }
  double across(NodeId p, NodeId n) const { return node_v(p) - node_v(n); }
  double at(const std::vector<double>& values, const std::optional<ElementId>& element) const {
    return element ? values[index(*element)] : 0.0;
  }

  /// The volts a domain starts from: the highest of its banks, chargers and converter outputs.
  void find_source_volts() {
    source_v_.assign(layout_.domains.size(), 0.0);
    source_negative_.assign(layout_.domains.size(), std::nullopt);
    const auto raise = [&](int domain, double volts, NodeId negative) {
      const auto d = static_cast<std::size_t>(domain);
      source_v_[d] = std::max(source_v_[d], volts);
      if (!source_negative_[d]) {
        source_negative_[d] = negative;
      }
    };
    for (const PointNodes& point : layout_.points) {
      if (point.kind == PointKind::bank || (inputs_.charging && (point.kind == PointKind::charger ||
                                                                 point.kind == PointKind::array))) {
        raise(point.domain, across(point.positive, point.negative), point.negative);
      } else if (point.kind == PointKind::converter) {
        raise(point.out_domain, across(point.out_positive, point.out_negative), point.out_negative);
      }
    }
  }

  void read_points(CaseResult& result) const {
    for (const PointNodes& point : layout_.points) {
      const auto zero = source_negative_[static_cast<std::size_t>(point.domain)];
      const double base = zero ? node_v(*zero) : 0.0;
      PointVolts volts;
      volts.positive_v = node_v(point.positive) - base;
      volts.negative_v = node_v(point.negative) - base;
      volts.voltage_v = across(point.positive, point.negative);
      volts.out_voltage_v = across(point.out_positive, point.out_negative);
      result.points.push_back(volts);
    }
  }

  void read_runs(CaseResult& result) const {
    for (std::size_t k = 0; k < compiled_.runs().size(); ++k) {
      const RunElements& run = compiled_.runs()[k];
      RunResult out;
      out.ambient_c = inputs_.run_ambient_c[k];
      out.conductor_c = run.positive.assumed_c.value_or(out.ambient_c);
      if (run.out) {
        out.current_a = at(raw_.current_a, run.out);
        out.return_current_a = at(raw_.current_a, run.back);
        // Signed by the direction of the current, so that a loss of volts is always positive.
        const double direction = out.current_a < 0.0 ? -1.0 : 1.0;
        out.positive_drop_v =
            direction * (at(raw_.voltage_v, run.out) + at(raw_.voltage_v, run.out_fixed));
        out.negative_drop_v =
            direction * (at(raw_.voltage_v, run.back) + at(raw_.voltage_v, run.back_fixed));
        out.drop_v = out.positive_drop_v + out.negative_drop_v;
        out.drop_ratio = run.nominal_v > 0.0 ? out.drop_v / run.nominal_v : 0.0;
        out.conductor_loss_w = at(raw_.loss_w, run.out) + at(raw_.loss_w, run.back);
        out.loss_w =
            out.conductor_loss_w + at(raw_.loss_w, run.out_fixed) + at(raw_.loss_w, run.back_fixed);
        out.conductor_c = std::max(out.conductor_c, at(raw_.temp_c, run.out));
        const bool chassis = layout_.system.runs[k].return_path == ReturnPath::chassis;
        if (run.back && !chassis) {
          out.conductor_c = std::max(out.conductor_c, at(raw_.temp_c, run.back));
        }
      }
      result.runs.push_back(out);
    }
  }

  void read_sources(CaseResult& result) const {
    for (std::size_t k = 0; k < compiled_.banks().size(); ++k) {
      const BankElements& bank = compiled_.banks()[k];
      BankResult out;
      out.voltage_v = raw_.voltage_v[index(bank.source)];
      out.current_a = -raw_.current_a[index(bank.source)];
      out.loss_w = raw_.loss_w[index(bank.source)];
      out.emf_v = inputs_.banks[k].emf_v;
      result.banks.push_back(out);
    }
    const auto charger = [&](ElementId element) {
      ChargerResult out;
      out.state = raw_.states[index(element)];
      out.voltage_v = raw_.voltage_v[index(element)];
      out.current_a = -raw_.current_a[index(element)];
      out.power_w = out.voltage_v * out.current_a;
      return out;
    };
    for (const ElementId element : compiled_.chargers()) {
      result.chargers.push_back(charger(element));
    }
    for (const ElementId element : compiled_.arrays()) {
      result.arrays.push_back(charger(element));
    }
  }

  void drop_from_source(int domain, double volts, double& drop_v, double& drop_ratio) const {
    const double nominal_v = layout_.nominal_v(domain);
    drop_v = source_v_[static_cast<std::size_t>(domain)] - volts;
    drop_ratio = nominal_v > 0.0 ? drop_v / nominal_v : 0.0;
  }
  static void margins(const std::optional<Range>& window, double volts,
                      std::optional<double>& above_low_v, std::optional<double>& below_high_v) {
    if (window) {
      above_low_v = volts - window->low;
      below_high_v = window->high - volts;
    }
  }

  LoadResult device(ElementId element, int domain, const std::optional<Range>& window) const {
    LoadResult out;
    out.state = raw_.states[index(element)];
    out.voltage_v = raw_.voltage_v[index(element)];
    out.current_a = raw_.current_a[index(element)];
    out.power_w = raw_.power_w[index(element)];
    drop_from_source(domain, out.voltage_v, out.drop_v, out.drop_ratio);
    margins(window, out.voltage_v, out.above_low_v, out.below_high_v);
    return out;
  }

  void read_draws(CaseResult& result) const {
    const System& system = layout_.system;
    for (std::size_t k = 0; k < system.loads.size(); ++k) {
      const PointNodes& point = compiled_.point_of(PointKind::load, k);
      result.loads.push_back(device(compiled_.loads()[k], point.domain, system.loads[k].window_v));
    }
    for (std::size_t k = 0; k < system.fans.size(); ++k) {
      const PointNodes& point = compiled_.point_of(PointKind::fan, k);
      result.fans.push_back(device(compiled_.fans()[k], point.domain, system.fans[k].window_v));
    }
    for (std::size_t k = 0; k < system.converters.size(); ++k) {
      const PointNodes& point = compiled_.point_of(PointKind::converter, k);
      const auto e = index(compiled_.converters()[k]);
      ConverterResult out;
      out.state = raw_.states[e];
      out.input_v = raw_.voltage_v[e];
      out.input_a = raw_.current_a[e];
      out.input_w = raw_.power_w[e];
      out.output_v = raw_.output_voltage_v[e];
      out.output_a = raw_.output_current_a[e];
      out.output_w = out.output_v * out.output_a;
      out.loss_w = raw_.loss_w[e];
      const double rated_w = system.converters[k].power_w;
      out.load_ratio = rated_w > 0.0 ? out.output_w / rated_w : 0.0;
      drop_from_source(point.domain, out.input_v, out.drop_v, out.drop_ratio);
      margins(system.converters[k].window_v, out.input_v, out.above_low_v, out.below_high_v);
      result.converters.push_back(out);
    }
    for (std::size_t k = 0; k < system.poe_links.size(); ++k) {
      const PoeElements& link = compiled_.poe_links()[k];
      const PointNodes& point = compiled_.point_of(PointKind::poe_link, k);
      PoeResult out;
      out.device = device(link.device, point.domain, poe_window(k));
      out.port_a = raw_.current_a[index(link.out)];
      out.port_v =
          out.device.voltage_v + raw_.voltage_v[index(link.out)] + raw_.voltage_v[index(link.back)];
      out.port_w = out.port_v * out.port_a;
      out.cable_loss_w = raw_.loss_w[index(link.out)] + raw_.loss_w[index(link.back)];
      out.loop_ohm =
          out.port_a > 0.0 ? out.cable_loss_w / (out.port_a * out.port_a) : link.loop_20c_ohm;
      result.poe_links.push_back(out);
    }
  }

  std::optional<Range> poe_window(std::size_t k) const {
    return device_window(layout_, layout_.system.poe_links[k]);
  }

  const CompiledSystem& compiled_;
  const Layout& layout_;
  const CaseInputs& inputs_;
  const OperatingPoint& raw_;
  std::vector<double> source_v_;
  std::vector<std::optional<NodeId>> source_negative_;
};

/// A collapsed network has no operating point. To show where it gives way, loads turn into
/// resistances below the lower end of their window.
Parameters softened(const CompiledSystem& compiled, const CaseInputs& inputs) {
  const Layout& layout = *compiled.impl().layout;
  Parameters parameters = case_parameters(compiled, inputs);
  const auto give_way = [&](ElementId element, PointKind kind, std::size_t k,
                            const std::optional<Range>& window) {
    const double nominal_v = layout.nominal_v(compiled.point_of(kind, k).domain);
    parameters.set(element, ParameterKind::minimum_v, window ? window->low : 0.8 * nominal_v);
  };
  for (std::size_t k = 0; k < layout.system.loads.size(); ++k) {
    give_way(compiled.loads()[k], PointKind::load, k, layout.system.loads[k].window_v);
  }
  for (std::size_t k = 0; k < layout.system.fans.size(); ++k) {
    give_way(compiled.fans()[k], PointKind::fan, k, layout.system.fans[k].window_v);
  }
  for (std::size_t k = 0; k < layout.system.poe_links.size(); ++k) {
    give_way(compiled.poe_links()[k].device, PointKind::poe_link, k,
             device_window(layout, layout.system.poe_links[k]));
  }
  return parameters;
}

}  // namespace

CaseResult read_case(const CompiledSystem& compiled, const CaseInputs& inputs,
                     const OperatingPoint& point) {
  return Reader(compiled, inputs, point).read();
}

CaseResult solve_inputs(const CompiledSystem& compiled, const CaseInputs& inputs,
                        Workspace& workspace) {
  const OperatingPoint hard =
      solve(compiled.circuit(), case_parameters(compiled, inputs), workspace);
  if (hard.status != SolveStatus::collapsed && hard.status != SolveStatus::not_converged) {
    return read_case(compiled, inputs, hard);
  }
  const OperatingPoint soft = solve(compiled.circuit(), softened(compiled, inputs), workspace);
  if (soft.status == SolveStatus::no_consistent_state) {
    // On the way down a lock-out trips first, and what it frees lets it start again.
    CaseResult result = read_case(compiled, inputs, soft);
    result.collapse_multiplier = hard.collapse_multiplier;
    return result;
  }
  if (soft.status != SolveStatus::solved) {
    return read_case(compiled, inputs, hard);
  }
  CaseResult result = read_case(compiled, inputs, soft);
  const auto& states = soft.states;
  if (std::find(states.begin(), states.end(), ElementState::starved) == states.end()) {
    return result;  // lock-outs have shed enough: what is left runs inside its law
  }
  result.status = SolveStatus::collapsed;
  result.collapse_multiplier = hard.collapse_multiplier;
  result.softened = true;
  return result;
}

CaseResult solve_case(const CompiledSystem& compiled, const Case& which,
                      const CaseConditions& conditions, bool with_margins) {
  Workspace workspace(compiled.circuit());
  const CaseInputs inputs = case_inputs(compiled, which, conditions);
  CaseResult result = solve_inputs(compiled, inputs, workspace);
  if (with_margins) {
    result.margins = case_margins(compiled, inputs, workspace);
  }
  return result;
}

}  // namespace nightbus
