// Every watt becomes heat somewhere: which compartment takes what, and how warm that makes it.

#include <algorithm>
#include <cmath>

#include "energy/sim_engine.hpp"

namespace nightbus::sim_detail {

void Engine::heat_spaces(double dt_s) {
  std::vector<double>& heat = trial_.space_heat_w;
  std::fill(heat.begin(), heat.end(), 0.0);
  const auto give = [&](int space, double watts) {
    if (space >= 0) heat[static_cast<std::size_t>(space)] += watts;
  };
  if (!heat.empty()) {
    for (std::size_t k = 0; k < in_.loads.size(); ++k) {
      const SimLoad& load = in_.loads[k];
      if (load.space < 0 || !problem_.loads[k].on) continue;
      const LoadFlow& flow = trial_.bus.loads[k];
      const double path_ohm = in_.network ? 0.0 : load.path_resistance_ohm;
      give(load.space, flow.current_a * flow.current_a * path_ohm);
      // A fan's motor is part of the thermal network already.
      if (std::holds_alternative<FanDraw>(load.draw)) continue;
      give(load.space, flow.current_a * flow.voltage_v * load.heat_share);
    }
    for (std::size_t c = 0; c < in_.converters.size(); ++c) {
      if (problem_.converter_on[c]) give(in_.converters[c].space, trial_.bus.converters[c].loss_w);
    }
    for (std::size_t b = 0; b < banks_.size(); ++b) {
      const BankStep& step = trial_.banks[b];
      const double counted =
          step.current_a >= 0.0 ? step.coulombic * step.current_a : step.peukert * step.current_a;
      const double lost = step.terminal_v * step.current_a - counted * step.mean_emf_v;
      give(in_.banks[b].space, std::max(lost, 0.0) + in_.banks[b].model.standby_w);
    }
    for (std::size_t s = 0; s < problem_.supplies.size(); ++s) {
      const SupplyPort& port = problem_.supplies[s];
      const double watts = trial_.bus.supplies[s].power_w;
      if (s < in_.arrays.size()) {
        const SolarController& c = in_.arrays[s].model.controller;
        const double lost =
            port.kind == SupplyPort::Kind::power ? watts * (1.0 / c.efficiency - 1.0) : 0.0;
        give(in_.arrays[s].space, lost + c.standby_w);
      } else {
        const SimCharger& charger = in_.chargers[s - in_.arrays.size()];
        give(charger.space, watts * (1.0 / charger.efficiency - 1.0));
      }
    }
    for (std::size_t k = 0; k < trial_.bus.space_heat_w.size() && k < heat.size(); ++k) {
      heat[k] += trial_.bus.space_heat_w[k];
    }
    trial_.heat = heat_;
    thermal_.advance(trial_.heat,
                     {.outside_c = air_.temp_c, .sun_wm2 = air_.sky.ghi_wm2, .heat_w = heat}, dt_s);
  }
  for (std::size_t b = 0; b < banks_.size(); ++b) {
    const int space = in_.banks[b].space;
    const double lag = in_.banks[b].model.thermal_lag_s;
    const auto k = static_cast<std::size_t>(std::max(space, 0));
    const double end = space < 0 ? air_.temp_c : trial_.heat.temp_c[k];
    const double middle = space < 0 ? air_.temp_c : 0.5 * (heat_.temp_c[k] + end);
    BankStep& step = trial_.banks[b];
    step.temp_end_c =
        lag > 0.0 ? middle + (banks_[b].temp_c - middle) * std::exp(-dt_s / lag) : end;
    trial_.bank_temp_c[b] = step.temp_end_c;
  }
}

}  // namespace nightbus::sim_detail
