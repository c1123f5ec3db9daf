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

namespace {

Choosable judge_one(const RunContext& context, const SizeOption& option, const Conductor& conductor,
                    const Conductor& back, const DeviceRules* devices, bool words) {
  Choosable result;
  result.option = option;
  Candidate& candidate = result.candidate;
  candidate.size = option.size;
  candidate.return_size = context.run->return_size;
  candidate.area_mm2 = conductor.area_mm2;
  candidate.metal_kg = metal_kg(*context.run, conductor, back);
  candidate.cost = cost_of(*context.system, *context.run, option.size,
                           context.run->return_size.value_or(option.size));
  const ConductorJudgement judged =
      judge_conductor(context, conductor, words ? &candidate.checks : nullptr);
  result.ampacity_a = judged.ampacity_a;
  result.ampacity_rule = judged.ampacity_rule;
  bool fits = judged.fits;
  if (devices) {
    const DeviceRules::Options found = devices->options(context, conductor, judged.ampacity_a);
    if (!found.fitting.empty()) {
      candidate.device = found.fitting.front();
    } else if (!found.none_needed) {
      fits = false;
      candidate.device = devices->nearest(context, conductor, judged.ampacity_a);
    }
    if (words) {
      devices->explain(context, conductor, judged.ampacity_a,
                       candidate.device ? &*candidate.device : nullptr, candidate.checks);
    }
  }
  if (words) {
    candidate.find_failure();
  } else if (!fits) {
    candidate.failed = 0;
  }
  return result;
}

}  // namespace

std::vector<std::vector<Choosable>> judge_all(const Solved& solved,
                                              const std::vector<RunContext>& contexts,
                                              const std::vector<std::vector<SizeOption>>& sizes,
                                              const DeviceRules* devices, const Weights& weights,
                                              bool words) {
  const System& system = solved.compiled.system();
  const Catalogue& catalogue = solved.compiled.catalogue();
  std::vector<std::vector<Choosable>> all;
  for (const RunContext& context : contexts) {
    std::vector<Choosable> candidates;
    for (const SizeOption& option : sizes[context.index]) {
      const Run& run = *context.run;
      const Conductor& conductor = conductor_for(system, catalogue, run, option.size);
      const Conductor& back =
          run.return_size ? conductor_for(system, catalogue, run, *run.return_size) : conductor;
      candidates.push_back(judge_one(context, option, conductor, back, devices, words));
      Choosable& last = candidates.back();
      last.value =
          weights.per_kg * last.candidate.metal_kg + weights.per_money * last.candidate.cost;
    }
    all.push_back(std::move(candidates));
  }
  return all;
}

}  // namespace nightbus::wiring_detail
