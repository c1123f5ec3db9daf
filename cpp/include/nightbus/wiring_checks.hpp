#pragma once
/// What one check says, what one candidate is, and what a check may look at. Conductor checks live
/// in wiring; checks of overcurrent devices are handed in from above as a DeviceRules.

#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "nightbus/catalogue.hpp"
#include "nightbus/finding.hpp"
#include "nightbus/quantity.hpp"
#include "nightbus/system.hpp"

namespace nightbus {

/// One check of one candidate, in the case that governs it. Facts only; words come from the kind
/// of finding that `code` names.
struct Verdict {
  std::string code;  ///< "ampacity", "drop-critical", "interrupt-rating" …
  bool passed = true;
  bool rejects = true;                   ///< a failure rules the candidate out; false: advice
  bool at_least = false;                 ///< value must reach limit; false: must not exceed it
  Severity severity = Severity::danger;  ///< of the finding, should it fail
  std::optional<double> value;           ///< empty: data is missing, see detail
  std::optional<double> limit;           ///< what the value is held against
  Dimension dimension = Dimension::number;
  std::string rule;       ///< "33 CFR 183.425 Table 5, 14 AWG"; every rule set gets its own verdict
  std::string case_name;  ///< empty: no case governs it
  std::string detail;     ///< how the value came about, in words

  /// Share of the limit used: 1 at the limit, above 1 failed. Empty when a side is missing.
  std::optional<double> use() const;
  friend bool operator==(const Verdict&, const Verdict&) = default;
};

/// Verdict as a finding about `subject`; a passed one becomes Severity::passed.
Finding to_finding(const Verdict& verdict, const std::string& subject_kind,
                   const std::string& subject, const Span& where);

/// An overcurrent device of a form and rating that is made.
struct Device {
  std::string form;  ///< catalogue name, "mini blade"
  DeviceKind kind = DeviceKind::fuse;
  double rating_a = 0.0;
  double resistance_ohm = 0.0;  ///< warm; the figure the network uses
  bool given = false;           ///< by the system file, not chosen
  friend bool operator==(const Device&, const Device&) = default;
};

/// One size, with the device that goes with it best, and everything that was asked about the two.
struct Candidate {
  ConductorSize size;
  std::optional<ConductorSize> return_size;  ///< own return of another size
  double area_mm2 = 0.0;                     ///< of metal, one conductor
  double metal_kg = 0.0;                     ///< out and return, parallel conductors counted
  double cost = 0.0;                         ///< 0 when no price is known
  std::optional<Device> device;              ///< empty: none needed, or none fits
  std::vector<Verdict> checks;               ///< in the order they were made
  std::optional<std::size_t> failed;         ///< first check that rejects it
  bool feasible() const { return !failed; }
  /// Sets `failed` from the checks.
  void find_failure() {
    const auto rejects = [](const Verdict& check) { return !check.passed && check.rejects; };
    const auto first = std::find_if(checks.begin(), checks.end(), rejects);
    failed.reset();
    if (first != checks.end()) failed = static_cast<std::size_t>(first - checks.begin());
  }
  /// Empty as well when what rejects it is no check of its own: drops over the whole tree.
  const Verdict* first_failure() const {
    return failed && *failed < checks.size() ? &checks[*failed] : nullptr;
  }
};

/// A run in one case of the plan in hand. Currents are magnitudes, margins included.
struct RunCase {
  std::string name;
  double current_a = 0.0;         ///< in the positive pole
  double return_current_a = 0.0;  ///< in its own return
  double ambient_c = 0.0;         ///< air along the run
  double fuse_ambient_c = 0.0;    ///< air at the device
  double source_v = 0.0;          ///< between the poles at the run's source end
};

/// Where fault current comes from.
enum class FaultSource {
  battery,  ///< a bank stands behind it
  limited,  ///< converters, chargers or array controllers only: they limit by themselves
  none,     ///< nothing feeds it
};

/// Everything a check of one run may look at besides the candidate.
struct RunContext {
  const System* system = nullptr;
  const Catalogue* catalogue = nullptr;
  const Run* run = nullptr;
  std::size_t index = 0;              ///< in System::runs
  std::vector<const RuleSet*> rules;  ///< all sets that govern; the strictest answer wins

  // Circuit.
  double nominal_v = 12.0;
  double highest_v = 14.6;                   ///< highest charging voltage that can stand on it
  SourceKind source = SourceKind::other;     ///< battery: its device is first in line from a bank
  FaultSource fault = FaultSource::battery;  ///< what can drive a short through it
  bool device_at_far_end = false;  ///< a charger's or array's run: the bank's side is the dangerous
  bool needs_device = true;        ///< false: no device is asked of this run
  bool reverse_current = false;    ///< carries charge towards a bank in some case
  double limited_a = 0.0;          ///< FaultSource::limited: most that can ever flow
  std::optional<double> cold_cranking_a;  ///< of the banks behind it, all strings
  double connected_ah = 0.0;              ///< of all banks that can feed it

  // Loading.
  std::vector<RunCase> cases;
  double design_a = 0.0;        ///< largest current in any case
  std::size_t design_case = 0;  ///< with the largest current
  double inrush_f = 0.0;        ///< capacitance that is switched on through it at once
  bool inrush_known = true;     ///< false: some device behind it does not state its own
  bool capacitive = true;       ///< supplies with input capacitors behind it
  bool solar = false;           ///< from an array to its controller

  // Heat.
  double insulation_c = 75.0;  ///< rated temperature
  double terminal_c = 60.0;    ///< rated temperature of the terminals
  Installation installation = Installation::conduit;
  double ambient_c = 30.0;       ///< hottest along it
  double fuse_ambient_c = 30.0;  ///< hottest at the device
  Bundle bundle;
  int parallel = 1;  ///< conductors per pole

  // Fault loop without the run itself and its own device: the plan's other runs as they stand.
  double highest_emf_v = 0.0;       ///< full, warm bank
  double highest_source_ohm = 0.0;  ///< at the run's source end, cold wire; 0 with emf 0: no source
  double lowest_emf_v = 0.0;        ///< low, cold bank
  double lowest_source_ohm = 0.0;   ///< at the run's source end, hot wire
  double lowest_far_ohm = 0.0;      ///< of the run itself besides its conductors: joints, switch
  std::string fault_basis;          ///< where the bank's figures came from, in words
};

/// Which devices a run may have with a conductor. Implemented by protection; a plan without one
/// chooses conductors alone.
class DeviceRules {
 public:
  virtual ~DeviceRules() = default;

  /// Devices that pass every local check with this conductor, best first. Empty with no device
  /// needed: `none_needed` is true.
  struct Options {
    bool none_needed = false;
    std::vector<Device> fitting;
  };
  virtual Options options(const RunContext& context, const Conductor& conductor,
                          double ampacity_a) const = 0;

  /// A device that passes all that does not depend on the rest of the plan, and the conditions the
  /// plan must meet for the rest.
  struct Limits {
    Device device;
    double carries_a = 0.0;      ///< design current at most
    double needs_fault_a = 0.0;  ///< least fault current at the far end at least
    double breaks_a = 0.0;       ///< highest prospective current behind it at most
  };
  /// Looks only at what `context` says of the run itself: not at its currents, nor at the fault
  /// loop before it.
  virtual std::vector<Limits> limits(const RunContext& context, const Conductor& conductor,
                                     double ampacity_a) const = 0;
  /// Would explain() find nothing that rejects the device?
  virtual bool passes(const RunContext& context, const Conductor& conductor, double ampacity_a,
                      const Device& device) const = 0;
  /// The same checks as evidence, for one device (null: none). Every rule set speaks.
  virtual void explain(const RunContext& context, const Conductor& conductor, double ampacity_a,
                       const Device* device, std::vector<Verdict>& verdicts) const = 0;
  /// The device to show when none fits: the one that got furthest.
  virtual std::optional<Device> nearest(const RunContext& context, const Conductor& conductor,
                                        double ampacity_a) const = 0;
  /// True when `upstream` stays shut while `downstream` clears a fault of `fault_a`.
  virtual bool selective(const Device& upstream, const Device& downstream,
                         double fault_a) const = 0;
};

}  // namespace nightbus
