#pragma once
/// Private: watts and air of compartments.

#include <vector>

#include "nightbus/scenario.hpp"

namespace nightbus::scenario_detail {

/// Index of a compartment, or -1 for outside air.
int space_of(const System& system, std::string_view compartment);

/// The compartments as air spaces, in the order of System::compartments; fans in the order in which
/// they stand in `fan_of`.
struct HeatModel {
  ThermalNetwork network;
  std::vector<std::size_t> fan_of;  ///< entry of the thermal model -> System::fans
};
HeatModel heat_model(const System& system);

/// Sun on the horizontal that a case means: bright when it is hot, none otherwise.
double case_sun_wm2(const Case& which);

/// What a solved case leaves in each compartment; fans and sun are left to the thermal model.
std::vector<HeatSources> heat_sources(const CompiledSystem& compiled, const CaseResult& result);

/// Air and fan steps of one case, found together with its operating point.
struct CaseHeat {
  CaseAir air;
  std::vector<HeatSources> sources;
  SteadyHeat steady;
  double change_k = 0.0;  ///< of the last round
  int rounds = 0;
};
CaseHeat settle_case(const CompiledSystem& compiled, const Case& which, const HeatModel& model,
                     Workspace& workspace, const CaseAir& start);

HeatPlan heat_plan(const CompiledSystem& compiled, const std::vector<Case>& cases,
                   const HeatModel& model, const std::vector<CaseHeat>& heats);

}  // namespace nightbus::scenario_detail
