// The folded Newton iteration for a pack of scenarios. Included by each kernel file inside that
// file's namespace.
//
// Unknowns x, ports V = x_u - x_w. One evaluation gives every element as a Norton pair at the
// present x, current I and slope Y; one elimination gives the correction dx (L D Lᵀ in the fixed
// order, the right-hand side carried along):
//
//   sum over elements of (I + Y dV) = 0     =>     J dx = -f
//
// A load of power P, current I0 and conductance G behind R, at port voltage V, has terminal voltage
// v:
//
//   V - v = R (P/v + I0 + G v)    =>    h(v) = A v² - B v + C = 0,  A = 1 + R G, B = V - R I0, C =
//   R P i = (V - v) / R,   di/dV = (1 - v q) / R,   q = 1 / (2 A v - B)          (upper root: q >
//   0)
//
// v and q are carried from evaluation to evaluation and sharpened by two steps each time, no
// division:
//   q := q (2 - (2 A v - B) q),   v := v - h(v) q                            (both quadratic)
//
// The start is the operating point as built, moved along its own linearisation by what the
// scenario's loads and sources differ from it: one substitution with the factors kept from there.
//
// A lane has its answer when every balance is within rounding and the last step of every v is below
// a microvolt (its successor is then below 1e-13 V); from there on it is frozen while others go on.
// A lane ends up unsolved, for the careful path to look at, when it does not settle in fast_limit
// steps, a pivot was not positive, a load sits below its window or on the wrong root, a converter,
// lock-out or parameter leaves what the fold assumes.

// Each builds on those before it.
// clang-format off
#include "network/lane_pack.hpp"
#include "network/lane_memory.hpp"
#include "network/lane_numbers.hpp"
#include "network/lane_laws.hpp"
#include "network/lane_elimination.hpp"
#include "network/lane_start.hpp"
// clang-format on

// Does the answer lie where the fold's assumptions hold?
template <bool plain>
inline Mask in_windows(const LaneView& p, Memory& m) {
  const Pack zero = broadcast(0.0);
  Mask ok = all_set();
  for (Index k = 0; k < p.pure; ++k) {
    ok = both(ok, either(less_equal(behind<plain>(m, k).min, m.leaf[k].v),
                         less_equal(m.leaf[k].c, zero)));
    ok = both(ok, less(zero, m.leaf[k].q));
  }
  const Index leaves = p.pure + p.mixed;
  for (Index k = p.pure; k < leaves; ++k)
    ok = both(ok, both(less_equal(m.behind[k].min, m.leaf[k].v), less(zero, m.leaf[k].q)));
  for (Index k = leaves; k < leaves + p.direct; ++k) {
    const PortPlan& port = p.ports[p.loads[k].port];
    const Direct& load = m.direct[k - leaves];
    const Mask asks = either(less(zero, load.p), either(less(zero, load.i0), less(zero, load.f)));
    const Pack v = m.node[port.u].x - m.node[port.w].x;
    ok = both(ok, either(less_equal(behind<plain>(m, k).min, v), but_not(all_set(), asks)));
  }
  for (Index k = leaves + p.direct; k < p.loads.size; ++k) {
    const LoadPlan& load = p.loads[k];
    const PortPlan& port = p.ports[load.port];
    const Pack v = m.node[port.u].x - m.node[port.w].x;
    const Pack i = m.load_b0[k] + m.load_a[k] * v;
    ok = both(ok, less_equal(m.behind[k].min, v - m.behind[k].r * i));
  }
  for (Index k = 0; k < p.lock_outs.size; ++k) {
    const LockOutCheck& check = p.lock_outs[k];
    const Pack v = m.row[check.p] - m.row[check.n];
    const Pack limit = broadcast(check.threshold);
    ok = both(ok, check.on ? less_equal(limit, v) : less_equal(v, limit));
  }
  return ok;
}

inline std::size_t memory_needed(const LaneView& p) {
  Memory m;
  return lay_out(p, nullptr, m);
}

inline void prepare_all(const LaneView& p, double* block) {
  Memory m;
  lay_out(p, block, m);
  const Group group{p, m, 0, lanes};
  group.everything();
  if (lanes > 1) group.keep_ones();
}

struct Settling {
  Mask done;
  Pack pivot_sign, residual, steps;
};

// The leaves' v along a last step: dv = q v dV, exact where that step is small.
inline void follow(const LaneView& p, Memory& m, const Mask& last) {
  for (Index k = p.unknowns; k < p.total; ++k) m.node[k].rhs = broadcast(0.0);
  for (Index k = 0; k < p.ports.size; ++k) {
    const PortPlan& port = p.ports[k];
    const Pack dv = m.node[port.u].rhs - m.node[port.w].rhs;
    const auto leaves = [&](Range of) {
      for (Index j = of.first; j < of.last; ++j) {
        Leaf& leaf = m.leaf[j];
        leaf.v = select(last, leaf.v + leaf.v * leaf.q * dv, leaf.v);
      }
    };
    leaves(port.pure);
    leaves(port.mixed);
  }
}

template <bool plain>
inline Settling newton(const LaneView& p, Memory& m) {
  const Pack one = broadcast(1.0);
  const Pack fine_step = broadcast(1e-6);
  const Pack tight_a = broadcast(1e-11);
  const Pack enough = broadcast(0.1);
  Mask active = all_set();
  Mask done = but_not(active, active);
  Mask balanced_before = done;
  Pack worst_before = broadcast(0.0);
  bool whole = true;  // no lane has settled yet
  Settling result{done, one, broadcast(0.0), broadcast(0.0)};
  Evaluation now;
  for (int iteration = 0; iteration <= fast_limit; ++iteration) {
    // The factors of the first step serve the next two; then new ones are made.
    const bool fresh = iteration % 3 == 0;
    if (fresh && whole)
      sweep<true, plain, false>(p, m, active, now);
    else if (fresh)
      sweep<true, plain, true>(p, m, active, now);
    else if (whole)
      sweep<false, plain, false>(p, m, active, now);
    else
      sweep<false, plain, true>(p, m, active, now);
    const Pack worst = now.worst;
    const Pack worst_a = now.worst_a;
    const Mask fine = less_equal(now.worst_step, fine_step);
    const Mask balanced = both(less_equal(worst, one), fine);
    Mask settled = both(active, balanced);
    // What one more step will leave, if it shrinks as the last one did.
    Mask last = both(but_not(both(active, fine), balanced),
                     less_equal(worst * worst, enough * worst_before));
    if (p.polish) {
      settled = both(settled, either(less_equal(worst_a, tight_a), balanced_before));
      last = both(last, less_equal(worst_a * worst, tight_a * worst_before));
    }
    const Mask ends = either(settled, last);
    if (any(ends)) {
      const Pack left = select(last, worst_a * worst / worst_before, worst_a);
      result.residual = select(ends, left, result.residual);
      result.steps = select(ends, broadcast(iteration), result.steps);
      done = either(done, ends);
      active = but_not(active, settled);
      whole = false;
    }
    balanced_before = balanced;
    worst_before = worst;
    if (!any(active) || iteration == fast_limit) break;
    if (fresh) result.pivot_sign = select(active, now.sign, result.pivot_sign);
    if (whole)
      step<plain, false>(p, m, active);
    else
      step<plain, true>(p, m, active);
    if (any(last)) {
      follow(p, m, last);
      active = but_not(active, last);
      if (!any(active)) break;
    }
  }
  result.done = done;
  return result;
}

template <bool plain>
inline void run_as(const LaneView& p, Memory& m, std::size_t first, std::uint32_t count,
                   GroupResult& result) {
  const Group group{p, m, first, count};
  const Mask usable = group.fetch();
  group.what_varies<plain>();
  if (p.keep_start) {
    set_known(p, m);
  } else if (p.base_off == nullptr) {
    start(p, m);
    set_known(p, m);
  } else {
    predict<plain>(p, m);
  }
  const Settling end = newton<plain>(p, m);
  const bool full = count == lanes;
  spread<plain>(p, m, first, full);
  Mask solved = both(both(end.done, usable), less(broadcast(0.0), end.pivot_sign));
  solved = both(solved, in_windows<plain>(p, m));

  const List<OutputColumn>& outputs = full ? p.copied : p.outputs;
  for (Index k = 0; k < outputs.size; ++k) {
    const OutputColumn& out = outputs[k];
    double* to = out.data + static_cast<std::ptrdiff_t>(first) * out.stride;
    if (out.minus == none)
      scatter(m.row[out.row], to, out.stride, count);
    else
      scatter(m.row[out.row] - m.row[out.minus], to, out.stride, count);
  }
  result.solved = 0;
  for (int k = 0; k < static_cast<int>(count); ++k) {
    if (lane_set(solved, k)) result.solved |= 1u << k;
    result.residual_a[k] = lane(end.residual, k);
    result.iterations[k] = static_cast<std::uint16_t>(lane(end.steps, k));
  }
}

inline void run_group(const LaneView& p, double* block, std::size_t first, std::uint32_t count,
                      GroupResult& result) {
  Memory m;
  lay_out(p, block, m);
  if (lanes == 1 || p.plain)
    run_as<true>(p, m, first, count, result);
  else if constexpr (lanes > 1)
    run_as<false>(p, m, first, count, result);
}

// Factors and numbers at the start, see LaneKernel::take_base.
inline void take_base_of(const LaneView& p, double* block, BaseNumbers& base) {
  Memory m;
  lay_out(p, block, m);
  start(p, m);
  set_known(p, m);
  Evaluation at_start;
  sweep<true, false, false>(p, m, all_set(), at_start);
  base.sound = lane_set(less(broadcast(0.0), at_start.sign), 0);
  for (Index k = 0; k < p.off_count; ++k) base.off[k] = lane(m.off[k], 0);
  for (Index k = 0; k < p.unknowns; ++k) {
    const Index e = p.columns[k].entries.first;
    if (p.columns[k].still && e != p.columns[k].entries.last)
      base.off[e] = lane(m.off0[e] * m.node[k].inv, 0);
  }
  for (Index k = 0; k < p.unknowns; ++k) {
    base.inverse[k] = lane(m.node[k].inv, 0);
    if (!(base.inverse[k] < 1e300 && base.inverse[k] > -1e300)) base.sound = false;
  }
  for (Index k = 0; k < p.ports.size; ++k)
    base.port[k] = {lane(m.port_g[k], 0), lane(m.port_i[k], 0)};
  for (Index k = 0; k < p.pure + p.mixed; ++k) base.leaf_c[k] = lane(m.leaf[k].c, 0);
  for (Index k = 0; k < p.direct; ++k) base.direct_p[k] = lane(m.direct[k].p, 0);
}

inline const double* row_values_of(const LaneView& p, const double* block) {
  Memory m;
  lay_out(p, const_cast<double*>(block), m);
  return reinterpret_cast<const double*>(m.row);
}
