// One kernel: the lane kernel in a namespace of its own, for one kind of vector unit. Included once
// by a file that has set NIGHTBUS_LANE_KERNEL (the function that gives it), NIGHTBUS_LANE_SPACE
// (its namespace) and what lane_pack.hpp asks for; without NIGHTBUS_LANE_BYTES there is none.
#include "network/lane_view.hpp"

#ifdef NIGHTBUS_LANE_BYTES

namespace nightbus::network_detail::NIGHTBUS_LANE_SPACE {

#include "network/lane_kernel.hpp"

}  // namespace nightbus::network_detail::NIGHTBUS_LANE_SPACE

#endif

namespace nightbus::network_detail {

const LaneKernel* NIGHTBUS_LANE_KERNEL() {
#ifdef NIGHTBUS_LANE_BYTES
  using namespace NIGHTBUS_LANE_SPACE;
  static const LaneKernel kernel{lanes,     memory_needed, prepare_all,
                                 run_group, take_base_of,  row_values_of};
  return &kernel;
#else
  return nullptr;
#endif
}

}  // namespace nightbus::network_detail
