// Sizing by the book. Sources: Sandia SAND87-7023 (load sheet read; later steps and factors from
// memory); IEEE 1013-2007 §5.2; IEEE 485 table 1 (values from memory, range and 25 °C basis from a
// copy); Wenham et al., Applied Photovoltaics §7.2 and Messenger & Ventre (both from memory).

#include <algorithm>
#include <array>
#include <cmath>

#include "nightbus/energy_bank.hpp"
#include "nightbus/energy_sizing.hpp"

namespace nightbus {

AmpHourResult amp_hour_sizing(const AmpHourInput& in) {
  AmpHourResult r;
  for (const SheetLoad& load : in.loads) r.load_ah += load.amp_hours(in.nominal_v);
  r.corrected_ah = r.load_ah / in.wire_efficiency / in.battery_efficiency;
  r.design_a = r.corrected_ah / in.peak_sun_h;
  r.derated_a = r.design_a / in.module_derate;
  r.modules_exact = r.derated_a / in.module_imp_a;
  r.modules = static_cast<int>(std::ceil(r.modules_exact));
  r.battery_ah = r.corrected_ah * in.days_of_storage / in.depth / in.temperature_derate;
  r.strings = static_cast<int>(std::ceil(r.battery_ah / in.string_ah));
  r.array_to_load = r.modules * in.module_imp_a * in.module_derate * in.peak_sun_h / r.corrected_ah;
  return r;
}

double watt_hour_battery_wh(double wh_per_day, double days, double depth, double size_factor) {
  return wh_per_day * days / depth * size_factor;
}

double ieee1013_current_a(double power_w, double system_v) {
  return power_w / (0.95 * system_v);
}

double ieee1013_capacity_ah(double autonomy_ah, double max_depth, double daily_ah,
                            double daily_depth, double size_factor, double margin) {
  return std::max({autonomy_ah / max_depth, daily_ah / daily_depth, autonomy_ah / 0.80}) *
         size_factor * margin;
}

double cell_size_factor(double temp_c) {
  static const PiecewiseLinear table{
      {25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 77, 80, 85, 90, 95, 100, 110, 120, 125},
      {1.52, 1.43, 1.35, 1.30, 1.25, 1.19, 1.15, 1.11, 1.08, 1.04, 1.00, 0.98, 0.96, 0.94, 0.93,
       0.91, 0.88, 0.86, 0.85}};
  return table.at(temp_c * 1.8 + 32.0);
}

double specific_gravity(double soc) {
  return 1.160 + 0.120 * soc;
}

double lead_acid_cell_v_by_gravity(double gravity) {
  return gravity + 0.845;
}

double battery_days(DaysRule rule, double peak_sun_h) {
  const double t = peak_sun_h;
  switch (rule) {
    case DaysRule::wenham_99:
      return 24.0 - 4.73 * t + 0.3 * t * t;
    case DaysRule::wenham_95:
      return 9.43 - 1.9 * t + 0.11 * t * t;
    case DaysRule::messenger_critical:
      return 18.3 - 1.9 * t;
    case DaysRule::messenger_non_critical:
      return 4.58 - 0.48 * t;
  }
  return 0.0;
}

std::string_view days_rule_source(DaysRule rule) {
  switch (rule) {
    case DaysRule::wenham_99:
      return "Wenham et al., Applied Photovoltaics §7.2, 99 % (memory)";
    case DaysRule::wenham_95:
      return "Wenham et al., Applied Photovoltaics §7.2, 95 % (memory)";
    case DaysRule::messenger_critical:
      return "Messenger & Ventre, critical loads (memory)";
    case DaysRule::messenger_non_critical:
      return "Messenger & Ventre, non-critical loads (memory)";
  }
  return "";
}

}  // namespace nightbus
