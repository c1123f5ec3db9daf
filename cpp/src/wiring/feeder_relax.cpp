/// From bounds to the linear programme. Dimensions are volts in each case, and ohms of the fault
/// path, for each pattern of returns; those that can never be the tightest are left out:
///
///   slack      even the worst options stay within every budget
///   covered    another dimension spends at least as much everywhere on budgets at most as large

#include <algorithm>
#include <cmath>
#include <numeric>

#include "wiring/feeder_bounds.hpp"

namespace nightbus::wiring_detail {

namespace {

struct Currents {
  std::span<const double> edge_a, return_a;  ///< [case × edges]
};

/// Edges that one source feeds: [first, last).
struct Part {
  std::size_t first = 0, last = 0;
};

void find_slack(const FeederModel& model, const SpendTable& table, Part part, char* drop) {
  std::vector<double> worst(model.edges.size());
  for (std::size_t d = 0; d < table.dims; ++d) {
    bool slack = true;
    for (std::size_t e = part.first; e < part.last && slack; ++e) {
      double most = 0.0;
      double own = unlimited;
      for (std::size_t k = table.first[e]; k < table.first[e + 1]; ++k) {
        most = std::max(most, table.spend[k * table.dims + d]);
        own = std::min(own, table.own[k * table.dims + d]);
      }
      worst[e] = at_end(worst, model.edges[e].parent) + most;
      slack = worst[e] <= std::min(table.budget[e * table.dims + d], own);
    }
    if (slack) drop[d] = 1;
  }
}

void find_covered(const SpendTable& table, Part part, char* drop) {
  const auto covers = [&](std::size_t a, std::size_t b) {  // a makes b superfluous
    for (std::size_t e = part.first; e < part.last; ++e) {
      if (table.budget[e * table.dims + b] < table.budget[e * table.dims + a]) return false;
    }
    for (std::size_t k = table.first[part.first]; k < table.first[part.last]; ++k) {
      const double* spend = &table.spend[k * table.dims];
      const double* own = &table.own[k * table.dims];
      if (spend[b] > spend[a] || own[b] < own[a]) return false;
    }
    return true;
  };
  for (std::size_t b = 0; b < table.dims; ++b) {
    for (std::size_t a = 0; a < table.dims && !drop[b]; ++a) {
      if (a != b && !drop[a] && covers(a, b)) drop[b] = 1;
    }
  }
}

/// Source by source: what is tight before a converter need not be behind it.
void find_useful(const FeederModel& model, Relaxation& made) {
  const std::size_t dims = made.table.dims;
  std::vector<Part> parts(source_count(model));
  for (std::size_t e = 0; e < model.edges.size(); ++e) {
    Part& part = parts[source_of(model.edges[e].stage)];
    if (part.last == 0) part.first = e;
    part.last = e + 1;
  }
  std::vector<char> drop(parts.size() * dims, 0);
  for (std::size_t source = 0; source < parts.size(); ++source) {
    char* mine = &drop[source * dims];
    find_slack(model, made.table, parts[source], mine);
    find_covered(made.table, parts[source], mine);
  }
  made.counts.assign(drop.size(), 0);
  for (std::size_t at = 0; at < drop.size(); ++at) made.counts[at] = drop[at] ? 0 : 1;
  for (std::size_t d = 0; d < dims; ++d) {
    bool useful = false;
    for (std::size_t at = d; at < drop.size(); at += dims) useful = useful || !drop[at];
    if (useful) made.useful.push_back(d);
  }
}

/// Least hot and largest cold ohms to the end of each edge, over the lists.
FaultPaths kindest_paths(const FeederModel& model, const OptionLists& lists) {
  const std::size_t n = model.edges.size();
  FaultPaths paths;
  for (auto* path : {&paths.hot_out, &paths.hot_back, &paths.cold_out, &paths.cold_back}) {
    path->resize(n);
  }
  for (std::size_t e = 0; e < n; ++e) {
    const FeederEdge& edge = model.edges[e];
    double hot_out = unlimited, hot_back = unlimited, cold_out = 0.0, cold_back = 0.0;
    for (const std::uint32_t k : lists[e]) {
      const FeederOption& option = edge.options[k];
      hot_out = std::min(hot_out, option.out.hot_ohm);
      hot_back = std::min(hot_back, option.back.hot_ohm);
      cold_out = std::max(cold_out, option.out.cold_ohm);
      cold_back = std::max(cold_back, option.back.cold_ohm);
    }
    paths.hot_out[e] = at_end(paths.hot_out, edge.parent) + hot_out;
    paths.hot_back[e] = at_end(paths.hot_back, edge.home) + hot_back;
    paths.cold_out[e] = at_end(paths.cold_out, edge.parent) + cold_out;
    paths.cold_back[e] = at_end(paths.cold_back, edge.home) + cold_back;
  }
  return paths;
}

/// Most ohms the fault path of an option may have.
double fault_budget_ohm(const FeederModel& model, const FeederOption& option) {
  if (model.lowest_emf_v <= 0.0 || option.needs_fault_a <= 0.0) return unlimited;
  return model.lowest_emf_v / option.needs_fault_a * (1.0 + 1e-9) - model.lowest_ohm;
}

/// Could the option pass its own limits in some plan of the branch?
bool could_pass(const FeederModel& model, std::size_t e, const FeederOption& option,
                const FaultPaths& kindest, double design_a) {
  const FeederEdge& edge = model.edges[e];
  if (above(design_a, option.carries_a)) return false;
  const double near_ohm = model.highest_ohm + at_end(kindest.cold_out, edge.parent) +
                          at_end(kindest.cold_back, edge.parent);
  if (above(model.highest_emf_v, option.breaks_a * near_ohm)) return false;
  const double far_ohm = model.highest_ohm + at_end(kindest.cold_out, edge.parent) +
                         at_end(kindest.cold_back, edge.home) + option.out.cold_ohm +
                         option.back.cold_ohm;
  if (above(option.least_inrush_ohm, far_ohm)) return false;
  const double hot_ohm = at_end(kindest.hot_out, edge.parent) +
                         at_end(kindest.hot_back, edge.home) + option.out.hot_ohm +
                         option.back.hot_ohm;
  return !above(hot_ohm, fault_budget_ohm(model, option));
}

template <class Growth>
Relaxation build(const FeederModel& model, const ReturnPatterns& patterns, const OptionLists& lists,
                 const Currents& currents, std::span<const double> design_a,
                 std::span<const double> root_v, Growth growth) {
  const std::size_t n = model.edges.size();
  const std::size_t volts = model.cases * patterns.count;
  Relaxation made;
  const FaultPaths kindest = kindest_paths(model, lists);
  made.kept.resize(n);
  made.patterns = patterns.count;
  SpendTable& table = made.table;
  table.dims = volts + patterns.count;
  table.budget.assign(n * table.dims, unlimited);
  std::vector<double> drops;  // of the options of one edge and case, out then back
  for (std::size_t e = 0; e < n; ++e) {
    const FeederEdge& edge = model.edges[e];
    for (const std::uint32_t k : lists[e]) {
      if (could_pass(model, e, edge.options[k], kindest, design_a[e])) made.kept[e].push_back(k);
    }
    if (made.kept[e].empty()) {
      made.possible = false;
      return made;
    }
    const std::size_t start = table.spend.size();
    table.first.push_back(start / table.dims);
    table.spend.resize(start + made.kept[e].size() * table.dims);
    table.own.resize(table.spend.size(), unlimited);
    for (std::size_t which = 0; which < model.cases; ++which) {
      const double out_a = currents.edge_a[which * n + e];
      const double back_a = currents.return_a[which * n + e];
      drops.clear();
      double least_v = unlimited;
      for (const std::uint32_t k : made.kept[e]) {
        const FeederOption& option = edge.options[k];
        drops.push_back(pole_drop_v(option.out, out_a, edge.ambient_c[which], model.alpha_per_k));
        drops.push_back(pole_drop_v(option.back, back_a, edge.ambient_c[which], model.alpha_per_k));
        least_v = std::min(least_v, drops[drops.size() - 2] + drops.back());
      }
      for (std::size_t k = 0; k < made.kept[e].size(); ++k) {
        const double factor = growth(which, e, drops[2 * k] + drops[2 * k + 1] - least_v);
        for (std::size_t p = 0; p < patterns.count; ++p) {
          const double back = patterns.counts[p * n + e] ? drops[2 * k + 1] : 0.0;
          table.spend[start + k * table.dims + which * patterns.count + p] =
              (drops[2 * k] + back) * factor;
        }
      }
    }
    for (std::size_t k = 0; k < made.kept[e].size(); ++k) {
      const FeederOption& option = edge.options[made.kept[e][k]];
      const std::size_t row = start + k * table.dims + volts;
      for (std::size_t p = 0; p < patterns.count; ++p) {
        const double back = patterns.counts[p * n + e] ? option.back.hot_ohm : 0.0;
        table.spend[row + p] = option.out.hot_ohm + back;
      }
      table.own[row + patterns.of_edge[e]] = fault_budget_ohm(model, option);
    }
  }
  table.first.push_back(table.spend.size() / table.dims);
  for (const FeederDraw& draw : model.draws) {
    if (draw.edge < 0) continue;
    const auto e = static_cast<std::size_t>(draw.edge);
    for (std::size_t which = 0; which < model.cases; ++which) {
      const double from_v = root_v[which * source_count(model) + source_of(draw.stage)];
      const double room_v = std::min(draw.drop_limit_v, from_v - draw.lowest_v);
      double& budget = table.budget[e * table.dims + which * patterns.count + patterns.of_edge[e]];
      budget = std::min(budget, room_v + 1e-9 * (1.0 + std::abs(room_v)));
    }
  }
  find_useful(model, made);
  return made;
}

}  // namespace

TreeProblem Relaxation::problem(const FeederModel& model,
                                const std::vector<std::size_t>& dims) const {
  TreeProblem made(std::max<std::size_t>(dims.size(), 1));
  std::vector<double> spend(made.dimensions(), 0.0), own(made.dimensions(), unlimited);
  for (std::size_t e = 0; e < model.edges.size(); ++e) {
    const std::size_t edge = made.add_edge(model.edges[e].parent);
    for (std::size_t j = 0; j < dims.size(); ++j) {
      if (!counts_at(model.edges[e], dims[j])) continue;
      made.set_budget(edge, j, table.budget[e * table.dims + dims[j]]);
    }
    for (std::size_t k = 0; k < kept[e].size(); ++k) {
      const std::size_t row = (table.first[e] + k) * table.dims;
      for (std::size_t j = 0; j < dims.size(); ++j) {
        const bool counted = counts_at(model.edges[e], dims[j]);
        spend[j] = counted ? table.spend[row + dims[j]] : 0.0;
        own[j] = counted ? table.own[row + dims[j]] : unlimited;
      }
      made.add_option(model.edges[e].options[kept[e][k]].value, spend, own);
    }
  }
  return made;
}

std::optional<std::size_t> Relaxation::overstepped(
    const FeederModel& model, const std::vector<std::uint32_t>& of_kept) const {
  std::optional<std::size_t> worst;
  double most = 1e-12;
  std::vector<double> spent(model.edges.size());
  for (const std::size_t d : useful) {
    for (std::size_t e = 0; e < model.edges.size(); ++e) {
      if (!counts_at(model.edges[e], d)) continue;
      const std::size_t k = (table.first[e] + of_kept[e]) * table.dims + d;
      spent[e] = at_end(spent, model.edges[e].parent) + table.spend[k];
      const double budget = std::min(table.budget[e * table.dims + d], table.own[k]);
      const double over = (spent[e] - budget) / std::max(std::abs(budget), 1e-6);
      if (over > most) {
        most = over;
        worst = d;
      }
    }
  }
  return worst;
}

std::size_t Relaxation::tightest(const FeederModel& model) const {
  // With the middle option everywhere: where is the budget exceeded most?
  std::vector<std::uint32_t> middle;
  for (const auto& list : kept) middle.push_back(static_cast<std::uint32_t>(list.size() / 2));
  if (const auto found = overstepped(model, middle)) return *found;
  return useful.empty() ? 0 : useful.front();
}

Relaxation relax(const FeederModel& model, const ReturnPatterns& patterns, const OptionLists& lists,
                 const LeastCurrents& least, const Proved& proved) {
  const std::size_t n = model.edges.size();
  const auto growth = [&](std::size_t which, std::size_t e, double own_v) {
    // With returns that part from the way out the draws behind e do not all feel its whole loss.
    if (patterns.count > 1) return 1.0;
    const std::size_t at = which * n + e;
    const double all_a = least.edge_a[at];
    if (all_a <= 0.0) return 1.0;
    // What is proved of the current has the loss of this option in it already.
    const double known = proved.edge_a.empty() ? 1.0 : std::max(1.0, proved.edge_a[at] / all_a);
    const auto beyond_v = std::span(least.beyond_v).subspan(which * n, n);
    const double more_v = at_end(beyond_v, model.edges[e].parent) + own_v - least.counted_v[at];
    const double left = 1.0 - more_v / least.end_v[at];
    if (more_v <= 0.0 || left <= 0.2) return known;  // so lossy an option fails its budget anyway
    const double raised_a = least.of_draws_a[at] + least.constant_power_a[at] * (1.0 / left - 1.0);
    return std::max(known, raised_a / all_a);
  };
  return build(model, patterns, lists, {least.edge_a, least.return_a}, least.design_a, least.root_v,
               growth);
}

Relaxation guess(const FeederModel& model, const ReturnPatterns& patterns, const OptionLists& lists,
                 const FeederState& state, double share) {
  const std::size_t sources = source_count(model);
  std::vector<double> root_v(model.cases * sources);
  for (std::size_t which = 0; which < model.cases; ++which) {
    for (std::size_t k = 0; k < model.draws.size(); ++k) {
      const std::size_t at = which * model.draws.size() + k;
      root_v[which * sources + source_of(model.draws[k].stage)] =
          state.draw_v[at] + state.drop_v[at];
    }
  }
  const auto growth = [share](std::size_t, std::size_t, double) { return 1.0 + share; };
  return build(model, patterns, lists, {state.edge_a, state.return_a}, state.design_a, root_v,
               growth);
}

}  // namespace nightbus::wiring_detail
