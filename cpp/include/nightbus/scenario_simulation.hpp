#pragma once
/// The described system as a simulation: names become indices, everything else is energy.hpp's.
///
/// ```cpp
/// DescribedSimulation made = describe_simulation(plan.wired, catalogue, clock, 60.0);
/// made.input.weather = …;
/// made.input.options.start_s = …;  made.input.options.steps = …;
/// SimulationResult run = simulate(made.input);
/// run.loads[3].lowest_v;           // of made.loads[3].name
/// ```

#include <string>
#include <vector>

#include "nightbus/catalogue.hpp"
#include "nightbus/energy.hpp"
#include "nightbus/system.hpp"

namespace nightbus {

/// What a load of the simulation stands for.
struct SimulatedLoad {
  std::string kind;  ///< "load", "fan", "PoE link"; "bank" and "array": their own standby
  std::string name;
  int priority = 2;  ///< 1 last to be shed … 5 first; 0 is never shed
};

struct DescribedSimulation {
  SimulationInput input;             ///< weather and times are still to be filled in
  std::vector<SimulatedLoad> loads;  ///< in the order of input.loads
  std::vector<std::string> banks, arrays, chargers, converters, compartments, fans;
  std::vector<std::string> assumptions;
};

/// `wired`: a system whose runs have sizes (Plan::wired), or any; runs without a size get the
/// thickest there is. `lumped`: one bus, each load behind the resistance that the solved network
/// shows at mean draw, instead of the network solved at every step; faster, and nearly the same.
DescribedSimulation describe_simulation(const System& wired, const Catalogue& catalogue,
                                        const LocalClock& clock, double step_s,
                                        bool lumped = false);

/// Sheds loads of a priority and above (less critical) when the first bank falls below `off_soc`,
/// and brings them back at `on_soc`.
struct ShedRule {
  int priority = 5;                    ///< loads of this priority and above
  double off_soc = 0.3, on_soc = 0.5;  ///< shed below, back above
  double delay_s = 60.0;               ///< how long it must last
};
void add_shedding(DescribedSimulation& made, const std::vector<ShedRule>& rules);

}  // namespace nightbus
