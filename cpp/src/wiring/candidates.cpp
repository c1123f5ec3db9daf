/// Every size of every run, judged where it lies; the best device that goes with it.

#include <algorithm>
#include <utility>

#include "wiring/choose.hpp"

namespace nightbus::wiring_detail {

std::vector<std::vector<SizeOption>> size_options(const CompiledSystem& compiled) {
  const System& system = compiled.system();
  std::vector<std::vector<ConductorSize>> sizes;
  std::size_t most = 0;
  for (const Run& run : system.runs) {
    sizes.push_back(run.size ? std::vector<ConductorSize>{*run.size}
                             : sizes_for(system, compiled.catalogue(), run));
    most = std::max(most, sizes.back().size());
  }
  std::vector<std::vector<SizeOption>> options(sizes.size());
  for (std::size_t k = 0; k < most; ++k) {
    std::vector<RunChoice> choices = compiled.choices();
    for (std::size_t i = 0; i < sizes.size(); ++i) {
      choices[i].size = sizes[i][std::min(k, sizes[i].size() - 1)];
    }
    const CompiledSystem sized = compiled.with_choices(std::move(choices));
    for (std::size_t i = 0; i < sizes.size(); ++i) {
      if (k >= sizes[i].size()) continue;
      options[i].push_back({sizes[i][k], sized.runs()[i].positive, sized.runs()[i].negative});
    }
  }
  return options;
}

Weights weights_of(const System& system, const WiringOptions& options) {
  if (options.weights) return *options.weights;
  switch (system.rules.objective) {
    case Objective::copper:
      return {1.0, 0.0, 0.0};
    case Objective::cost:
      // Metal breaks ties where no price is known.
      return {1e-3, 1.0, 0.0};
    case Objective::sizes:
      return {1.0, 0.0, 1.0};
  }
  return {};
}

Candidate candidate_of(const RunContext& context, const ConductorSize& size) {
  const System& system = *context.system;
  const Run& run = *context.run;
  const Conductor& conductor = conductor_for(system, *context.catalogue, run, size);
  const Conductor& back = run.return_size
                              ? conductor_for(system, *context.catalogue, run, *run.return_size)
                              : conductor;
  Candidate candidate;
  candidate.size = size;
  candidate.return_size = run.return_size;
  candidate.area_mm2 = conductor.area_mm2;
  candidate.metal_kg = metal_kg(run, conductor, back);
  candidate.cost = cost_of(system, run, size, run.return_size.value_or(size));
  return candidate;
}

ConductorJudgement judge_candidate(const RunContext& context, const DeviceRules* devices,
                                   Candidate& candidate) {
  const Conductor& conductor =
      conductor_for(*context.system, *context.catalogue, *context.run, candidate.size);
  candidate.checks.clear();
  ConductorJudgement judged = judge_conductor(context, conductor, &candidate.checks);
  if (devices) {
    devices->explain(context, conductor, judged.ampacity_a,
                     candidate.device ? &*candidate.device : nullptr, candidate.checks);
  }
  candidate.find_failure();
  return judged;
}

namespace {

/// The device that goes with a size best, else the one that got furthest.
std::optional<Device> best_device(const RunContext& context, const Conductor& conductor,
                                  double ampacity_a, const DeviceRules& devices) {
  const DeviceRules::Options found = devices.options(context, conductor, ampacity_a);
  if (!found.fitting.empty()) return found.fitting.front();
  if (found.none_needed) return std::nullopt;
  return devices.nearest(context, conductor, ampacity_a);
}

}  // namespace

std::vector<Choosable> tell_candidates(const RunContext& context,
                                       const std::vector<SizeOption>& sizes, std::size_t chosen,
                                       const std::optional<Device>& device,
                                       const DeviceRules* devices, Telling telling) {
  std::vector<Choosable> candidates;
  for (std::size_t k = 0; k < sizes.size(); ++k) {
    candidates.push_back({candidate_of(context, sizes[k].size), sizes[k], 0.0, {}});
    Choosable& made = candidates.back();
    Candidate& candidate = made.candidate;
    const bool near_by = k + 1 >= chosen && k <= chosen + 1;
    if (telling == Telling::near_by && !near_by) continue;
    const Conductor& conductor =
        conductor_for(*context.system, *context.catalogue, *context.run, candidate.size);
    if (k == chosen) {
      candidate.device = device;
    } else if (devices) {
      const double ampacity_a = judge_conductor(context, conductor, nullptr).ampacity_a;
      candidate.device = best_device(context, conductor, ampacity_a, *devices);
    }
    const ConductorJudgement judged = judge_candidate(context, devices, candidate);
    made.ampacity_a = judged.ampacity_a;
    made.ampacity_rule = judged.ampacity_rule;
  }
  return candidates;
}

}  // namespace nightbus::wiring_detail
