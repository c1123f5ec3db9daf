#pragma once
/// Private: what the choice of one round tells the next.

#include "wiring/sections.hpp"

namespace nightbus::wiring_detail {

struct ChosenSection {
  Section section;
  FeederChoice choice;
};

/// True, and the choice filled in, when that of the round before still is the best.
bool still_best(const Section& section, const ChosenSection& before, FeederChoice& choice);

}  // namespace nightbus::wiring_detail
