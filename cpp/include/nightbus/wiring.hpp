#pragma once
/// The wiring plan: for every run the conductor and the overcurrent device, chosen so that the
/// whole tree uses the least copper (or money, or number of sizes) that satisfies every check in
/// every case, and the reasons for each choice.
///
/// ```cpp
/// WiringPlan plan = plan_wiring(system, Catalogue::builtin());   // protection.hpp: everything
/// plan.runs[3].size;                                             // {awg, 10}
/// plan.runs[3].candidates[4].first_failure()->rule;              // why 12 AWG was not enough
/// System wired = wired_system(system, plan);                     // sizes and devices filled in
/// ```
///
/// plan_wiring() of protection.hpp is what users call. choose_wiring() below is the same choice
/// with the device rules handed in, or with conductors alone.

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "nightbus/catalogue.hpp"
#include "nightbus/finding.hpp"
#include "nightbus/network_system.hpp"
#include "nightbus/system.hpp"
#include "nightbus/wiring_checks.hpp"

namespace nightbus {

// ---- What is asked
// ------------------------------------------------------------------------------

/// value = per_kg · metal + per_money · cost + per_size · number of different sizes.
struct Weights {
  double per_kg = 1.0;     ///< of metal
  double per_money = 0.0;  ///< of cost
  double per_size = 0.0;   ///< for each different size
};

struct WiringOptions {
  std::optional<Weights> weights;     ///< empty: by Rules::objective
  CaseConditions conditions;          ///< air in compartments, fan steps: see network_system.hpp
  bool explain = true;                ///< keep all candidates with their checks
  bool size_ups = true;               ///< what one size more on each run would buy
  int trade_off_points = 0;           ///< points of the curve copper against drop; 0: none
  bool changes = true;                ///< infeasible: look for the smallest set of changes
  std::size_t most_branches = 20000;  ///< then the best plan so far is given, with its bound
};

// ---- What is answered
// ---------------------------------------------------------------------------

/// What the device of a run must be able to do, whatever its make.
struct DeviceNeed {
  double interrupt_a = 0.0;    ///< DC current it must break …
  double interrupt_v = 0.0;    ///< … at this voltage, the highest charging voltage of its bus
  double prospective_a = 0.0;  ///< bolted short right behind it
  double least_fault_a = 0.0;  ///< bolted short at the far end, weak bank, hot wire
  std::optional<double> opens_in_s;  ///< at that least current, slow side of its band
  std::optional<double> within_m;    ///< along the conductor from the source; empty: no rule
  double holder_a = 0.0;             ///< holder, block or switch: continuous current it must carry
  double switch_v = 0.0;             ///< DC voltage a switch there must be rated to break
  bool at_far_end = false;           ///< sits at the run's `to` end, the bank's side
};

struct RunPlan {
  std::string run;
  std::size_t index = 0;    ///< in System::runs
  bool size_given = false;  ///< by the file, and so only checked
  bool spare = false;       ///< nothing behind it draws
  bool feasible = true;     ///< every check that rejects is passed

  ConductorSize size;
  std::optional<ConductorSize> return_size;  ///< empty: as the way out, or no own return
  std::string family;                        ///< of conductors
  double area_mm2 = 0.0;                     ///< of one conductor
  int conductors = 2;                        ///< cut pieces: poles with own conductor × parallel
  double length_m = 0.0;                     ///< out, one piece
  double return_length_m = 0.0;              ///< back, one piece; 0: no own return
  double metal_kg = 0.0;                     ///< of all its pieces
  double cost = 0.0;                         ///< by the prices of the file

  double current_a = 0.0;    ///< design current
  std::string current_case;  ///< that it occurs in
  double ampacity_a = 0.0;   ///< corrected, strictest rule set, terminals included
  std::string ampacity_rule;
  double conductor_c = 0.0;  ///< hottest of all cases
  double drop_v = 0.0;       ///< largest of all cases, out and back
  double loss_w = 0.0;       ///< in the same case

  std::optional<Device> device;  ///< empty: none sits on this run
  DeviceNeed need;

  /// Why not thinner: the check that rules out the next size down, in its case. When no local check
  /// does, the shared drop of the loads behind it governs ("drop-critical" …), or "thinnest".
  std::string governing_code;
  std::string governing_case;
  std::string governing_rule;

  std::vector<Candidate> candidates;  ///< thinnest first; the chosen one among them
  std::size_t chosen = 0;             ///< index in candidates
  const Candidate* choice() const;    ///< null when candidates were not kept
};

/// A device at the end of the tree, in its worst case for drop and for its window.
struct EndVolts {
  std::string kind;  ///< "load", "fan", "converter", "PoE link"
  std::string name;
  DropClass drop_class = DropClass::critical;
  double nominal_v = 0.0;
  double drop_v = 0.0;       ///< from the source of its domain, worst case
  double drop_ratio = 0.0;   ///< of nominal
  double limit_ratio = 0.0;  ///< of nominal; 0: none
  std::string drop_case;
  double lowest_v = 0.0;  ///< at its terminals
  std::string lowest_case;
  std::optional<double> window_low_v;  ///< the higher of window and lock-out
  bool passed = true;
};

/// How good the choice is, with proof.
struct Optimality {
  bool proven = false;       ///< no plan that passes every check is better
  double value = 0.0;        ///< of the objective
  double bound = 0.0;        ///< nothing below it can pass
  int rounds = 0;            ///< choice and verification
  std::size_t branches = 0;  ///< of the search
  std::size_t labels = 0;    ///< partial plans kept by the tree programme
  std::size_t solves = 0;    ///< nonlinear network solutions
  std::string note;          ///< what stands in the way of a proof; empty when proven
};

/// One size more on one run, everything else as planned.
struct SizeUp {
  std::string run;
  ConductorSize from, to;
  double more_kg = 0.0;  ///< of metal
  double more_cost = 0.0;
  double saved_w = 0.0;      ///< in the run's design case
  double drop_gain_v = 0.0;  ///< at the worst device behind it
  std::string device;        ///< that device
};

/// One point of the curve: all drop limits multiplied by `limit_share`.
struct TradeOffPoint {
  double limit_share = 1.0;       ///< on every drop limit
  double worst_drop_ratio = 0.0;  ///< of nominal, any device
  double value = 0.0;             ///< of the objective
  double metal_kg = 0.0;
  bool feasible = true;
};

enum class ChangeKind {
  choose_anew,    ///< what the file gives for the run: `amount` mm² or A instead
  other_form,     ///< a device form that is not among the allowed ones
  nearer_device,  ///< the run's device, to `amount` metres from the source
  sheath,         ///< the run, from the source to its device
  allow_size,     ///< a size beyond the stock: `amount` mm²
  shorten,        ///< the run, to `amount` metres
  insulation,     ///< of the run, a class of `amount` °C
  unbundle,       ///< at most `amount` conductors together
  double_up,      ///< conductors in parallel: `amount` per pole
  split,          ///< a second run beside it takes `amount` of its circuits
  cooler,         ///< air along the run, at most `amount` °C
  lower_load,     ///< draw behind the run, to `amount` of it
  raise_voltage,  ///< of the bank: `amount` V nominal
};
std::string_view change_kind_name(ChangeKind kind);

/// One thing to alter so that the system becomes feasible.
struct Change {
  ChangeKind kind = ChangeKind::shorten;
  std::string run;      ///< or the bank
  double amount = 0.0;  ///< what it becomes, see ChangeKind
  double from = 0.0;    ///< what it is now
  Dimension dimension = Dimension::number;
  std::string words;  ///< "bring the ends of "rack feeder" 1.2 m nearer: 6 m to 4.8 m"
};

/// Changes that make the system feasible when they are all made; planned again and found so.
struct ChangeSet {
  std::vector<Change> changes;
  std::vector<std::string> mends;  ///< runs and devices that fail without them
  double metal_kg = 0.0;           ///< of the plan with them
};

struct WiringPlan {
  Objective objective = Objective::copper;  ///< what was made least
  Weights weights;
  std::vector<std::string> rule_sets;
  bool feasible = true;        ///< every run and every device passes every check that rejects
  std::vector<RunPlan> runs;   ///< one for each System::runs, in order
  std::vector<EndVolts> ends;  ///< loads, fans, converters, PoE links, in the file's order
  Optimality optimality;
  double metal_kg = 0.0;  ///< of all runs
  double cost = 0.0;
  int distinct_sizes = 0;                ///< to buy
  std::vector<SizeUp> size_ups;          ///< what one size more would buy
  std::vector<TradeOffPoint> trade_off;  ///< copper against drop, when asked for
  std::vector<Change> changes;           ///< infeasible: smallest set found that mends it
  std::vector<ChangeSet> ways;           ///< that set and others, the smallest first
  std::vector<CaseResult> cases;  ///< the verified operating points, in the order of cases_of()
  std::vector<Finding> findings;  ///< failures, advice, missing data, and passed checks as evidence

  const RunPlan& run(std::string_view name) const;  ///< throws LookupError
  std::vector<RunChoice> choices() const;           ///< for compile_system()
};

/// Least-value plan by the conductor checks and, when given, the device rules.
WiringPlan choose_wiring(const System& system, const Catalogue& catalogue,
                         const WiringOptions& options = {}, const DeviceRules* devices = nullptr);

/// The system with the plan's sizes, returns and devices written into its runs.
System wired_system(const System& system, const WiringPlan& plan);

}  // namespace nightbus
