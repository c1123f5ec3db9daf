/// The described system as the simulation takes it: every list names its element of the compiled
/// circuit, so that nights run on the same network as the cases.

#include <algorithm>
#include <cmath>

#include "scenario/energy_plan.hpp"
#include "scenario/heat.hpp"

namespace nightbus::scenario_detail {

BankModel described_bank(const Bank& bank, const BatteryChemistry& chemistry,
                         std::vector<std::string>& assumptions) {
  const int strings = std::max(bank.strings, 1);
  BankModel model = bank_model(chemistry, bank.nominal_v, bank.capacity_ah * strings, &assumptions);
  model.ageing = bank.ageing;
  // The same resistance as in the cases, tabulated as a base and two factors.
  constexpr double warm_c = 25.0, base_charge = 0.5;
  model.resistance_ohm = bank_resistance_ohm(bank, chemistry, base_charge, warm_c);
  model.resistance_by_temp = {};
  model.resistance_by_charge = {};
  if (model.resistance_ohm > 0.0) {
    for (const double temp : {-30.0, -25.0, -20.0, -10.0, 0.0, 5.0, 15.0, 25.0, 45.0, 60.0}) {
      model.resistance_by_temp.x.push_back(temp);
      model.resistance_by_temp.y.push_back(bank_resistance_ohm(bank, chemistry, base_charge, temp) /
                                           model.resistance_ohm);
    }
    for (const double charge : {0.0, 0.5, 1.0}) {
      model.resistance_by_charge.x.push_back(charge);
      model.resistance_by_charge.y.push_back(bank_resistance_ohm(bank, chemistry, charge, warm_c) /
                                             model.resistance_ohm);
    }
  }
  if (bank.absorption_v) {
    model.voltages.absorption_v = *bank.absorption_v;
    model.voltages.ceiling_v = std::max(model.voltages.ceiling_v, *bank.absorption_v);
  }
  if (bank.float_v) {
    model.voltages.float_v = *bank.float_v;
  }
  if (bank.disconnect_v) {
    model.cut_off_v = *bank.disconnect_v;
    model.cut_off_return_v =
        std::max(bank.reconnect_v.value_or(*bank.disconnect_v * 1.05), *bank.disconnect_v);
  }
  if (bank.max_charge_a) {
    model.max_charge_a = *bank.max_charge_a * strings;
  }
  if (bank.max_discharge_a) {
    model.max_discharge_a = *bank.max_discharge_a * strings;
  }
  model.standby_w = 0.0;  // its standby is a load of the network
  return model;
}

ArrayModel described_array(const Array& array) {
  ArrayModel model;
  model.plane.tilt_deg = array.tilt_deg;
  model.plane.azimuth_deg = array.azimuth_deg;
  model.simple.power_w = array.power_w;
  model.simple.coefficient_per_k = array.power_per_k;
  model.simple_mpp_v = array.vmp_v.value_or(0.0);
  model.fixed_loss = array.losses;
  for (std::size_t month = 0; month < array.monthly_loss.size() && month < 12; ++month) {
    model.monthly_loss[month] = array.monthly_loss[month];
  }
  if (!array.horizon_deg.empty()) {
    std::vector<double> azimuth_deg;
    const auto count = static_cast<double>(array.horizon_deg.size());
    for (std::size_t k = 0; k < array.horizon_deg.size(); ++k) {
      azimuth_deg.push_back(360.0 * static_cast<double>(k) / count);
    }
    model.horizon = Horizon(azimuth_deg, array.horizon_deg);
  }
  model.heading_unknown = array.turning;
  model.controller.kind =
      array.tracking == Tracking::mppt ? ControllerKind::mppt : ControllerKind::pwm;
  model.controller.efficiency = array.controller_efficiency;
  model.controller.standby_w = 0.0;  // a load of the network
  if (array.controller_a > 0.0) {
    model.controller.max_current_a = array.controller_a;
  }
  if (array.controller_v) {
    model.controller.max_input_v = *array.controller_v;
  }
  return model;
}

namespace {

class Maker {
 public:
  Maker(const CompiledSystem& compiled, EnergyModel& model)
      : compiled_(compiled), system_(compiled.system()), model_(model) {}

  void build(const LocalClock& clock, std::vector<std::string>& assumptions) {
    SimulationInput& input = model_.input;
    input.clock = clock;
    input.site.latitude_deg = system_.site.latitude_deg;
    input.site.longitude_deg = system_.site.longitude_deg;
    input.site.altitude_m = system_.site.elevation_m;
    input.thermal = heat_model(system_).network.model();
    input.options.albedo = system_.site.albedo;
    add_network();
    add_sources(assumptions);
    add_converters();
    add_loads();
    add_fans();
    add_poe();
    add_standby();
  }

 private:
  static int number(ElementId id) { return static_cast<int>(index(id)); }

  void add_network() {
    SimNetwork network{compiled_.circuit(), {}, {}, {}};
    if (!system_.banks.empty()) {
      const PointNodes& at = compiled_.point_of(PointKind::bank, 0);
      network.bus_p = at.positive;
      network.bus_n = at.negative;
    }
    network.space_of_element.assign(compiled_.circuit().element_count(), -1);
    const auto place = [&](const std::optional<ElementId>& element, int space) {
      if (element) {
        network.space_of_element[index(*element)] = space;
      }
    };
    for (std::size_t k = 0; k < system_.runs.size(); ++k) {
      const int space = space_of(system_, system_.runs[k].compartment);
      const RunElements& run = compiled_.runs()[k];
      for (const auto& element : {run.out, run.out_fixed, run.back, run.back_fixed}) {
        place(element, space);
      }
    }
    for (std::size_t k = 0; k < system_.banks.size(); ++k) {
      place(compiled_.banks()[k].source, space_of(system_, system_.banks[k].compartment));
    }
    for (std::size_t k = 0; k < system_.converters.size(); ++k) {
      place(compiled_.converters()[k], space_of(system_, system_.converters[k].compartment));
    }
    model_.input.network = std::move(network);
  }

  void add_sources(std::vector<std::string>& assumptions) {
    for (std::size_t k = 0; k < system_.banks.size(); ++k) {
      const Bank& bank = system_.banks[k];
      SimBank made;
      made.model =
          described_bank(bank, compiled_.catalogue().chemistry(bank.chemistry), assumptions);
      made.soc = bank.charge_start;
      made.space = space_of(system_, bank.compartment);
      made.element = number(compiled_.banks()[k].source);
      model_.input.banks.push_back(std::move(made));
    }
    for (std::size_t k = 0; k < system_.arrays.size(); ++k) {
      SimArray made;
      made.model = described_array(system_.arrays[k]);
      made.space = space_of(system_, system_.arrays[k].compartment);
      made.element = number(compiled_.arrays()[k]);
      model_.input.arrays.push_back(made);
    }
    for (std::size_t k = 0; k < system_.chargers.size(); ++k) {
      const Charger& charger = system_.chargers[k];
      SimCharger made;
      made.max_current_a = charger.current_a;
      made.fixed_v = charger.voltage_v;
      made.efficiency = charger.efficiency;
      made.windows = day_windows(charger.schedule);
      made.start_below_soc = charger.start_below;
      made.stop_above_soc = charger.stop_above;
      made.space = space_of(system_, charger.compartment);
      made.element = number(compiled_.chargers()[k]);
      model_.input.chargers.push_back(std::move(made));
    }
  }

  void add_converters() {
    for (std::size_t k = 0; k < system_.converters.size(); ++k) {
      const Converter& converter = system_.converters[k];
      const ConverterLosses losses = converter_losses(converter);
      SimConverter made;
      made.output_v = converter.output_v;
      made.standby_w = losses.standby_w;
      made.a = losses.loss_fraction;
      made.b = losses.loss_per_watt;
      made.off_v = converter.off_v.value_or(0.0);
      made.on_v = converter.on_v.value_or(made.off_v * 1.05);
      made.space = space_of(system_, converter.compartment);
      made.element = number(compiled_.converters()[k]);
      model_.input.converters.push_back(made);
    }
  }

  /// Duty is spread evenly: what matters over a night is the mean.
  static Draw draw_of(const Usage& usage, double typical_w, double rest_w) {
    const double on_w = usage.duty * typical_w + (1.0 - usage.duty) * rest_w;
    const std::vector<DayWindow> windows = day_windows(usage.schedule);
    if (usage.night_extra_w > 0.0) {
      return DayNightDraw{on_w, on_w + usage.night_extra_w, windows, rest_w};
    }
    if (!windows.empty()) {
      return WindowDraw{windows, on_w, rest_w};
    }
    return SteadyDraw{on_w};
  }

  SimLoad& add(PointKind kind, std::size_t k, Draw draw, ElementId element,
               std::string_view compartment) {
    SimLoad made;
    made.draw = std::move(draw);
    made.element = number(element);
    made.space = space_of(system_, compartment);
    model_.input.loads.push_back(std::move(made));
    model_.consumers.push_back({kind, k});
    return model_.input.loads.back();
  }
  void set_window(SimLoad& load, const std::optional<Range>& window) {
    if (window) {
      load.low_v = window->low;
      load.high_v = window->high;
    }
  }

  static Usage times(Usage usage, double count) {
    usage.night_extra_w *= count;
    return usage;
  }

  void add_loads() {
    for (std::size_t k = 0; k < system_.loads.size(); ++k) {
      const Load& load = system_.loads[k];
      const PointNodes& at = compiled_.point_of(PointKind::load, k);
      SimLoad& made = add(PointKind::load, k,
                          draw_of(times(load.usage, load.count), load.typical_w * load.count,
                                  load.rest_w.value_or(load.typical_w) * load.count),
                          compiled_.loads()[k], load.compartment);
      made.law = load.behaviour == Behaviour::constant_power     ? DrawLaw::power
                 : load.behaviour == Behaviour::constant_current ? DrawLaw::current
                                                                 : DrawLaw::resistance;
      const auto domain = static_cast<std::size_t>(at.domain);
      made.nominal_v = load.nominal_v.value_or(compiled_.domains()[domain].nominal_v);
      made.off_v = load.off_v.value_or(0.0);
      made.on_v = load.on_v.value_or(made.off_v * 1.05);
      made.critical = load.usage.priority <= 2;
      set_window(made, load.window_v);
    }
  }

  void add_fans() {
    std::vector<int> seen(system_.compartments.size(), 0);
    for (std::size_t k = 0; k < system_.fans.size(); ++k) {
      const Fan& fan = system_.fans[k];
      const int space = space_of(system_, fan.cools);
      if (space < 0) {
        const int step = std::clamp(fan.lowest_step, 0, static_cast<int>(fan.step_w.size()));
        const double watts = step > 0 ? fan.step_w[static_cast<std::size_t>(step) - 1] : 0.0;
        add(PointKind::fan, k, SteadyDraw{watts * fan.count}, compiled_.fans()[k], "");
      } else {
        const int order = seen[static_cast<std::size_t>(space)]++;
        SimLoad& made =
            add(PointKind::fan, k, FanDraw{space, order}, compiled_.fans()[k], fan.cools);
        // The motor's heat is already part of the thermal model.
        made.heat_share = 0.0;
        set_window(made, fan.window_v);
      }
      model_.input.loads.back().critical = fan.priority <= 2;
    }
  }

  void add_poe() {
    for (std::size_t k = 0; k < system_.poe_links.size(); ++k) {
      const PoeLink& link = system_.poe_links[k];
      SimLoad& made = add(PointKind::poe_link, k,
                          draw_of(link.usage, link.typical_w, link.rest_w.value_or(link.typical_w)),
                          compiled_.poe_links()[k].device, link.compartment);
      made.critical = link.usage.priority <= 2;
      set_window(made, link.window_v);
    }
  }

  void add_standby() {
    for (std::size_t k = 0; k < system_.banks.size(); ++k) {
      const Bank& bank = system_.banks[k];
      if (const auto element = compiled_.banks()[k].standby) {
        SimLoad& made = add(PointKind::bank, k, SteadyDraw{bank.standby_a * bank.nominal_v},
                            *element, bank.compartment);
        made.law = DrawLaw::current;
        made.nominal_v = bank.nominal_v;
        made.critical = false;
      }
    }
    for (std::size_t k = 0; k < system_.arrays.size(); ++k) {
      add(PointKind::array, k, SteadyDraw{system_.arrays[k].controller_standby_w},
          compiled_.array_standby()[k], system_.arrays[k].compartment)
          .critical = false;
    }
  }

  const CompiledSystem& compiled_;
  const System& system_;
  EnergyModel& model_;
};

}  // namespace

EnergyModel energy_model(const CompiledSystem& compiled, const LocalClock& clock,
                         const PlanOptions& options, std::vector<std::string>& assumptions) {
  EnergyModel model;
  Maker(compiled, model).build(clock, assumptions);
  model.input.options.step_s = options.step_s;
  model.input.options.record_every = 0;
  return model;
}

}  // namespace nightbus::scenario_detail
