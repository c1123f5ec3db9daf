#pragma once
// What feeds: charger and blocking diode (a plain source is linear, i = (v - E) / r).
//
// Charger, current out of its positive terminal at terminal voltage v:
//
//   i_out = max(0, min((c - v) / r, I_max, P_max / v))
//
// Each branch falls with v, so the least of them falls too: the element is monotone and the current
// counted *through* it from + to -, i = -i_out, has a slope >= 0: 1/r, 0, P_max / v², or 0.
//
// Diode, v from anode to cathode, forward voltage f, slope r, leakage g:
//
//   i = g v                      v < f
//   i = g f + (v - f) / r        v >= f

#include "network/law_load.hpp"
#include "nightbus/network.hpp"

namespace nightbus::network_detail {

struct ChargerNumbers {
  double ceiling = 0.0, resistance = 1.0, current_limit = 0.0, power_limit = 0.0;
};

inline Branch charger_branch(const ChargerNumbers& n, double v, ElementState& state) {
  double out = (n.ceiling - v) / n.resistance;
  double slope = 1.0 / n.resistance;
  state = ElementState::normal;
  if (out > n.current_limit) {
    out = n.current_limit;
    slope = 0.0;
    state = ElementState::constant_current;
  }
  if (v > 0.0 && out * v > n.power_limit) {
    out = n.power_limit / v;
    slope = out / v;
    state = ElementState::constant_power;
  }
  if (!(out > 0.0)) {
    out = 0.0;
    slope = 0.0;
    state = ElementState::blocking;
  }
  return {-out, slope};
}

inline Branch diode_branch(double forward, double resistance, double leakage, double v) {
  if (v < forward) return {leakage * v, leakage};
  return {leakage * forward + (v - forward) / resistance, 1.0 / resistance};
}

}  // namespace nightbus::network_detail
