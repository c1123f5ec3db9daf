#include <vector>

#include "network/lane_view.hpp"

namespace nightbus::network_detail {

namespace {

// What a group may lay out, of which it reads about half: a second-level cache of 1 to 2 MiB.
constexpr std::size_t cache_bytes = std::size_t{4} * 1024 * 1024;

std::vector<const LaneKernel*> find_kernels() {
  std::vector<const LaneKernel*> found{scalar_kernel()};
#if defined(__x86_64__) || defined(__i386__)
  __builtin_cpu_init();
  const auto take = [&](const LaneKernel* kernel) {
    if (kernel != nullptr) found.push_back(kernel);
  };
  const bool avx512 = avx512_kernel() != nullptr && __builtin_cpu_supports("avx512f") &&
                      __builtin_cpu_supports("avx512dq") && __builtin_cpu_supports("avx512vl");
  if (__builtin_cpu_supports("avx2")) {
    take(avx2_narrow_kernel());
    if (!avx512) take(avx2_kernel());
  }
  if (avx512) {
    take(avx512_narrow_kernel());
    take(avx512_kernel());
  }
#endif
  return found;
}

}  // namespace

std::span<const LaneKernel* const> kernels() {
  static const std::vector<const LaneKernel*> found = find_kernels();
  return found;
}

const LaneKernel& choose_kernel(const LaneView& view, int lanes) {
  const auto all = kernels();
  const LaneKernel* chosen = all.front();
  for (const LaneKernel* kernel : all) {
    const bool fits =
        lanes > 0 ? kernel->lanes <= lanes
                  : chosen->lanes == 1 || kernel->memory(view) * sizeof(double) <= cache_bytes;
    if (fits) chosen = kernel;
  }
  return *chosen;
}

}  // namespace nightbus::network_detail
