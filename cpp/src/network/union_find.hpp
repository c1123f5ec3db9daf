#pragma once
// Sets of nodes that grow together.

#include <cstdint>
#include <numeric>
#include <utility>
#include <vector>

namespace nightbus::network_detail {

class UnionFind {
 public:
  explicit UnionFind(std::uint32_t count) : parent_(count), size_(count, 1) {
    std::iota(parent_.begin(), parent_.end(), 0u);
  }
  std::uint32_t root(std::uint32_t item) {
    while (parent_[item] != item) item = parent_[item] = parent_[parent_[item]];
    return item;
  }
  // False when they were together already.
  bool join(std::uint32_t a, std::uint32_t b) {
    a = root(a);
    b = root(b);
    if (a == b) return false;
    if (size_[a] < size_[b]) std::swap(a, b);
    parent_[b] = a;
    size_[a] += size_[b];
    return true;
  }

 private:
  std::vector<std::uint32_t> parent_, size_;
};

}  // namespace nightbus::network_detail
