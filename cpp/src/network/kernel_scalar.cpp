// The lane kernel for one scenario at a time, on any processor.
#include "network/lane_view.hpp"

#define NIGHTBUS_LANE_BYTES 0
#define NIGHTBUS_LANE_REGISTERS 1

namespace nightbus::network_detail::scalar_lanes {

#include "network/lane_kernel.hpp"

}  // namespace nightbus::network_detail::scalar_lanes

namespace nightbus::network_detail {

const LaneKernel& scalar_kernel() {
  using namespace scalar_lanes;
  static const LaneKernel kernel{lanes,     memory_needed, prepare_all,
                                 run_group, take_base_of,  row_values_of};
  return kernel;
}

}  // namespace nightbus::network_detail
