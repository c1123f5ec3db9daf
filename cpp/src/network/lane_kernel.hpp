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
inline Mask in_windows(const LaneView& p, Memory& m) {
  Mask ok = all_set();
  const Index leaves = p.pure + p.mixed;
  for (Index k = 0; k < leaves; ++k)
    ok = both(ok, both(less_equal(m.load_min[k], m.load_v[k]), less(broadcast(0.0), m.load_q[k])));
  for (Index k = leaves; k < leaves + p.direct; ++k) {
    const PortPlan& port = p.ports[p.loads[k].port];
    ok = both(ok, less_equal(m.load_min[k], m.x[port.u] - m.x[port.w]));
  }
  for (Index k = leaves + p.direct; k < p.loads.size; ++k) {
    const LoadPlan& load = p.loads[k];
    const PortPlan& port = p.ports[load.port];
    const Pack v = m.x[port.u] - m.x[port.w];
    const Pack i = m.load_b0[k] + m.load_a[k] * v;
    ok = both(ok, less_equal(m.load_min[k], v - m.load_r[k] * i));
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
  Group{p, m, 0, lanes}.everything();
}

inline void run_group(const LaneView& p, double* block, std::size_t first, std::uint32_t count,
                      GroupResult& result) {
  Memory m;
  lay_out(p, block, m);
  const Group group{p, m, first, count};
  const Mask usable = group.fetch();
  group.what_varies();

  if (!p.keep_start)
    for (Index k = 0; k <= p.unknowns; ++k) m.x[k] = broadcast(k < p.unknowns ? p.start_x[k] : 0.0);
  for (Index k = 0; k < p.known.size; ++k)
    m.x[p.known[k].row] = m.x[p.known[k].from] + m.known_emf[k];
  const Index leaves = p.pure + p.mixed;
  if (!p.keep_start)
    for (Index k = 0; k < leaves; ++k) {
      m.load_v[k] = broadcast(p.start_leaf[k]);
      m.load_q[k] = broadcast(p.start_inverse[k]);
    }
  if (p.base_off != nullptr) predict(p, m);

  const Pack one = broadcast(1.0);
  const Pack fine_step = broadcast(1e-6);
  const Pack tight_a = broadcast(1e-11);
  Mask active = all_set();
  Mask done = but_not(active, active);
  Mask balanced_before = done;
  Pack pivot_sign = one;
  Pack residual = broadcast(0.0);
  Pack steps = broadcast(0.0);
  Evaluation evaluation;
  for (int iteration = 0; iteration <= fast_limit; ++iteration) {
    // The factors of the first step serve the next two; then new ones are made.
    const bool fresh = iteration % 3 == 0;
    if (fresh)
      evaluate<true>(p, m, active, evaluation);
    else
      evaluate<false>(p, m, active, evaluation);
    Pack worst = broadcast(0.0);
    Pack worst_a = broadcast(0.0);
    for (Index k = 0; k < p.unknowns; ++k) {
      const Pack f = largest(m.rhs[k], -m.rhs[k]);
      worst_a = largest(worst_a, f);
      worst = largest(worst, f * broadcast(p.inverse_tolerance[k]));
    }
    const Mask balanced =
        both(less_equal(worst, one), less_equal(evaluation.worst_step, fine_step));
    Mask settled = both(active, balanced);
    if (p.polish) settled = both(settled, either(less_equal(worst_a, tight_a), balanced_before));
    balanced_before = balanced;
    residual = select(settled, worst_a, residual);
    steps = select(settled, broadcast(iteration), steps);
    done = either(done, settled);
    active = but_not(active, settled);
    if (!any(active) || iteration == fast_limit) break;
    if (fresh)
      pivot_sign = select(active, eliminate(p, m), pivot_sign);
    else
      resolve(p, m);
    for (Index k = 0; k < p.unknowns; ++k) m.x[k] = select(active, m.x[k] + m.rhs[k], m.x[k]);
  }
  spread(p, m);
  Mask solved = both(both(done, usable), less(broadcast(0.0), pivot_sign));
  solved = both(solved, in_windows(p, m));

  for (Index k = 0; k < p.outputs.size; ++k) {
    const OutputColumn& out = p.outputs[k];
    double* to = out.data + static_cast<std::ptrdiff_t>(first) * out.stride;
    if (out.minus == none)
      scatter(m.row[out.row], to, out.stride, count);
    else
      scatter(m.row[out.row] - m.row[out.minus], to, out.stride, count);
  }
  result.solved = 0;
  for (int k = 0; k < static_cast<int>(count); ++k) {
    if (lane_set(solved, k)) result.solved |= 1u << k;
    result.residual_a[k] = lane(residual, k);
    result.iterations[k] = static_cast<std::uint16_t>(lane(steps, k));
  }
}

// Factors and numbers at the start, see LaneKernel::take_base.
inline void take_base_of(const LaneView& p, double* block, BaseNumbers& base) {
  Memory m;
  lay_out(p, block, m);
  for (Index k = 0; k <= p.unknowns; ++k) m.x[k] = broadcast(k < p.unknowns ? p.start_x[k] : 0.0);
  for (Index k = 0; k < p.known.size; ++k)
    m.x[p.known[k].row] = m.x[p.known[k].from] + m.known_emf[k];
  for (Index k = 0; k < p.pure + p.mixed; ++k) {
    m.load_v[k] = broadcast(p.start_leaf[k]);
    m.load_q[k] = broadcast(p.start_inverse[k]);
  }
  Evaluation evaluation;
  evaluate<true>(p, m, all_set(), evaluation);
  const Pack sign = eliminate(p, m);
  base.sound = lane_set(less(broadcast(0.0), sign), 0);
  for (Index k = 0; k < p.off_count; ++k) base.off[k] = lane(m.off[k], 0);
  for (Index k = 0; k < p.unknowns; ++k) {
    base.inverse[k] = lane(m.inv[k], 0);
    if (!(base.inverse[k] < 1e300 && base.inverse[k] > -1e300)) base.sound = false;
  }
  for (Index k = 0; k < p.ports.size; ++k) {
    base.port_g[k] = lane(m.port_g[k], 0);
    base.port_i[k] = lane(m.port_i[k], 0);
  }
  for (Index k = 0; k < p.pure + p.mixed; ++k) base.load_c[k] = lane(m.load_c[k], 0);
  for (Index k = 0; k < p.direct; ++k) base.direct_p[k] = lane(m.load_p[k], 0);
}

inline const double* row_values_of(const LaneView& p, const double* block) {
  Memory m;
  lay_out(p, const_cast<double*>(block), m);
  return reinterpret_cast<const double*>(m.row);
}
