#pragma once
/// Private: the choice over all feeders, closed on the network's own solution.

#include "wiring/sections.hpp"

namespace nightbus::wiring_detail {

/// One size and device for each run.
struct Picked {
  std::size_t size = 0;  ///< in the run's sizes
  std::optional<Device> device;
  bool last_resort = false;  ///< nothing passes here
};

/// Sizes held, devices by the order of the device rules, each feeder still within its limits.
void choose_devices(SectionAsk ask, std::vector<Picked>& picked, std::size_t& labels);

struct ExactAsk {
  const CompiledSystem& start;  ///< thickest wire everywhere
  const std::vector<Case>& cases;
  const WiringOptions& options;
  const DeviceRules* devices = nullptr;
  Weights weights;
  double share = 1.0;                           ///< on every drop limit
  std::vector<std::vector<char>> allowed = {};  ///< [run][size]; empty: all
  double cut_off = unlimited;                   ///< nothing dearer is wanted
};

struct ExactChoice {
  Solved solved;                     ///< verified
  std::vector<RunContext> contexts;  ///< of that state
  std::vector<std::vector<SizeOption>> sizes;
  std::vector<Picked> picked;
  bool feasible = false;    ///< every limit that can be met is met, on the network's own solution
  bool everything = false;  ///< and none had to be left out
  Optimality facts;
};
ExactChoice choose_exact(const ExactAsk& ask);

std::vector<RunChoice> choices_of(const ExactChoice& choice);

/// Fewest sizes: the same choice over subsets of the sizes, smallest first, as far as they can win.
ExactChoice choose_few_sizes(const ExactAsk& ask);

}  // namespace nightbus::wiring_detail
