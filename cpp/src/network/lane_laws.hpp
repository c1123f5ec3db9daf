// The elements as Norton pairs at the present x: chargers, diodes, conductors, converters and the
// leaves. Letters: lane_kernel.hpp, which includes this inside its namespace.

constexpr int leaf_steps = 2;

struct Evaluation {
  Pack worst_step;      // of v in the leaves
  Pack worst, worst_a;  // balance, in units of its tolerance and in amperes
  Pack sign;            // of the determinant, or the least pivot
};

template <bool slopes>
inline void stamp_branch(Memory& m, Index u, Index w, Index uw, const Pack& current,
                         const Pack& slope) {
  m.node[u].rhs -= current;
  m.node[w].rhs += current;
  if (!slopes) return;
  m.node[u].diag += slope;
  m.node[w].diag += slope;
  m.off[uw] -= slope;
}

// Two sharpening steps of a leaf; see lane_kernel.hpp. Frozen lanes keep their v and q.
template <bool masked, class Value>
NIGHTBUS_INLINE void sharpen(Value h_and_slope, const Mask& active, Pack& v, Pack& q,
                             Pack& worst_step) {
  const Pack two = broadcast(2.0);
  Pack nv = v;
  Pack nq = q;
  Pack step{};
  for (int k = 0; k < leaf_steps; ++k) {
    const auto [h, slope] = h_and_slope(nv);
    nq = nq * (two - slope * nq);
    step = h * nq;
    nv -= step;
  }
  worst_step = largest(magnitude(step), worst_step);
  v = masked ? select(active, nv, v) : nv;
  q = masked ? select(active, nq, q) : nq;
}
struct LeafBalance {
  Pack h, slope;
};
template <bool masked>
NIGHTBUS_INLINE void leaf(const Pack& a, const Pack& b, const Pack& c, const Mask& active, Pack& v,
                          Pack& q, Pack& worst_step) {
  sharpen<masked>(
      [&](const Pack& at) {
        const Pack av = a * at;
        return LeafBalance{(av - b) * at + c, (av - b) + av};
      },
      active, v, q, worst_step);
}
template <bool masked>
NIGHTBUS_INLINE void pure_leaf(const Pack& b, const Pack& c, const Mask& active, Pack& v, Pack& q,
                               Pack& worst_step) {
  sharpen<masked>(
      [&](const Pack& at) {
        const Pack below = at - b;
        return LeafBalance{below * at + c, below + at};
      },
      active, v, q, worst_step);
}

template <bool slopes>
inline void evaluate_chargers(const LaneView& p, Memory& m) {
  const Pack zero = broadcast(0.0);
  for (Index k = 0; k < p.chargers.size; ++k) {
    const BranchPlan& at = p.chargers[k];
    const Pack* n = m.charger + charger_numbers * k;
    const Pack v = m.node[at.u].x - m.node[at.w].x;
    Pack out = (n[0] - v) * n[1];
    Pack slope = n[1];
    const Mask limited = less(n[2], out);
    out = select(limited, n[2], out);
    slope = select(limited, zero, slope);
    const Mask powered = both(less(zero, v), less(n[3], out * v));
    const Pack by_power = n[3] / select(powered, v, broadcast(1.0));
    out = select(powered, by_power, out);
    slope = select(powered, by_power / select(powered, v, broadcast(1.0)), slope);
    const Mask flows = less(zero, out);
    out = select(flows, out, zero);
    slope = select(flows, slope, zero);
    stamp_branch<slopes>(m, at.u, at.w, at.uw, zero - out, slope);
  }
}

template <bool slopes>
inline void evaluate_diodes(const LaneView& p, Memory& m) {
  for (Index k = 0; k < p.diodes.size; ++k) {
    const BranchPlan& at = p.diodes[k];
    const BranchConstants& c = p.diode_constants[k];
    const Pack slope_on = m.diode[diode_numbers * k];
    const Mask enabled = less(broadcast(0.0), m.diode[diode_numbers * k + 1]);
    const Pack v = m.node[at.u].x - m.node[at.w].x;
    const Pack forward = broadcast(c.forward);
    const Pack leakage = select(enabled, broadcast(c.leakage), broadcast(leak_s));
    const Mask conducts = both(enabled, less_equal(forward, v));
    const Pack current =
        select(conducts, leakage * forward + (v - forward) * slope_on, leakage * v);
    stamp_branch<slopes>(m, at.u, at.w, at.uw, current, select(conducts, slope_on, leakage));
  }
}

template <bool slopes>
inline void evaluate_conductors(const LaneView& p, Memory& m) {
  for (Index k = 0; k < p.conductors.size; ++k) {
    const BranchPlan& at = p.conductors[k];
    const Pack ra = m.conductor[conductor_numbers_n * k];
    const Pack heating = m.conductor[conductor_numbers_n * k + 1];
    const Pack v = m.node[at.u].x - m.node[at.w].x;
    const Pack s = square_root(ra * ra + broadcast(4.0) * heating * v * v);
    const Pack i = broadcast(2.0) * v / (ra + s);
    stamp_branch<slopes>(m, at.u, at.w, at.uw, i, (broadcast(1.0) - heating * i * i) / s);
  }
}

// law_converter.hpp, lane by lane.
template <bool slopes>
inline void evaluate_converters(const LaneView& p, Memory& m) {
  const Pack zero = broadcast(0.0);
  const Pack one = broadcast(1.0);
  for (Index k = 0; k < p.converters.size; ++k) {
    const ConverterPlan& at = p.converters[k];
    const ConverterConstants& c = p.converter_constants[k];
    const Pack* n = m.converter + converter_numbers_n * k;
    const Pack x = m.node[at.u].x - m.node[at.w].x;
    const Pack y = m.node[at.s].x - m.node[at.t].x;
    const Mask wanted = less(zero, n[5]);
    if (!c.on) {
      const Pack g = select(wanted, broadcast(c.off_conductance), zero);
      stamp_branch<slopes>(m, at.u, at.w, at.uw, g * x, g);
      continue;
    }
    const Mask live = both(wanted, less(zero, x));
    const Pack inverse_x = one / select(live, x, one);
    const Pack low = c.minimum_input > 0.0 ? broadcast(c.minimum_input) : broadcast(0.1) * n[0];
    const Mask weak = less(x, low);
    const Pack f_x = select(weak, one / low, zero);
    const Pack f = select(weak, x / low, one);
    Pack target = n[0];
    Pack target_x = zero;
    if (c.kind == 0) {  // buck
      const Pack most = x - broadcast(c.drop_out);
      const Mask out_of_reach = less(most, n[0]);
      target = select(out_of_reach, most, target);
      target_x = select(out_of_reach, one, zero);
    } else {
      target = target * f;
      target_x = n[0] * f_x;
      if (c.kind == 1) {  // boost
        const Pack through = x - broadcast(c.drop_out);
        const Mask passing = less(target, through);
        target = select(passing, through, target);
        target_x = select(passing, one, target_x);
      }
    }
    Pack i = (target - y) * n[1];
    Pack i_x = target_x * n[1];
    Pack i_y = zero - n[1];
    const Mask limited = less(n[2], i);
    i = select(limited, n[2], i);
    i_x = select(limited, zero, i_x);
    i_y = select(limited, zero, i_y);
    const Pack standby = n[4] * f * f;
    const Pack standby_x = broadcast(2.0) * n[4] * f * f_x;
    Pack most = n[3];
    Pack most_x = zero;
    if (c.input_current_limit < 1e300) {
      const Pack left = x * broadcast(c.input_current_limit) - standby;
      const Pack room = largest(zero, left);
      const double whole = 1.0 + c.loss_fraction;
      const Pack d =
          square_root(broadcast(whole * whole) + broadcast(4.0 * c.loss_per_watt) * room);
      const Pack carried = broadcast(2.0) * room / (broadcast(whole) + d);
      const Mask less_power = less(carried, most);
      most = select(less_power, carried, most);
      most_x = select(both(less_power, less(zero, left)),
                      (broadcast(c.input_current_limit) - standby_x) / d, zero);
    }
    const Mask lit = less(zero, y);
    const Mask over = both(lit, less(most, i * y));
    const Pack inverse_y = one / select(over, y, one);
    i = select(over, most * inverse_y, i);
    i_x = select(over, most_x * inverse_y, i_x);
    i_y = select(over, zero - i * inverse_y, i_y);
    const Mask flows = both(live, less(zero, i));
    i = select(flows, i, zero);
    i_x = select(flows, i_x, zero);
    i_y = select(flows, i_y, zero);
    const Pack power = select(lit, y * i, zero);
    const Pack power_x = select(lit, y * i_x, zero);
    const Pack power_y = select(lit, i + y * i_y, zero);
    const Pack slope = broadcast(1.0 + c.loss_fraction) + broadcast(2.0 * c.loss_per_watt) * power;
    const Pack q =
        standby + (broadcast(1.0 + c.loss_fraction) + broadcast(c.loss_per_watt) * power) * power;
    const Pack in = select(live, q * inverse_x, zero);
    const Pack in_x = select(live, ((standby_x + slope * power_x) - in) * inverse_x, zero);
    const Pack in_y = select(live, slope * power_y * inverse_x, zero);
    stamp_branch<slopes>(m, at.u, at.w, at.uw, in, in_x);
    m.node[at.s].rhs += i;
    m.node[at.t].rhs -= i;
    if (!slopes) continue;
    m.node[at.s].diag -= i_y;
    m.node[at.t].diag -= i_y;
    m.off[at.st] += i_y;
    m.cross[2 * k] = in_y;
    m.cross[2 * k + 1] = i_x;
  }
}

// Entries with halves of their own: first what is symmetric, then the one-way terms.
