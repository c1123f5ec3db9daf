#include "nightbus/wiring.hpp"

#include "bindings.hpp"
#include "given.hpp"
#include "values.hpp"

namespace py = pybind11;

namespace nightbus::python {
namespace {

template <class T>
std::optional<T> copy_of(const T* pointer) {
  return pointer != nullptr ? std::optional<T>(*pointer) : std::nullopt;
}

/// The title of the kind of finding; a check without one is called by its code.
std::string title_of(const Verdict& verdict) {
  for (const FindingKind& kind : finding_kinds()) {
    if (kind.code == verdict.code) return std::string(kind.title);
  }
  return verdict.code;
}

}  // namespace

void bind_wiring(py::module_& module) {
  py::native_enum<DeviceKind>(
      module, "DeviceKind", "enum.Enum",
      told("Fuse or breaker.", R"(>>> nb.Device("mini blade", 10.0).kind.name
'fuse')")
          .c_str())
      .value("fuse", DeviceKind::fuse)
      .value("breaker", DeviceKind::breaker)
      .finalize();

  Value<Verdict>(module, "Verdict",
                 told("One check of one candidate, in the case that governs it.",
                      R"(>>> run = nb.plan("post.toml").run("door camera")
>>> refused = run.candidates[0].first_failure
>>> refused.code, refused.passed
('no-ampacity', False))")
                     .c_str())
      .NB_READ(Verdict, code, "\"ampacity\", \"drop-critical\", \"interrupt-rating\" …")
      .NB_READ(Verdict, passed, "False: it failed, or it could not be made.")
      .NB_READ(Verdict, rejects, "A failure rules the candidate out; False: advice.")
      .NB_READ(Verdict, at_least, "The value must reach the limit; False: must not exceed it.")
      .NB_READ(Verdict, severity, "Of the finding, should it fail.")
      .NB_READ(Verdict, value, "None: data is missing, see `detail`.")
      .NB_READ(Verdict, limit, "None where there is none.")
      .NB_READ(Verdict, dimension, "Of value and limit.")
      .NB_READ(Verdict, rule, "The row it rests on; every rule set gives its own verdict.")
      .NB_READ(Verdict, case_name, "Empty: no case governs it.")
      .NB_READ(Verdict, detail, "How the value came about.")
      .def_property_readonly("use", &Verdict::use, "Share of the limit used; 1 is the limit.")
      .def_property_readonly("title", &title_of, "The check in words.")
      .def("__repr__", [](const Verdict& verdict) {
        return py::str("<Verdict {} {}>")
            .format(verdict.code, verdict.passed ? "passed" : "failed");
      });

  Value<Device>(module, "Device",
                told("An overcurrent device of a form and rating that is made.",
                     R"(>>> nb.Device("mini blade", 10.0)
Device('mini blade', 10.0))")
                    .c_str())
      .def(py::init([](std::string form, Given<Dimension::current> rating_a, DeviceKind kind) {
             Device device;
             device.form = std::move(form);
             device.rating_a = rating_a.value;
             device.kind = kind;
             return device;
           }),
           py::arg("form"), py::arg("rating_a"), py::arg("kind") = DeviceKind::fuse)
      .NB_READ(Device, form, "Catalogue name, such as \"mini blade\".")
      .NB_READ(Device, kind, "Fuse or breaker.")
      .NB_READ(Device, rating_a, "Printed on it. [A]")
      .NB_READ(Device, resistance_ohm, "Warm; what the network uses. [Ω]")
      .NB_READ(Device, given, "By the system file, not chosen.")
      .def("__repr__", [](const Device& device) {
        return py::str("Device({!r}, {!r})").format(device.form, device.rating_a);
      });

  Value<Candidate>(module, "Candidate",
                   told("One size with its best device and every check.",
                        R"(>>> run = nb.plan("post.toml").run("door camera")
>>> thinnest = run.candidates[0]
>>> thinnest.feasible, thinnest.first_failure.title
(False, 'No rule set knows a current for this conductor'))")
                       .c_str())
      .NB_READ(Candidate, size, "Of each conductor.")
      .NB_READ(Candidate, return_size, "Of its own return when that differs.")
      .NB_READ(Candidate, area_mm2, "Of metal, one conductor. [mm²]")
      .NB_READ(Candidate, metal_kg, "Out and return, parallel conductors counted. [kg]")
      .NB_READ(Candidate, cost, "0 when no price is known.")
      .NB_READ(Candidate, device, "None: none needed, or none fits.")
      .NB_READ(Candidate, checks, "In the order they were made.")
      .NB_READ(Candidate, failed, "Place in `checks` of the first that rejects it; None: it fits.")
      .def_property_readonly("feasible", &Candidate::feasible,
                             "Every check that rejects is passed.")
      .def_property_readonly(
          "first_failure",
          [](const Candidate& candidate) { return copy_of(candidate.first_failure()); },
          "The check that rejects it; None: it fits.")
      .def("__repr__", [](const Candidate& candidate) {
        return py::str("<Candidate {}: {}>")
            .format(print_size(candidate.size),
                    candidate.feasible() ? "fits" : candidate.first_failure()->code);
      });

  Value<DeviceNeed>(module, "DeviceNeed",
                    told("What the device of a run must be able to do.",
                         R"(>>> run = nb.plan("post.toml").run("door camera")
>>> run.need.interrupt_v, run.need.within_m
(14.6, 0.1778))")
                        .c_str())
      .NB_READ(DeviceNeed, interrupt_a, "Direct current it must break. [A]")
      .NB_READ(DeviceNeed, interrupt_v,
               "The highest charging voltage of its bus, at which it must do so. [V]")
      .NB_READ(DeviceNeed, prospective_a, "Bolted short right behind it. [A]")
      .NB_READ(DeviceNeed, least_fault_a, "Bolted short at the far end, weak bank, hot wire. [A]")
      .NB_READ(DeviceNeed, opens_in_s,
               "At that least current, slow side of its band; None: no curve is published. [s]")
      .NB_READ(DeviceNeed, within_m, "Along the conductor from the source; None: no rule. [m]")
      .NB_READ(DeviceNeed, holder_a,
               "What a holder, block or switch there must carry for ever. [A]")
      .NB_READ(DeviceNeed, switch_v, "Direct voltage a switch there must break. [V]")
      .NB_READ(DeviceNeed, at_far_end, "Sits at the far end, the bank's side.");

  Value<RunPlan>(module, "RunPlan",
                 told("Conductor and device of one run, and why.",
                      R"(>>> run = nb.plan("post.toml").run("door camera")
>>> str(run.size), run.device.form, run.governing_code
('18 AWG', 'glass cartridge 32 V', 'no-ampacity'))")
                     .c_str())
      .NB_READ(RunPlan, run, "Its name.")
      .NB_READ(RunPlan, index, "Place among the runs of the system.")
      .NB_READ(RunPlan, size_given, "By the system file, not chosen.")
      .NB_READ(RunPlan, spare, "Nothing draws through it.")
      .NB_READ(RunPlan, feasible, "Every check that rejects is passed.")
      .NB_READ(RunPlan, size, "Of each conductor.")
      .NB_READ(RunPlan, return_size, "Of its own return when that differs.")
      .NB_READ(RunPlan, family, "Of conductors.")
      .NB_READ(RunPlan, area_mm2, "Of metal, one conductor. [mm²]")
      .NB_READ(RunPlan, conductors,
               "Cut pieces: poles with a conductor of their own, times parallel.")
      .NB_READ(RunPlan, length_m, "Out, one piece. [m]")
      .NB_READ(RunPlan, return_length_m, "Back, one piece; 0: no return of its own. [m]")
      .NB_READ(RunPlan, metal_kg, "All pieces. [kg]")
      .NB_READ(RunPlan, cost, "All pieces; 0 when no price is known.")
      .NB_READ(RunPlan, current_a, "Design current. [A]")
      .NB_READ(RunPlan, current_case, "Case it comes from.")
      .NB_READ(RunPlan, ampacity_a, "Corrected, strictest rule set, terminals included. [A]")
      .NB_READ(RunPlan, ampacity_rule, "The row it rests on.")
      .NB_READ(RunPlan, conductor_c, "Hottest of all cases. [°C]")
      .NB_READ(RunPlan, drop_v, "Largest of all cases, out and back. [V]")
      .NB_READ(RunPlan, loss_w, "In the same case. [W]")
      .NB_READ(RunPlan, device, "Fuse or breaker; None: none needed, or none fits.")
      .NB_READ(RunPlan, need, "What the device must be able to do.")
      .NB_READ(RunPlan, governing_code,
               "Why not thinner: the check that rules out the next size down.")
      .NB_READ(RunPlan, governing_case, "In this case.")
      .NB_READ(RunPlan, governing_rule, "By this rule.")
      .NB_READ(RunPlan, candidates, "Thinnest first; the chosen one among them.")
      .NB_READ(RunPlan, chosen, "Its place in `candidates`; None: nothing fits.")
      .def_property_readonly(
          "choice", [](const RunPlan& run) { return copy_of(run.choice()); },
          "None when candidates were not kept.")
      .def("__repr__", [](const RunPlan& run) {
        return py::str("<RunPlan {!r}: {}>").format(run.run, print_size(run.size));
      });

  Value<EndVolts>(module, "EndVolts", "A device at the end of the tree, in its worst case.")
      .NB_READ(EndVolts, kind)
      .NB_READ(EndVolts, name)
      .def_property_readonly("drop_class",
                             [](const EndVolts& end) {
                               return end.drop_class == DropClass::critical ? "critical"
                                                                            : "general";
                             })
      .NB_READ(EndVolts, nominal_v)
      .NB_READ(EndVolts, drop_v)
      .NB_READ(EndVolts, drop_ratio)
      .NB_READ(EndVolts, limit_ratio)
      .NB_READ(EndVolts, drop_case)
      .NB_READ(EndVolts, lowest_v)
      .NB_READ(EndVolts, lowest_case)
      .NB_READ(EndVolts, window_low_v)
      .NB_READ(EndVolts, passed);

  Value<Optimality>(module, "Optimality", "How good the choice is, with proof.")
      .NB_READ(Optimality, proven)
      .NB_READ(Optimality, value)
      .NB_READ(Optimality, bound)
      .NB_READ(Optimality, rounds)
      .NB_READ(Optimality, branches)
      .NB_READ(Optimality, labels)
      .NB_READ(Optimality, solves)
      .NB_READ(Optimality, note);

  Value<SizeUp>(module, "SizeUp", "One size more on one run, everything else as planned.")
      .NB_READ(SizeUp, run)
      .def_readonly("from_", &SizeUp::from)
      .NB_READ(SizeUp, to)
      .NB_READ(SizeUp, more_kg)
      .NB_READ(SizeUp, more_cost)
      .NB_READ(SizeUp, saved_w)
      .NB_READ(SizeUp, drop_gain_v)
      .NB_READ(SizeUp, device);

  Value<TradeOffPoint>(module, "TradeOffPoint", "Drop limits all multiplied alike.")
      .NB_READ(TradeOffPoint, limit_share)
      .NB_READ(TradeOffPoint, worst_drop_ratio)
      .NB_READ(TradeOffPoint, value)
      .NB_READ(TradeOffPoint, metal_kg)
      .NB_READ(TradeOffPoint, feasible);

  Value<Change>(module, "Change", "One thing to alter so that the system becomes feasible.")
      .def_property_readonly(
          "kind", [](const Change& change) { return std::string(change_kind_name(change.kind)); })
      .NB_READ(Change, run)
      .NB_READ(Change, amount)
      .def_readonly("from_", &Change::from)
      .NB_READ(Change, dimension)
      .NB_READ(Change, words)
      .def("__str__", [](const Change& change) { return change.words; });

  Value<ChangeSet>(module, "ChangeSet", "Changes that make the system feasible together.")
      .NB_READ(ChangeSet, changes)
      .NB_READ(ChangeSet, mends)
      .NB_READ(ChangeSet, metal_kg);

  Value<WiringPlan>(module, "WiringPlan", "Every run, the devices, and the proof.")
      .NB_READ(WiringPlan, rule_sets)
      .NB_READ(WiringPlan, feasible)
      .NB_READ(WiringPlan, runs)
      .NB_READ(WiringPlan, ends)
      .NB_READ(WiringPlan, optimality)
      .NB_READ(WiringPlan, metal_kg)
      .NB_READ(WiringPlan, cost)
      .NB_READ(WiringPlan, distinct_sizes)
      .NB_READ(WiringPlan, size_ups)
      .NB_READ(WiringPlan, trade_off)
      .NB_READ(WiringPlan, changes)
      .NB_READ(WiringPlan, ways)
      .def(
          "run", [](const WiringPlan& plan, const std::string& name) { return plan.run(name); },
          py::arg("name"), "The plan of one run.");
}

}  // namespace nightbus::python
