#pragma once
/// One device on one conductor, judged check by check. With a list to write to, every check is kept
/// with its words; without one the first check that rejects ends the matter.

#include <optional>
#include <string>
#include <vector>

#include "nightbus/protection.hpp"
#include "nightbus/protection_fault.hpp"
#include "nightbus/protection_fuse.hpp"

namespace nightbus::protection_detail {

/// Share of the rating usable in the air at the device; safe slope where the form has no data.
struct Rerating {
  double factor = 1.0;
  bool published = true;
  std::string rule;
};

/// What does not depend on the device: looked up once for a conductor in its context.
struct ConductorFacts {
  ConductorFacts(const RunContext& of_run, const Conductor& of_conductor, double may_carry_a,
                 bool words)
      : context(of_run), conductor(of_conductor), ampacity_a(may_carry_a), words_(words) {}

  const RunContext& context;
  const Conductor& conductor;
  double ampacity_a = 0.0;
  double continuous_factor = 1.25;
  double withstand_a2s = 0.0;  ///< k²S² of all conductors in parallel; 0: no figure
  std::string withstand_rule;
  double cold_loop_ohm = 0.0;  ///< of the run itself out and back, 20 °C
  double hot_loop_ohm = 0.0;   ///< the same at the insulation's temperature
  double prospective_a = 0.0;  ///< right behind the device

  /// What a form brings whatever the rating. The last form that was asked for is remembered, for
  /// ratings come form by form.
  struct OfForm {
    const OvercurrentForm* form = nullptr;
    Rerating rerating;
    std::vector<std::optional<Ceiling>> ceilings;  ///< one for each rule set
  };
  const OfForm& of(const OvercurrentForm& form) const;

 private:
  bool words_;
  mutable OfForm known_;
};
ConductorFacts conductor_facts(const RunContext& context, const Conductor& conductor,
                               double ampacity_a, bool words);

class Judge {
 public:
  Judge(const ConductorFacts& facts, const ProtectionOptions& options,
        std::vector<Verdict>* verdicts)
      : facts_(facts), context_(facts.context), options_(options), verdicts_(verdicts) {}

  /// Every check of a device; false when one rejects it.
  bool device(const OvercurrentForm& form, const Device& device);
  /// Checks that stand even without a device: placement, switch, and that one is there at all.
  bool surroundings(const Device* device);
  /// What the device asks of the plan; empty when it fails whatever the plan. Several entries where
  /// the fault currents it may see fall into separate ranges.
  std::vector<DeviceRules::Limits> limits(const OvercurrentForm& form, const Device& device);
  int passed() const { return passed_; }  ///< before the first rejection
  int warned() const { return warned_; }  ///< advice that was not met

 private:
  bool keep(Verdict verdict);
  bool words() const { return verdicts_ != nullptr; }

  bool continuous(const OvercurrentForm& form, const Device& device);
  bool ceiling(const OvercurrentForm& form, const Device& device);
  bool interrupt(const OvercurrentForm& form);
  bool interrupt_tier(const RuleSet& rules, const OvercurrentForm& form);
  double current_to_clear_a(const OvercurrentForm& form, const Device& device) const;
  std::optional<double> holder_limit_a(const OvercurrentForm& form) const;
  bool clears_far_fault(const OvercurrentForm& form, const Device& device);
  bool lets_through(const OvercurrentForm& form, const Device& device);
  bool rides_inrush(const OvercurrentForm& form, const Device& device);
  bool holder(const OvercurrentForm& form, const Device& device);

  double far_fault_a(const Device& device) const;

  const ConductorFacts& facts_;
  const RunContext& context_;
  const ProtectionOptions& options_;
  std::vector<Verdict>* verdicts_;
  bool fits_ = true;
  int passed_ = 0;
  int warned_ = 0;
};

}  // namespace nightbus::protection_detail
