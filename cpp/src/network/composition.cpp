// Elements made of other elements, and fits that turn what people know into what the laws need.
//
// Two efficiency points eta1 at P1 and eta2 at P2, standby P0 given:
//   P_in = P/eta = P0 + (1 + a) P + b P²   =>   y := (P/eta - P0)/P - 1 = a + b P
// is a straight line through (P1, y1), (P2, y2). A negative slope or intercept is not physical for
// a converter and would extrapolate to free power, so it is cut to the nearest flat fit.
#include <algorithm>
#include <cmath>

#include "nightbus/network.hpp"

namespace nightbus {

LoadLaw fan_law(double rated_w, double rated_v, double speed_step, bool regulated) {
  LoadLaw law;
  const double power_w = rated_w * speed_step * speed_step * speed_step;
  if (regulated)
    law.power_w = power_w;
  else
    law.fan_a_per_v2 = power_w / (rated_v * rated_v * rated_v);
  return law;
}

LossFit fit_losses(double standby_w, double power_1_w, double efficiency_1, double power_2_w,
                   double efficiency_2) {
  const double y1 = 1.0 / efficiency_1 - standby_w / power_1_w - 1.0;
  const double y2 = 1.0 / efficiency_2 - standby_w / power_2_w - 1.0;
  LossFit fit;
  if (power_1_w != power_2_w) fit.loss_per_watt = (y2 - y1) / (power_2_w - power_1_w);
  fit.loss_fraction = y1 - fit.loss_per_watt * power_1_w;
  if (fit.loss_per_watt < 0.0) {
    fit.loss_per_watt = 0.0;
    fit.loss_fraction = std::max(y1, y2);
  }
  if (fit.loss_fraction < 0.0) {
    fit.loss_fraction = 0.0;
    fit.loss_per_watt = std::max({0.0, y1 / power_1_w, y2 / power_2_w});
  }
  return fit;
}

CircuitBuilder::PoeLink CircuitBuilder::add_poe_link(NodeId p, NodeId n, const PoeLinkLaw& law) {
  PoeLink link;
  link.device_p = add_node();
  link.device_n = add_node();
  link.out = add_resistor(p, link.device_p, 0.5 * law.loop_resistance_ohm);
  link.back = add_resistor(link.device_n, n, 0.5 * law.loop_resistance_ohm);
  LoadLaw device;
  device.power_w = law.power_w;
  device.minimum_v = law.minimum_v;
  device.lock_out = law.lock_out;
  link.device = add_load(link.device_p, link.device_n, device);
  return link;
}

ElementId CircuitBuilder::add_inverter(NodeId p, NodeId n, const InverterLaw& law) {
  LoadLaw load;
  load.power_w = law.standby_w + (1.0 + law.loss_fraction) * law.ac_power_w +
                 law.loss_per_watt * law.ac_power_w * law.ac_power_w;
  load.minimum_v = law.minimum_v;
  load.lock_out = law.lock_out;
  return add_load(p, n, load);
}

}  // namespace nightbus
