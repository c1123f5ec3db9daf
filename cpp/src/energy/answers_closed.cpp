// First looks without a simulation.

#include "nightbus/energy_answers.hpp"

namespace nightbus {

double autonomy_h(double bank_wh, double usable_share, double load_w, double efficiency) {
  return bank_wh * usable_share / (load_w / efficiency);
}

std::optional<double> refill_days(double missing_wh, double array_wh, double load_wh,
                                  double efficiency) {
  const double surplus = efficiency * (array_wh - load_wh);
  if (!(surplus > 0.0)) return std::nullopt;
  return missing_wh / surplus;
}

}  // namespace nightbus
