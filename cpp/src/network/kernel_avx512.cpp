// The lane kernel for AVX-512: two registers of eight lanes. Built with its own flags.
#if defined(__AVX512F__)
#define NIGHTBUS_LANE_BYTES 64
#endif
#define NIGHTBUS_LANE_REGISTERS 2
#define NIGHTBUS_LANE_SPACE avx512_lanes
#define NIGHTBUS_LANE_KERNEL avx512_kernel
#include "network/lane_kernel_file.hpp"
