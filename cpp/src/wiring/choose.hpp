#pragma once
/// Private: the steps of choose_wiring().

#include <string>
#include <vector>

#include "nightbus/wiring_context.hpp"
#include "nightbus/wiring_tree.hpp"

namespace nightbus::wiring_detail {

/// Both poles of one run with one size, as the compiler sees them.
struct SizeOption {
  ConductorSize size;
  RunResistance positive, negative;
};
/// [run][size]: the sizes that may be chosen, thinnest first; one where the file gives it.
std::vector<std::vector<SizeOption>> size_options(const CompiledSystem& compiled);

/// A candidate with what the tree programme needs of it.
struct Choosable {
  Candidate candidate;
  SizeOption option;
  double ampacity_a = 0.0;
  std::string ampacity_rule;
};

struct ChoiceState {
  std::vector<std::vector<Choosable>> candidates;  ///< [run][size]
  std::vector<std::size_t> chosen;                 ///< [run]
  bool feasible = true;  ///< of the tree: every drop limit that can be met is met
};

Weights weights_of(const System& system, const WiringOptions& options);

/// Which candidates are judged.
enum class Telling {
  all,     ///< every size with its best device, every check in words
  near_by  ///< the chosen one and the next thinner in words; of the next thicker whether it passes
};
/// All sizes of a run; the chosen one with the device that was chosen with it.
std::vector<Choosable> tell_candidates(const RunContext& context,
                                       const std::vector<SizeOption>& sizes, std::size_t chosen,
                                       const std::optional<Device>& device,
                                       const DeviceRules* devices, Telling telling);

/// Drops of every device in its worst case, against limit and window.
std::vector<EndVolts> ends_of(const Solved& solved);

/// Turns the final state into the plan that is handed out.
void fill_runs(WiringPlan& plan, const Solved& solved, const std::vector<RunContext>& contexts,
               ChoiceState&& state, bool explain);
void fill_findings(WiringPlan& plan, const System& system);
void fill_size_ups(WiringPlan& plan, const Solved& solved, const ChoiceState& state);

}  // namespace nightbus::wiring_detail
