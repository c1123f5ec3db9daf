#pragma once
// A year of the rack: its watts, a bank of a day and a half, an array that fills it on most days.

#include "networks.hpp"
#include "nightbus/energy.hpp"

namespace bench {

inline constexpr std::size_t year_minutes = 525600;

inline BankModel bank_of(double capacity_ah) {
  BankModel bank;
  bank.chemistry = "LFP";
  bank.cells = 4;
  bank.capacity_ah = capacity_ah;
  bank.mean_v = {{0.0, 0.05, 0.1, 0.2, 0.5, 0.8, 0.95, 1.0},
                 {2.2, 3.04, 3.18, 3.245, 3.308, 3.345, 3.366, 3.55}};
  bank.resistance_ohm = 0.004;
  bank.coulombic = PiecewiseLinear::constant(0.99);
  bank.voltages = {.absorption_v = 14.2, .float_v = 13.5, .ceiling_v = 14.6};
  bank.rules = {.absorption_s = 1200.0, .tail_current_a = 20.0, .rebulk_v = 13.25};
  return bank;
}

inline SimulationInput rack_year(std::size_t steps = year_minutes, double clearness = 0.7) {
  const Network net = rack80(false);
  SimulationInput in;
  in.site = {.latitude_deg = 45.0, .longitude_deg = 10.0};
  in.options.start_s = utc_seconds(2026, 1, 1);
  in.options.step_s = 60.0;
  in.options.steps = steps;
  in.options.record_every = 0;
  in.options.hourly_sun = true;
  ClearSkyYear sky;
  sky.site = in.site;
  sky.clearness.assign(12, clearness);
  in.weather = clear_sky_weather(sky, in.clock, in.options.start_s, 3600.0, 8760);
  in.banks.push_back({.model = bank_of(1200.0), .soc = 0.9});
  SimArray array;
  array.model.plane = {.tilt_deg = 60.0, .azimuth_deg = 180.0};
  array.model.simple.power_w = 6000.0;
  array.model.controller.max_current_a = 400.0;
  in.arrays.push_back(array);

  CircuitBuilder b;
  const std::vector<NodeId> n = b.add_nodes(net.nodes);
  for (const std::size_t g : net.grounds) b.set_reference(n[g]);
  const NodeId plus = n[net.source_p], minus = n[net.source_n];
  in.banks[0].element = static_cast<int>(index(b.add_source(plus, minus, {12.8, 0.004})));
  in.arrays[0].element = static_cast<int>(index(b.add_charger(
      plus, minus, {.ceiling_v = 14.2, .current_limit_a = 1.0, .resistance_ohm = 1e-4})));
  for (const Resistor& r : net.resistors) b.add_resistor(n[r.a], n[r.b], r.ohm);
  for (const Converter& c : net.converters) {
    ConverterLaw law;
    law.set_point_v = c.set_point_v;
    law.output_resistance_ohm = c.resistance_ohm;
    law.standby_w = c.standby_w;
    law.loss_fraction = c.loss_fraction;
    law.minimum_input_v = 9.0;
    const ElementId id = b.add_converter(n[c.a], n[c.b], n[c.s], n[c.t], law);
    in.converters.push_back({.output_v = c.set_point_v,
                             .standby_w = c.standby_w,
                             .a = c.loss_fraction,
                             .element = static_cast<int>(index(id))});
  }
  for (const Load& l : net.loads) {
    LoadLaw law;
    law.minimum_v = l.minimum_v;
    const ElementId id = b.add_load(n[l.a], n[l.b], law);
    SimLoad load;
    load.element = static_cast<int>(index(id));
    load.nominal_v = 12.8;
    if (l.minimum_v > 30.0) load.feed = 0;
    if (l.conductance_s > 0.0) load.law = DrawLaw::resistance;
    if (l.current_a > 0.0) load.law = DrawLaw::current;
    load.draw = SteadyDraw{l.power_w + l.current_a * 12.8 + l.conductance_s * 12.8 * 12.8};
    in.loads.push_back(load);
  }
  in.network = SimNetwork{b.compile(), plus, minus, {}, -1};
  return in;
}

}  // namespace bench
