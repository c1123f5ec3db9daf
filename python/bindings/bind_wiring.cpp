#include "nightbus/wiring.hpp"

#include "bindings.hpp"

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
  py::native_enum<DeviceKind>(module, "DeviceKind", "enum.Enum", "Fuse or breaker.")
      .value("fuse", DeviceKind::fuse)
      .value("breaker", DeviceKind::breaker)
      .finalize();

  py::class_<Verdict>(module, "Verdict", "One check of one candidate, in the case that governs it.")
      .NB_READ(Verdict, code)
      .NB_READ(Verdict, passed)
      .NB_READ(Verdict, rejects)
      .NB_READ(Verdict, at_least)
      .NB_READ(Verdict, severity)
      .NB_READ(Verdict, value)
      .NB_READ(Verdict, limit)
      .NB_READ(Verdict, dimension)
      .NB_READ(Verdict, rule)
      .NB_READ(Verdict, case_name)
      .NB_READ(Verdict, detail)
      .def_property_readonly("use", &Verdict::use, "Share of the limit used; 1 is the limit.")
      .def_property_readonly("title", &title_of, "The check in words.")
      .def("__repr__", [](const Verdict& verdict) {
        return py::str("<Verdict {} {}>")
            .format(verdict.code, verdict.passed ? "passed" : "failed");
      });

  py::class_<Device>(module, "Device", "An overcurrent device of a form and rating that is made.")
      .def(py::init([](std::string form, double rating_a, DeviceKind kind) {
             Device device;
             device.form = std::move(form);
             device.rating_a = rating_a;
             device.kind = kind;
             return device;
           }),
           py::arg("form"), py::arg("rating_a"), py::arg("kind") = DeviceKind::fuse)
      .NB_READ(Device, form)
      .NB_READ(Device, kind)
      .NB_READ(Device, rating_a)
      .NB_READ(Device, resistance_ohm)
      .NB_READ(Device, given)
      .def("__repr__", [](const Device& device) {
        return py::str("Device({!r}, {!r})").format(device.form, device.rating_a);
      });

  py::class_<Candidate>(module, "Candidate", "One size with its best device and every check.")
      .NB_READ(Candidate, size)
      .NB_READ(Candidate, return_size)
      .NB_READ(Candidate, area_mm2)
      .NB_READ(Candidate, metal_kg)
      .NB_READ(Candidate, cost)
      .NB_READ(Candidate, device)
      .NB_READ(Candidate, checks)
      .NB_READ(Candidate, failed)
      .def_property_readonly("feasible", &Candidate::feasible)
      .def_property_readonly(
          "first_failure",
          [](const Candidate& candidate) { return copy_of(candidate.first_failure()); })
      .def("__repr__", [](const Candidate& candidate) {
        return py::str("<Candidate {}: {}>")
            .format(print_size(candidate.size),
                    candidate.feasible() ? "fits" : candidate.first_failure()->code);
      });

  py::class_<DeviceNeed>(module, "DeviceNeed", "What the device of a run must be able to do.")
      .NB_READ(DeviceNeed, interrupt_a)
      .NB_READ(DeviceNeed, interrupt_v)
      .NB_READ(DeviceNeed, prospective_a)
      .NB_READ(DeviceNeed, least_fault_a)
      .NB_READ(DeviceNeed, opens_in_s)
      .NB_READ(DeviceNeed, within_m)
      .NB_READ(DeviceNeed, holder_a)
      .NB_READ(DeviceNeed, switch_v)
      .NB_READ(DeviceNeed, at_far_end);

  py::class_<RunPlan>(module, "RunPlan", "Conductor and device of one run, and why.")
      .NB_READ(RunPlan, run)
      .NB_READ(RunPlan, index)
      .NB_READ(RunPlan, size_given)
      .NB_READ(RunPlan, spare)
      .NB_READ(RunPlan, feasible)
      .NB_READ(RunPlan, size)
      .NB_READ(RunPlan, return_size)
      .NB_READ(RunPlan, family)
      .NB_READ(RunPlan, area_mm2)
      .NB_READ(RunPlan, conductors)
      .NB_READ(RunPlan, length_m)
      .NB_READ(RunPlan, return_length_m)
      .NB_READ(RunPlan, metal_kg)
      .NB_READ(RunPlan, cost)
      .NB_READ(RunPlan, current_a)
      .NB_READ(RunPlan, current_case)
      .NB_READ(RunPlan, ampacity_a)
      .NB_READ(RunPlan, ampacity_rule)
      .NB_READ(RunPlan, conductor_c)
      .NB_READ(RunPlan, drop_v)
      .NB_READ(RunPlan, loss_w)
      .NB_READ(RunPlan, device)
      .NB_READ(RunPlan, need)
      .NB_READ(RunPlan, governing_code)
      .NB_READ(RunPlan, governing_case)
      .NB_READ(RunPlan, governing_rule)
      .NB_READ(RunPlan, candidates)
      .NB_READ(RunPlan, chosen)
      .def_property_readonly(
          "choice", [](const RunPlan& run) { return copy_of(run.choice()); },
          "None when candidates were not kept.")
      .def("__repr__", [](const RunPlan& run) {
        return py::str("<RunPlan {!r}: {}>").format(run.run, print_size(run.size));
      });

  py::class_<EndVolts>(module, "EndVolts", "A device at the end of the tree, in its worst case.")
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

  py::class_<Optimality>(module, "Optimality", "How good the choice is, with proof.")
      .NB_READ(Optimality, proven)
      .NB_READ(Optimality, value)
      .NB_READ(Optimality, bound)
      .NB_READ(Optimality, rounds)
      .NB_READ(Optimality, branches)
      .NB_READ(Optimality, labels)
      .NB_READ(Optimality, solves)
      .NB_READ(Optimality, note);

  py::class_<SizeUp>(module, "SizeUp", "One size more on one run, everything else as planned.")
      .NB_READ(SizeUp, run)
      .def_readonly("from_", &SizeUp::from)
      .NB_READ(SizeUp, to)
      .NB_READ(SizeUp, more_kg)
      .NB_READ(SizeUp, more_cost)
      .NB_READ(SizeUp, saved_w)
      .NB_READ(SizeUp, drop_gain_v)
      .NB_READ(SizeUp, device);

  py::class_<TradeOffPoint>(module, "TradeOffPoint", "Drop limits all multiplied alike.")
      .NB_READ(TradeOffPoint, limit_share)
      .NB_READ(TradeOffPoint, worst_drop_ratio)
      .NB_READ(TradeOffPoint, value)
      .NB_READ(TradeOffPoint, metal_kg)
      .NB_READ(TradeOffPoint, feasible);

  py::class_<Change>(module, "Change", "One thing to alter so that the system becomes feasible.")
      .def_property_readonly(
          "kind", [](const Change& change) { return std::string(change_kind_name(change.kind)); })
      .NB_READ(Change, run)
      .NB_READ(Change, amount)
      .def_readonly("from_", &Change::from)
      .NB_READ(Change, dimension)
      .NB_READ(Change, words)
      .def("__str__", [](const Change& change) { return change.words; });

  py::class_<WiringPlan>(module, "WiringPlan", "Every run, the devices, and the proof.")
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
      .def(
          "run", [](const WiringPlan& plan, const std::string& name) { return plan.run(name); },
          py::arg("name"), "The plan of one run.");
}

}  // namespace nightbus::python
