#pragma once
/// Private: the parts make_sections() is made of.

#include "wiring/sections.hpp"

namespace nightbus::wiring_detail {

/// Every size and device that could pass in some plan; unless `every_device`, without devices that
/// another one covers on the same size.
void add_run_options(const SectionAsk& ask, std::size_t run_index, bool every_device,
                     FeederEdge& edge, std::vector<OptionMeaning>& meanings);
/// Where none could: the thickest size with the device that gets furthest, free of limits, so that
/// the rest of the plan can still be worked out. The checks tell what is wrong with it.
void add_last_resort(const SectionAsk& ask, std::size_t run_index, FeederEdge& edge,
                     std::vector<OptionMeaning>& meanings);

/// What hangs at each point, as draws of a feeder; `edge` is the run's edge, -1 the root. A
/// converter takes what it takes in the solved state; a stage behind it may be added afterwards.
void add_draws(const SectionAsk& ask, std::size_t point, int edge, int stage,
               const std::vector<std::size_t>& cases, FeederModel& model);

/// Makes a stage of the converter whose draw was added last, without its runs.
void add_stage(const SectionAsk& ask, std::size_t converter, const std::vector<std::size_t>& cases,
               FeederModel& model);
/// The PoE links at a converter's output, as edges of its stage with one option each.
void add_links(const SectionAsk& ask, std::size_t converter, int stage,
               const std::vector<std::size_t>& cases, FeederModel& model);
/// It regulates in every case that counts (or is off): what is before it does not matter behind it.
bool stands_alone(const SectionAsk& ask, std::size_t converter,
                  const std::vector<std::size_t>& cases);

}  // namespace nightbus::wiring_detail
