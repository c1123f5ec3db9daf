#include "wiring/tree_fronts.hpp"

#include <algorithm>
#include <cstdint>
#include <numeric>

namespace nightbus::wiring_detail {

namespace {

/// Dearest first among those that allow most; a label is kept while it is cheaper than all that
/// allow more.
void keep_staircase(const Front& all, Front& best) {
  std::vector<std::uint32_t> order(all.size());
  std::iota(order.begin(), order.end(), 0u);
  std::sort(order.begin(), order.end(), [&](std::uint32_t a, std::uint32_t b) {
    return all.allow[a] != all.allow[b] ? all.allow[a] > all.allow[b] : all.value[a] < all.value[b];
  });
  best.clear();
  double cheapest = unlimited;
  for (const std::uint32_t label : order) {
    if (all.value[label] >= cheapest) continue;
    cheapest = all.value[label];
    best.push(all.value[label], &all.allow[label], 1);
  }
  std::reverse(best.value.begin(), best.value.end());
  std::reverse(best.allow.begin(), best.allow.end());
}

}  // namespace

void join_staircases(const Front& a, const Front& b, Front& joined) {
  const std::size_t room = a.size() + b.size();
  joined.value.resize(room);
  joined.allow.resize(room);
  // From the largest allowance down; written from the back.
  std::size_t i = a.size(), j = b.size(), at = room;
  double cheapest = unlimited;
  while (i > 0 || j > 0) {
    const bool take_a =
        j == 0 ||
        (i > 0 && (a.allow[i - 1] > b.allow[j - 1] ||
                   (a.allow[i - 1] == b.allow[j - 1] && a.value[i - 1] <= b.value[j - 1])));
    const Front& from = take_a ? a : b;
    const std::size_t label = take_a ? --i : --j;
    if (from.value[label] >= cheapest) continue;
    cheapest = from.value[label];
    --at;
    joined.value[at] = from.value[label];
    joined.allow[at] = from.allow[label];
  }
  joined.value.erase(joined.value.begin(), joined.value.begin() + static_cast<std::ptrdiff_t>(at));
  joined.allow.erase(joined.allow.begin(), joined.allow.begin() + static_cast<std::ptrdiff_t>(at));
}

void serve_both(const Front& a, const Front& b, Front& merged) {
  merged.clear();
  std::size_t i = 0, j = 0;
  while (i < a.size() && j < b.size()) {
    const double allow = std::min(a.allow[i], b.allow[j]);
    merged.push(a.value[i] + b.value[j], &allow, 1);
    const bool next_a = a.allow[i] <= b.allow[j];
    const bool next_b = b.allow[j] <= a.allow[i];
    i += next_a ? 1 : 0;
    j += next_b ? 1 : 0;
  }
}

void keep_best(const Front& all, std::size_t dims, Front& best) {
  if (dims == 1) {
    keep_staircase(all, best);
    return;
  }
  std::vector<std::uint32_t> order(all.size());
  std::iota(order.begin(), order.end(), 0u);
  std::sort(order.begin(), order.end(), [&](std::uint32_t a, std::uint32_t b) {
    if (all.value[a] != all.value[b]) return all.value[a] < all.value[b];
    const double* x = &all.allow[a * dims];
    const double* y = &all.allow[b * dims];
    return std::lexicographical_compare(y, y + dims, x, x + dims);
  });
  best.clear();
  for (const std::uint32_t label : order) {
    const double* mine = &all.allow[label * dims];
    bool beaten = false;
    // The latest kept are the closest in value and the likeliest to beat it.
    for (std::size_t k = best.size(); k-- > 0 && !beaten;) {
      const double* other = &best.allow[k * dims];
      beaten = true;
      for (std::size_t d = 0; d < dims && beaten; ++d) beaten = other[d] >= mine[d];
    }
    if (!beaten) best.push(all.value[label], mine, dims);
  }
}

}  // namespace nightbus::wiring_detail
