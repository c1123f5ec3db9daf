// The lane kernel for AVX-512: one register of eight lanes, for networks whose numbers would
// outgrow the cache in two. Built with its own flags.
#include "network/lane_view.hpp"

#if defined(__AVX512F__)

#define NIGHTBUS_LANE_BYTES 64
#define NIGHTBUS_LANE_REGISTERS 1

namespace nightbus::network_detail::avx512_narrow_lanes {

#include "network/lane_kernel.hpp"

}  // namespace nightbus::network_detail::avx512_narrow_lanes

namespace nightbus::network_detail {

const LaneKernel* avx512_narrow_kernel() {
  using namespace avx512_narrow_lanes;
  static const LaneKernel kernel{lanes,     memory_needed, prepare_all,
                                 run_group, take_base_of,  row_values_of};
  return &kernel;
}

}  // namespace nightbus::network_detail

#else

namespace nightbus::network_detail {
const LaneKernel* avx512_narrow_kernel() {
  return nullptr;
}
}  // namespace nightbus::network_detail

#endif
