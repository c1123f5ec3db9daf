// The lane kernel for AVX2: two registers of four lanes. Built with its own flags.
#include "network/lane_view.hpp"

#if defined(__AVX2__)

#define NIGHTBUS_LANE_BYTES 32
#define NIGHTBUS_LANE_REGISTERS 2

namespace nightbus::network_detail::avx2_lanes {

#include "network/lane_kernel.hpp"

}  // namespace nightbus::network_detail::avx2_lanes

namespace nightbus::network_detail {

const LaneKernel* avx2_kernel() {
  using namespace avx2_lanes;
  static const LaneKernel kernel{lanes,     memory_needed, prepare_all,
                                 run_group, take_base_of,  row_values_of};
  return &kernel;
}

}  // namespace nightbus::network_detail

#else

namespace nightbus::network_detail {
const LaneKernel* avx2_kernel() {
  return nullptr;
}
}  // namespace nightbus::network_detail

#endif
