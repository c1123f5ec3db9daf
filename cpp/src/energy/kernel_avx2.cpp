// The plain year for AVX2. Built with its own flags.
#include "energy/plain_pack.hpp"

namespace nightbus::plain_detail {

#if defined(__AVX2__)

namespace avx2_lanes {

#include "energy/plain_kernel.hpp"

}  // namespace avx2_lanes

Advance avx2_advance() {
  return &avx2_lanes::advance<lanes>;
}

#else

Advance avx2_advance() {
  return nullptr;
}

#endif

}  // namespace nightbus::plain_detail
