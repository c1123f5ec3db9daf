#pragma once
/// Private: the search of a feeder by itself, without what shortens its lists beforehand.

#include "wiring/feeder.hpp"

namespace nightbus::wiring_detail {

/// `known`: operating point of the plan whose value is the cut-off, if there is one.
FeederChoice search_feeder(const FeederModel& model, const FeederSearch& search,
                           const FeederState& known);

}  // namespace nightbus::wiring_detail
