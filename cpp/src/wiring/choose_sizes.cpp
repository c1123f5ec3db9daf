/// Fewest different sizes. A plan that uses only the sizes of a set S costs value(S) + w |S|; value
/// falls as S grows and is never below the value over all sizes. So sets are tried from small to
/// large, and the end is reached as soon as the value over all sizes plus w |S| is no better than
/// the best found. A set is passed over at once when some run finds nothing in it.

#include <algorithm>
#include <set>

#include "wiring/choose_exact.hpp"

namespace nightbus::wiring_detail {

namespace {

using Key = std::pair<int, double>;

Key key_of(const ConductorSize& size) {
  return {static_cast<int>(size.system), size.number};
}

std::size_t distinct(const ExactChoice& choice) {
  std::set<Key> used;
  for (std::size_t i = 0; i < choice.picked.size(); ++i) {
    used.insert(key_of(choice.sizes[i][choice.picked[i].size].size));
  }
  return used.size();
}

/// Every way to take `take` of `from`, in order.
template <class Visit>
bool each_subset(std::size_t from, std::size_t take, Visit visit) {
  std::vector<std::size_t> at(take);
  for (std::size_t k = 0; k < take; ++k) at[k] = k;
  while (true) {
    if (!visit(at)) return false;
    std::size_t k = take;
    while (k > 0 && at[k - 1] == from - take + k - 1) --k;
    if (k == 0) return true;
    ++at[k - 1];
    for (std::size_t j = k; j < take; ++j) at[j] = at[j - 1] + 1;
  }
}

}  // namespace

ExactChoice choose_few_sizes(const ExactAsk& ask) {
  const double per_size = ask.weights.per_size;
  ExactChoice best = choose_exact(ask);
  if (!best.feasible) return best;
  const double floor = best.facts.bound;
  const auto total = [&](const ExactChoice& choice) {
    return choice.facts.value + per_size * static_cast<double>(distinct(choice));
  };
  // Sizes that some run may choose; a size given by the file is there in any case.
  std::set<Key> keys, given;
  const auto& runs = ask.start.system().runs;
  for (std::size_t i = 0; i < runs.size(); ++i) {
    for (const SizeOption& option : best.sizes[i]) {
      (runs[i].size ? given : keys).insert(key_of(option.size));
    }
  }
  const std::vector<Key> sizes(keys.begin(), keys.end());
  constexpr int most_sets = 1500;
  int tried = 0;
  bool finished = true;
  for (std::size_t take = 1; take <= sizes.size(); ++take) {
    const double least_total = floor + per_size * static_cast<double>(take);
    if (least_total >= total(best) * (1.0 - 1e-12)) break;
    const bool went_through = each_subset(sizes.size(), take, [&](const auto& at) {
      std::set<Key> set(given);
      for (const std::size_t k : at) set.insert(sizes[k]);
      if (set.size() != take + given.size() && set.size() != take) return true;
      ExactAsk part{ask.start, ask.cases, ask.options, ask.devices, ask.weights, ask.share};
      bool possible = true;
      for (std::size_t i = 0; i < runs.size() && possible; ++i) {
        std::vector<char> allowed;
        for (const SizeOption& option : best.sizes[i]) {
          allowed.push_back(runs[i].size || set.count(key_of(option.size)) ? 1 : 0);
        }
        possible = std::find(allowed.begin(), allowed.end(), 1) != allowed.end();
        part.allowed.push_back(std::move(allowed));
      }
      if (!possible) return true;
      part.cut_off = total(best) - per_size * static_cast<double>(take);
      if (++tried > most_sets) return false;
      ExactChoice choice = choose_exact(part);
      if (choice.feasible && choice.everything == best.everything && total(choice) < total(best)) {
        choice.facts.solves += best.facts.solves;
        best = std::move(choice);
      }
      return true;
    });
    finished = finished && went_through;
  }
  best.facts.value = total(best);
  best.facts.bound = finished ? best.facts.value : floor + per_size;
  best.facts.proven = finished;
  best.facts.note = finished ? "" : "the search over sets of sizes stopped at its limit of work";
  return best;
}

}  // namespace nightbus::wiring_detail
