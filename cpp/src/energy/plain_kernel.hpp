/// The step of the plain year, included once by each kernel file inside a namespace of its own. It
/// calls nothing from outside: an inline function shared with other files could end up in their
/// flags.
///
///   net >= 0:  stored = min(net, (C - E)/η),  E += η stored,  the rest is curtailed
///   net <  0:  given = min(-net, E - floor),  E -= given,     the rest is unmet

inline double lesser(double a, double b) {
  return a < b ? a : b;
}
inline double greater(double a, double b) {
  return a > b ? a : b;
}

/// W scenarios side by side; `sun_wh` and `load_wh` hold W values for each step.
template <std::size_t W>
void advance(PlainPack<W>& p, const double* sun_wh, const double* load_wh, std::size_t steps) {
  for (std::size_t t = 0; t < steps; ++t) {
    const double* a = sun_wh + t * W;
    const double* l = load_wh + t * W;
#ifndef __clang__
#pragma GCC ivdep
#endif
    for (std::size_t k = 0; k < W; ++k) {
      const double straight = lesser(a[k], l[k]);
      const double surplus = a[k] - straight;
      const double want = l[k] - straight;
      const double in = lesser(surplus, (p.capacity[k] - p.e[k]) * p.inverse_efficiency[k]);
      const double out = lesser(want, greater(p.e[k] - p.floor[k], 0.0));
      p.e[k] = p.e[k] + p.efficiency[k] * in - out;
      p.array[k] += a[k];
      p.load[k] += l[k];
      p.stored[k] += in;
      p.direct[k] += straight;
      p.curtailed[k] += surplus - in;
      const double short_wh = want - out;
      p.unmet[k] += short_wh;
      const double failed = short_wh > 0.0 ? 1.0 : 0.0;
      p.unmet_steps[k] += failed;
      p.run[k] = (p.run[k] + failed) * failed;
      p.longest[k] = greater(p.longest[k], p.run[k]);
      p.lowest[k] = lesser(p.lowest[k], p.e[k]);
    }
  }
}
