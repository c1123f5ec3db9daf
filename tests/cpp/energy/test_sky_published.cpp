// Tables of formula values for sky, planes and modules.

#include <functional>
#include <map>
#include <numbers>

#include "nightbus/energy_array.hpp"
#include "nightbus/energy_sun.hpp"
#include "published_table.hpp"

using namespace nightbus;

namespace {

constexpr double rad = std::numbers::pi / 180.0;
using Arguments = std::array<double, 6>;

double e0_erbs(double day) {
  return extraterrestrial_wm2(day, ExtraterrestrialForm::spencer);
}

double h0(double latitude, double declination, double day) {
  return extraterrestrial_day_wh(latitude, declination,
                                 extraterrestrial_wm2(day, ExtraterrestrialForm::asce, 1367.0));
}

/// Whole day of Haurwitz at midpoints of `step` seconds, hour angle from -180°.
double haurwitz_day_wh(double latitude, double declination, double step) {
  double sum = 0.0;
  const double count = 86400.0 / step;
  for (double k = 0.5; k < count; k += 1.0) {
    const double h = (k * step - 43200.0) / 240.0;
    sum += haurwitz_ghi_wm2(zenith_deg(latitude, declination, h));
  }
  return sum * step / 3600.0;
}

Irradiance ineichen_of(const Arguments& a) {
  return ineichen({.apparent_zenith_deg = a[0],
                   .absolute_air_mass = a[1],
                   .linke_turbidity = a[2],
                   .altitude_m = a[3],
                   .extraterrestrial_wm2 = a[4],
                   .enhancement = a[5] != 0.0});
}

Irradiance ineichen_ky(const Arguments& a) {
  return ineichen_of({a[0], relative_air_mass(a[0]).value(), a[1], a[2], a[3], 0.0});
}

double default_loss() {
  constexpr std::array losses{0.02, 0.03, 0.0, 0.02, 0.02, 0.005, 0.015, 0.01, 0.0, 0.03};
  return combined_loss(losses);
}

double chain_dc(const Arguments& a) {
  return simple_power_w({.power_w = a[3], .coefficient_per_k = a[4]}, a[0],
                        faiman_cell_c(a[0], a[1], a[2]));
}

const std::map<std::string, std::function<double(const Arguments&)>> functions{
    {"incidence", [](const Arguments& a) { return incidence_deg(a[0], a[1], a[2], a[3]); }},
    {"cooper", [](const Arguments& a) { return cooper_declination_deg(a[0]); }},
    {"spencer", [](const Arguments& a) { return spencer_declination_deg(a[0]); }},
    {"equation_of_time", [](const Arguments& a) { return spencer_equation_of_time_min(a[0]); }},
    {"day_length",
     [](const Arguments& a) { return day_length_h(a[0], cooper_declination_deg(a[1])); }},
    {"h0_kwh",
     [](const Arguments& a) { return h0(a[0], cooper_declination_deg(a[1]), a[1]) / 1000.0; }},
    {"h0_mj",
     [](const Arguments& a) { return h0(a[0], cooper_declination_deg(a[1]), a[1]) * 3.6e-3; }},
    {"h0_mj_declination", [](const Arguments& a) { return h0(a[0], a[1], a[2]) * 3.6e-3; }},
    {"solar_time_min_of_day",
     [](const Arguments& a) { return 60.0 * solar_time_h(a[0], a[1], a[2], a[3]); }},
    {"incidence_by_hour",
     [](const Arguments& a) {
       return incidence_deg(a[3], a[4], zenith_deg(a[0], a[1], a[2]),
                            azimuth_deg(a[0], a[1], a[2]));
     }},
    {"zenith", [](const Arguments& a) { return zenith_deg(a[0], a[1], a[2]); }},
    {"azimuth", [](const Arguments& a) { return azimuth_deg(a[0], a[1], a[2]); }},
    {"e0_asce",
     [](const Arguments& a) {
       return extraterrestrial_wm2(a[0], ExtraterrestrialForm::asce, a[1]);
     }},
    {"e0_spencer",
     [](const Arguments& a) {
       return extraterrestrial_wm2(a[0], ExtraterrestrialForm::spencer, a[1]);
     }},
    {"air_mass", [](const Arguments& a) { return relative_air_mass(a[0]).value(); }},
    {"absolute_air_mass", [](const Arguments& a) { return absolute_air_mass(a[0], a[1]); }},
    {"pressure", [](const Arguments& a) { return pressure_at_altitude_pa(a[0]); }},
    {"haurwitz_elevation", [](const Arguments& a) { return haurwitz_ghi_wm2(90.0 - a[0]); }},
    {"haurwitz_day_wh", [](const Arguments& a) { return haurwitz_day_wh(a[0], a[1], a[2]); }},
    {"ineichen_ghi", [](const Arguments& a) { return ineichen_of(a).ghi_wm2; }},
    {"ineichen_dni", [](const Arguments& a) { return ineichen_of(a).dni_wm2; }},
    {"ineichen_dhi", [](const Arguments& a) { return ineichen_of(a).dhi_wm2; }},
    {"ineichen_ky_ghi", [](const Arguments& a) { return ineichen_ky(a).ghi_wm2; }},
    {"ineichen_ky_dni", [](const Arguments& a) { return ineichen_ky(a).dni_wm2; }},
    {"ineichen_ky_dhi", [](const Arguments& a) { return ineichen_ky(a).dhi_wm2; }},
    {"hour_angle_clock",
     [](const Arguments& a) { return 15.0 * (solar_time_h(a[0], a[1], a[2], a[3]) - 12.0); }},
    {"erbs_dni", [](const Arguments& a) { return erbs(a[0], a[1], e0_erbs(a[2])).dni_wm2; }},
    {"erbs_dhi", [](const Arguments& a) { return erbs(a[0], a[1], e0_erbs(a[2])).dhi_wm2; }},
    {"erbs_kt", [](const Arguments& a) { return erbs(a[0], a[1], e0_erbs(a[2])).clearness; }},
    {"isotropic",
     [](const Arguments& a) {
       return plane_irradiance(SkyModel::isotropic, {a[0], 180.0}, {.sky = {0.0, 0.0, a[1]}})
           .sky_wm2;
     }},
    {"ground", [](const Arguments& a) { return ground_diffuse_wm2(a[0], a[1], a[2]); }},
    {"klucher",
     [](const Arguments& a) {
       return plane_irradiance(SkyModel::klucher, {a[0], a[1]},
                               {.sky = {a[3], 0.0, a[2]}, .zenith_deg = a[4], .azimuth_deg = a[5]})
           .sky_wm2;
     }},
    {"faiman", [](const Arguments& a) { return faiman_cell_c(a[0], a[1], a[2], a[3], a[4]); }},
    {"sandia_back",
     [](const Arguments& a) {
       return sandia_cell_c(a[0], a[1], a[2], static_cast<ModuleMount>(static_cast<int>(a[3])))
           .back_c;
     }},
    {"sandia_cell",
     [](const Arguments& a) {
       return sandia_cell_c(a[0], a[1], a[2], static_cast<ModuleMount>(static_cast<int>(a[3])))
           .cell_c;
     }},
    {"ross", [](const Arguments& a) { return ross_cell_c(a[0], a[1], a[2]); }},
    {"simple_power",
     [](const Arguments& a) {
       return simple_power_w({.power_w = a[2], .coefficient_per_k = a[3], .low_light_k = a[4]},
                             a[0], a[1]);
     }},
    {"default_losses_percent", [](const Arguments&) { return 100.0 * default_loss(); }},
    {"chain_dc", [](const Arguments& a) { return chain_dc(a); }},
    {"chain_after_losses", [](const Arguments& a) { return chain_dc(a) * (1.0 - default_loss()); }},
    {"inverter", [](const Arguments& a) { return inverter_ac_w(a[0], a[1], a[2]); }},
    {"ashrae", [](const Arguments& a) { return ashrae_modifier(a[0]); }},
    {"physical", [](const Arguments& a) { return physical_modifier(a[0]); }},
    {"martin_ruiz", [](const Arguments& a) { return martin_ruiz_modifier(a[0]); }},
};

SkyModel sky_model(const std::string& name) {
  const std::map<std::string, SkyModel> names{{"isotropic", SkyModel::isotropic},
                                              {"hay_davies", SkyModel::hay_davies},
                                              {"reindl", SkyModel::reindl},
                                              {"klucher", SkyModel::klucher},
                                              {"perez", SkyModel::perez}};
  return names.at(name);
}

}  // namespace

TEST_CASE("published formula values of sun, sky and array are met") {
  published::Table table;
  std::map<std::string, int> used;
  for (const auto& row : published::read(table, "sun_formulas.csv").rows) {
    const std::string name = row.text("function");
    REQUIRE_MESSAGE(functions.contains(name), "no function ", name);
    Arguments a{};
    const std::array<std::string, 6> letters{"a", "b", "c", "d", "e", "f"};
    for (std::size_t k = 0; k < a.size(); ++k)
      a[k] = row.has(letters[k]) ? row.number(letters[k]) : 0.0;
    published::check(row, "value", functions.at(name)(a));
    ++used[name];
  }
  for (const auto& [name, function] : functions)
    CHECK_MESSAGE(used[name] > 0, name, " is never checked");
}

TEST_CASE("air mass does not exist below the horizon") {
  CHECK_FALSE(relative_air_mass(90.01));
  CHECK_FALSE(relative_air_mass(std::nan("")));
}

TEST_CASE("published plane irradiances are met for all five sky models") {
  published::Table table;
  for (const auto& row : published::read(table, "sun_planes.csv").rows) {
    SkyInput in;
    in.zenith_deg = row.number("zenith");
    in.azimuth_deg = row.number("azimuth");
    in.sky.dni_wm2 = row.number("dni");
    in.sky.dhi_wm2 = row.number("dhi");
    in.sky.ghi_wm2 = row.text("ghi") == "closure"
                         ? in.sky.dhi_wm2 + in.sky.dni_wm2 * std::cos(in.zenith_deg * rad)
                         : row.number("ghi");
    in.relative_air_mass =
        row.text("air_mass") == "KY" ? relative_air_mass(in.zenith_deg) : row.number("air_mass");
    in.extraterrestrial_wm2 = row.has("e0") ? row.number("e0") : 1321.1655834833;
    in.albedo = row.number("albedo");
    const Plane plane{row.number("tilt"), row.number("plane_azimuth")};
    const PlaneIrradiance p = plane_irradiance(sky_model(row.text("model")), plane, in);
    const PerezParts parts = perez_parts(plane, in);
    const std::map<std::string, double> got{{"sky", p.sky_wm2},
                                            {"beam", p.beam_wm2},
                                            {"ground", p.ground_wm2},
                                            {"whole", p.total_wm2()},
                                            {"isotropic_part", parts.isotropic_wm2},
                                            {"circumsolar_part", parts.circumsolar_wm2},
                                            {"horizon_part", parts.horizon_wm2}};
    published::check(row, "value", got.at(row.text("part")));
  }
}

TEST_CASE("published single-diode points are met") {
  published::Table table;
  for (const auto& row : published::read(table, "sun_modules.csv").rows) {
    const DiodeModule module{.alpha_isc_a_per_k = row.number("alpha"),
                             .a_ref_v = row.number("a"),
                             .light_current_ref_a = row.number("il"),
                             .saturation_ref_a = row.number("i0"),
                             .shunt_ref_ohm = row.number("rsh"),
                             .series_ohm = row.number("rs")};
    DiodeCurve curve{.light_current_a = row.number("il"),
                     .saturation_a = row.number("i0"),
                     .series_ohm = row.number("rs"),
                     .shunt_ohm = row.number("rsh"),
                     .a_v = row.number("a")};
    if (row.has("light")) curve = diode_curve(module, row.number("light"), row.number("cell_c"));
    const auto best = curve.maximum_power();
    const auto close = [&](const char* column, double got) {
      const double expected = row.number(column);
      INFO(row.text("module"), " ", column, " expected ", expected, " got ", got);
      CHECK(std::abs(got - expected) <= published::Row::half_last_digit(row.text(column)));
    };
    close("isc", curve.short_circuit_a());
    close("voc", curve.open_circuit_v());
    close("imp", best.current_a);
    close("vmp", best.voltage_v);
    close("pmp", best.power_w());
  }
}

TEST_CASE("a module held at the bus voltage passes the published current") {
  const DiodeModule m18{.alpha_isc_a_per_k = 0.003,
                        .a_ref_v = 0.473,
                        .light_current_ref_a = 7.545,
                        .saturation_ref_a = 1.94e-9,
                        .shunt_ref_ohm = 15.72,
                        .series_ohm = 0.094};
  const DiodeModule m36 = combine(m18, 2, 1);
  CHECK(m36.a_ref_v == doctest::Approx(0.946));
  CHECK(m36.shunt_ref_ohm == doctest::Approx(31.44));
  published::Table table;
  for (const auto& row : published::read(table, "sun_bus_coupling.csv").rows) {
    const DiodeCurve curve = diode_curve(m36, row.number("light"), row.number("cell_c"));
    const auto best = curve.maximum_power();
    CHECK(std::abs(best.power_w() - row.number("pmp")) < 0.5e-4);
    CHECK(std::abs(best.voltage_v - row.number("vmp")) < 0.5e-4);
    const double current = curve.current_at(row.number("bus_v"));
    CHECK(std::abs(current - row.number("current")) < 0.5e-4);
    CHECK(std::abs(current * row.number("bus_v") / best.power_w() - row.number("share")) < 0.5e-3);
  }
  // A high-voltage module on a low bus wastes most of itself (De Soto 2006, computed).
  const DiodeModule m96{.alpha_isc_a_per_k = 0.004539,
                        .a_ref_v = 2.6373,
                        .light_current_ref_a = 5.114,
                        .saturation_ref_a = 8.196e-10,
                        .shunt_ref_ohm = 381.68,
                        .series_ohm = 1.065};
  const DiodeCurve curve = diode_curve(m96, 1000.0, 25.0);
  CHECK(std::abs(curve.current_at(13.2) - 5.0653) < 0.5e-4);
  CHECK(std::abs(curve.current_at(13.2) * 13.2 - 66.9) < 0.05);
}

TEST_CASE(
    "saturation current at 50 °C is the equation's 9.455e-8 A, not the 7.419e-8 A printed "
    "elsewhere") {
  const DiodeModule m18{.alpha_isc_a_per_k = 0.003,
                        .a_ref_v = 0.473,
                        .light_current_ref_a = 7.545,
                        .saturation_ref_a = 1.94e-9,
                        .shunt_ref_ohm = 15.72,
                        .series_ohm = 0.094};
  const DiodeCurve curve = diode_curve(m18, 800.0, 50.0);
  CHECK(curve.saturation_a == doctest::Approx(9.455e-8).epsilon(5e-4));
  CHECK(curve.a_v == doctest::Approx(0.51266).epsilon(1e-5));
}
