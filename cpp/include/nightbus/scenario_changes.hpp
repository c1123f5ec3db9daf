#pragma once
/// What would have to change for an infeasible system to become feasible.
///
/// ```cpp
/// Plan plan = make_plan(system, Catalogue::builtin());
/// plan.wiring.feasible;                     // false: no size or device passes every check
/// plan.wiring.ways.front().changes.front().words;
///     // bring the ends of run "mast feeder" 1.25 m nearer: 14 m to 12.75 m
/// ```

#include <vector>

#include "nightbus/scenario.hpp"

namespace nightbus {

/// The sets of changes found, the smallest first; none when the plan is feasible, or when nothing
/// that is known here mends it. Each was planned again as a whole and passes every check that the
/// plan failed. Continuous amounts are the least that do, found by bisection: to the centimetre, to
/// half a per cent of a draw, to half a kelvin.
///
/// Where the file gives sizes and devices that fail, the first set leaves what must be to the plan
/// and the rest as it is given: putting back any one more fails again, the others as chosen.
///
/// Which change is smaller is a matter of taste; ours (no source), first by their number: what the
/// file gives chosen anew, another form or place for the device, a sheath, a size from outside the
/// stock, a shorter way, a better insulation, a smaller bundle, conductors in parallel, a second
/// run, cooler air, less load, a higher voltage. Within a kind the smaller share.
std::vector<ChangeSet> find_changes(const System& system, const Catalogue& catalogue,
                                    const WiringPlan& plan, const PlanOptions& options);

/// Puts the smallest of `wiring.ways` into `wiring.changes` and into the advice of what it mends.
void tell_changes(Plan& plan);

}  // namespace nightbus
