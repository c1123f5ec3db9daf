/// The described system as a simulation of its own, on the network or lumped.

#include <algorithm>
#include <cmath>

#include "nightbus/scenario_simulation.hpp"
#include "scenario/energy_plan.hpp"

namespace nightbus {

using namespace scenario_detail;

namespace {

template <class Record>
std::vector<std::string> names_of(const std::vector<Record>& records) {
  std::vector<std::string> names;
  for (const Record& record : records) {
    names.push_back(record.name);
  }
  return names;
}

SimulatedLoad named(const System& system, const Consumer& consumer) {
  const std::size_t k = consumer.index;
  const std::string kind(point_kind_name(consumer.kind));
  switch (consumer.kind) {
    case PointKind::load:
      return {kind, system.loads[k].name, system.loads[k].usage.priority};
    case PointKind::fan:
      return {kind, system.fans[k].name, system.fans[k].priority};
    case PointKind::poe_link:
      return {kind, system.poe_links[k].name, system.poe_links[k].usage.priority};
    case PointKind::bank:
      return {kind, system.banks[k].name, 0};
    case PointKind::array:
      return {kind, system.arrays[k].name, 0};
    default:
      return {kind, "", 0};
  }
}

/// The converter whose output feeds a domain, -1 for the banks' own.
int feed_of(const CompiledSystem& compiled, int domain) {
  if (domain < 0) {
    return -1;
  }
  const Domain& one = compiled.domains()[static_cast<std::size_t>(domain)];
  return one.banks.empty() && !one.converters.empty() ? static_cast<int>(one.converters.front())
                                                      : -1;
}

/// Every draw steady at its largest everyday value, so that a probe of one step shows each path.
double probe_w(const Draw& draw) {
  if (const auto* window = std::get_if<WindowDraw>(&draw)) {
    return std::max(window->on_w, window->off_w);
  }
  if (const auto* lamp = std::get_if<DayNightDraw>(&draw)) {
    return std::max(lamp->day_w, lamp->night_w);
  }
  return std::max(mean_draw_w(draw, 0.5, 1.0), 1e-3);
}

void lump(const CompiledSystem& compiled, const std::vector<Consumer>& consumers,
          SimulationInput& input, std::vector<std::string>& converter_names) {
  for (std::size_t k = 0; k < input.converters.size(); ++k) {
    input.converters[k].feed = feed_of(compiled, compiled.point_of(PointKind::converter, k).domain);
  }
  for (std::size_t k = 0; k < input.loads.size(); ++k) {
    input.loads[k].feed =
        feed_of(compiled, compiled.point_of(consumers[k].kind, consumers[k].index).domain);
  }
  SimulationInput probe = input;
  for (SimConverter& converter : probe.converters) {
    converter.feed = -1;
  }
  for (SimLoad& load : probe.loads) {
    load.draw = SteadyDraw{probe_w(load.draw)};
    load.feed = -1;
    load.off_v = load.on_v = 0.0;
  }
  for (SimBank& bank : probe.banks) {
    bank.soc = 0.5;
  }
  for (SimConverter& converter : probe.converters) {
    converter.off_v = converter.on_v = 0.0;
  }
  probe.weather.start_s = 0.0;
  probe.weather.temp_c = {25.0};
  probe.options = {.step_s = 1.0, .steps = 1, .record_every = 1, .record_loads = true};
  const SimulationResult run = simulate(probe);
  const auto value = [&](const char* name, std::size_t k) {
    const Trace::Column* column = run.trace.find(name, static_cast<int>(k));
    return column && !column->values.empty() ? column->values.front() : 0.0;
  };
  const double bus_v = value("bus_voltage", 0);
  const auto feed_v = [&](int feed) {
    return feed < 0 ? bus_v : input.converters[static_cast<std::size_t>(feed)].output_v;
  };
  const auto path_ohm = [&](int feed, double volts, double watts) {
    if (!(volts > 0.0) || !(watts > 0.0)) {
      return 0.0;
    }
    return std::max(feed_v(feed) - volts, 0.0) / (watts / volts);
  };
  for (std::size_t k = 0; k < input.loads.size(); ++k) {
    input.loads[k].path_resistance_ohm =
        path_ohm(input.loads[k].feed, value("load_voltage", k), value("load_draw", k));
  }
  for (std::size_t k = 0; k < input.converters.size(); ++k) {
    input.converters[k].path_resistance_ohm = path_ohm(
        input.converters[k].feed, value("converter_voltage", k), value("converter_draw", k));
  }
  // The lumped bus wants a converter after the one that feeds it.
  std::vector<int> place(input.converters.size(), -1);
  std::vector<SimConverter> ordered;
  std::vector<std::string> ordered_names;
  while (ordered.size() < input.converters.size()) {
    const std::size_t before = ordered.size();
    for (std::size_t k = 0; k < input.converters.size(); ++k) {
      const int feed = input.converters[k].feed;
      if (place[k] >= 0 || (feed >= 0 && place[static_cast<std::size_t>(feed)] < 0)) {
        continue;
      }
      place[k] = static_cast<int>(ordered.size());
      ordered.push_back(input.converters[k]);
      ordered_names.push_back(converter_names[k]);
      ordered.back().feed = feed < 0 ? -1 : place[static_cast<std::size_t>(feed)];
    }
    if (ordered.size() == before) {
      throw Error("converters feed each other in a ring: use the network, not the lumped bus");
    }
  }
  for (SimLoad& load : input.loads) {
    load.feed = load.feed < 0 ? -1 : place[static_cast<std::size_t>(load.feed)];
  }
  input.converters = std::move(ordered);
  converter_names = std::move(ordered_names);
  input.network.reset();
}

}  // namespace

DescribedSimulation describe_simulation(const System& wired, const Catalogue& catalogue,
                                        const LocalClock& clock, double step_s, bool lumped) {
  const CompiledSystem compiled =
      compile_system(wired, catalogue, starting_choices(wired, catalogue));
  DescribedSimulation made;
  PlanOptions options;
  options.step_s = step_s;
  EnergyModel model = energy_model(compiled, clock, options, made.assumptions);
  made.input = std::move(model.input);
  made.input.options.record_every = 1;
  for (const Consumer& consumer : model.consumers) {
    made.loads.push_back(named(wired, consumer));
  }
  made.banks = names_of(wired.banks);
  made.arrays = names_of(wired.arrays);
  made.chargers = names_of(wired.chargers);
  made.compartments = names_of(wired.compartments);
  made.converters = names_of(wired.converters);
  for (const Compartment& compartment : wired.compartments) {
    for (const Fan& fan : wired.fans) {
      if (fan.cools == compartment.name) {
        made.fans.push_back(fan.name);
      }
    }
  }
  if (lumped) {
    lump(compiled, model.consumers, made.input, made.converters);
  }
  return made;
}

void add_shedding(DescribedSimulation& made, const std::vector<ShedRule>& rules) {
  // The strictest group that fits: a load of priority 5 under rules for 4 and 5 takes that for 5.
  for (const ShedRule& rule : rules) {
    const int group = static_cast<int>(made.input.groups.size());
    made.input.groups.push_back(
        {.off_soc = rule.off_soc, .on_soc = rule.on_soc, .delay_s = rule.delay_s});
    for (std::size_t k = 0; k < made.loads.size(); ++k) {
      const int priority = made.loads[k].priority;
      const bool covered = std::any_of(rules.begin(), rules.end(), [&](const ShedRule& other) {
        return other.priority <= priority && other.priority > rule.priority;
      });
      if (priority >= rule.priority && !covered) {
        made.input.loads[k].group = group;
      }
    }
  }
}

}  // namespace nightbus
