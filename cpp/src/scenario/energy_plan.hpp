#pragma once
/// Private: the described system as a simulation, and the plan's nights made from it.

#include "nightbus/scenario.hpp"

namespace nightbus::scenario_detail {

/// What each load of the simulation stands for.
struct Consumer {
  PointKind kind = PointKind::load;  ///< load, fan, poe_link; bank: its standby; array: controller
  std::size_t index = 0;
};

/// The described system in network mode, without weather and times.
struct EnergyModel {
  SimulationInput input;
  std::vector<Consumer> consumers;  ///< in the order of SimulationInput::loads
};
EnergyModel energy_model(const CompiledSystem& compiled, const LocalClock& clock,
                         const PlanOptions& options, std::vector<std::string>& assumptions);
BankModel described_bank(const Bank& bank, const BatteryChemistry& chemistry,
                         std::vector<std::string>& assumptions);
ArrayModel described_array(const Array& array);
std::vector<DayWindow> day_windows(const std::vector<std::string>& texts);

/// The clock of the options, or the whole hour nearest to the sun's time, with a notice.
LocalClock clock_of(const System& system, const PlanOptions& options,
                    std::vector<Finding>& findings);
/// Local "HH:MM" of an instant.
std::string clock_text(const LocalClock& clock, double utc_s);

EnergyPlan energy_plan(const CompiledSystem& compiled, const Plan& plan, const PlanOptions& options,
                       std::vector<Finding>& findings);
/// Fills loads and buses of the plan from the watt-hours of the consumers in its hardest month.
void share_energy(const CompiledSystem& compiled, const CaseConditions& conditions,
                  const std::vector<Consumer>& consumers, const std::vector<double>& day_wh,
                  const std::vector<double>& night_wh, double day_total_wh, double night_total_wh,
                  EnergyPlan& plan);

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
