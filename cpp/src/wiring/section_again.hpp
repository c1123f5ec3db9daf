#pragma once
/// Private: what the choice of one round tells the next.

#include "wiring/sections.hpp"

namespace nightbus::wiring_detail {

struct ChosenSection {
  Section section;
  FeederChoice choice;
};

/// What became of the plan of the round before.
enum class Standing {
  lost,   ///< it breaks a limit now, or cannot be had
  holds,  ///< it keeps every limit; there may be a better one now
  best    ///< it still is the best
};
/// Unless it is lost, the choice is filled in.
Standing standing_of(const Section& section, const ChosenSection& before, FeederChoice& choice);

}  // namespace nightbus::wiring_detail
