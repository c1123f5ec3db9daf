#pragma once
/// The choice on bare numbers: one option for each edge of a tree, least total value, no path
/// spending more than it may. First the linear programme (what each option spends is fixed), then
/// the feeder, where the currents follow from the choice itself.
///
/// ```
///        root ──e0──┬──e1── draw      an edge spends I·R of the volts of every draw behind it;
///                   └──e2──┬── draw   an option of an edge is a conductor with a device
///                          └─e3─ draw
/// ```

#include <cstddef>
#include <cstdint>
#include <limits>
#include <span>
#include <string>
#include <vector>

namespace nightbus {

inline constexpr double unlimited = std::numeric_limits<double>::infinity();

// ---- Fixed spending
// -----------------------------------------------------------------------------

/// Edges in an order in which parents come before children. Several quantities ("dimensions": volts
/// in one case, ohms of a fault path) may be spent at once.
///   minimise Σ value(option of e)   with, for every edge e and dimension d,
///   Σ spend_d over the path from the root to e, e included  ≤  min(budget_d(e), budget_d(option)).
class TreeProblem {
 public:
  explicit TreeProblem(std::size_t dimensions = 1) : dimensions_(dimensions) {}

  std::size_t add_edge(int parent);  ///< -1: starts at the root
  /// An option of the edge added last.
  void add_option(double value, std::span<const double> spend,
                  std::span<const double> own_budget = {});
  void set_budget(std::size_t edge, std::size_t dimension, double budget);
  void lower_budget(std::size_t edge, std::size_t dimension, double budget);

  std::size_t dimensions() const { return dimensions_; }
  std::size_t edges() const { return parents_.size(); }
  int parent(std::size_t edge) const { return parents_[edge]; }
  std::size_t first_option(std::size_t edge) const { return first_[edge]; }
  std::size_t option_count(std::size_t edge) const;
  double value(std::size_t option) const { return values_[option]; }
  double spend(std::size_t option, std::size_t dimension) const {
    return spends_[option * dimensions_ + dimension];
  }
  double own_budget(std::size_t option, std::size_t dimension) const {
    return own_budgets_[option * dimensions_ + dimension];
  }
  double budget(std::size_t edge, std::size_t dimension) const {
    return budgets_[edge * dimensions_ + dimension];
  }

 private:
  std::size_t dimensions_;
  std::vector<int> parents_;
  std::vector<std::size_t> first_;
  std::vector<double> values_, spends_, own_budgets_, budgets_;
};

struct TreeChoice {
  bool feasible = false;
  double value = unlimited;             ///< of the objective
  std::vector<std::uint32_t> option{};  ///< of each edge, counted within the edge
  std::size_t labels = 0;               ///< partial plans kept
};

/// The exact optimum, by fronts of partial plans that no other beats in value and allowance at
/// once. Plans of value `cut_off` or more are not wanted.
TreeChoice choose_exactly(const TreeProblem& problem, double cut_off = unlimited);

/// Common practice, for comparison: each draw's budget is shared equally among the edges of its
/// path, and each edge takes the cheapest option within the smallest of its shares.
TreeChoice choose_by_equal_shares(const TreeProblem& problem);

// ---- Currents that follow from the choice
// ----------------------------------------------------------------

/// A conductor with a device, as an option of an edge.
struct FeederOption {
  double value = 0.0;
  struct Pole {
    double wire_ohm = 0.0;         ///< conductors at 20 °C
    double kelvin_per_watt = 0.0;  ///< rise over the air per watt lost in the pole's conductors
    double fixed_ohm = 0.0;        ///< joints, device, switch
    double hot_ohm = 0.0;          ///< all of it at the insulation's limit, for the least fault
    double cold_ohm = 0.0;         ///< all of it at 20 °C, for the highest fault
  } out, back;
  double carries_a = unlimited;   ///< design current at most
  double needs_fault_a = 0.0;     ///< least fault current at the far end at least
  double breaks_a = unlimited;    ///< highest prospective current at its root end at most
  double least_inrush_ohm = 0.0;  ///< cold path, bank included, at its far end at least
  std::uint32_t tag = 0;          ///< free for the caller
};

struct FeederEdge {
  int parent = -1;  ///< edge before it; -1: where its stage begins
  int stage = -1;   ///< converter that feeds it; -1: the root
  /// Edge at whose far end the return lands; -1 the root. Most returns land where the edge starts.
  int home = -1;
  std::vector<FeederOption> options;
  std::vector<double> ambient_c;  ///< per case
  double fixed_a = 0.0;           ///< current it must carry apart from the draws (charging)
  /// Poles of options left out because another costs and loses no more. Where a resistance hangs
  /// behind, such an option may still serve others better: it keeps the volts there down, and with
  /// them the current.
  std::vector<FeederOption::Pole> left_out{}, left_back{};
};

/// Consumes at the far end of an edge (-1: where its stage begins):
///   i = power/v + current + conductance · v.
struct FeederDraw {
  int edge = -1;           ///< it hangs on; -1: where its stage begins
  int stage = -1;          ///< that of the edge
  bool converter = false;  ///< takes what its stage says, and nothing else
  std::vector<double> power_w, current_a, conductance_s;  ///< per case
  double drop_limit_v = unlimited;                        ///< start of its stage to draw and back
  double lowest_v = 0.0;                                  ///< its window
};

/// A converter. What hangs behind it starts anew at its output, y = emf - source_ohm · i, whatever
/// the volts before it, and takes from before it, with p = y · i,
///   standby + (1 + loss_fraction + loss_per_watt · p) · p.
struct FeederStage {
  std::size_t draw = 0;  ///< its input, a draw of the root or of an earlier stage
  std::vector<double> emf_v, source_ohm, standby_w;  ///< per case
  double loss_fraction = 0.0, loss_per_watt = 0.0;
  friend bool operator==(const FeederStage&, const FeederStage&) = default;
};

/// Edges and draws of the root first, then those of the first stage, and so on.
struct FeederModel {
  std::size_t cases = 0;
  double alpha_per_k = 1.0 / 254.5;  ///< of resistance, at 20 °C
  std::vector<FeederEdge> edges;     ///< parents before children
  std::vector<FeederDraw> draws;
  std::vector<double> emf_v, source_ohm;  ///< per case, at the root
  std::vector<FeederStage> stages;        ///< a stage before those that hang on it
  // Fault sources at the root; emf 0: none.
  double highest_emf_v = 0.0, highest_ohm = 0.0;
  double lowest_emf_v = 0.0, lowest_ohm = 0.0;
};

/// Operating point of a choice, every case.
struct FeederState {
  bool solved = false;                   ///< false: some case has no solution
  std::vector<double> edge_a, return_a;  ///< [case × edges]
  std::vector<double> drop_v;            ///< [case × draws] from where the stage begins
  std::vector<double> draw_v;            ///< [case × draws]
  std::vector<double> design_a;          ///< per edge, largest of the cases and fixed_a
};
FeederState solve_feeder(const FeederModel& model, std::span<const std::uint32_t> option);

/// Which limit a choice breaks first, if any.
enum class FeederLimit { none, no_solution, drop, window, carries, fault, breaks, inrush };
struct FeederViolation {
  FeederLimit limit = FeederLimit::none;  ///< that is passed
  std::size_t case_index = 0;
  std::size_t draw = 0;
  std::size_t edge = 0;
  double value = 0.0, bound = 0.0;  ///< against its bound
};
FeederViolation check_feeder(const FeederModel& model, std::span<const std::uint32_t> option,
                             const FeederState& state);

struct FeederSearch {
  std::size_t most_branches = 20000;    ///< then the best so far is given
  std::size_t most_labels = 2'000'000;  ///< work limit; a label takes well under a microsecond
  double cut_off = unlimited;           ///< a plan of this value is known; nothing dearer is wanted
  bool every_option = false;            ///< leave out none that costs and loses no less
};
struct FeederChoice {
  bool feasible = false;
  bool proven = false;
  double value = unlimited;             ///< of the objective
  double bound = 0.0;                   ///< no feasible plan is below it
  std::vector<std::uint32_t> option{};  ///< of each edge, by index
  FeederState state{};
  std::size_t branches = 0, labels = 0, solves = 0;  ///< what the search took
  int rounds = 0;
  bool open_left_out = false;  ///< what stands in the way of a proof are options left out
};
/// Least value whose own operating point breaks no limit: exact, by branch and bound. Each bound is
/// the linear programme with currents no feasible plan of the branch can go below; each plan is
/// verified on its own nonlinear solution.
FeederChoice choose_feeder(const FeederModel& model, const FeederSearch& search = {});

/// Draws that no choice can serve, even alone with the best option everywhere.
std::vector<std::size_t> hopeless_draws(const FeederModel& model);

}  // namespace nightbus
