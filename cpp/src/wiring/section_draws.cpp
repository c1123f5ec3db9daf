/// Devices of the description as draws of a feeder, by the laws the network gives them.

#include <algorithm>

#include "wiring/section_parts.hpp"

namespace nightbus::wiring_detail {

namespace {

FeederDraw empty_draw(int edge, int stage, std::size_t cases) {
  FeederDraw draw;
  draw.edge = edge;
  draw.stage = stage;
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

void add_draws(const SectionAsk& ask, std::size_t point, int edge, int stage,
               const std::vector<std::size_t>& cases, FeederModel& model) {
  const CompiledSystem& compiled = ask.solved.compiled;
  const System& system = compiled.system();
  const PointNodes& where = compiled.points()[point];
  const std::size_t k = where.index;
  const double nominal_v =
      where.domain < 0 ? 0.0 : compiled.domains()[static_cast<std::size_t>(where.domain)].nominal_v;
  FeederDraw draw = empty_draw(edge, stage, cases.size());
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

namespace {

bool is_off(const CaseInputs& inputs, const std::string& name) {
  return std::find(inputs.off.begin(), inputs.off.end(), name) != inputs.off.end();
}

}  // namespace

bool stands_alone(const SectionAsk& ask, std::size_t converter,
                  const std::vector<std::size_t>& cases) {
  const std::string& name = ask.solved.compiled.system().converters[converter].name;
  return std::all_of(cases.begin(), cases.end(), [&](std::size_t c) {
    const CaseResult& result = ask.solved.results[c];
    return is_off(result.inputs, name) ||
           result.converters[converter].state == ElementState::normal;
  });
}

void add_stage(const SectionAsk& ask, std::size_t converter, const std::vector<std::size_t>& cases,
               FeederModel& model) {
  const Converter& described = ask.solved.compiled.system().converters[converter];
  const ConverterLosses losses = converter_losses(described);
  FeederStage stage;
  stage.draw = model.draws.size() - 1;
  stage.emf_v.assign(cases.size(), described.output_v);
  stage.source_ohm.assign(cases.size(), converter_output_ohm(described));
  stage.standby_w.assign(cases.size(), losses.standby_w);
  stage.loss_fraction = losses.loss_fraction;
  stage.loss_per_watt = losses.loss_per_watt;
  FeederDraw& input = model.draws.back();
  input.converter = true;
  input.power_w.assign(cases.size(), 0.0);
  for (std::size_t c = 0; c < cases.size(); ++c) {
    if (is_off(ask.solved.results[cases[c]].inputs, described.name)) stage.standby_w[c] = 0.0;
  }
  model.stages.push_back(std::move(stage));
}

void add_links(const SectionAsk& ask, std::size_t converter, int stage,
               const std::vector<std::size_t>& cases, FeederModel& model) {
  const CompiledSystem& compiled = ask.solved.compiled;
  const System& system = compiled.system();
  const std::string& port = system.converters[converter].name;
  for (std::size_t k = 0; k < system.poe_links.size(); ++k) {
    if (system.poe_links[k].from != port) continue;
    const PoeElements& elements = compiled.poe_links()[k];
    FeederEdge edge;
    edge.stage = stage;
    FeederOption cable;
    cable.out.wire_ohm = cable.back.wire_ohm = elements.loop_20c_ohm / 2.0;
    edge.options.push_back(cable);
    FeederDraw device = empty_draw(static_cast<int>(model.edges.size()), stage, cases.size());
    // No standard's window reaches down here, and no load of constant power works below it.
    device.lowest_v = 0.5 * system.converters[converter].output_v;
    for (std::size_t c = 0; c < cases.size(); ++c) {
      const CaseResult& result = ask.solved.results[cases[c]];
      const DrawInputs& input = result.inputs.poe_links[k];
      if (input.on && !is_off(result.inputs, port)) device.power_w[c] = input.power_w;
      // As case_parameters() has it: the warmest place that is known of.
      double air_c = result.inputs.outside_c;
      for (std::size_t at = 0; at < system.compartments.size(); ++at) {
        if (system.compartments[at].name == system.poe_links[k].compartment) {
          air_c = std::max(air_c, result.inputs.compartment_c[at]);
        }
      }
      edge.ambient_c.push_back(air_c);
    }
    model.edges.push_back(std::move(edge));
    model.draws.push_back(std::move(device));
  }
}

}  // namespace nightbus::wiring_detail
