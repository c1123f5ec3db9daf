#pragma once
/// Private: the described system as a simulation, and the plan's nights made from it.

#include "nightbus/scenario.hpp"

namespace nightbus::scenario_detail {

/// What each list of the simulation stands for.
struct SimulationMap {
  struct Consumer {
    PointKind kind = PointKind::load;  ///< load, fan, poe_link; bank: standby; array: controller
    std::size_t index = 0;
  };
  std::vector<Consumer> loads;  ///< in the order of SimulationInput::loads
};

/// The whole system in network mode, without weather and times.
SimulationInput simulation_of(const CompiledSystem& compiled, const LocalClock& clock,
                              SimulationMap& map);
BankModel bank_model(const Bank& bank, const BatteryChemistry& chemistry);
ArrayModel array_model(const Array& array);
/// Twelve monthly means of the outside air, from the site's design extremes.
std::vector<double> monthly_air_c(const Site& site);

/// The clock of the options, or the whole hour nearest to the sun's time, with a notice.
LocalClock clock_of(const System& system, const PlanOptions& options,
                    std::vector<Finding>& findings);

EnergyPlan energy_plan(const CompiledSystem& compiled, const Plan& plan, const PlanOptions& options,
                       std::vector<Finding>& findings);

/// How many watts the bank gives for each watt taken at a point, by sharing out the losses on the
/// way:
///
///   in a domain    volts of its source / volts at the point     the same current passes both, so
///   the
///                                                               shares add up to the loss exactly
///   converter      watts in / watts out, standby included
struct LossShares {
  std::vector<double> factor;      ///< by point; of a converter: for what it takes at its input
  std::vector<double> out_factor;  ///< by point; the same but for converters: for what they give
  std::vector<int> parent;         ///< by point; the point it is fed from, -1 for a source
};
LossShares loss_shares(const CompiledSystem& compiled, const CaseResult& result);

}  // namespace nightbus::scenario_detail
