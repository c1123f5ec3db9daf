#include <pybind11/numpy.h>

#include "bindings.hpp"
#include "columns.hpp"
#include "ledger.hpp"
#include "nightbus/scenario_simulation.hpp"
#include "values.hpp"

// What a simulation gives: ledger, records, events, and its trace as one block [column x row].

namespace py = pybind11;

namespace nightbus::python {
namespace {

Column column_of(const std::vector<double>& values) {
  return Column(static_cast<py::ssize_t>(values.size()), values.data());
}

void bind_result(py::module_& module) {
  Value<SimEvent>(module, "SimulationEvent", "Something that switched, and when (UTC seconds).")
      .NB_READ(SimEvent, time_s)
      .def_property_readonly("kind",
                             [](const SimEvent& e) { return std::string(event_name(e.kind)); })
      .NB_READ(SimEvent, index)
      .NB_READ(SimEvent, value);

  Value<LoadRecord>(module, "LoadRecord", "One load over a run.")
      .NB_READ(LoadRecord, lowest_v)
      .NB_READ(LoadRecord, lowest_time_s)
      .NB_READ(LoadRecord, highest_v)
      .NB_READ(LoadRecord, down_s)
      .NB_READ(LoadRecord, below_window_s)
      .NB_READ(LoadRecord, above_window_s)
      .NB_READ(LoadRecord, drops)
      .NB_READ(LoadRecord, first_drop_s);

  Value<BankRecord>(module, "BankRecord", "One bank over a run.")
      .NB_READ(BankRecord, lowest_soc)
      .NB_READ(BankRecord, lowest_soc_time_s)
      .NB_READ(BankRecord, final_soc)
      .NB_READ(BankRecord, charged_ah)
      .NB_READ(BankRecord, discharged_ah)
      .NB_READ(BankRecord, charged_wh)
      .NB_READ(BankRecord, discharged_wh)
      .NB_READ(BankRecord, highest_charge_a)
      .NB_READ(BankRecord, highest_discharge_a)
      .NB_READ(BankRecord, full_s)
      .NB_READ(BankRecord, blocked_charge_s)
      .NB_READ(BankRecord, lowest_v)
      .NB_READ(BankRecord, highest_v)
      .NB_READ(BankRecord, lowest_temp_c)
      .NB_READ(BankRecord, highest_temp_c)
      .NB_READ(BankRecord, first_full_s)
      .NB_READ(BankRecord, daily_low_soc)
      .NB_READ(BankRecord, daily_high_soc);

  Value<SimulationResult>(module, "SimulationData", "What one run gives, as plain data.")
      .def_property_readonly(
          "stopped", [](const SimulationResult& r) { return r.status == SimStatus::stopped; })
      .NB_READ(SimulationResult, message)
      .def_property_readonly("ledger_wh",
                             [](const SimulationResult& r) { return ledger_wh(r.ledger); })
      .def_property_readonly("relative_gap",
                             [](const SimulationResult& r) { return r.ledger.relative_gap(); })
      .def_property_readonly("load_wh", [](const SimulationResult& r) { return r.ledger.load_wh; })
      .NB_READ(SimulationResult, loads)
      .NB_READ(SimulationResult, banks)
      .NB_READ(SimulationResult, events)
      .NB_READ(SimulationResult, hottest_space_c)
      .NB_READ(SimulationResult, hottest_time_s)
      .NB_READ(SimulationResult, unmet_h)
      .NB_READ(SimulationResult, longest_unmet_h)
      .NB_READ(SimulationResult, critical_unmet_wh)
      .NB_READ(SimulationResult, charger_run_s)
      .NB_READ(SimulationResult, charger_input_wh)
      .NB_READ(SimulationResult, steps)
      .NB_READ(SimulationResult, sub_steps)
      .NB_READ(SimulationResult, solves)
      .def_property_readonly("time_s",
                             [](const SimulationResult& r) { return column_of(r.trace.time_s); })
      .def_property_readonly("row_s", [](const SimulationResult& r) { return r.trace.row_s; })
      .def_property_readonly(
          "columns",
          [](const SimulationResult& r) {
            py::list out;
            for (const auto& c : r.trace.columns) {
              out.append(py::make_tuple(c.name, c.unit, c.index));
            }
            return out;
          },
          "Name, unit and index (-1: none) of each column of the trace.")
      .def_property_readonly("values", [](const SimulationResult& r) {
        const auto columns = static_cast<py::ssize_t>(r.trace.columns.size());
        const auto rows = static_cast<py::ssize_t>(r.trace.time_s.size());
        py::array_t<double> block({columns, rows});
        for (py::ssize_t c = 0; c < columns; ++c) {
          const auto& values = r.trace.columns[static_cast<std::size_t>(c)].values;
          std::copy(values.begin(), values.end(), block.mutable_data(c, 0));
        }
        return block;
      });
}

void bind_night(py::module_& module) {
  Value<NightReport>(module, "NightReport", "One night and the way back to a full bank.")
      .NB_READ(NightReport, sunset_s)
      .NB_READ(NightReport, sunrise_s)
      .NB_READ(NightReport, polar)
      .NB_READ(NightReport, night_h)
      .NB_READ(NightReport, night_wh)
      .NB_READ(NightReport, night_ah)
      .NB_READ(NightReport, load_wh)
      .NB_READ(NightReport, soc_sunset)
      .NB_READ(NightReport, soc_sunrise)
      .NB_READ(NightReport, lowest_bus_v)
      .NB_READ(NightReport, lowest_bus_v_s)
      .NB_READ(NightReport, full_s)
      .NB_READ(NightReport, hours_to_full)
      .NB_READ(NightReport, never_full);

  Value<AutonomyReport>(module, "AutonomyReport", "How long it lasts without sun and chargers.")
      .NB_READ(AutonomyReport, until_first_drop_h)
      .NB_READ(AutonomyReport, until_empty_h)
      .NB_READ(AutonomyReport, first_drop_load)
      .NB_READ(AutonomyReport, span_h);

  Value<AvailabilityReport>(module, "AvailabilityReport", "What many simulated years say.")
      .NB_READ(AvailabilityReport, years)
      .NB_READ(AvailabilityReport, mean_unmet_h)
      .NB_READ(AvailabilityReport, low_unmet_h)
      .NB_READ(AvailabilityReport, high_unmet_h)
      .NB_READ(AvailabilityReport, mean_unmet_wh)
      .NB_READ(AvailabilityReport, availability)
      .NB_READ(AvailabilityReport, availability_low)
      .NB_READ(AvailabilityReport, availability_high)
      .NB_READ(AvailabilityReport, years_without_failure)
      .NB_READ(AvailabilityReport, worst_unmet_h);
}

}  // namespace

void bind_simulation_result(py::module_& module) {
  bind_result(module);
  bind_night(module);
}

}  // namespace nightbus::python
