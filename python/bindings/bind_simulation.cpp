#include <pybind11/functional.h>
#include <pybind11/numpy.h>

#include <atomic>
#include <cmath>
#include <utility>

#include "bindings.hpp"
#include "columns.hpp"
#include "nightbus/scenario_simulation.hpp"

// The simulation of a described system. A run takes its weather as columns, works without the GIL,
// and gives its trace as one block [column x row].

namespace py = pybind11;

namespace nightbus::python {
namespace {

using Offsets = std::vector<std::pair<double, double>>;

LocalClock clock_of(const Offsets& offsets) {
  LocalClock clock;
  for (const auto& [utc_s, offset_s] : offsets) clock.changes.push_back({utc_s, offset_s});
  return clock;
}

std::vector<double> vector_of(const Column& column) {
  return {column.data(), column.data() + column.size()};
}

WeatherSeries weather_of(double start_s, double step_s, const Column& ghi, const Column& dni,
                         const Column& dhi, const Column& temp, const Column& wind) {
  WeatherSeries w;
  w.start_s = start_s;
  w.step_s = step_s;
  w.ghi_wm2 = vector_of(ghi);
  w.dni_wm2 = vector_of(dni);
  w.dhi_wm2 = vector_of(dhi);
  w.temp_c = vector_of(temp);
  w.wind_ms = vector_of(wind);
  return w;
}

Column column_of(const std::vector<double>& values) {
  return Column(static_cast<py::ssize_t>(values.size()), values.data());
}

/// Lets Python show progress and be interrupted now and then; what it raises ends the run and is
/// raised again afterwards, with what was done kept by the caller.
class Watch {
 public:
  explicit Watch(py::object callback) : callback_(std::move(callback)) {}
  bool operator()(double share) {
    const py::gil_scoped_acquire acquire;
    if (PyErr_CheckSignals() != 0) {
      interrupted_ = true;
      PyErr_Clear();
      return false;
    }
    if (callback_.is_none()) return true;
    try {
      callback_(share);
    } catch (py::error_already_set& error) {
      if (!error.matches(PyExc_KeyboardInterrupt)) throw;
      interrupted_ = true;
      return false;
    }
    return true;
  }
  bool interrupted() const { return interrupted_; }

 private:
  py::object callback_;
  bool interrupted_ = false;
};

/// Years of bootstrapped weather for one made system.
std::vector<SimulationInput> bootstrapped(const SimulationInput& input, std::size_t years,
                                          int block_days, int window_days, std::uint64_t seed) {
  const auto per_day = static_cast<std::size_t>(std::llround(86400.0 / input.weather.step_s));
  const std::size_t file_days = per_day > 0 ? input.weather.size() / per_day : 0;
  const auto days = bootstrap_days(
      file_days,
      {.years = years, .block_days = block_days, .window_days = window_days, .seed = seed});
  std::vector<SimulationInput> out;
  for (std::size_t y = 0; y < years; ++y) {
    SimulationInput year = input;
    year.weather = shuffled_weather(input.weather, std::span(days).subspan(y * 365, 365),
                                    input.weather.start_s);
    year.options.start_s = input.weather.start_s;
    year.options.steps =
        static_cast<std::size_t>(std::llround(365.0 * 86400.0 / input.options.step_s));
    year.options.record_every = 0;
    out.push_back(std::move(year));
  }
  return out;
}

void bind_made(py::module_& module) {
  using Made = DescribedSimulation;
  py::class_<Made>(module, "SimulationModel",
                   "A described system ready to be simulated; fill in the weather and run.")
      .def_property_readonly("load_names",
                             [](const Made& m) {
                               std::vector<std::string> names;
                               for (const auto& load : m.loads) names.push_back(load.name);
                               return names;
                             })
      .def_property_readonly("load_kinds",
                             [](const Made& m) {
                               std::vector<std::string> kinds;
                               for (const auto& load : m.loads) kinds.push_back(load.kind);
                               return kinds;
                             })
      .NB_READ(Made, banks)
      .NB_READ(Made, arrays)
      .NB_READ(Made, chargers)
      .NB_READ(Made, converters)
      .NB_READ(Made, compartments)
      .NB_READ(Made, fans)
      .NB_READ(Made, assumptions)
      .def(
          "set_weather",
          [](Made& m, double start_s, double step_s, const Column& ghi, const Column& dni,
             const Column& dhi, const Column& temp, const Column& wind) {
            m.input.weather = weather_of(start_s, step_s, ghi, dni, dhi, temp, wind);
          },
          py::arg("start_s"), py::arg("step_s"), py::arg("ghi_wm2"), py::arg("dni_wm2"),
          py::arg("dhi_wm2"), py::arg("temp_c"), py::arg("wind_ms"),
          "Values hold from start_s + k step_s for one step.")
      .def(
          "set_clear_sky",
          [](Made& m, double start_s, double step_s, std::size_t steps,
             std::vector<double> peak_sun_wh_m2, std::vector<double> clearness,
             std::vector<double> daily_clearness, std::vector<double> temp_mean_c,
             double temp_swing_k) {
            ClearSkyYear year;
            year.site = m.input.site;
            year.peak_sun_wh_m2 = std::move(peak_sun_wh_m2);
            year.clearness = std::move(clearness);
            year.daily_clearness = std::move(daily_clearness);
            year.temp_mean_c = std::move(temp_mean_c);
            year.temp_swing_k = temp_swing_k;
            std::vector<double> scale;
            m.input.weather =
                clear_sky_weather(year, m.input.clock, start_s, step_s, steps, &scale);
            return scale;
          },
          py::arg("start_s"), py::arg("step_s"), py::arg("steps"),
          py::arg("peak_sun_wh_m2") = std::vector<double>{},
          py::arg("clearness") = std::vector<double>{},
          py::arg("daily_clearness") = std::vector<double>{},
          py::arg("temp_mean_c") = std::vector<double>{}, py::arg("temp_swing_k") = 8.0,
          "Clear sky dimmed by month or by day; gives the twelve factors used.")
      .def(
          "trace_load",
          [](Made& m, const std::string& name, const Column& time_s, const Column& watts,
             double step_s, double longest_fill_s) {
            for (std::size_t k = 0; k < m.loads.size(); ++k) {
              if (m.loads[k].name != name || m.loads[k].kind == "bank" ||
                  m.loads[k].kind == "array") {
                continue;
              }
              TraceResult made =
                  even_trace(vector_of(time_s), vector_of(watts), step_s, longest_fill_s);
              m.input.loads[k].draw = std::move(made.draw);
              return py::make_tuple(made.gaps.gaps, made.gaps.missing_s, made.gaps.longest_s);
            }
            throw LookupError("there is no load \"" + name + "\"");
          },
          py::arg("name"), py::arg("time_s"), py::arg("power_w"), py::arg("step_s"),
          py::arg("longest_fill_s"),
          "Gives a load measured watts; the number of gaps, seconds missing and the longest gap.")
      .def(
          "shed",
          [](Made& m, const std::vector<std::tuple<int, double, double>>& rules, double delay_s) {
            std::vector<ShedRule> list;
            for (const auto& [priority, off, on] : rules)
              list.push_back({priority, off, on, delay_s});
            add_shedding(m, list);
          },
          py::arg("rules"), py::arg("delay_s") = 60.0,
          "Rules (priority, off below, on above): loads of that priority and above are shed.")
      .def(
          "bank_at",
          [](const Made& m, std::size_t bank, double soc, double temp_c, double hysteresis) {
            if (bank >= m.input.banks.size()) throw py::index_error("there is no such bank");
            const BankModel& model = m.input.banks[bank].model;
            py::dict out;
            out["emf_v"] = model.emf_v(soc, temp_c, hysteresis);
            out["mean_emf_v"] = model.mean_emf_v(soc);
            out["resistance_ohm"] = model.resistance_at(soc, temp_c);
            out["coulombic"] = model.coulombic_at(soc);
            out["self_discharge_a"] = model.self_discharge_a(temp_c);
            out["hysteresis_charge"] = model.hysteresis_charge;
            out["usable_ah"] = model.usable_ah();
            return out;
          },
          py::arg("bank"), py::arg("soc"), py::arg("temp_c") = 25.0, py::arg("hysteresis") = 0.0,
          "What a bank's tables say at a charge, a temperature and a state of hysteresis.")
      .def(
          "set_charge",
          [](Made& m, double soc) {
            for (SimBank& bank : m.input.banks) bank.soc = soc;
          },
          py::arg("soc"))
      .def(
          "scaled",
          [](const Made& m, double bank, double array, double draw) {
            Made copy = m;
            scale_bank(copy.input, bank);
            scale_arrays(copy.input, array);
            scale_draws(copy.input, draw);
            return copy;
          },
          py::arg("bank") = 1.0, py::arg("array") = 1.0, py::arg("draw") = 1.0,
          "The same with another bank, array or demand.")
      .def(
          "run",
          [](const Made& m, double start_s, double step_s, std::size_t steps,
             std::size_t record_every, bool record_loads, bool hourly_sun,
             const py::object& progress) {
            SimulationInput input = m.input;
            input.options.start_s = start_s;
            input.options.step_s = step_s;
            input.options.steps = steps;
            input.options.record_every = record_every;
            input.options.record_loads = record_loads;
            input.options.hourly_sun = hourly_sun;
            Watch watch(progress);
            SimulationResult result;
            {
              const py::gil_scoped_release release;
              result = simulate(input, std::ref(watch));
            }
            if (result.status == SimStatus::bad_input) throw Error(result.message);
            return std::make_pair(std::move(result), watch.interrupted());
          },
          py::arg("start_s"), py::arg("step_s"), py::arg("steps"), py::arg("record_every") = 1,
          py::arg("record_loads") = true, py::arg("hourly_sun") = false,
          py::arg("progress") = py::none(),
          "Simulates; the result, and whether an interrupt ended it early.")
      .def(
          "night",
          [](const Made& m, double date_s, double soc_noon, double step_s, int days) {
            SimulationInput input = m.input;
            input.options.step_s = step_s;
            const py::gil_scoped_release release;
            return night_report(std::move(input), date_s, soc_noon, days);
          },
          py::arg("date_s"), py::arg("soc_noon") = 1.0, py::arg("step_s") = 60.0,
          py::arg("days") = 14, "The night after the noon of a date, and the time to full.")
      .def(
          "autonomy",
          [](const Made& m, double from_s, double soc, double reserve, double step_s,
             double longest_days) {
            SimulationInput input = m.input;
            input.options.step_s = step_s;
            const py::gil_scoped_release release;
            return autonomy(std::move(input), from_s, soc, reserve, longest_days);
          },
          py::arg("from_s"), py::arg("soc") = 1.0, py::arg("reserve") = 0.0,
          py::arg("step_s") = 60.0, py::arg("longest_days") = 60.0,
          "Hours without sun and chargers until the reserve and until the first drop.")
      .def(
          "availability",
          [](const Made& m, std::size_t years, double step_s, int block_days, int window_days,
             std::uint64_t seed, std::size_t threads) {
            SimulationInput input = m.input;
            input.options.step_s = step_s;
            const py::gil_scoped_release release;
            return availability_of(bootstrapped(input, years, block_days, window_days, seed),
                                   threads);
          },
          py::arg("years") = 30, py::arg("step_s") = 900.0, py::arg("block_days") = 7,
          py::arg("window_days") = 15, py::arg("seed") = 1, py::arg("threads") = 0,
          "Unmet hours over years bootstrapped from the weather that was set.")
      .def(
          "size_frontier",
          [](const Made& m, double wanted, const std::vector<double>& array_factors,
             std::size_t years, double step_s, std::uint64_t seed, double low, double high) {
            SimulationInput input = m.input;
            input.options.step_s = step_s;
            std::vector<SizePair> pairs;
            {
              const py::gil_scoped_release release;
              pairs = size_frontier(bootstrapped(input, years, 7, 15, seed), wanted, array_factors,
                                    low, high);
            }
            std::vector<std::pair<double, std::optional<double>>> out;
            for (const SizePair& pair : pairs)
              out.emplace_back(pair.array_factor, pair.bank_factor);
            return out;
          },
          py::arg("wanted"), py::arg("array_factors"), py::arg("years") = 10,
          py::arg("step_s") = 3600.0, py::arg("seed") = 1, py::arg("low") = 0.1,
          py::arg("high") = 20.0,
          "Smallest bank factor for each array factor; None: none is enough.")
      .def(
          "marginal_values",
          [](const Made& m, std::size_t years, double step_s, std::uint64_t seed,
             double panel_share, double battery_share, double less_w) {
            SimulationInput input = m.input;
            input.options.step_s = step_s;
            std::vector<Marginal> found;
            {
              const py::gil_scoped_release release;
              found = marginal_values(bootstrapped(input, years, 7, 15, seed),
                                      {panel_share, battery_share, less_w});
            }
            std::vector<std::tuple<std::string, double, AvailabilityReport, double>> out;
            for (Marginal& one : found) {
              out.emplace_back(one.change, one.factor, one.after, one.hours_won);
            }
            return out;
          },
          py::arg("years") = 10, py::arg("step_s") = 3600.0, py::arg("seed") = 1,
          py::arg("panel_share") = 0.25, py::arg("battery_share") = 1.0, py::arg("less_w") = 10.0,
          "What one more panel, one more battery and some watts less buy.");

  module.def(
      "describe_simulation",
      [](const System& wired, const Catalogue& catalogue, const Offsets& offsets, double step_s,
         bool lumped) {
        const py::gil_scoped_release release;
        return describe_simulation(wired, catalogue, clock_of(offsets), step_s, lumped);
      },
      py::arg("wired"), py::arg("catalogue"), py::arg("offsets") = Offsets{},
      py::arg("step_s") = 60.0, py::arg("lumped") = false, "The described system as a simulation.");
  module.def(
      "persistent_clearness",
      [](std::size_t days, double mean, double deviation, double correlation, std::uint64_t seed) {
        return column_of(persistent_clearness(
            days,
            {.mean = mean, .deviation = deviation, .correlation = correlation, .seed = seed}));
      },
      py::arg("days"), py::arg("mean") = 0.65, py::arg("deviation") = 0.25,
      py::arg("correlation") = 0.4, py::arg("seed") = 1,
      "Share of the clear sky, day by day, that remembers the day before.");
}

}  // namespace

void bind_simulation(py::module_& module) {
  bind_simulation_result(module);
  bind_made(module);
}

}  // namespace nightbus::python
