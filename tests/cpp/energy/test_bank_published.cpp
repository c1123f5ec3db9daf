// Published and computed values around banks.

#include <functional>
#include <map>

#include "nightbus/energy_answers.hpp"
#include "nightbus/energy_bank.hpp"
#include "nightbus/energy_sizing.hpp"
#include "published_table.hpp"

using namespace nightbus;

namespace {

using Arguments = std::array<double, 6>;

/// A router, a switch and an access point behind a converter, 3.0 h of sun.
AmpHourResult sandia() {
  static const std::array loads{SheetLoad{.power_w = 9.0}, SheetLoad{.power_w = 6.0},
                                SheetLoad{.power_w = 9.3, .conversion_efficiency = 0.88}};
  return amp_hour_sizing({.loads = loads});
}

const std::map<std::string, std::function<double(const Arguments&)>> functions{
    {"peukert_hours", [](const Arguments& a) { return peukert_run(a[0], a[1], a[2], a[3]).hours; }},
    {"peukert_ah",
     [](const Arguments& a) { return peukert_run(a[0], a[1], a[2], a[3]).amp_hours; }},
    {"peukert_exponent",
     [](const Arguments& a) { return peukert_exponent(a[0], a[1], a[2], a[3]); }},
    {"lead_acid_cell", [](const Arguments& a) { return lead_acid_cell_v(a[0]); }},
    {"lead_acid_six_by_concentration",
     [](const Arguments& a) { return 6.0 * lead_acid_cell_v(lead_acid_molality(a[0])); }},
    {"six_cells_by_gravity",
     [](const Arguments& a) { return 6.0 * lead_acid_cell_v_by_gravity(a[0]); }},
    {"gravity", [](const Arguments& a) { return specific_gravity(a[0]); }},
    {"lfp_electrode", [](const Arguments& a) { return lfp_electrode_v(a[0]); }},
    {"compensated",
     [](const Arguments& a) {
       return ChargeVoltages{.compensation_v_per_k = a[1]}.setpoint_v(a[0], a[2]);
     }},
    {"lfp_loss_percent",
     [](const Arguments& a) { return 100.0 * lfp_cycle_loss(a[0], a[1], a[2], a[3]); }},
    {"cpl_current",
     [](const Arguments& a) { return constant_power_point(a[0], a[1], a[2]).value().current_a; }},
    {"cpl_voltage",
     [](const Arguments& a) { return constant_power_point(a[0], a[1], a[2]).value().voltage_v; }},
    {"cpl_limit",
     [](const Arguments& a) {
       // The largest power that still has a solution, by bisection on the function itself.
       double low = 0.0;
       double high = 1e5;
       for (int k = 0; k < 200; ++k) {
         const double middle = 0.5 * (low + high);
         (constant_power_point(a[0], a[1], middle) ? low : high) = middle;
       }
       return low;
     }},
    {"taper_hours", [](const Arguments& a) { return taper_time_constant_h(a[0], a[1], a[2]); }},
    {"taper_time", [](const Arguments& a) { return a[0] * std::log(a[1] / a[2]); }},
    {"taper_ah", [](const Arguments& a) { return a[0] * (a[1] - a[2]); }},
    {"autonomy", [](const Arguments& a) { return autonomy_h(a[0], a[1], a[2], a[3]); }},
    {"refill", [](const Arguments& a) { return refill_days(a[0], a[1], a[2], a[3]).value(); }},
    {"surplus",
     [](const Arguments& a) { return 100.0 / refill_days(100.0, a[0], a[1], a[2]).value(); }},
    {"watt_hour_form",
     [](const Arguments& a) { return watt_hour_battery_wh(a[0], a[1], a[2], a[3]); }},
    {"watt_hour_form_ah",
     [](const Arguments& a) { return watt_hour_battery_wh(a[0], a[1], a[2], a[3]) / a[4]; }},
    {"ieee1013_current", [](const Arguments& a) { return ieee1013_current_a(a[0], a[1]); }},
    {"size_factor_f", [](const Arguments& a) { return cell_size_factor((a[0] - 32.0) / 1.8); }},
    {"wenham_99", [](const Arguments& a) { return battery_days(DaysRule::wenham_99, a[0]); }},
    {"wenham_95", [](const Arguments& a) { return battery_days(DaysRule::wenham_95, a[0]); }},
    {"messenger_critical",
     [](const Arguments& a) { return battery_days(DaysRule::messenger_critical, a[0]); }},
    {"messenger_non_critical",
     [](const Arguments& a) { return battery_days(DaysRule::messenger_non_critical, a[0]); }},
    {"sandia_load_ah", [](const Arguments&) { return sandia().load_ah; }},
    {"sandia_access_point_ah",
     [](const Arguments&) {
       return SheetLoad{.power_w = 9.3, .conversion_efficiency = 0.88}.amp_hours(12.0);
     }},
    {"sandia_corrected_ah", [](const Arguments&) { return sandia().corrected_ah; }},
    {"sandia_design_a", [](const Arguments&) { return sandia().design_a; }},
    {"sandia_derated_a", [](const Arguments&) { return sandia().derated_a; }},
    {"sandia_modules_exact", [](const Arguments&) { return sandia().modules_exact; }},
    {"sandia_modules", [](const Arguments&) { return double(sandia().modules); }},
    {"sandia_battery_ah", [](const Arguments&) { return sandia().battery_ah; }},
    {"sandia_strings", [](const Arguments&) { return double(sandia().strings); }},
    {"sandia_array_to_load", [](const Arguments&) { return sandia().array_to_load; }},
};

}  // namespace

TEST_CASE("published values around banks are met") {
  published::Table table;
  std::map<std::string, int> used;
  for (const auto& row : published::read(table, "bank_formulas.csv").rows) {
    const std::string name = row.text("function");
    REQUIRE_MESSAGE(functions.contains(name), "no function ", name);
    Arguments a{};
    const std::array<std::string, 6> letters{"a", "b", "c", "d", "e", "f"};
    for (std::size_t k = 0; k < a.size(); ++k) {
      a[k] = row.has(letters[k]) ? row.number(letters[k]) : 0.0;
    }
    published::check(row, "value", functions.at(name)(a));
    ++used[name];
  }
  for (const auto& [name, function] : functions) CHECK_MESSAGE(used[name] > 0, name);
}

TEST_CASE("no surplus means never, not a division") {
  CHECK_FALSE(refill_days(640.0, 300.0, 300.0, 0.95));
  CHECK_FALSE(refill_days(640.0, 200.0, 300.0, 0.95));
}

TEST_CASE("beyond V²/4R there is no operating point") {
  CHECK_FALSE(constant_power_point(12.0, 0.2, 200.0));
  CHECK(constant_power_point(12.0, 0.2, 180.0));
}
