// Results that need no simulation: sums, names, look-ups, and the checks of an input.

#include <algorithm>
#include <cmath>

#include "nightbus/energy_simulation.hpp"

namespace nightbus {

double EnergyLedger::delivered_wh() const {
  double sum = 0.0;
  for (const double wh : load_wh) sum += wh;
  return sum;
}

double EnergyLedger::out_wh() const {
  return controller_loss_wh + delivered_wh() + converter_loss_wh + wire_loss_wh + bank_standby_wh +
         controller_standby_wh + bank_resistance_wh + bank_charge_loss_wh + self_discharge_wh;
}

double EnergyLedger::relative_gap() const {
  const double largest =
      std::max({std::abs(in_wh()), std::abs(out_wh()), std::abs(stored_change_wh), 1e-9});
  return std::abs(gap_wh()) / largest;
}

std::string_view event_name(EventKind kind) {
  switch (kind) {
    case EventKind::load_dropped:
      return "load dropped";
    case EventKind::load_returned:
      return "load returned";
    case EventKind::group_shed:
      return "group shed";
    case EventKind::group_returned:
      return "group returned";
    case EventKind::bank_empty:
      return "bank empty";
    case EventKind::bank_returned:
      return "bank returned";
    case EventKind::bank_full:
      return "bank full";
    case EventKind::charge_blocked:
      return "charge blocked";
    case EventKind::charge_allowed:
      return "charge allowed";
    case EventKind::stage_bulk:
      return "bulk";
    case EventKind::stage_absorption:
      return "absorption";
    case EventKind::stage_float:
      return "float";
    case EventKind::stage_rest:
      return "rest";
    case EventKind::stage_equalise:
      return "equalise";
    case EventKind::converter_dropped:
      return "converter dropped";
    case EventKind::converter_returned:
      return "converter returned";
    case EventKind::charger_started:
      return "charger started";
    case EventKind::charger_stopped:
      return "charger stopped";
    case EventKind::fan_step:
      return "fan step";
    case EventKind::limit_temperature:
      return "temperature limit";
    case EventKind::chatter:
      return "chatter";
    case EventKind::collapse:
      return "collapse";
  }
  return "unknown";
}

const Trace::Column* Trace::find(std::string_view name, int index) const {
  for (const Column& column : columns) {
    if (column.name == name && (index < 0 || column.index == index)) return &column;
  }
  return nullptr;
}

namespace {

class Checker {
 public:
  void require(bool fine, const std::string& words) {
    if (!fine) problems.push_back(words);
  }
  void each(const char* what, std::size_t index, bool fine, const char* words) {
    if (!fine) problems.push_back(std::string(what) + " " + std::to_string(index) + ": " + words);
  }
  std::vector<std::string> problems;
};

bool finite(std::initializer_list<double> values) {
  return std::all_of(values.begin(), values.end(), [](double v) { return std::isfinite(v); });
}

void check_weather(Checker& check, const WeatherSeries& w) {
  check.require(!w.temp_c.empty(), "the weather holds no air temperature");
  check.require(w.step_s > 0.0, "the weather's step must be above 0 s");
  const std::size_t n = w.temp_c.size();
  const bool sun = !w.ghi_wm2.empty();
  check.require(!sun || (w.ghi_wm2.size() == n && w.dni_wm2.size() == n && w.dhi_wm2.size() == n),
                "the weather's columns differ in length");
  check.require(w.wind_ms.empty() || w.wind_ms.size() == n,
                "the weather's columns differ in length");
  if (!check.problems.empty()) return;
  for (std::size_t k = 0; k < n; ++k) {
    if (!std::isfinite(w.temp_c[k]) || w.temp_c[k] < -90.0 || w.temp_c[k] > 70.0) {
      check.require(false,
                    "weather row " + std::to_string(k + 1) +
                        ": air temperature is not one of this earth (kelvin instead of °C?)");
      return;
    }
    if (sun && !(finite({w.ghi_wm2[k], w.dni_wm2[k], w.dhi_wm2[k]}) && w.ghi_wm2[k] >= 0.0 &&
                 w.dni_wm2[k] >= 0.0 && w.dhi_wm2[k] >= 0.0)) {
      check.require(false,
                    "weather row " + std::to_string(k + 1) + ": irradiance is missing or negative");
      return;
    }
  }
}

void check_links(Checker& check, const SimulationInput& in) {
  const int spaces = static_cast<int>(in.thermal.spaces.size());
  const int groups = static_cast<int>(in.groups.size());
  const int converters = static_cast<int>(in.converters.size());
  for (std::size_t k = 0; k < in.converters.size(); ++k) {
    const SimConverter& c = in.converters[k];
    check.each("converter", k, c.feed < static_cast<int>(k),
               "must come after the one that feeds it");
    check.each("converter", k, c.group < groups && c.space < spaces,
               "unknown group or compartment");
    check.each("converter", k, c.output_v > 0.0 && c.standby_w >= 0.0 && c.a >= 0.0 && c.b >= 0.0,
               "output voltage or losses out of range");
    check.each("converter", k, c.on_v == 0.0 || c.on_v >= c.off_v, "restarts below its lock-out");
  }
  for (std::size_t k = 0; k < in.loads.size(); ++k) {
    const SimLoad& load = in.loads[k];
    check.each("load", k, load.feed < converters, "fed by an unknown converter");
    check.each("load", k, load.group < groups && load.space < spaces,
               "unknown group or compartment");
    check.each("load", k, load.nominal_v > 0.0 && load.path_resistance_ohm >= 0.0,
               "nominal voltage or resistance out of range");
    check.each("load", k, load.on_v == 0.0 || load.on_v >= load.off_v,
               "restarts below its lock-out");
    if (const auto* fan = std::get_if<FanDraw>(&load.draw)) {
      const bool known =
          fan->space >= 0 && fan->space < spaces && fan->fan >= 0 &&
          fan->fan <
              static_cast<int>(in.thermal.spaces[static_cast<std::size_t>(fan->space)].fans.size());
      check.each("load", k, known, "is a fan that the thermal model does not hold");
    }
    if (const auto* duty = std::get_if<DutyDraw>(&load.draw)) {
      check.each("load", k, duty->period_s > 0.0 && duty->on_s >= 0.0,
                 "duty period must be above 0 s");
    }
    if (const auto* heater = std::get_if<HeaterDraw>(&load.draw)) {
      const bool known =
          heater->sensor == HeaterDraw::Sensor::outside ||
          (heater->index >= 0 && heater->index < (heater->sensor == HeaterDraw::Sensor::space
                                                      ? spaces
                                                      : static_cast<int>(in.banks.size())));
      check.each("load", k, known, "is a heater that senses an unknown place");
      check.each("load", k, heater->off_above_c > heater->on_below_c,
                 "is a heater that switches off below where it switches on");
    }
    if (const auto* burst = std::get_if<BurstDraw>(&load.draw)) {
      check.each("load", k, burst->mean_gap_s > 0.0 && burst->mean_length_s > 0.0,
                 "bursts need a gap and a length above 0 s");
    }
    if (const auto* trace = std::get_if<TraceDraw>(&load.draw)) {
      check.each("load", k, trace->step_s > 0.0, "a trace needs a step above 0 s");
    }
  }
  for (std::size_t k = 0; k < in.groups.size(); ++k) {
    const ShedGroup& g = in.groups[k];
    check.each("group", k, g.off_v <= 0.0 || g.on_v > g.off_v,
               "reconnects at or below its disconnect");
    check.each("group", k, g.off_soc < 0.0 || g.on_soc > g.off_soc,
               "reconnects at or below its disconnect");
  }
}

void check_network(Checker& check, const SimulationInput& in) {
  const Circuit& circuit = in.network->circuit;
  const auto element = [&](const char* what, std::size_t k, int e, ElementKind kind) {
    const bool known = e >= 0 && static_cast<std::size_t>(e) < circuit.element_count();
    check.each(what, k, known && circuit.kind(ElementId{static_cast<std::uint32_t>(e)}) == kind,
               "names no fitting element of the circuit");
  };
  for (std::size_t k = 0; k < in.banks.size(); ++k) {
    element("bank", k, in.banks[k].element, ElementKind::source);
  }
  for (std::size_t k = 0; k < in.arrays.size(); ++k) {
    element("array", k, in.arrays[k].element, ElementKind::charger);
  }
  for (std::size_t k = 0; k < in.chargers.size(); ++k) {
    element("charger", k, in.chargers[k].element, ElementKind::charger);
  }
  for (std::size_t k = 0; k < in.converters.size(); ++k) {
    element("converter", k, in.converters[k].element, ElementKind::converter);
  }
  for (std::size_t k = 0; k < in.loads.size(); ++k) {
    element("load", k, in.loads[k].element, ElementKind::load);
  }
  if (in.network->standby_element >= 0) {
    element("standby load", 0, in.network->standby_element, ElementKind::load);
  }
  const int spaces = static_cast<int>(in.thermal.spaces.size());
  check.require(std::all_of(in.network->space_of_element.begin(),
                            in.network->space_of_element.end(), [&](int s) { return s < spaces; }),
                "an element's loss goes to an unknown compartment");
}

}  // namespace

std::vector<std::string> check_input(const SimulationInput& in) {
  Checker check;
  const SimOptions& o = in.options;
  check.require(o.step_s > 0.0 && o.step_s <= 3600.0, "the step must lie between 0 s and 1 h");
  check.require(o.steps > 0, "no step to make");
  check.require(std::abs(in.site.latitude_deg) <= 90.0 && std::abs(in.site.longitude_deg) <= 360.0,
                "the site is not on this earth");
  check_weather(check, in.weather);
  const int spaces = static_cast<int>(in.thermal.spaces.size());
  check.require(in.start_space_c.empty() || in.start_space_c.size() == in.thermal.spaces.size(),
                "start temperatures do not match the compartments");
  for (std::size_t k = 0; k < in.banks.size(); ++k) {
    const SimBank& bank = in.banks[k];
    check.each("bank", k, bank.model.usable_ah() > 0.0, "has no capacity");
    check.each("bank", k, !bank.model.mean_v.empty(), "has no open-circuit voltage");
    check.each("bank", k, bank.model.resistance_ohm > 0.0 && bank.path_resistance_ohm >= 0.0,
               "resistance must be above 0 Ω");
    check.each("bank", k, bank.soc >= 0.0 && bank.soc <= 1.0, "state of charge must lie in 0…1");
    check.each("bank", k, std::abs(bank.hysteresis) <= 1.0, "hysteresis must lie in -1…1");
    check.each("bank", k, bank.space < spaces, "sits in an unknown compartment");
  }
  for (std::size_t k = 0; k < in.arrays.size(); ++k) {
    const SolarController& c = in.arrays[k].model.controller;
    check.each("array", k, c.efficiency > 0.0 && c.efficiency <= 1.0, "efficiency must lie in 0…1");
    const bool pwm_blind = c.kind == ControllerKind::pwm && !in.arrays[k].model.diode &&
                           !(in.arrays[k].model.simple_mpp_v > 0.0);
    check.each("array", k, !pwm_blind, "a pwm controller needs the module's voltage or curve");
    check.each("array", k, in.arrays[k].space < spaces, "controller in an unknown compartment");
  }
  for (std::size_t k = 0; k < in.chargers.size(); ++k) {
    const SimCharger& c = in.chargers[k];
    check.each("charger", k, c.max_current_a >= 0.0, "current must not be negative");
    check.each("charger", k, c.efficiency > 0.0 && c.efficiency <= 1.0,
               "efficiency must lie in 0…1");
    check.each("charger", k, c.space < spaces, "in an unknown compartment");
  }
  check_links(check, in);
  if (in.network) check_network(check, in);
  return check.problems;
}

}  // namespace nightbus
