#pragma once
/// What random instances are drawn with.

#include <random>

namespace nightbus::testing {

using Random = std::mt19937_64;

inline double between(Random& random, double low, double high) {
  return std::uniform_real_distribution<double>(low, high)(random);
}
inline int pick(Random& random, int low, int high) {
  return std::uniform_int_distribution<int>(low, high)(random);
}

}  // namespace nightbus::testing
