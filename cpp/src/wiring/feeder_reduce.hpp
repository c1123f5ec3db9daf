#pragma once
/// Private: a feeder without the options that cannot matter.

#include "wiring/feeder_bounds.hpp"

namespace nightbus::wiring_detail {

struct ReducedFeeder {
  FeederModel model;
  std::vector<std::vector<std::uint32_t>> origin;  ///< [edge][option] -> option of the whole feeder
  bool possible = true;                            ///< false: some edge has no option left
};
/// With `every_option` none goes for another that costs and loses no more, should what hangs behind
/// be a resistance.
ReducedFeeder reduce_feeder(const FeederModel& model, bool every_option = false);

}  // namespace nightbus::wiring_detail
