// Switching on from dark: every lock-out and relay starts off, every scheduled element taken out.
// At each time the elements due are put in and the consistent state is looked for from the one
// before.
#include <algorithm>

#include "network/circuit_impl.hpp"
#include "nightbus/network_study.hpp"

namespace nightbus {

using namespace network_detail;

namespace {

std::vector<StateChange> changes_between(const Description& d, std::span<const std::uint8_t> before,
                                         const OperatingPoint& after) {
  std::vector<StateChange> changes;
  for (std::uint32_t e = 0; e < d.elements.size(); ++e) {
    const Element& element = d.elements[e];
    if (!element.has_lock_out || before[e] == after.on[e]) continue;
    const bool on = after.on[e] != 0;
    std::uint32_t p = element.a;
    std::uint32_t n = element.b;
    if (element.kind == ElementKind::resistor) {
      p = d.resistors[element.fixed].sense_p;
      n = d.resistors[element.fixed].sense_n;
    }
    changes.push_back({ElementId{e}, on, after.node_v[p] - after.node_v[n],
                       on ? element.on_above_v : element.off_below_v});
  }
  return changes;
}

}  // namespace

StartUp start_up(const Circuit& circuit, const Parameters& parameters, Workspace& workspace,
                 std::span<const StartStep> steps) {
  const Description& d = circuit.impl().description;
  Parameters now = parameters;
  std::vector<StartStep> order(steps.begin(), steps.end());
  std::stable_sort(order.begin(), order.end(),
                   [](const StartStep& a, const StartStep& b) { return a.delay_s < b.delay_s; });
  for (const StartStep& step : order) now.set(step.element, ParameterKind::enabled, 0.0);
  if (order.empty() || order.front().delay_s > 0.0)
    order.insert(order.begin(), StartStep{ElementId{none}, 0.0});

  StartUp result;
  std::vector<std::uint8_t> on(d.elements.size(), 1);
  for (std::size_t e = 0; e < on.size(); ++e)
    if (d.elements[e].has_lock_out) on[e] = 0;

  for (std::size_t k = 0; k < order.size();) {
    StartEvent event;
    event.time_s = order[k].delay_s;
    for (; k < order.size() && order[k].delay_s == event.time_s; ++k) {
      if (order[k].element == ElementId{none}) continue;
      now.set(order[k].element, ParameterKind::enabled,
              parameters.get(order[k].element, ParameterKind::enabled));
      event.switched_in.push_back(order[k].element);
    }
    SolveOptions options;
    options.previous_on = on;
    solve(circuit, now, workspace, options, result.final_point);
    const OperatingPoint& point = result.final_point;
    event.status = point.status;
    event.changes = changes_between(d, on, point);
    if (point.status == SolveStatus::no_consistent_state) event.changes = point.loop;
    on = point.on;
    for (std::uint32_t e = 0; e < d.elements.size(); ++e) {
      if (d.elements[e].kind != ElementKind::load || point.states.empty()) continue;
      if (point.states[e] != ElementState::normal && point.states[e] != ElementState::starved)
        continue;
      if (!event.lowest_element || point.voltage_v[e] < event.lowest_v) {
        event.lowest_v = point.voltage_v[e];
        event.lowest_element = ElementId{e};
      }
    }
    result.events.push_back(std::move(event));
  }

  result.status = result.final_point.status;
  for (std::uint32_t e = 0; e < d.elements.size(); ++e) {
    const ElementKind kind = d.elements[e].kind;
    if (kind != ElementKind::load && kind != ElementKind::converter) continue;
    const ElementState state = result.final_point.states[e];
    const bool up = state != ElementState::open && state != ElementState::locked_out &&
                    state != ElementState::dark && state != ElementState::starved;
    (up ? result.came_up : result.stayed_down).push_back(ElementId{e});
  }
  return result;
}

}  // namespace nightbus
