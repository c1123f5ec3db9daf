// The lane kernel for AVX2: two registers of four lanes. Built with its own flags.
#if defined(__AVX2__)
#define NIGHTBUS_LANE_BYTES 32
#endif
#define NIGHTBUS_LANE_REGISTERS 2
#define NIGHTBUS_LANE_SPACE avx2_lanes
#define NIGHTBUS_LANE_KERNEL avx2_kernel
#include "network/lane_kernel_file.hpp"
