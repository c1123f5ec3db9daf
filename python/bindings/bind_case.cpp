#include "bindings.hpp"
#include "nightbus/network_system.hpp"
#include "values.hpp"

// The answer of one case, by name. Vectors have the order of the lists of the system. States are
// handed over as words: they are read by people.

namespace py = pybind11;

namespace nightbus::python {

void bind_case(py::module_& module) {
  Value<RunResult>(module, "RunResult",
                   told("One run in one case.", R"(>>> case = nb.plan("post.toml").case_results[0]
>>> round(case.runs[2].drop_v, 2)
0.18)")
                       .c_str())
      .NB_READ(RunResult, current_a, "In the positive pole, positive from `from` to `to`. [A]")
      .NB_READ(RunResult, return_current_a, "In its own return, positive from `to` to `from`. [A]")
      .NB_READ(RunResult, drop_v, "Both poles or chassis: conductor, joints, fuse, switch. [V]")
      .NB_READ(RunResult, drop_ratio, "The same, of the nominal voltage of its part of the system.")
      .NB_READ(RunResult, positive_drop_v, "In the positive pole alone. [V]")
      .NB_READ(RunResult, negative_drop_v, "In the way back alone. [V]")
      .NB_READ(RunResult, loss_w, "All of it: conductor, joints, fuse, switch. [W]")
      .NB_READ(RunResult, conductor_loss_w, "In the conductor alone. [W]")
      .NB_READ(RunResult, conductor_c, "Hotter of the two poles. [°C]")
      .NB_READ(RunResult, ambient_c, "Air around it. [°C]");

  Value<LoadResult>(module, "LoadResult",
                    told("One load, fan or PoE device in one case.",
                         R"(>>> case = nb.plan("post.toml").case_results[0]
>>> case.loads[1].state, round(case.loads[1].voltage_v, 2)
('normal', 12.68))")
                        .c_str())
      .def_property_readonly(
          "state", [](const LoadResult& load) { return std::string(state_name(load.state)); },
          "How it works just now, in words.")
      .def_property_readonly("running", &LoadResult::running, "Switched on, and not locked out.")
      .NB_READ(LoadResult, voltage_v, "Between its terminals. [V]")
      .NB_READ(LoadResult, current_a, "All of `count` together. [A]")
      .NB_READ(LoadResult, power_w, "All of `count` together, at the terminals. [W]")
      .NB_READ(LoadResult, drop_v, "From the source of its part of the system. [V]")
      .NB_READ(LoadResult, drop_ratio, "The same, of the nominal voltage.")
      .NB_READ(LoadResult, above_low_v,
               "Above the lower end of its window; below 0: browned out. [V]")
      .NB_READ(LoadResult, below_high_v,
               "Below the upper end of its window; below 0: too high. [V]");

  Value<ConverterResult>(module, "ConverterResult",
                         told("One converter in one case.", R"(>>> system = nb.read("post.toml")
>>> shelf = nb.Converter(name="shelf", output="5 V", power="20 W")
>>> system = system.add(shelf, feed={"from_": "block", "length": "1 m"})
>>> system = system.add(nb.Load(name="clock", typical="2 W", window="4.7 V to 5.3 V"),
...                     feed={"from_": "shelf", "length": "1 m"})
>>> found = nb.plan(system).case_results[0].converters[0]
>>> found.input_w > found.output_w > 2.0
True)")
                             .c_str())
      .def_property_readonly(
          "state",
          [](const ConverterResult& result) { return std::string(state_name(result.state)); },
          "How it works just now, in words.")
      .NB_READ(ConverterResult, input_v, "Between its input terminals. [V]")
      .NB_READ(ConverterResult, input_a, "Into it. [A]")
      .NB_READ(ConverterResult, input_w, "Into it, losses and standby included. [W]")
      .NB_READ(ConverterResult, output_v, "Between its output terminals. [V]")
      .NB_READ(ConverterResult, output_a, "Out of it. [A]")
      .NB_READ(ConverterResult, output_w, "Out of it. [W]")
      .NB_READ(ConverterResult, loss_w, "Standby included. [W]")
      .NB_READ(ConverterResult, load_ratio, "Output over its rating.")
      .NB_READ(ConverterResult, drop_v, "On the way to its input. [V]")
      .NB_READ(ConverterResult, drop_ratio, "The same, of the nominal voltage.")
      .NB_READ(ConverterResult, above_low_v, "Input above the lower end of its window. [V]")
      .NB_READ(ConverterResult, below_high_v, "Input below the upper end of its window. [V]");

  Value<PoeResult>(module, "PoeResult",
                   told("One PoE link in one case.", R"(>>> system = nb.read("post.toml")
>>> injector = nb.Converter(name="injector", kind="injector", output="54 V", power="60 W")
>>> system = system.add(injector, feed={"from_": "block", "length": "1 m"})
>>> gate = nb.PoeLink(name="gate", from_="injector", length="30 m", typical="6 W")
>>> link = nb.plan(system.add(gate)).case_results[0].poe_links[0]
>>> link.port_w > link.device.power_w
True)")
                       .c_str())
      .NB_READ(PoeResult, device, "The powered device, as a load.")
      .NB_READ(PoeResult, port_v, "At the port. [V]")
      .NB_READ(PoeResult, port_a, "Out of the port. [A]")
      .NB_READ(PoeResult, port_w, "Out of the port, cable loss included. [W]")
      .NB_READ(PoeResult, cable_loss_w, "Lost in the pairs. [W]")
      .NB_READ(PoeResult, loop_ohm, "Out and back through the pairs. [Ω]");

  Value<BankResult>(module, "BankResult",
                    told("One bank in one case; current is out of it.",
                         R"(>>> case = nb.plan("post.toml").case_results[0]
>>> round(case.banks[0].voltage_v, 2), round(case.banks[0].current_a, 2)
(12.88, 1.18))")
                        .c_str())
      .NB_READ(BankResult, voltage_v, "At its terminals. [V]")
      .NB_READ(BankResult, current_a, "Out of it; negative while it is charged. [A]")
      .NB_READ(BankResult, loss_w, "In its own resistance. [W]")
      .NB_READ(BankResult, emf_v, "Behind its resistance. [V]");

  Value<ChargerResult>(module, "ChargerResult",
                       told("One charger or array controller.",
                            R"(>>> charging = nb.plan("post.toml").case_results[5]
>>> charging.name, round(charging.arrays[0].voltage_v, 1)
('charging, peak, hot', 14.6))")
                           .c_str())
      .def_property_readonly(
          "state",
          [](const ChargerResult& result) { return std::string(state_name(result.state)); },
          "How it works just now, in words.")
      .NB_READ(ChargerResult, voltage_v, "At its terminals. [V]")
      .NB_READ(ChargerResult, current_a, "Out of it. [A]")
      .NB_READ(ChargerResult, power_w, "Out of it. [W]");

  Value<Balance>(
      module, "Balance",
      told("What every solved case must close.", R"(>>> case = nb.plan("post.toml").case_results[0]
>>> round(case.balance.load_w, 2), abs(case.balance.gap_w) < 1e-6
(15.0, True))")
          .c_str())
      .NB_READ(Balance, supplied_w, "EMF times current of the banks, and chargers. [W]")
      .NB_READ(Balance, load_w, "Taken by the loads. [W]")
      .NB_READ(Balance, loss_w, "In cables, joints, converters and bank resistance. [W]")
      .NB_READ(Balance, gap_w, "Supplied less load and loss: rounding, nothing else. [W]")
      .NB_READ(Balance, node_residual_a,
               "Largest sum of currents at a node: rounding, nothing else. [A]");

  Value<CaseMargins>(module, "CaseMargins",
                     told("How far from the edge, every load alike.",
                          R"(>>> case = nb.plan("post.toml").case_results[0]
>>> case.margins.first_window_device, round(case.margins.first_window_multiplier, 1)
('door camera', 9.4))")
                         .c_str())
      .NB_READ(CaseMargins, collapse_multiplier,
               "All loads times this is the most that can be carried; None beyond 100.")
      .NB_READ(CaseMargins, collapse_device, "Whose line collapses first.")
      .NB_READ(CaseMargins, first_window_multiplier,
               "All loads times this, and the first device leaves its window; below 1 it is out.")
      .NB_READ(CaseMargins, first_window_device, "Which device that is.")
      .NB_READ(CaseMargins, first_window_v, "What it sees there. [V]");

  Value<BankInputs>(
      module, "BankInputs",
      told("What a case takes for one bank.", R"(>>> case = nb.plan("post.toml").case_results[0]
>>> case.inputs.banks[0].charge, case.inputs.banks[0].temp_c
(0.2, 38.0))")
          .c_str())
      .NB_READ(BankInputs, charge, "State of charge, 0 to 1.")
      .NB_READ(BankInputs, temp_c, "Of the bank. [°C]")
      .NB_READ(BankInputs, emf_v, "Behind its resistance. [V]")
      .NB_READ(BankInputs, resistance_ohm, "Of the whole bank. [Ω]")
      .NB_READ(BankInputs, held_v, "While charging: what the chargers hold it at. [V]")
      .NB_READ(BankInputs, basis, "Where the figures come from, in words.");

  Value<CaseInputs>(
      module, "CaseInputs",
      told("The numbers a case stands for.", R"(>>> case = nb.plan("post.toml").case_results[0]
>>> case.inputs.outside_c, case.inputs.charging
(38.0, False))")
          .c_str())
      .NB_READ(CaseInputs, name, "As in :attr:`CaseResult.name`.")
      .NB_READ(CaseInputs, charging, "The chargers are at work.")
      .NB_READ(CaseInputs, outside_c, "Air outside. [°C]")
      .NB_READ(CaseInputs, compartment_c, "Air in each compartment, in their order. [°C]")
      .NB_READ(CaseInputs, run_ambient_c, "Air around each run, in their order. [°C]")
      .NB_READ(CaseInputs, banks, "One for each bank, in their order.")
      .NB_READ(CaseInputs, fan_step, "Of each fan, in their order.")
      .NB_READ(CaseInputs, off, "Names of what is switched off.");

  Value<CaseResult>(
      module, "CaseResult",
      told("The whole system in one case.", R"(>>> case = nb.plan("post.toml").case_results[0]
>>> case.name, case.status
('low, typical, hot', 'solved'))")
          .c_str())
      .NB_READ(CaseResult, name, "Such as \"low, peak, hot\".")
      .def_property_readonly(
          "status",
          [](const CaseResult& result) { return std::string(status_name(result.status)); },
          "\"solved\", \"collapsed\", \"no consistent state\" …")
      .def_property_readonly(
          "sentence",
          [](const CaseResult& result) { return std::string(status_sentence(result.status)); },
          "The status in a sentence.")
      .def_property_readonly("ok", &CaseResult::ok, "True when it is solved.")
      .NB_READ(CaseResult, collapse_multiplier,
               "When collapsed: this share of the loads can be carried.")
      .NB_READ(CaseResult, softened,
               "Collapsed: the figures are those of loads that give way below their window.")
      .NB_READ(CaseResult, iterations, "Steps of Newton's method.")
      .NB_READ(CaseResult, inputs, "The numbers the case stands for.")
      .NB_READ(CaseResult, runs, "One for each run of the system, in order.")
      .NB_READ(CaseResult, loads, "One for each load, in order.")
      .NB_READ(CaseResult, fans, "One for each fan, in order.")
      .NB_READ(CaseResult, converters, "One for each converter, in order.")
      .NB_READ(CaseResult, poe_links, "One for each PoE link, in order.")
      .NB_READ(CaseResult, banks, "One for each bank, in order.")
      .NB_READ(CaseResult, chargers, "One for each charger, in order.")
      .NB_READ(CaseResult, arrays, "One for each array, in order.")
      .NB_READ(CaseResult, balance, "The closure of powers and currents.")
      .NB_READ(CaseResult, margins, "How far from the edge; None when not asked for.")
      .NB_READ(CaseResult, loop, "No consistent state: who switches, in order.")
      .def("__repr__", [](const CaseResult& result) {
        return py::str("<CaseResult {!r}: {}>")
            .format(result.name, std::string(status_name(result.status)));
      });
}

}  // namespace nightbus::python
