// The lane kernel for AVX2: one register of four lanes, for networks whose numbers would
// outgrow the cache in two. Built with its own flags.
#if defined(__AVX2__)
#define NIGHTBUS_LANE_BYTES 32
#endif
#define NIGHTBUS_LANE_REGISTERS 1
#define NIGHTBUS_LANE_SPACE avx2_narrow_lanes
#define NIGHTBUS_LANE_KERNEL avx2_narrow_kernel
#include "network/lane_kernel_file.hpp"
