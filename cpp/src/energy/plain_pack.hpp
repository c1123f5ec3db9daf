#pragma once
/// State and sums of W plain years side by side, and the kernels that advance them.

#include <cstddef>

namespace nightbus::plain_detail {

template <std::size_t W>
struct alignas(64) PlainPack {
  double e[W], capacity[W], floor[W], efficiency[W], inverse_efficiency[W];
  double array[W], load[W], unmet[W], curtailed[W], stored[W], direct[W], lowest[W];
  double unmet_steps[W], run[W], longest[W];
};

inline constexpr std::size_t lanes = 16;
using Advance = void (*)(PlainPack<lanes>&, const double* sun_wh, const double* load_wh,
                         std::size_t steps);

void advance_one(PlainPack<1>& pack, const double* sun_wh, const double* load_wh,
                 std::size_t steps);
void advance_scalar(PlainPack<lanes>& pack, const double* sun_wh, const double* load_wh,
                    std::size_t steps);
Advance avx2_advance();  ///< null where the compiler cannot make it
Advance avx512_advance();
Advance widest_advance();  ///< the best this processor can run

}  // namespace nightbus::plain_detail
