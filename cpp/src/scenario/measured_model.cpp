#include "scenario/measured_model.hpp"

#include <algorithm>

namespace nightbus::measured_detail {

Model::Model(const CompiledSystem& compiled, const CaseInputs& inputs)
    : compiled_(compiled), plan_(case_parameters(compiled, inputs)), work_(compiled.circuit()) {
  const System& system = compiled.system();
  for (std::size_t k = 0; k < system.runs.size(); ++k) {
    const RunElements& run = compiled.runs()[k];
    if (!run.out || plan_.get(*run.out, ParameterKind::enabled) == 0.0) {
      continue;
    }
    const Parameter fixed{run.out_fixed.value_or(*run.out), ParameterKind::resistance_ohm};
    knobs_.push_back({SuspectKind::joint, system.runs[k].name, fixed, 1.0, 0.0});
    // Out and back are lumped: the excess of both sits in the way out.
    double ohm = plan_.get(*run.out, ParameterKind::resistance_ohm);
    if (run.back) {
      ohm += plan_.get(*run.back, ParameterKind::resistance_ohm);
    }
    const Parameter conductor{*run.out, ParameterKind::resistance_ohm};
    const double own = plan_.get(conductor);
    if (ohm > 0.0) {
      knobs_.push_back({SuspectKind::run, system.runs[k].name, conductor, ohm, -0.99 * own / ohm});
    }
  }
  const auto draws = [&](const std::vector<ElementId>& elements, const auto& records) {
    for (std::size_t k = 0; k < elements.size(); ++k) {
      const Parameter scale{elements[k], ParameterKind::scale};
      if (plan_.get(elements[k], ParameterKind::enabled) != 0.0) {
        knobs_.push_back({SuspectKind::load, records[k].name, scale, plan_.get(scale), -1.0});
      }
    }
  };
  draws(compiled.loads(), system.loads);
  draws(compiled.fans(), system.fans);
  for (std::size_t k = 0; k < system.banks.size(); ++k) {
    const ElementId source = compiled.banks()[k].source;
    if (plan_.get(source, ParameterKind::enabled) != 0.0) {
      sources_.push_back(
          {SuspectKind::load, system.banks[k].name, {source, ParameterKind::emf_v}, 1.0, 0.0});
    }
  }
}

std::vector<Term> Model::terms_of(ReadingKind kind, std::string_view at) const {
  const System& system = compiled_.system();
  const auto node = [](NodeId id, double weight) {
    return Term{{QuantityKind::node_v, static_cast<std::uint32_t>(id)}, weight};
  };
  const auto current = [](ElementId id, double weight) {
    return Term{{QuantityKind::current_a, static_cast<std::uint32_t>(id)}, weight};
  };
  if (kind == ReadingKind::volts) {
    const auto found = compiled_.find_point(at);
    if (!found) {
      return {};
    }
    const PointNodes& point = compiled_.points()[*found];
    return {node(point.positive, 1.0), node(point.negative, -1.0)};
  }
  for (std::size_t k = 0; k < system.runs.size(); ++k) {
    const RunElements& run = compiled_.runs()[k];
    if (system.runs[k].name != at || !run.out) {
      continue;
    }
    if (kind == ReadingKind::amps) {
      return {current(*run.out, 1.0)};
    }
    const PointNodes& from = compiled_.points()[run.from];
    const PointNodes& to = compiled_.points()[run.to];
    const NodeId back =
        run.return_to ? compiled_.points()[*run.return_to].negative : from.out_negative;
    return {node(from.out_positive, 1.0), node(to.positive, -1.0), node(to.negative, 1.0),
            node(back, -1.0)};
  }
  if (kind == ReadingKind::drop) {
    return {};
  }
  for (std::size_t k = 0; k < system.loads.size(); ++k) {
    if (system.loads[k].name == at) {
      return {current(compiled_.loads()[k], 1.0)};
    }
  }
  for (std::size_t k = 0; k < system.fans.size(); ++k) {
    if (system.fans[k].name == at) {
      return {current(compiled_.fans()[k], 1.0)};
    }
  }
  for (std::size_t k = 0; k < system.banks.size(); ++k) {
    if (system.banks[k].name == at) {
      return {current(compiled_.banks()[k].source, -1.0)};
    }
  }
  return {};
}

std::vector<std::pair<ReadingKind, std::string>> Model::places() const {
  std::vector<std::pair<ReadingKind, std::string>> all;
  const auto add = [&](ReadingKind kind, const std::string& name) {
    if (!terms_of(kind, name).empty()) {
      all.emplace_back(kind, name);
    }
  };
  const System& system = compiled_.system();
  for (const PointNodes& point : compiled_.points()) {
    add(ReadingKind::volts, point.name);
  }
  for (const Run& run : system.runs) {
    add(ReadingKind::drop, run.name);
    add(ReadingKind::amps, run.name);
  }
  for (const Load& load : system.loads) {
    add(ReadingKind::amps, load.name);
  }
  return all;
}

Parameters Model::changed(std::span<const Change> changes) const {
  Parameters parameters = plan_;
  for (const Change& change : changes) {
    const Parameter which = change.knob->parameter;
    parameters.set(which, parameters.get(which) + change.theta * change.knob->unit);
  }
  return parameters;
}

Model::Answer Model::solve(std::span<const Change> changes,
                           const std::vector<std::vector<Term>>& readings) {
  const OperatingPoint point = nightbus::solve(compiled_.circuit(), changed(changes), work_);
  Answer answer{point.status, {}};
  if (point.status != SolveStatus::solved) {
    return answer;
  }
  for (const std::vector<Term>& terms : readings) {
    double sum = 0.0;
    for (const Term& term : terms) {
      const std::vector<double>& from =
          term.quantity.kind == QuantityKind::node_v ? point.node_v : point.current_a;
      sum += term.weight * from[term.quantity.index];
    }
    answer.values.push_back(sum);
  }
  return answer;
}

std::vector<double> Model::slopes(std::span<const Change> changes,
                                  const std::vector<std::vector<Term>>& readings,
                                  std::span<const Knob> knobs) {
  std::vector<Quantity> quantities;
  for (const std::vector<Term>& terms : readings) {
    for (const Term& term : terms) {
      quantities.push_back(term.quantity);
    }
  }
  std::vector<Parameter> parameters;
  for (const Knob& knob : knobs) {
    parameters.push_back(knob.parameter);
  }
  const Sensitivities grid =
      sensitivities(compiled_.circuit(), changed(changes), work_, quantities, parameters);
  if (grid.status != SolveStatus::solved) {
    return {};
  }
  std::vector<double> slopes(readings.size() * knobs.size(), 0.0);
  std::size_t quantity = 0;
  for (std::size_t r = 0; r < readings.size(); ++r) {
    for (const Term& term : readings[r]) {
      for (std::size_t k = 0; k < knobs.size(); ++k) {
        slopes[r * knobs.size() + k] += term.weight * grid.at(quantity, k) * knobs[k].unit;
      }
      ++quantity;
    }
  }
  return slopes;
}

}  // namespace nightbus::measured_detail
