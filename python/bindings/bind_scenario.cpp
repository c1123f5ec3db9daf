#include "nightbus/scenario.hpp"

#include "bindings.hpp"
#include "ledger.hpp"
#include "values.hpp"

// The plan as data. What is made of it (frames, terminal, report) is Python's.

namespace py = pybind11;

namespace nightbus::python {

/// How long it took is no part of a plan.
template <>
std::string identity_of(const Plan& plan) {
  Plan timeless = plan;
  timeless.seconds = 0.0;
  return bytes_of(timeless);
}

namespace {

using Offsets = std::vector<std::pair<double, double>>;

PlanOptions plan_options(const Offsets& offsets, int year, bool energy, bool margins, double step_s,
                         int trade_off_points, bool size_ups, bool changes) {
  PlanOptions options;
  for (const auto& [utc_s, offset_s] : offsets) options.clock.changes.push_back({utc_s, offset_s});
  options.year = year;
  options.energy = energy;
  options.margins = margins;
  options.step_s = step_s;
  options.wiring.trade_off_points = trade_off_points;
  options.wiring.size_ups = size_ups;
  options.wiring.changes = changes;
  return options;
}

void bind_heat(py::module_& module) {
  Value<HeatSources>(module, "HeatSources", "Watts that end in one compartment.")
      .NB_READ(HeatSources, devices_w)
      .NB_READ(HeatSources, converters_w)
      .NB_READ(HeatSources, cables_w)
      .NB_READ(HeatSources, banks_w)
      .NB_READ(HeatSources, fans_w)
      .NB_READ(HeatSources, sun_w)
      .def_property_readonly("total_w", &HeatSources::total_w);

  Value<CompartmentCase>(module, "CompartmentCase", "One compartment in one case.")
      .NB_READ(CompartmentCase, case_name)
      .NB_READ(CompartmentCase, outside_c)
      .NB_READ(CompartmentCase, heat)
      .NB_READ(CompartmentCase, temp_c)
      .NB_READ(CompartmentCase, fan_step)
      .NB_READ(CompartmentCase, fan_alternates);

  Value<CompartmentPlan>(module, "CompartmentPlan", "One compartment, its hottest case.")
      .NB_READ(CompartmentPlan, name)
      .NB_READ(CompartmentPlan, limit_c)
      .NB_READ(CompartmentPlan, held)
      .NB_READ(CompartmentPlan, cases)
      .NB_READ(CompartmentPlan, hottest)
      .NB_READ(CompartmentPlan, temp_at_step_c)
      .NB_READ(CompartmentPlan, smallest_step)
      .NB_READ(CompartmentPlan, needed_flow_m3s)
      .NB_READ(CompartmentPlan, flow_m3s)
      .NB_READ(CompartmentPlan, fans_off_c)
      .def_property_readonly("margin_k", &CompartmentPlan::margin_k);

  Value<HeatPlan>(module, "HeatPlan", "Air in the compartments.")
      .NB_READ(HeatPlan, compartments)
      .NB_READ(HeatPlan, rounds)
      .NB_READ(HeatPlan, last_change_k)
      .NB_READ(HeatPlan, settled);
}

void bind_energy_plan(py::module_& module) {
  Value<EnergyShare>(module, "EnergyShare", "Energy of one consumer or bus over a day.")
      .NB_READ(EnergyShare, kind)
      .NB_READ(EnergyShare, name)
      .NB_READ(EnergyShare, day_wh)
      .NB_READ(EnergyShare, night_wh)
      .NB_READ(EnergyShare, day_at_bank_wh)
      .NB_READ(EnergyShare, night_at_bank_wh)
      .NB_READ(EnergyShare, day_ah)
      .NB_READ(EnergyShare, night_ah);

  Value<MonthPlan>(module, "MonthPlan", "A mean day of one month, and its night.")
      .NB_READ(MonthPlan, month)
      .NB_READ(MonthPlan, noon_s)
      .NB_READ(MonthPlan, outside_c)
      .NB_READ(MonthPlan, polar)
      .NB_READ(MonthPlan, sunset_s)
      .NB_READ(MonthPlan, sunrise_s)
      .NB_READ(MonthPlan, sunset_local)
      .NB_READ(MonthPlan, sunrise_local)
      .NB_READ(MonthPlan, night_h)
      .NB_READ(MonthPlan, night_wh)
      .NB_READ(MonthPlan, night_ah)
      .NB_READ(MonthPlan, charge_sunset)
      .NB_READ(MonthPlan, charge_sunrise)
      .NB_READ(MonthPlan, lowest_v)
      .NB_READ(MonthPlan, hours_to_full)
      .NB_READ(MonthPlan, days_to_full)
      .NB_READ(MonthPlan, never_full)
      .NB_READ(MonthPlan, load_wh)
      .NB_READ(MonthPlan, sun_wh)
      .NB_READ(MonthPlan, charger_wh)
      .NB_READ(MonthPlan, sun_worst_wh)
      .NB_READ(MonthPlan, worst_heading_deg)
      .def_property_readonly("surplus_wh", &MonthPlan::surplus_wh)
      .NB_READ(MonthPlan, days_to_reserve)
      .NB_READ(MonthPlan, days_to_dark);

  Value<EnergyPlan>(module, "EnergyPlan", "Day, night and sun.")
      .NB_READ(EnergyPlan, done)
      .NB_READ(EnergyPlan, why_not)
      .NB_READ(EnergyPlan, months)
      .NB_READ(EnergyPlan, hardest)
      .NB_READ(EnergyPlan, loads)
      .NB_READ(EnergyPlan, buses)
      .NB_READ(EnergyPlan, devices_wh)
      .NB_READ(EnergyPlan, converter_loss_wh)
      .NB_READ(EnergyPlan, cable_loss_wh)
      .NB_READ(EnergyPlan, standby_wh)
      .def_property_readonly("ledger",
                             [](const EnergyPlan& plan) { return ledger_wh(plan.ledger); })
      .NB_READ(EnergyPlan, usable_wh)
      .NB_READ(EnergyPlan, usable_ah);
}

void bind_comparison(py::module_& module) {
  py::native_enum<ChangeOf>(
      module, "ChangeOf", "enum.Enum",
      told("What became of a finding.",
           R"(>>> nb.compare("post.toml", "post.toml").findings["change"].to_list()
[])")
          .c_str())
      .value("appeared", ChangeOf::appeared)
      .value("gone", ChangeOf::gone)
      .value("changed", ChangeOf::changed)
      .finalize();
  Value<FindingChange>(
      module, "FindingChange",
      told("A finding that differs between two plans.", R"(>>> thin = nb.read("post.toml")
>>> thin.run("door camera").size = "24 AWG"
>>> nb.compare("post.toml", thin).data.findings[0].what.name
'appeared')")
          .c_str())
      .NB_READ(FindingChange, what, "Whether it appeared, went or changed.")
      .NB_READ(FindingChange, before, "In the first plan; None when it appeared.")
      .NB_READ(FindingChange, after, "In the second plan; None when it is gone.");
  Value<FigureChange>(
      module, "FigureChange",
      told("A figure that differs between two plans.", R"(>>> longer = nb.read("post.toml")
>>> longer.run("door camera").length = "40 m"
>>> changes = nb.compare("post.toml", longer).data.figures
>>> [(one.name, one.before, one.after) for one in changes if one.figure == "size"]
[('door camera', '18 AWG', '12 AWG')])")
          .c_str())
      .NB_READ(FigureChange, kind, "\"run\", \"load\", \"compartment\", \"month\", \"system\".")
      .NB_READ(FigureChange, name, "Which one.")
      .NB_READ(FigureChange, figure, "\"size\", \"lowest volts\", \"temperature\" …")
      .NB_READ(FigureChange, before, "As text; empty: not there.")
      .NB_READ(FigureChange, after, "As text; empty: not there.")
      .NB_READ(FigureChange, before_value, "As a number; None for words.")
      .NB_READ(FigureChange, after_value, "As a number; None for words.")
      .NB_READ(FigureChange, dimension, "Of the numbers.");
  Value<Comparison>(module, "Comparison", "Two plans side by side.")
      .NB_READ(Comparison, before)
      .NB_READ(Comparison, after)
      .NB_READ(Comparison, findings)
      .NB_READ(Comparison, figures);
  module.def("compare", &compare, py::arg("before"), py::arg("after"), "What changed.");
  module.def("comparison_json", &comparison_json, py::arg("comparison"), py::arg("indent") = 1,
             "The comparison as JSON.");
}

}  // namespace

void bind_scenario(py::module_& module) {
  py::native_enum<PlanVerdict>(
      module, "PlanVerdict", "enum.Enum",
      told("Never good while a danger or a warning stands.", R"(>>> nb.plan("post.toml").verdict
'good')")
          .c_str())
      .value("good", PlanVerdict::good)
      .value("care", PlanVerdict::care)
      .value("danger", PlanVerdict::danger)
      .finalize();

  Value<Assumption>(module, "Assumption", "A default taken because the file says nothing.")
      .NB_READ(Assumption, kind)
      .NB_READ(Assumption, key)
      .NB_READ(Assumption, value)
      .NB_READ(Assumption, help)
      .NB_READ(Assumption, names);

  Value<RuleUse>(module, "RuleUse", "A rule set or table that had a say.")
      .NB_READ(RuleUse, name)
      .NB_READ(RuleUse, purpose)
      .NB_READ(RuleUse, limits)
      .NB_READ(RuleUse, citations);

  bind_heat(module);
  bind_energy_plan(module);

  Value<Plan>(module, "PlanData", "The C++ side of nightbus.Plan.")
      .NB_READ(Plan, system)
      .NB_READ(Plan, wired)
      .NB_READ(Plan, cautions)
      .NB_READ(Plan, assumptions)
      .NB_READ(Plan, rules)
      .NB_READ(Plan, not_modelled)
      .NB_READ(Plan, wiring)
      .NB_READ(Plan, cases)
      .NB_READ(Plan, heat)
      .NB_READ(Plan, energy)
      .NB_READ(Plan, findings)
      .NB_READ(Plan, seconds)
      .def_property_readonly("verdict", &Plan::verdict)
      .def_property_readonly(
          "sentence",
          [](const Plan& plan) { return std::string(verdict_sentence(plan.verdict())); },
          "One line for the top of the page.")
      .def("count", &Plan::count, py::arg("severity"), "Number of findings of a severity.");

  module.def(
      "make_plan",
      [](const System& system, const Catalogue& catalogue, const Offsets& offsets, int year,
         bool energy, bool margins, double step_s, int trade_off_points, bool size_ups,
         bool changes) {
        const PlanOptions options = plan_options(offsets, year, energy, margins, step_s,
                                                 trade_off_points, size_ups, changes);
        // Nothing below touches Python.
        const py::gil_scoped_release released;
        return make_plan(system, catalogue, options);
      },
      py::arg("system"), py::arg("catalogue"), py::kw_only(), py::arg("offsets") = Offsets{},
      py::arg("year") = 2026, py::arg("energy") = true, py::arg("margins") = true,
      py::arg("step_s") = 900.0, py::arg("trade_off_points") = 0, py::arg("size_ups") = true,
      py::arg("changes") = true, "From a description to a plan with its evidence.");
  Value<MonthlyAir>(module, "MonthlyAir", "The outside air of a year.")
      .NB_READ(MonthlyAir, mean_c, "Of the twelve months, January first. [°C]")
      .NB_READ(MonthlyAir, swing_k, "Between night and day. [K]");
  module.def("monthly_air", &monthly_air, py::arg("site"),
             "The outside air of a year, from the site's design extremes alone.");
  module.def("plan_json", &plan_json, py::arg("plan"), py::arg("indent") = 1,
             "The plan as JSON, \"format\": 1.");
  bind_comparison(module);
}

}  // namespace nightbus::python
