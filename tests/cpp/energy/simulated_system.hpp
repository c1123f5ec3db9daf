#pragma once
/// Small systems for the simulation's tests.

#include <cmath>
#include <random>

#include "nightbus/energy.hpp"

namespace simulated {

using namespace nightbus;

/// Four LFP cells of 100 Ah by the mean curve of the cell data (Plett; see the catalogue's table),
/// no hysteresis, no losses but the resistance.
inline BankModel plain_lfp(double capacity_ah = 100.0) {
  BankModel bank;
  bank.chemistry = "LFP";
  bank.cells = 4;
  bank.capacity_ah = capacity_ah;
  for (int k = 0; k <= 20; ++k) bank.mean_v.x.push_back(0.05 * k);
  bank.mean_v.y = {2.1606, 3.0373, 3.1834, 3.2186, 3.2450, 3.2641, 3.2798,
                   3.2916, 3.3016, 3.3058, 3.3081, 3.3116, 3.3168, 3.3228,
                   3.3303, 3.3409, 3.3453, 3.3478, 3.3518, 3.3658, 3.5900};
  bank.resistance_ohm = 0.004;
  bank.charge_low_c = 0.0;
  bank.charge_high_c = 45.0;
  bank.voltages = {.absorption_v = 14.2, .float_v = 13.5, .ceiling_v = 14.6};
  bank.rules = {.absorption_s = 1200.0, .tail_current_a = 5.0, .rebulk_v = 13.25};
  return bank;
}

/// The same with all the losses switched on.
inline BankModel lossy_lfp(double capacity_ah = 100.0) {
  BankModel bank = plain_lfp(capacity_ah);
  bank.swing_v = {{0.0, 0.05, 0.1, 0.2, 0.5, 0.8, 0.95, 1.0},
                  {0.16, 0.024, 0.021, 0.023, 0.017, 0.014, 0.013, 0.01}};
  bank.coulombic = PiecewiseLinear::constant(0.99);
  bank.self_discharge_per_s = 0.03 / 2629800.0;
  bank.standby_w = 0.4;
  bank.resistance_by_temp = {{-25.0, 5.0, 25.0, 45.0}, {12.0, 1.8, 1.0, 0.8}};
  bank.capacity_by_temp = {{-25.0, 5.0, 25.0}, {0.982, 0.991, 1.0}};
  bank.cut_off_v = 10.0;
  bank.cut_off_return_v = 12.6;
  return bank;
}

/// Flooded lead-acid, six cells.
inline BankModel lead(double capacity_ah = 200.0) {
  BankModel bank;
  bank.chemistry = "flooded";
  bank.cells = 6;
  bank.capacity_ah = capacity_ah;
  bank.mean_v = {{0.0, 0.25, 0.5, 0.75, 1.0}, {1.982, 2.010, 2.040, 2.075, 2.115}};
  bank.resistance_ohm = 0.006;
  bank.resistance_by_charge = {{0.0, 0.5, 1.0}, {2.0, 1.0, 1.0}};
  bank.capacity_by_temp = {{-4.0, 25.0}, {0.66, 1.0}};
  bank.peukert = 1.2;
  bank.coulombic = {{0.0, 0.6, 0.8, 0.9, 1.0}, {0.97, 0.97, 0.55, 0.5, 0.5}};
  bank.acceptance_hours = 1.0;
  bank.gassing_rate = 0.01;
  bank.self_discharge_per_s = 0.1 / 2629800.0;
  bank.voltages = {
      .absorption_v = 14.4, .float_v = 13.5, .ceiling_v = 15.0, .compensation_v_per_k = -0.024};
  bank.rules = {.absorption_s = 7200.0, .tail_current_a = 4.0, .rebulk_v = 12.9};
  return bank;
}

inline WeatherSeries still_weather(double start_s, double days, double temp_c) {
  WeatherSeries w;
  w.start_s = start_s;
  w.step_s = 3600.0;
  w.temp_c.assign(static_cast<std::size_t>(days * 24.0) + 1, temp_c);
  return w;
}

/// A bank and a load, nothing else, no sun.
inline SimulationInput bare(const BankModel& bank, double soc, double load_w, double days,
                            double step_s) {
  SimulationInput in;
  in.site = {.latitude_deg = 45.0, .longitude_deg = 10.0};
  in.options.start_s = utc_seconds(2025, 3, 1);
  in.options.step_s = step_s;
  in.options.steps = static_cast<std::size_t>(std::llround(days * 86400.0 / step_s));
  in.weather = still_weather(in.options.start_s, days, 25.0);
  in.banks.push_back({.model = bank, .soc = soc});
  if (load_w > 0.0) in.loads.push_back({.draw = SteadyDraw{load_w}});
  return in;
}

/// Days of clear or dimmed sky on a small always-on site with an array, in spring.
inline SimulationInput sunny(const BankModel& bank, double days, double step_s,
                             double clearness = 0.7, double array_w = 300.0) {
  SimulationInput in = bare(bank, 0.7, 0.0, days, step_s);
  ClearSkyYear year;
  year.site = in.site;
  year.clearness.assign(12, clearness);
  year.temp_mild_c = 15.0;
  in.weather = clear_sky_weather(year, in.clock, in.options.start_s, 300.0,
                                 static_cast<std::size_t>(days * 288.0));
  SimArray array;
  array.model.plane = {.tilt_deg = 30.0, .azimuth_deg = 180.0};
  array.model.simple.power_w = array_w;
  array.model.fixed_loss = 0.1;
  array.model.controller.max_current_a = 40.0;
  array.model.controller.path_resistance_ohm = 0.005;
  in.arrays.push_back(array);
  in.banks[0].path_resistance_ohm = 0.002;
  in.loads.push_back(
      {.draw = SteadyDraw{18.0}, .path_resistance_ohm = 0.08, .off_v = 10.5, .on_v = 11.5});
  in.loads.push_back(
      {.draw = WindowDraw{{{18 * 3600.0, 23 * 3600.0}}, 25.0, 2.0}, .path_resistance_ohm = 0.05});
  in.loads.push_back({.draw = DutyDraw{1000.0, 300.0, 50.0, 12.0, 1.0, {}},
                      .law = DrawLaw::resistance,
                      .path_resistance_ohm = 0.1});
  in.loads.push_back(
      {.draw = DayNightDraw{4.0, 9.0, {}, 0.0}, .path_resistance_ohm = 3.0, .feed = 0});
  in.converters.push_back(
      {.output_v = 54.0, .standby_w = 1.0, .a = 0.08, .b = 0.0002, .path_resistance_ohm = 0.03});
  return in;
}

}  // namespace simulated
