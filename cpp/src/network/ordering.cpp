#include "network/ordering.hpp"

#include <algorithm>
#include <iterator>
#include <queue>

namespace nightbus::network_detail {

namespace {

using List = std::vector<std::uint32_t>;  // ascending

// list := (list ∪ clique) \ {row, self}. A bus with thousands of branches has a long list and meets
// small cliques: then single insertions beat a merge.
void join(List& list, const List& clique, std::uint32_t row, std::uint32_t self, List& merged) {
  if (clique.size() <= 8) {
    list.erase(std::lower_bound(list.begin(), list.end(), row));
    for (const std::uint32_t other : clique) {
      if (other == self) continue;
      const auto at = std::lower_bound(list.begin(), list.end(), other);
      if (at == list.end() || *at != other) list.insert(at, other);
    }
    return;
  }
  merged.clear();
  std::set_union(list.begin(), list.end(), clique.begin(), clique.end(),
                 std::back_inserter(merged));
  std::erase_if(merged, [&](std::uint32_t r) { return r == row || r == self; });
  list.assign(merged.begin(), merged.end());
}

}  // namespace

Elimination minimum_degree(std::uint32_t count,
                           std::span<const std::pair<std::uint32_t, std::uint32_t>> edges) {
  std::vector<std::vector<std::uint32_t>> neighbours(count);
  for (const auto& [a, b] : edges) {
    if (a == b) continue;
    neighbours[a].push_back(b);
    neighbours[b].push_back(a);
  }
  for (auto& list : neighbours) {
    std::sort(list.begin(), list.end());
    list.erase(std::unique(list.begin(), list.end()), list.end());
  }

  // A queue with stale entries: a row is re-entered whenever its degree changes.
  using Entry = std::pair<std::size_t, std::uint32_t>;
  std::priority_queue<Entry, std::vector<Entry>, std::greater<>> queue;
  for (std::uint32_t row = 0; row < count; ++row) queue.push({neighbours[row].size(), row});

  Elimination result;
  result.order.reserve(count);
  result.position.assign(count, 0);
  std::vector<std::uint8_t> done(count, 0);
  std::vector<std::vector<std::uint32_t>> columns(count);
  std::vector<std::uint32_t> merged;
  while (!queue.empty()) {
    const auto [degree, row] = queue.top();
    queue.pop();
    if (done[row] || degree != neighbours[row].size()) continue;
    done[row] = 1;
    result.position[row] = static_cast<std::uint32_t>(result.order.size());
    result.order.push_back(row);
    const std::vector<std::uint32_t> clique = std::move(neighbours[row]);
    for (const std::uint32_t neighbour : clique) {
      auto& list = neighbours[neighbour];
      const std::size_t before = list.size();
      join(list, clique, row, neighbour, merged);
      if (list.size() != before) queue.push({list.size(), neighbour});
    }
    columns[result.position[row]] = clique;
  }

  result.starts.assign(count + 1, 0);
  for (std::uint32_t k = 0; k < count; ++k) {
    auto& column = columns[k];
    for (std::uint32_t& row : column) row = result.position[row];
    std::sort(column.begin(), column.end());
    result.starts[k + 1] = result.starts[k] + static_cast<std::uint32_t>(column.size());
  }
  result.rows.reserve(result.starts[count]);
  for (const auto& column : columns)
    result.rows.insert(result.rows.end(), column.begin(), column.end());
  return result;
}

}  // namespace nightbus::network_detail
