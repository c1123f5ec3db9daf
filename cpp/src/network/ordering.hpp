#pragma once
// Elimination order for a symmetric pattern.

#include <cstdint>
#include <span>
#include <utility>
#include <vector>

namespace nightbus::network_detail {

// The factor of a matrix with this pattern: `order[k]` is the row eliminated k-th; column k of L
// has its rows (as positions in the order, ascending) in rows[starts[k] .. starts[k+1]).
struct Elimination {
  std::vector<std::uint32_t> order;
  std::vector<std::uint32_t> position;  // inverse of order
  std::vector<std::uint32_t> starts;
  std::vector<std::uint32_t> rows;
};

// Minimum degree: the row with the fewest neighbours goes next, its neighbours become a clique;
// ties go to the lower index. A tree is eliminated from its leaves without fill.
Elimination minimum_degree(std::uint32_t count,
                           std::span<const std::pair<std::uint32_t, std::uint32_t>> edges);

}  // namespace nightbus::network_detail
