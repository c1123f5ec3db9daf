// Published and computed values of air, boxes and fan laws.

#include <functional>
#include <map>

#include "nightbus/thermal.hpp"
#include "published_table.hpp"

using namespace nightbus;

namespace {

using Arguments = std::array<double, 4>;
constexpr double cubic_foot_m3 = 0.3048 * 0.3048 * 0.3048;
constexpr double cfm_per_m3s = 60.0 / cubic_foot_m3;

// 3.16 CFM·°F per watt is the trade's shortcut; it is here to be compared with, not to be used.
double shortcut_m3s(const Arguments& a) {
  return 3.16 * a[0] / a[1] / cfm_per_m3s;
}
double barometer_inhg(double kilofeet) {
  return 29.873 - 1.049 * kilofeet + 0.012 * kilofeet * kilofeet;
}
double rho_cp(const Arguments& a) {
  return air_density_kg_per_m3(a[0], a[1]) * air_heat_capacity_j_per_kgk;
}
double density_of(double rho_cp_j) {
  return rho_cp_j / air_heat_capacity_j_per_kgk;
}
FanPoint slowed(double ratio) {
  return fan_at_speed({1.0, 1.0, 1.0}, ratio);
}

const std::map<std::string, std::function<double(const Arguments&)>> functions{
    {"airflow_cfm", [](const Arguments& a) { return airflow_m3s(a[0], a[1], a[2]) * cfm_per_m3s; }},
    {"airflow_m3h_by_rho_cp",
     [](const Arguments& a) { return airflow_m3s(a[0], a[1], density_of(a[2])) * 3600.0; }},
    {"us_shortcut_cfm", [](const Arguments& a) { return shortcut_m3s(a) * cfm_per_m3s; }},
    {"us_shortcut_m3h", [](const Arguments& a) { return shortcut_m3s(a) * 3600.0; }},
    {"surface", [](const Arguments& a) { return surface_for_rise_m2(a[0], a[1], a[2]); }},
    {"rise_by_rho_cp",
     [](const Arguments& a) {
       return temperature_rise_k(a[0], a[1], a[2] / 3600.0, density_of(a[3]));
     }},
    {"fan_flow", [](const Arguments& a) { return slowed(a[0]).flow_m3s; }},
    {"fan_pressure", [](const Arguments& a) { return slowed(a[0]).pressure_pa; }},
    {"fan_power", [](const Arguments& a) { return slowed(a[0]).power_w; }},
    {"capacitor_life", [](const Arguments& a) { return capacitor_life_h(a[0], a[1], a[2]); }},
    {"pressure_ratio_ft", [](const Arguments& a) { return air_pressure_ratio(a[0] * 0.3048); }},
    {"density_ratio", [](const Arguments& a) { return air_density_ratio(a[0]); }},
    {"barometer_fit_inhg", [](const Arguments& a) { return barometer_inhg(a[0]); }},
    {"barometer_fit_ratio", [](const Arguments& a) { return barometer_inhg(a[0]) / 29.92; }},
    {"rho_cp", rho_cp},
    {"m3h_per_w_k", [](const Arguments& a) { return 3600.0 / rho_cp(a); }},
    {"cfm_k_per_w", [](const Arguments& a) { return cfm_per_m3s / rho_cp(a); }},
    {"density", [](const Arguments& a) { return air_density_kg_per_m3(a[0], a[1]); }},
};

}  // namespace

TEST_CASE("published values of air, boxes, fans and life are met") {
  published::Table table;
  std::map<std::string, int> used;
  for (const auto& row : published::read(table, "heat_formulas.csv").rows) {
    const std::string name = row.text("function");
    REQUIRE_MESSAGE(functions.contains(name), "no function ", name);
    Arguments a{};
    const std::array<std::string, 4> letters{"a", "b", "c", "d"};
    for (std::size_t k = 0; k < a.size(); ++k) {
      a[k] = row.has(letters[k]) ? row.number(letters[k]) : 0.0;
    }
    published::check(row, "value", functions.at(name)(a));
    ++used[name];
  }
  for (const auto& [name, function] : functions) CHECK_MESSAGE(used[name] > 0, name);
}

TEST_CASE("capacitor life is capped near fifteen years") {
  CHECK(capacitor_life_h(5000.0, 105.0, 20.0) == 131400.0);
}

TEST_CASE(
    "a compartment uses the pressure ratio, which differs from the free air's density ratio") {
  CHECK(air_pressure_ratio(1524.0) == doctest::Approx(0.832).epsilon(1e-3));
  CHECK(air_density_ratio(1524.0) == doctest::Approx(0.862).epsilon(1e-3));
  // At the same local temperature the compartment's air is lighter by the pressure alone.
  CHECK(air_density_kg_per_m3(20.0, air_pressure_ratio(1524.0)) ==
        doctest::Approx(1.204 * 0.832).epsilon(1e-3));
}
