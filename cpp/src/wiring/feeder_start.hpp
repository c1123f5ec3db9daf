#pragma once
/// Private: what the search of a feeder starts with.

#include "wiring/feeder_bounds.hpp"

namespace nightbus::wiring_detail {

struct StartedFeeder {
  FeederModel model;               ///< options that a better plan may still take
  std::vector<std::size_t> cases;  ///< those of the whole feeder that it still holds
  std::vector<std::vector<std::uint32_t>> origin;  ///< [edge][option] -> option of the whole feeder
  bool possible = true;                            ///< false: nothing is below `value`
  bool found = false;                              ///< a plan that keeps every limit
  double value = unlimited;                        ///< of that plan, or the cut-off
  std::vector<std::uint32_t> option;               ///< of the whole feeder
  FeederState state;
  std::size_t labels = 0, solves = 0;
};
/// With `every_case` none is left out, however little it asks.
StartedFeeder start_feeder(const FeederModel& whole, double cut_off, bool every_case = false,
                           bool every_option = false);

}  // namespace nightbus::wiring_detail
