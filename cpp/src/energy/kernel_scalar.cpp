// The plain year without vector units, and the choice among the kernels.
#include "energy/plain_pack.hpp"

namespace nightbus::plain_detail {
namespace scalar_lanes {

#include "energy/plain_kernel.hpp"

}  // namespace scalar_lanes

void advance_one(PlainPack<1>& pack, const double* sun_wh, const double* load_wh,
                 std::size_t steps) {
  scalar_lanes::advance<1>(pack, sun_wh, load_wh, steps);
}

void advance_scalar(PlainPack<lanes>& pack, const double* sun_wh, const double* load_wh,
                    std::size_t steps) {
  scalar_lanes::advance<lanes>(pack, sun_wh, load_wh, steps);
}

Advance widest_advance() {
#if defined(__x86_64__) || defined(__i386__)
  __builtin_cpu_init();
  if (avx512_advance() != nullptr && __builtin_cpu_supports("avx512f")) return avx512_advance();
  if (avx2_advance() != nullptr && __builtin_cpu_supports("avx2")) return avx2_advance();
#endif
  return &advance_scalar;
}

}  // namespace nightbus::plain_detail
