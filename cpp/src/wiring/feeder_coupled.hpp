#pragma once
/// Private: the tree programme with currents that depend on the partial plan. See
/// feeder_coupled.cpp.

#include "wiring/feeder_bounds.hpp"

namespace nightbus::wiring_detail {

struct CoupledChoice {
  bool feasible = false;
  double value = unlimited;            ///< bound on every plan of the branch below the cut-off
  std::vector<std::uint32_t> of_kept;  ///< option of each edge, counted in Relaxation::kept
  std::vector<double> least_a;         ///< [edge] least current of any plan below the cut-off
  std::size_t labels = 0;
  bool gave_up = false;  ///< more labels than allowed: nothing was learnt
};

struct CoupledAsk {
  std::size_t dimension = 0;
  double cut_off = unlimited;
  std::vector<double> outside;    ///< [edge] least value outside its part
  std::vector<double> tangent_v;  ///< [draw] volts where the tangents touch: those of a good plan
  std::size_t most_labels = 20'000;
  std::size_t bins = 48;  ///< for the current a part takes
};
CoupledChoice choose_coupled(const FeederModel& model, const Relaxation& relaxed,
                             const LeastCurrents& least, const CoupledAsk& ask);

}  // namespace nightbus::wiring_detail
