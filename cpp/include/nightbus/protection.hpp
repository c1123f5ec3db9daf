#pragma once
/// Overcurrent protection on top of the conductors: which device, where, and whether it clears.
///
/// ```cpp
/// WiringPlan plan = plan_wiring(system, Catalogue::builtin());
/// for (const Finding& finding : plan.findings) …
/// Candidate why = check_run(system, Catalogue::builtin(), plan, "rack feeder",
///                           {awg, 12}, Device{"mini blade", DeviceKind::fuse, 20});
/// ```

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "nightbus/catalogue.hpp"
#include "nightbus/finding.hpp"
#include "nightbus/system.hpp"
#include "nightbus/wiring.hpp"

namespace nightbus {

/// Choices of practice that no rule set makes.
struct ProtectionOptions {
  double clear_within_s = 5.0;   ///< least fault current must open the device in this time
  double inrush_pulses = 10000;  ///< switch-on pulses in its life; 100 to 100 000
};

/// The device rules that protection hands to the choice.
std::unique_ptr<DeviceRules> device_rules(const System& system, const Catalogue& catalogue,
                                          const ProtectionOptions& options = {});

/// The whole plan: conductors and devices together, then what concerns more than one run:
/// selectivity, bus bars and blocks, ways, studs, parallel strings, charger sides, PoE bundles.
/// Runs with a given size or device are checked as they stand.
WiringPlan plan_wiring(const System& system, const Catalogue& catalogue,
                       const WiringOptions& options = {}, const ProtectionOptions& protection = {});

/// Any size and device on one run of a plan, with every check: "why not this one?" Throws
/// LookupError for an unknown run, size or form.
Candidate check_run(const System& system, const Catalogue& catalogue, const WiringPlan& plan,
                    std::string_view run, const ConductorSize& size,
                    const std::optional<Device>& device = {},
                    const ProtectionOptions& protection = {});

/// Findings that concern more than one run, from a finished choice.
std::vector<Finding> check_protection(const System& system, const Catalogue& catalogue,
                                      const WiringPlan& plan,
                                      const ProtectionOptions& protection = {});

}  // namespace nightbus
