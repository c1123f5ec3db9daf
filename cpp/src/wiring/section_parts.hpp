#pragma once
/// Private: the parts make_sections() is made of.

#include "wiring/sections.hpp"

namespace nightbus::wiring_detail {

/// Every size and device that could pass in some plan.
void add_run_options(const SectionAsk& ask, std::size_t run_index, FeederEdge& edge,
                     std::vector<OptionMeaning>& meanings);
/// Where none could: the thickest size with the device that gets furthest, free of limits, so that
/// the rest of the plan can still be worked out. The checks tell what is wrong with it.
void add_last_resort(const SectionAsk& ask, std::size_t run_index, FeederEdge& edge,
                     std::vector<OptionMeaning>& meanings);

/// What hangs at each point, as draws of a feeder; `edge` is the run's edge, -1 the root.
void add_draws(const SectionAsk& ask, std::size_t point, int edge,
               const std::vector<std::size_t>& cases, FeederModel& model);

}  // namespace nightbus::wiring_detail
