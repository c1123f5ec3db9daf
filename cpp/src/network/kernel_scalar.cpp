// The lane kernel for one scenario at a time, on any processor.
#define NIGHTBUS_LANE_BYTES 0
#define NIGHTBUS_LANE_REGISTERS 1
#define NIGHTBUS_LANE_SPACE scalar_lanes
#define NIGHTBUS_LANE_KERNEL scalar_kernel
#include "network/lane_kernel_file.hpp"
