#pragma once
/// Published sizing methods and rules of thumb, to stand beside the simulation, never instead of
/// it.

#include <optional>
#include <span>
#include <string_view>
#include <vector>

namespace nightbus {

/// One line of a load sheet.
struct SheetLoad {
  double power_w = 0.0;
  double hours_a_day = 24.0;
  double days_a_week = 7.0;
  double conversion_efficiency = 1.0;  ///< of what stands between bank and load
  double amp_hours(double nominal_v) const {
    return power_w * hours_a_day * days_a_week / 7.0 / conversion_efficiency / nominal_v;
  }
};

/// Amp-hour method of Sandia's Stand-Alone Photovoltaic Systems handbook (SAND87-7023).
struct AmpHourInput {
  std::span<const SheetLoad> loads{};
  double nominal_v = 12.0;
  double wire_efficiency = 0.98, battery_efficiency = 0.90;  ///< output over input
  double peak_sun_h = 3.0;     ///< of the month with the worst ratio of load to sun
  double module_derate = 0.9;  ///< for dirt and age
  double module_imp_a = 6.6;   ///< current at greatest power
  double days_of_storage = 5.0;
  double depth = 0.50;               ///< largest depth of discharge
  double temperature_derate = 0.90;  ///< of the capacity in the cold
  double string_ah = 105.0;          ///< capacity of one string
};
struct AmpHourResult {
  double load_ah = 0.0, corrected_ah = 0.0;  ///< per day
  double design_a = 0.0, derated_a = 0.0;    ///< that the array must give in the sun; with derating
  double modules_exact = 0.0;                ///< in parallel, before rounding up
  int modules = 0;
  double battery_ah = 0.0;
  int strings = 0;             ///< of the bank, in parallel
  double array_to_load = 0.0;  ///< as built
};
AmpHourResult amp_hour_sizing(const AmpHourInput& in);

/// Watt-hours a day, days, depth and temperature factor → battery Wh.
double watt_hour_battery_wh(double wh_per_day, double days, double depth, double size_factor);

/// IEEE 1013: constant power counted at 95 % of the system voltage.
double ieee1013_current_a(double power_w, double system_v);
/// IEEE 1013 (memory): the largest of the three demands, times temperature factor and margin.
double ieee1013_capacity_ah(double autonomy_ah, double max_depth, double daily_ah,
                            double daily_depth, double size_factor, double margin);

/// Linear in the table of IEEE 485 cell-size factors: capacity = 1/factor. Ends held.
double cell_size_factor(double temp_c);

/// Specific gravity at 80 °F by charge (US Army TM 5-1185, table IV) and cell volts by SG + 0.845.
double specific_gravity(double soc);
double lead_acid_cell_v_by_gravity(double gravity);

/// Days of battery for an availability, by peak sun hours of the design month.
enum class DaysRule { wenham_99, wenham_95, messenger_critical, messenger_non_critical };
double battery_days(DaysRule rule, double peak_sun_h);
std::string_view days_rule_source(DaysRule rule);

}  // namespace nightbus
