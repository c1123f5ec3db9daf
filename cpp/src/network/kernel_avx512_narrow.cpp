// The lane kernel for AVX-512: one register of eight lanes, for networks whose numbers would
// outgrow the cache in two. Built with its own flags.
#if defined(__AVX512F__)
#define NIGHTBUS_LANE_BYTES 64
#endif
#define NIGHTBUS_LANE_REGISTERS 1
#define NIGHTBUS_LANE_SPACE avx512_narrow_lanes
#define NIGHTBUS_LANE_KERNEL avx512_narrow_kernel
#include "network/lane_kernel_file.hpp"
