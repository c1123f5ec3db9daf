/// Devices of the description as draws of a feeder, by the laws the network gives them.

#include <algorithm>

#include "wiring/section_parts.hpp"

namespace nightbus::wiring_detail {

namespace {

FeederDraw empty_draw(int edge, std::size_t cases) {
  FeederDraw draw;
  draw.edge = edge;
  draw.power_w.assign(cases, 0.0);
  draw.current_a.assign(cases, 0.0);
  draw.conductance_s.assign(cases, 0.0);
  return draw;
}

void set_limits(const SectionAsk& ask, FeederDraw& draw, DropClass drop_class, double nominal_v,
                const std::optional<Range>& window, const std::optional<double>& off_v) {
  const Rules& rules = ask.solved.compiled.system().rules;
  const double ratio = drop_class == DropClass::critical ? rules.drop_critical : rules.drop_general;
  draw.drop_limit_v = ask.share * ask.tighten * ratio * nominal_v;
  draw.lowest_v = std::max(window ? window->low : 0.0, off_v.value_or(0.0));
}

}  // namespace

void add_draws(const SectionAsk& ask, std::size_t point, int edge,
               const std::vector<std::size_t>& cases, FeederModel& model) {
  const CompiledSystem& compiled = ask.solved.compiled;
  const System& system = compiled.system();
  const PointNodes& where = compiled.points()[point];
  const std::size_t k = where.index;
  const double nominal_v =
      where.domain < 0 ? 0.0 : compiled.domains()[static_cast<std::size_t>(where.domain)].nominal_v;
  FeederDraw draw = empty_draw(edge, cases.size());
  switch (where.kind) {
    case PointKind::load: {
      const Load& load = system.loads[k];
      const double at_v = load.nominal_v.value_or(nominal_v);
      for (std::size_t c = 0; c < cases.size(); ++c) {
        const DrawInputs& input = ask.solved.inputs[cases[c]].loads[k];
        if (!input.on) continue;
        if (load.behaviour == Behaviour::constant_power || at_v <= 0.0) {
          draw.power_w[c] = input.power_w;
        } else if (load.behaviour == Behaviour::constant_current) {
          draw.current_a[c] = input.power_w / at_v;
        } else {
          draw.conductance_s[c] = input.power_w / (at_v * at_v);
        }
      }
      set_limits(ask, draw, load.drop_class, nominal_v, load.window_v, load.off_v);
      break;
    }
    case PointKind::fan: {
      const Fan& fan = system.fans[k];
      for (std::size_t c = 0; c < cases.size(); ++c) {
        const DrawInputs& input = ask.solved.inputs[cases[c]].fans[k];
        if (input.on) draw.power_w[c] = input.power_w;
      }
      set_limits(ask, draw, fan.drop_class, nominal_v, fan.window_v, std::nullopt);
      break;
    }
    case PointKind::converter: {
      const Converter& converter = system.converters[k];
      for (std::size_t c = 0; c < cases.size(); ++c) {
        draw.power_w[c] = std::max(0.0, ask.solved.results[cases[c]].converters[k].input_w);
      }
      set_limits(ask, draw, converter.drop_class, nominal_v, converter.window_v, converter.off_v);
      break;
    }
    default:
      return;
  }
  model.draws.push_back(std::move(draw));
}

}  // namespace nightbus::wiring_detail
