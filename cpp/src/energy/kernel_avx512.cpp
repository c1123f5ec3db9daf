// The plain year for AVX-512. Built with its own flags.
#include "energy/plain_pack.hpp"

namespace nightbus::plain_detail {

#if defined(__AVX512F__)

namespace avx512_lanes {

#include "energy/plain_kernel.hpp"

}  // namespace avx512_lanes

Advance avx512_advance() {
  return &avx512_lanes::advance<lanes>;
}

#else

Advance avx512_advance() {
  return nullptr;
}

#endif

}  // namespace nightbus::plain_detail
