#pragma once
/// Private: what no feasible plan of a branch can go below, and the linear programme made of it.

#include <optional>
#include <vector>

#include "wiring/feeder.hpp"

namespace nightbus::wiring_detail {

/// Options still allowed, for each edge.
using OptionLists = std::vector<std::vector<std::uint32_t>>;

/// Ends of edges whose way back joins the way out at the same places can share a dimension of the
/// linear programme; [pattern × edges]: does the edge's return count for ends of that pattern?
struct ReturnPatterns {
  std::size_t count = 1;
  std::vector<std::uint32_t> of_edge;  ///< pattern of the end of each edge
  std::vector<char> counts;            ///< [pattern × edges]
};
ReturnPatterns find_patterns(const FeederModel& model);

/// Currents no plan from the lists can undercut while it keeps every limit; voltages no plan can
/// exceed.
struct LeastCurrents {
  bool possible = true;
  std::vector<double> edge_a, return_a;  ///< [case × edges]
  std::vector<double> of_draws_a;        ///< [case × edges] without what is proved of the edge
  std::vector<double> constant_power_a;  ///< [case × edges] of these, what grows as volts fall
  std::vector<double> end_v;             ///< [case × edges] highest volts at the end of the edge
  /// [case × edges] What is proved of the drop to the end of the edge goes beyond the lists' least
  /// losses by this much; and the most of it for any draw behind, whose volts have it in them.
  std::vector<double> beyond_v, counted_v;
  std::vector<double> draw_v;    ///< [case × draws] highest
  std::vector<double> draw_a;    ///< [case × draws] least
  std::vector<double> draw_w;    ///< [case × draws] of it what the draw takes whatever its volts
  std::vector<double> root_v;    ///< [case × sources] highest
  std::vector<double> design_a;  ///< [edge]
};
/// What has been proved about every plan of a branch that is better than the best known one.
struct Proved {
  std::vector<double> drop_v;  ///< [case × edges] to the end of each edge, at least; may be empty
  std::vector<double> edge_a;  ///< [case × edges] at least; may be empty
};
LeastCurrents least_currents(const FeederModel& model, const OptionLists& lists,
                             const Proved& proved = {});

/// What every option spends in every dimension, on the currents it was made with. Dimensions are
/// volts in each case, then ohms of the fault path, each for every pattern of returns.
struct SpendTable {
  std::size_t dims = 0;
  std::vector<std::size_t> first;  ///< [edge] of its options, one more at the end
  std::vector<double> spend, own;  ///< [option × dims]
  std::vector<double> budget;      ///< [edge × dims]
};

/// The linear programme of a branch: value of its optimum is a bound on every feasible plan of it,
/// with any of the dimensions left out as well.
struct Relaxation {
  OptionLists kept;  ///< options of each edge that passed the tests they can be put to alone
  bool possible = true;
  SpendTable table;
  std::vector<std::size_t> useful;  ///< dimensions that can be the tightest somewhere
  std::vector<char> counts;         ///< [source × dims] can it be the tightest behind this source?
  std::size_t patterns = 1;

  bool counts_at(const FeederEdge& edge, std::size_t dimension) const {
    return counts[source_of(edge.stage) * table.dims + dimension] != 0;
  }

  std::optional<std::size_t> case_of(std::size_t dimension, std::size_t cases) const {
    if (dimension >= cases * patterns) return std::nullopt;
    return dimension / patterns;
  }

  TreeProblem problem(const FeederModel& model, const std::vector<std::size_t>& dims) const;
  /// The dimension a choice oversteps most, as a share of its budget; empty: none.
  std::optional<std::size_t> overstepped(const FeederModel& model,
                                         const std::vector<std::uint32_t>& of_kept) const;
  /// The dimension that is likely to be the tightest.
  std::size_t tightest(const FeederModel& model) const;
};
Relaxation relax(const FeederModel& model, const ReturnPatterns& patterns, const OptionLists& lists,
                 const LeastCurrents& least, const Proved& proved = {});

/// Raises `proved.edge_a` of the case behind a dimension, given the best value known and, for every
/// edge, what the rest of the plan costs at least. See feeder_currents.cpp.
void raise_currents(const FeederModel& model, const Relaxation& relaxed, const LeastCurrents& least,
                    std::size_t dimension, double best_value, std::span<const double> outside,
                    const std::vector<std::uint32_t>& of_kept, Proved& proved);

/// The same programme with the currents of a known plan, plus a share: its optimum is likely to be
/// feasible, and proves nothing.
Relaxation guess(const FeederModel& model, const ReturnPatterns& patterns, const OptionLists& lists,
                 const FeederState& state, double share);

}  // namespace nightbus::wiring_detail
