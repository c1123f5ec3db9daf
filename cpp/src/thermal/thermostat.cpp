// A staged thermostat: a staircase with a landing below each stair, so that it does not hunt.

#include <limits>

#include "nightbus/thermal.hpp"

namespace nightbus {

double StagedThermostat::up_threshold_c(int step) const {
  if (step <= lowest) return -std::numeric_limits<double>::infinity();
  return set_point_c + (step - 1) * step_k;
}

int StagedThermostat::wanted(double temp_c, int now, int top) const {
  const auto highest_called = [&](double reading_c) {
    int step = lowest;
    while (step < top && reading_c >= up_threshold_c(step + 1)) ++step;
    return step < top ? step : top;
  };
  const int up = highest_called(temp_c);
  if (up >= now) return up;
  const int kept = highest_called(temp_c + hysteresis_k);
  return kept < now ? kept : now;
}

}  // namespace nightbus
