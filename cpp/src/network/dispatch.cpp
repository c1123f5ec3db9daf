#include "network/lane_view.hpp"

namespace nightbus::network_detail {

const LaneKernel& widest_kernel() {
#if defined(__x86_64__) || defined(__i386__)
  static const LaneKernel& widest = []() -> const LaneKernel& {
    __builtin_cpu_init();
    if (avx512_kernel() != nullptr && __builtin_cpu_supports("avx512f") &&
        __builtin_cpu_supports("avx512dq") && __builtin_cpu_supports("avx512vl"))
      return *avx512_kernel();
    if (avx2_kernel() != nullptr && __builtin_cpu_supports("avx2")) return *avx2_kernel();
    return scalar_kernel();
  }();
  return widest;
#else
  return scalar_kernel();
#endif
}

}  // namespace nightbus::network_detail
