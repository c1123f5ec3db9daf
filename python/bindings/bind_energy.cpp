#include <cmath>
#include <limits>
#include <optional>

#include "bindings.hpp"
#include "columns.hpp"
#include "nightbus/energy.hpp"
#include "values.hpp"

// Sun, sky and array over columns, and the plain year. What belongs together in time (the
// simulation) is in bind_simulation.cpp.

namespace py = pybind11;

namespace nightbus::python {
namespace {

constexpr double nan = std::numeric_limits<double>::quiet_NaN();

std::span<const double> span_of(const Column& column) {
  return {column.data(), static_cast<std::size_t>(column.size())};
}

/// An absent air mass is NaN in a column.
std::optional<double> present(double value) {
  return std::isnan(value) ? std::nullopt : std::optional(value);
}

SunSite sun_site(double latitude_deg, double longitude_deg, double altitude_m,
                 std::optional<double> pressure_pa, double temp_c) {
  return {latitude_deg, longitude_deg, altitude_m, pressure_pa, temp_c};
}

py::dict sun_columns(const Column& time_s, double latitude_deg, double longitude_deg,
                     double altitude_m, std::optional<double> pressure_pa, double temp_c,
                     std::optional<double> delta_t_s, bool exact) {
  const SunSite site = sun_site(latitude_deg, longitude_deg, altitude_m, pressure_pa, temp_c);
  std::array<Column, 5> out;
  for (Column& column : out) column = Column(time_s.size());
  const auto span = [&](std::size_t k) {
    return std::span<double>(out[k].mutable_data(), static_cast<std::size_t>(out[k].size()));
  };
  const SunColumns columns{span(0), span(1), span(2), span(3), span(4)};
  const std::span<const double> times = span_of(time_s);
  {
    const py::gil_scoped_release release;
    if (exact) {
      for (std::size_t k = 0; k < times.size(); ++k) {
        const SunPosition p = sun_position(times[k], site, delta_t_s);
        columns.zenith_deg[k] = p.zenith_deg;
        columns.apparent_zenith_deg[k] = p.apparent_zenith_deg;
        columns.azimuth_deg[k] = p.azimuth_deg;
        columns.distance_au[k] = p.distance_au;
        columns.equation_of_time_min[k] = p.equation_of_time_min;
      }
    } else {
      sun_positions(times, site, columns, delta_t_s);
    }
  }
  py::dict found;
  found["zenith_deg"] = out[0];
  found["apparent_zenith_deg"] = out[1];
  found["azimuth_deg"] = out[2];
  found["distance_au"] = out[3];
  found["equation_of_time_min"] = out[4];
  return found;
}

void bind_sun(py::module_& module) {
  module.def(
      "sun_positions", &sun_columns, py::arg("time_s"), py::arg("latitude_deg"),
      py::arg("longitude_deg"), py::arg("altitude_m") = 0.0, py::arg("pressure_pa") = py::none(),
      py::arg("temp_c") = 12.0, py::arg("delta_t_s") = py::none(), py::arg("exact") = false,
      "Zenith, apparent zenith, azimuth (from north, clockwise), distance and equation of time "
      "at UTC seconds. exact: every instant by the whole algorithm.");

  Value<SunTimes>(module, "SunTimes", "Rise, transit and set of one local day, UTC seconds.")
      .NB_READ(SunTimes, transit_s)
      .NB_READ(SunTimes, rise_s)
      .NB_READ(SunTimes, set_s)
      .NB_READ(SunTimes, polar_day)
      .NB_READ(SunTimes, polar_night);
  module.def(
      "sun_times",
      [](double local_noon_s, double latitude_deg, double longitude_deg,
         std::optional<double> delta_t_s) {
        return sun_times(local_noon_s, sun_site(latitude_deg, longitude_deg, 0.0, {}, 12.0),
                         delta_t_s);
      },
      py::arg("local_noon_s"), py::arg("latitude_deg"), py::arg("longitude_deg"),
      py::arg("delta_t_s") = py::none(), "Rise, transit and set of the day with that noon.");
}

void bind_sky(py::module_& module) {
  py::native_enum<ClearSkyModel>(module, "ClearSkyModel", "enum.Enum", "Models of the clear sky.")
      .value("haurwitz", ClearSkyModel::haurwitz)
      .value("ineichen", ClearSkyModel::ineichen)
      .finalize();
  py::native_enum<SkyModel>(module, "SkyModel", "enum.Enum",
                            "How the sky's diffuse light is spread.")
      .value("isotropic", SkyModel::isotropic)
      .value("hay_davies", SkyModel::hay_davies)
      .value("reindl", SkyModel::reindl)
      .value("klucher", SkyModel::klucher)
      .value("perez", SkyModel::perez)
      .finalize();

  module.def(
      "extraterrestrial_wm2",
      [](const Column& day_of_year, bool asce, double constant_wm2) {
        const auto form = asce ? ExtraterrestrialForm::asce : ExtraterrestrialForm::spencer;
        return map_columns(std::array{&day_of_year}, [&](const auto& row) {
          return extraterrestrial_wm2(row[0], form, constant_wm2);
        });
      },
      py::arg("day_of_year"), py::arg("asce") = false, py::arg("constant_wm2") = solar_constant_wm2,
      "Irradiance outside the air.");
  module.def(
      "relative_air_mass",
      [](const Column& apparent_zenith_deg) {
        return map_columns(std::array{&apparent_zenith_deg},
                           [](const auto& row) { return relative_air_mass(row[0]).value_or(nan); });
      },
      py::arg("apparent_zenith_deg"), "Kasten and Young 1989; NaN below the horizon.");
  module.def(
      "clear_sky",
      [](ClearSkyModel model, const Column& zenith, const Column& apparent, const Column& e0,
         double altitude_m, double turbidity) {
        const double pressure = pressure_at_altitude_pa(altitude_m);
        return map_to_columns<3>(
            std::array{&zenith, &apparent, &e0}, [&](const auto& row, auto& out) {
              const Irradiance sky =
                  clear_sky(model, row[0], row[1], altitude_m, pressure, turbidity, row[2]);
              out = {sky.ghi_wm2, sky.dni_wm2, sky.dhi_wm2};
            });
      },
      py::arg("model"), py::arg("zenith_deg"), py::arg("apparent_zenith_deg"),
      py::arg("extraterrestrial_wm2"), py::arg("altitude_m") = 0.0,
      py::arg("linke_turbidity") = 3.0,
      "Global, direct normal and diffuse under a clear sky, W/m².");
  module.def(
      "erbs",
      [](const Column& ghi, const Column& zenith, const Column& e0) {
        return map_to_columns<3>(std::array{&ghi, &zenith, &e0}, [](const auto& row, auto& out) {
          const Split split = erbs(row[0], row[1], row[2]);
          out = {split.dni_wm2, split.dhi_wm2, split.clearness};
        });
      },
      py::arg("ghi_wm2"), py::arg("zenith_deg"), py::arg("extraterrestrial_wm2"),
      "Direct normal, diffuse and clearness from global irradiance.");
  module.def(
      "plane_irradiance",
      [](SkyModel model, double tilt_deg, double plane_azimuth_deg, const Column& zenith,
         const Column& azimuth, const Column& ghi, const Column& dni, const Column& dhi,
         const Column& e0, const Column& air_mass, double albedo) {
        const Plane plane{tilt_deg, plane_azimuth_deg};
        return map_to_columns<3>(std::array{&zenith, &azimuth, &ghi, &dni, &dhi, &e0, &air_mass},
                                 [&](const auto& row, auto& out) {
                                   const PlaneIrradiance p =
                                       plane_irradiance(model, plane,
                                                        {.sky = {row[2], row[3], row[4]},
                                                         .zenith_deg = row[0],
                                                         .azimuth_deg = row[1],
                                                         .extraterrestrial_wm2 = row[5],
                                                         .relative_air_mass = present(row[6]),
                                                         .albedo = albedo});
                                   out = {p.beam_wm2, p.sky_wm2, p.ground_wm2};
                                 });
      },
      py::arg("model"), py::arg("tilt_deg"), py::arg("plane_azimuth_deg"), py::arg("zenith_deg"),
      py::arg("azimuth_deg"), py::arg("ghi_wm2"), py::arg("dni_wm2"), py::arg("dhi_wm2"),
      py::arg("extraterrestrial_wm2"), py::arg("relative_air_mass"), py::arg("albedo") = 0.2,
      "Beam, sky and ground irradiance on a plane, W/m²; an absent air mass is NaN.");
}

void bind_array(py::module_& module) {
  py::native_enum<IncidenceModel>(module, "IncidenceModel", "enum.Enum",
                                  "Loss of the beam at a slant.")
      .value("none", IncidenceModel::none)
      .value("ashrae", IncidenceModel::ashrae)
      .value("physical", IncidenceModel::physical)
      .value("martin_ruiz", IncidenceModel::martin_ruiz)
      .finalize();
  module.def(
      "incidence_modifier",
      [](IncidenceModel model, const Column& incidence) {
        return map_columns(std::array{&incidence},
                           [&](const auto& row) { return incidence_modifier(model, row[0]); });
      },
      py::arg("model"), py::arg("incidence_deg"), "Share of the beam that enters, 1 square on.");
  module.def(
      "faiman_cell_c",
      [](const Column& plane, const Column& air, const Column& wind, double u0, double u1) {
        return map_columns(std::array{&plane, &air, &wind}, [&](const auto& row) {
          return faiman_cell_c(row[0], row[1], row[2], u0, u1);
        });
      },
      py::arg("plane_wm2"), py::arg("air_c"), py::arg("wind_ms"), py::arg("u0") = 25.0,
      py::arg("u1") = 6.84, "Cell temperature, Faiman 2008.");
  module.def(
      "simple_power_w",
      [](const Column& light, const Column& cell, double power_w, double coefficient_per_k) {
        const SimpleModule module_{.power_w = power_w, .coefficient_per_k = coefficient_per_k};
        return map_columns(std::array{&light, &cell}, [&](const auto& row) {
          return simple_power_w(module_, row[0], row[1]);
        });
      },
      py::arg("light_wm2"), py::arg("cell_c"), py::arg("power_w"),
      py::arg("coefficient_per_k") = -0.004, "Power of a module in proportion to light.");
  module.def(
      "diode_points",
      [](const Column& light, const Column& cell, double alpha, double a, double il, double i0,
         double rsh, double rs) {
        const DiodeModule diode{.alpha_isc_a_per_k = alpha,
                                .a_ref_v = a,
                                .light_current_ref_a = il,
                                .saturation_ref_a = i0,
                                .shunt_ref_ohm = rsh,
                                .series_ohm = rs};
        return map_to_columns<5>(std::array{&light, &cell}, [&](const auto& row, auto& out) {
          const DiodeCurve curve = diode_curve(diode, row[0], row[1]);
          const DiodeCurve::Point best = curve.maximum_power();
          out = {curve.short_circuit_a(), curve.open_circuit_v(), best.current_a, best.voltage_v,
                 best.power_w()};
        });
      },
      py::arg("light_wm2"), py::arg("cell_c"), py::arg("alpha_isc_a_per_k"), py::arg("a_ref_v"),
      py::arg("light_current_ref_a"), py::arg("saturation_ref_a"), py::arg("shunt_ref_ohm"),
      py::arg("series_ohm"),
      "Short-circuit current, open-circuit voltage, current, voltage and power at the best point.");
  module.def(
      "diode_current_a",
      [](const Column& voltage, const Column& light, const Column& cell, double alpha, double a,
         double il, double i0, double rsh, double rs) {
        const DiodeModule diode{.alpha_isc_a_per_k = alpha,
                                .a_ref_v = a,
                                .light_current_ref_a = il,
                                .saturation_ref_a = i0,
                                .shunt_ref_ohm = rsh,
                                .series_ohm = rs};
        return map_columns(std::array{&voltage, &light, &cell}, [&](const auto& row) {
          return diode_curve(diode, row[1], row[2]).current_at(row[0]);
        });
      },
      py::arg("voltage_v"), py::arg("light_wm2"), py::arg("cell_c"), py::arg("alpha_isc_a_per_k"),
      py::arg("a_ref_v"), py::arg("light_current_ref_a"), py::arg("saturation_ref_a"),
      py::arg("shunt_ref_ohm"), py::arg("series_ohm"), "Current of a module held at a voltage.");
}

py::dict plain(const PlainYear& y) {
  py::dict out;
  out["array_wh"] = y.array_wh;
  out["load_wh"] = y.load_wh;
  out["unmet_wh"] = y.unmet_wh;
  out["curtailed_wh"] = y.curtailed_wh;
  out["charged_wh"] = y.charged_wh;
  out["charge_loss_wh"] = y.charge_loss_wh;
  out["direct_wh"] = y.direct_wh;
  out["start_wh"] = y.start_wh;
  out["end_wh"] = y.end_wh;
  out["lowest_share"] = y.lowest_share;
  out["unmet_steps"] = y.unmet_steps;
  out["longest_unmet_steps"] = y.longest_unmet_steps;
  out["balance_gap_wh"] = y.balance_gap_wh();
  return out;
}

void bind_plain(py::module_& module) {
  module.def(
      "plain_year",
      [](const Column& array_w, const Column& load_w, double step_s, double capacity_wh,
         double floor_share, double start_share, double charge_efficiency) {
        const PlainBank bank{capacity_wh, floor_share, start_share, charge_efficiency};
        PlainYear year;
        {
          const py::gil_scoped_release release;
          year = plain_year(span_of(array_w), span_of(load_w), step_s, bank);
        }
        return plain(year);
      },
      py::arg("array_w"), py::arg("load_w"), py::arg("step_s"), py::arg("capacity_wh"),
      py::arg("floor_share") = 0.2, py::arg("start_share") = 1.0,
      py::arg("charge_efficiency") = 0.95,
      "The plain balance: watts in, watts out, a bank of watt-hours.");
  module.def(
      "plain_years",
      [](const Column& array_w, const Column& load_w, double step_s, std::size_t steps,
         const Column& capacity_wh, const Column& array_scale, double floor_share,
         double start_share, double charge_efficiency, std::size_t threads) {
        std::vector<PlainBank> banks;
        for (const double wh : span_of(capacity_wh)) {
          banks.push_back({wh, floor_share, start_share, charge_efficiency});
        }
        PlainBatch batch;
        batch.array_w = span_of(array_w);
        batch.load_w = span_of(load_w);
        batch.array_scale = span_of(array_scale);
        batch.banks = banks;
        batch.steps = steps;
        batch.step_s = step_s;
        batch.threads = threads;
        std::vector<PlainYear> years;
        {
          const py::gil_scoped_release release;
          years = plain_years(batch);
        }
        py::list out;
        for (const PlainYear& year : years) out.append(plain(year));
        return out;
      },
      py::arg("array_w"), py::arg("load_w"), py::arg("step_s"), py::arg("steps"),
      py::arg("capacity_wh"), py::arg("array_scale"), py::arg("floor_share") = 0.2,
      py::arg("start_share") = 1.0, py::arg("charge_efficiency") = 0.95, py::arg("threads") = 0,
      "Many plain years at once; row k of the result equals a lone plain_year.");

  module.def(
      "battery_days",
      [](double peak_sun_h) {
        py::dict days;
        for (const DaysRule rule :
             {DaysRule::wenham_99, DaysRule::wenham_95, DaysRule::messenger_critical,
              DaysRule::messenger_non_critical}) {
          days[py::str(std::string(days_rule_source(rule)))] = battery_days(rule, peak_sun_h);
        }
        return days;
      },
      py::arg("peak_sun_h"), "Published rules of thumb for the days a bank should last.");
}

}  // namespace

void bind_energy(py::module_& module) {
  bind_sun(module);
  bind_sky(module);
  bind_array(module);
  bind_plain(module);
}

}  // namespace nightbus::python
