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

#include "network/lane_pack.hpp"

struct Memory {
  Pack *x, *rhs, *diag, *off, *inv, *diag0, *off0, *scratch;
  Pack *link_g, *link_i, *port_g, *port_i;
  Pack *chain_r, *varied;
  // loads, by position in LaneView::loads; which apply depends on the class
  Pack *load_v, *load_q, *load_i;            // pure, mixed; linear: i
  Pack *load_c, *load_gr, *load_r;           // C, 1/R, R
  Pack *load_a, *load_b0;                    // A, R I0; linear: conductance and current at the port
  Pack *load_p, *load_i0, *load_g, *load_f;  // direct: P, I0, G, Q
  Pack* load_min;
  Pack *source_g, *source_e;
  Pack *charger, *diode, *conductor, *converter;  // blocks of numbers
  Pack *known_emf, *cross;
  Pack* row;
};

constexpr Index charger_numbers = 4;      // ceiling, 1/r, current limit, power limit
constexpr Index diode_numbers = 2;        // slope, enabled
constexpr Index conductor_numbers_n = 2;  // R_a, k
constexpr Index converter_numbers_n = 6;  // set point, 1/r, current limit, power limit, standby, on

inline std::size_t lay_out(const LaneView& p, double* base, Memory& m) {
  std::size_t used = 0;
  const auto take = [&](Pack*& to, std::size_t count) {
    to = base == nullptr ? nullptr : reinterpret_cast<Pack*>(base) + used;
    used += count;
  };
  take(m.x, p.total);
  take(m.rhs, p.total);
  take(m.diag, p.total);
  take(m.off, p.off_count + 1);
  take(m.inv, p.unknowns);
  take(m.scratch, 2 * p.max_degree + 1);
  take(m.link_g, p.links.size);
  take(m.port_g, p.ports.size);
  take(m.port_i, p.ports.size);
  take(m.diag0, p.total);
  take(m.off0, p.off_count + 1);
  const Index loads = p.loads.size;
  take(m.load_v, loads);
  take(m.load_q, loads);
  take(m.load_c, loads);
  take(m.load_gr, loads);
  take(m.load_r, loads);
  take(m.load_min, loads);
  take(m.load_i, loads);
  take(m.load_a, loads);
  take(m.load_b0, loads);
  take(m.load_p, p.direct);
  take(m.load_i0, p.direct);
  take(m.load_g, p.direct);
  take(m.load_f, p.direct);
  take(m.source_g, p.sources.size);
  take(m.source_e, p.sources.size);
  take(m.charger, charger_numbers * p.chargers.size);
  take(m.diode, diode_numbers * p.diodes.size);
  take(m.conductor, conductor_numbers_n * p.conductors.size);
  take(m.converter, converter_numbers_n * p.converters.size);
  take(m.known_emf, p.known.size);
  take(m.cross, 2 * p.converters.size);
  take(m.chain_r, p.chains.size);
  take(m.varied, p.varied.size);
  take(m.link_i, p.links.size);
  take(m.row, p.rows);
  return used * (sizeof(Pack) / sizeof(double));
}

// ---- numbers of a group of scenarios
// -------------------------------------------------------------

struct Group {
  const LaneView& p;
  Memory& m;
  std::size_t first;
  std::uint32_t count;

  Pack get(std::uint32_t slot_index) const {
    const std::uint32_t at = p.varied_of_slot[slot_index];
    return at == none ? broadcast(p.values[slot_index]) : m.varied[at];
  }
  // Brings in the columns of this group. False lanes hold a number outside what the fold allows.
  Mask fetch() const {
    Mask ok = all_set();
    for (Index k = 0; k < p.varied.size; ++k) {
      const VariedSlot& v = p.varied[k];
      const Pack value =
          gather(v.data + static_cast<std::ptrdiff_t>(first) * v.stride, v.stride, count);
      m.varied[k] = value;
      ok = both(ok, both(less_equal(broadcast(p.low[v.slot]), value),
                         less_equal(value, broadcast(p.high[v.slot]))));
      if (p.binary[v.slot] != 0) ok = both(ok, less_equal(value - value * value, broadcast(0.0)));
    }
    return ok;
  }

  Pack resistance(Range chain) const {
    Pack sum = broadcast(0.0);
    for (Index k = chain.first; k < chain.last; ++k) sum += m.chain_r[k];
    return sum;
  }

  void chain(Index k) const {
    const ChainPart& part = p.chains[k];
    Pack r = get(part.block + slot::resistance);
    if (part.alpha != 0.0) r = r * at_ambient(part.block, part.alpha, part.reference_c);
    m.chain_r[k] = r;
  }
  Pack at_ambient(std::uint32_t block, double alpha, double reference_c) const {
    return largest(
        broadcast(0.01),
        broadcast(1.0) + broadcast(alpha) * (get(block + slot::ambient) - broadcast(reference_c)));
  }
  void link(Index k) const { m.link_g[k] = broadcast(1.0) / resistance(p.links[k].chain); }

  void load_chain(Index k) const {
    const Pack r = resistance(p.loads[k].chain);
    m.load_r[k] = r;
    m.load_gr[k] = broadcast(1.0) / r;
  }

  void load(Index k) const {
    const LoadPlan& plan = p.loads[k];
    const LoadConstants& c = p.load_constants[k];
    const Pack zero = broadcast(0.0);
    const Pack enabled = get(c.block + slot::enabled);
    const Pack scale = c.on ? enabled * get(c.block + slot::scale) : zero;
    const Pack power = scale * get(c.block + slot::power);
    if (plan.kind == LoadClass::pure) {
      m.load_c[k] = m.load_r[k] * power;
      set_minimum(k, less(zero, power));
      return;
    }
    const Pack current = scale * get(c.block + slot::current);
    const Pack conductance =
        c.on ? scale * get(c.block + slot::conductance) : enabled * broadcast(c.off_conductance);
    const Pack fan = scale * get(c.block + slot::fan);
    set_minimum(k, either(less(zero, power), either(less(zero, current), less(zero, fan))));
    if (plan.kind == LoadClass::direct) {
      const Index d = k - p.pure - p.mixed;
      m.load_p[d] = power;
      m.load_i0[d] = current;
      m.load_g[d] = conductance;
      m.load_f[d] = fan;
      return;
    }
    const Pack a = broadcast(1.0) + m.load_r[k] * conductance;
    if (plan.kind == LoadClass::linear) {
      m.load_a[k] = conductance / a;
      m.load_b0[k] = current / a;
      return;
    }
    m.load_c[k] = m.load_r[k] * power;
    m.load_a[k] = a;
    m.load_b0[k] = m.load_r[k] * current;
  }
  // Nothing asked, nothing to starve.
  void set_minimum(Index k, const Mask& asks) const {
    const Pack least = largest(get(p.load_constants[k].block + slot::minimum), broadcast(1e-6));
    m.load_min[k] = select(asks, least, broadcast(-1e300));
  }

  void source(Index k) const {
    const SourcePlan& plan = p.sources[k];
    const std::uint32_t block = p.source_blocks[k];
    const Pack own = largest(get(block + slot::resistance), broadcast(floating_source_ohm));
    m.source_g[k] = broadcast(1.0) / (own + resistance(plan.chain));
    m.source_e[k] = get(block + slot::emf);
  }
  void charger(Index k) const {
    const std::uint32_t block = p.charger_constants[k].block;
    Pack* n = m.charger + charger_numbers * k;
    n[0] = get(block + slot::ceiling);
    n[1] = broadcast(1.0) / get(block + slot::resistance);
    n[2] = select(less(broadcast(0.0), get(block + slot::enabled)),
                  get(block + slot::current_limit), broadcast(0.0));
    n[3] = get(block + slot::power_limit);
  }
  void diode(Index k) const {
    const std::uint32_t block = p.diode_constants[k].block;
    m.diode[diode_numbers * k] = broadcast(1.0) / get(block + slot::resistance);
    m.diode[diode_numbers * k + 1] = get(block + slot::enabled);
  }
  void conductor(Index k) const {
    const BranchConstants& c = p.conductor_constants[k];
    const Pack r0 = get(c.block + slot::resistance);
    const Pack factor = at_ambient(c.block, c.alpha, c.reference_c);
    m.conductor[conductor_numbers_n * k] = r0 * factor;
    m.conductor[conductor_numbers_n * k + 1] = r0 * broadcast(c.alpha * c.heating_k);
  }
  void converter(Index k) const {
    const ConverterConstants& c = p.converter_constants[k];
    Pack* n = m.converter + converter_numbers_n * k;
    n[0] = get(c.block + slot::set_point);
    n[1] = broadcast(1.0) / get(c.block + slot::resistance);
    n[2] = get(c.block + slot::current_limit);
    n[3] = get(c.block + slot::power_limit);
    n[4] = get(c.block + slot::standby);
    const Pack wanted = select(both(less(broadcast(0.0), get(c.block + slot::enabled)),
                                    less(broadcast(0.0), get(c.block + slot::scale))),
                               broadcast(1.0), broadcast(0.0));
    n[5] = wanted;
  }

  void known() const {
    for (Index k = 0; k < p.known.size; ++k)
      m.known_emf[k] = broadcast(p.known[k].sign) * get(p.known_slots[k] + slot::emf);
  }

  // Linear shunts of every port: sources, linear loads, leaks.
  void ports() const {
    for (Index k = 0; k < p.ports.size; ++k) m.port_g[k] = m.port_i[k] = broadcast(0.0);
    for (Index k = 0; k < p.leak_ports.size; ++k) m.port_g[p.leak_ports[k]] += broadcast(leak_s);
    for (Index k = 0; k < p.sources.size; ++k) {
      const Index port = p.sources[k].port;
      m.port_g[port] += m.source_g[k];
      m.port_i[port] -= m.source_g[k] * m.source_e[k];
    }
    for (Index k = p.pure + p.mixed + p.direct; k < p.loads.size; ++k) {
      const Index port = p.loads[k].port;
      m.port_g[port] += m.load_a[k];
      m.port_i[port] += m.load_b0[k];
    }
  }

  // The part of the matrix that no iteration changes.
  void matrix() const {
    for (Index k = 0; k < p.total; ++k) m.diag0[k] = broadcast(0.0);
    for (Index k = 0; k <= p.off_count; ++k) m.off0[k] = broadcast(0.0);
    const auto stamp = [&](Index u, Index w, Index uw, const Pack& g) {
      m.diag0[u] += g;
      m.diag0[w] += g;
      m.off0[uw] -= g;
    };
    for (Index k = 0; k < p.two_terminal_links; ++k) {
      const LinkPlan& link = p.links[k];
      if (link.u != link.w) stamp(link.u, link.w, link.uw, m.link_g[k]);
    }
    for (Index k = p.two_terminal_links; k < p.links.size; ++k) {
      const LinkPlan& link = p.links[k];
      const Pack& g = m.link_g[k];
      stamp(link.u, link.w, link.uw, g);
      m.diag0[link.t] += g;
      m.off0[link.ut] += g;
      m.off0[link.wt] -= g;
    }
    for (Index k = 0; k < p.ports.size; ++k) {
      const PortPlan& port = p.ports[k];
      if (port.u != port.w) stamp(port.u, port.w, port.uw, m.port_g[k]);
    }
  }

  void everything() const {
    for (Index k = 0; k < p.chains.size; ++k) chain(k);
    for (Index k = 0; k < p.links.size; ++k) link(k);
    for (Index k = 0; k < p.loads.size; ++k) {
      load_chain(k);
      load(k);
    }
    for (Index k = 0; k < p.sources.size; ++k) source(k);
    for (Index k = 0; k < p.chargers.size; ++k) charger(k);
    for (Index k = 0; k < p.diodes.size; ++k) diode(k);
    for (Index k = 0; k < p.conductors.size; ++k) conductor(k);
    for (Index k = 0; k < p.converters.size; ++k) converter(k);
    known();
    ports();
    matrix();
  }
  void what_varies() const {
    for (Index k = 0; k < p.dirty_chains.size; ++k) chain(p.dirty_chains[k]);
    for (Index k = 0; k < p.dirty_links.size; ++k) link(p.dirty_links[k]);
    for (Index k = 0; k < p.dirty_load_chains.size; ++k) load_chain(p.dirty_load_chains[k]);
    for (Index k = 0; k < p.dirty_loads.size; ++k) load(p.dirty_loads[k]);
    for (Index k = 0; k < p.dirty_sources.size; ++k) source(p.dirty_sources[k]);
    for (Index k = 0; k < p.dirty_chargers.size; ++k) charger(p.dirty_chargers[k]);
    for (Index k = 0; k < p.dirty_diodes.size; ++k) diode(p.dirty_diodes[k]);
    for (Index k = 0; k < p.dirty_conductors.size; ++k) conductor(p.dirty_conductors[k]);
    for (Index k = 0; k < p.dirty_converters.size; ++k) converter(p.dirty_converters[k]);
    if (p.dirty_known) known();
    if (p.dirty_ports) ports();
    if (p.dirty_matrix) matrix();
  }
};

// ---- one evaluation
// ------------------------------------------------------------------------------

constexpr int leaf_steps = 2;

struct Evaluation {
  Pack worst_step;  // of v in the leaves
};

template <bool slopes>
inline void stamp_branch(Memory& m, Index u, Index w, Index uw, const Pack& current,
                         const Pack& slope) {
  m.rhs[u] -= current;
  m.rhs[w] += current;
  if (!slopes) return;
  m.diag[u] += slope;
  m.diag[w] += slope;
  m.off[uw] -= slope;
}

// Two sharpening steps of a leaf; see the head of the file. Frozen lanes keep their v and q.
inline void leaf(const Pack& a, const Pack& b, const Pack& c, const Mask& active, Pack& v, Pack& q,
                 Pack& worst_step) {
  const Pack two = broadcast(2.0);
  const Pack a2 = a + a;
  Pack nv = v;
  Pack nq = q;
  Pack step{};
  for (int k = 0; k < leaf_steps; ++k) {
    nq = nq * (two - (a2 * nv - b) * nq);
    step = ((a * nv - b) * nv + c) * nq;
    nv -= step;
  }
  worst_step = largest(worst_step, largest(step, -step));
  v = select(active, nv, v);
  q = select(active, nq, q);
}
inline void pure_leaf(const Pack& b, const Pack& c, const Mask& active, Pack& v, Pack& q,
                      Pack& worst_step) {
  const Pack two = broadcast(2.0);
  Pack nv = v;
  Pack nq = q;
  Pack step{};
  for (int k = 0; k < leaf_steps; ++k) {
    const Pack below = nv - b;
    nq = nq * (two - (below + nv) * nq);
    step = (below * nv + c) * nq;
    nv -= step;
  }
  worst_step = largest(worst_step, largest(step, -step));
  v = select(active, nv, v);
  q = select(active, nq, q);
}

template <bool slopes>
inline void evaluate_chargers(const LaneView& p, Memory& m) {
  const Pack zero = broadcast(0.0);
  for (Index k = 0; k < p.chargers.size; ++k) {
    const BranchPlan& at = p.chargers[k];
    const Pack* n = m.charger + charger_numbers * k;
    const Pack v = m.x[at.u] - m.x[at.w];
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
    const Pack v = m.x[at.u] - m.x[at.w];
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
    const Pack v = m.x[at.u] - m.x[at.w];
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
    const Pack x = m.x[at.u] - m.x[at.w];
    const Pack y = m.x[at.s] - m.x[at.t];
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
    m.rhs[at.s] += i;
    m.rhs[at.t] -= i;
    if (!slopes) continue;
    m.diag[at.s] -= i_y;
    m.diag[at.t] -= i_y;
    m.off[at.st] += i_y;
    m.cross[2 * k] = in_y;
    m.cross[2 * k + 1] = i_x;
  }
}

// Entries with halves of their own: first what is symmetric, then the one-way terms.
inline void add_cross_terms(const LaneView& p, Memory& m) {
  for (Index k = 0; k < p.one_way.size; ++k)
    m.off[p.entry_upper[p.one_way[k]]] = m.off[p.one_way[k]];
  for (Index k = 0; k < p.converters.size; ++k) {
    const ConverterPlan& at = p.converters[k];
    if (!p.converter_constants[k].on) continue;
    const Pack& in_y = m.cross[2 * k];
    const Pack& out_x = m.cross[2 * k + 1];
    m.off[at.us] += in_y;
    m.off[at.ut] -= in_y;
    m.off[at.ws] -= in_y;
    m.off[at.wt] += in_y;
    m.off[at.su] -= out_x;
    m.off[at.sw] += out_x;
    m.off[at.tu] += out_x;
    m.off[at.tw] -= out_x;
    // A row that both sides share (most often the return) has these on its diagonal.
    if (at.u == at.s) m.diag[at.u] += in_y - out_x;
    if (at.w == at.t) m.diag[at.w] += in_y - out_x;
    if (at.u == at.t) m.diag[at.u] -= in_y - out_x;
    if (at.w == at.s) m.diag[at.w] -= in_y - out_x;
  }
}

template <bool slopes>
inline void evaluate(const LaneView& p, Memory& m, const Mask& active, Evaluation& result) {
  for (Index k = 0; k < p.total; ++k) m.rhs[k] = broadcast(0.0);
  if (slopes) {
    for (Index k = 0; k < p.total; ++k) m.diag[k] = m.diag0[k];
    for (Index k = 0; k < p.off_count; ++k) m.off[k] = m.off0[k];
  }
  for (Index k = 0; k < p.two_terminal_links; ++k) {
    const LinkPlan& link = p.links[k];
    const Pack i = m.link_g[k] * (m.x[link.u] - m.x[link.w]);
    m.rhs[link.u] -= i;
    m.rhs[link.w] += i;
  }
  for (Index k = p.two_terminal_links; k < p.links.size; ++k) {
    const LinkPlan& link = p.links[k];
    const Pack i = m.link_g[k] * (m.x[link.u] - m.x[link.w] + m.x[link.t]);
    m.rhs[link.u] -= i;
    m.rhs[link.w] += i;
    m.rhs[link.t] -= i;
  }
  const Pack one = broadcast(1.0);
  result.worst_step = broadcast(0.0);
  const Index mixed_at = p.pure;
  for (Index k = 0; k < p.ports.size; ++k) {
    const PortPlan& port = p.ports[k];
    const Pack v = m.x[port.u] - m.x[port.w];
    Pack current = m.port_i[k] + m.port_g[k] * v;
    Pack slope = broadcast(0.0);
    for (Index j = port.pure.first; j < port.pure.last; ++j) {
      pure_leaf(v, m.load_c[j], active, m.load_v[j], m.load_q[j], result.worst_step);
      const Pack i = (v - m.load_v[j]) * m.load_gr[j];
      current += i;
      if (slopes) slope -= i * m.load_q[j];
    }
    for (Index j = mixed_at + port.mixed.first; j < mixed_at + port.mixed.last; ++j) {
      leaf(m.load_a[j], v - m.load_b0[j], m.load_c[j], active, m.load_v[j], m.load_q[j],
           result.worst_step);
      const Pack i = (v - m.load_v[j]) * m.load_gr[j];
      current += i;
      if (slopes)
        slope += (m.load_v[j] * (m.load_a[j] + m.load_a[j] - one) - (v - m.load_b0[j])) *
                 m.load_q[j] * m.load_gr[j];
    }
    for (Index d = port.direct.first; d < port.direct.last; ++d) {
      const Pack inverse = one / v;
      const Pack by_power = m.load_p[d] * inverse;
      const Pack fan = m.load_f[d] * v;
      current += by_power + m.load_i0[d] + (m.load_g[d] + fan) * v;
      if (slopes) slope += (m.load_g[d] + fan + fan) - by_power * inverse;
    }
    m.rhs[port.u] -= current;
    m.rhs[port.w] += current;
    if (!slopes) continue;
    m.diag[port.u] += slope;
    m.diag[port.w] += slope;
    m.off[port.uw] -= slope;
  }
  evaluate_chargers<slopes>(p, m);
  evaluate_diodes<slopes>(p, m);
  evaluate_conductors<slopes>(p, m);
  if (p.converters.size > 0) {
    evaluate_converters<slopes>(p, m);
    if (slopes) add_cross_terms(p, m);
  }
}

// ---- elimination
// ---------------------------------------------------------------------------------

inline void substitute_back(const LaneView& p, Memory& m) {
  for (Index k = p.unknowns; k-- > 0;) {
    const ColumnPlan& column = p.columns[k];
    Pack value = m.rhs[k] * m.inv[k];
    if (column.symmetric) {
      for (Index e = column.entries.first; e < column.entries.last; ++e)
        value -= m.off[e] * m.rhs[p.entry_row[e]];
    } else {
      for (Index e = column.entries.first; e < column.entries.last; ++e)
        value -= m.off[p.entry_upper[e]] * m.rhs[p.entry_row[e]];
    }
    m.rhs[k] = value;
  }
}

// A correction with the factors of an earlier evaluation.
inline void resolve(const LaneView& p, Memory& m) {
  for (Index k = 0; k < p.unknowns; ++k) {
    const Range entries = p.columns[k].entries;
    const Pack b = m.rhs[k];
    for (Index e = entries.first; e < entries.last; ++e) m.rhs[p.entry_row[e]] -= m.off[e] * b;
  }
  substitute_back(p, m);
}

// L D U of the assembled matrix with the right-hand side carried along; dx ends up in rhs. Returns
// the smallest pivot of each lane.
inline Pack eliminate(const LaneView& p, Memory& m) {
  const Pack one = broadcast(1.0);
  const Pack zero = broadcast(0.0);
  const bool one_way = p.one_way.size > 0;
  Pack sign = one;
  Pack* lower_u = m.scratch;                 // unscaled upper parts of the column
  Pack* lower_l = m.scratch + p.max_degree;  // multipliers
  for (Index k = 0; k < p.unknowns; ++k) {
    const ColumnPlan& column = p.columns[k];
    const Pack pivot = m.diag[k];
    const Pack inverse = one / pivot;
    if (one_way)
      sign = select(less(pivot, zero), -sign, sign);
    else
      sign = smallest(sign, pivot);
    m.inv[k] = inverse;
    const Pack b = m.rhs[k];
    const Index first = column.entries.first;
    const Index last = column.entries.last;
    if (column.symmetric) {
      if (last == first + 1) {
        const Pack a = m.off[first];
        const Pack l = a * inverse;
        const Index i = p.entry_row[first];
        m.diag[i] -= l * a;
        m.rhs[i] -= l * b;
        m.off[first] = l;
        continue;
      }
      const Index* target = p.targets.items + column.targets;
      for (Index e = first; e < last; ++e) {
        const Pack a = m.off[e];
        const Pack l = a * inverse;
        const Index i = p.entry_row[e];
        m.diag[i] -= l * a;
        m.rhs[i] -= l * b;
        m.off[e] = l;
        lower_u[e - first] = a;
        for (Index f = 0; f < e - first; ++f) m.off[*target++] -= l * lower_u[f];
      }
      continue;
    }
    const Index* target = p.targets.items + column.targets;
    for (Index e = first; e < last; ++e) {
      const Index upper = p.entry_upper[e];
      const Pack u = m.off[upper];
      const Pack l = m.off[e] * inverse;
      const Index i = p.entry_row[e];
      m.diag[i] -= l * u;
      m.rhs[i] -= l * b;
      m.off[e] = l;
      if (upper != e) m.off[upper] = u * inverse;
      lower_u[e - first] = u;
      lower_l[e - first] = l;
      for (Index f = 0; f < e - first; ++f) {
        const Index t = *target++;
        const Index t_upper = p.entry_upper[t];
        m.off[t] -= l * lower_u[f];
        if (t_upper != t) m.off[t_upper] -= lower_l[f] * u;
      }
    }
  }
  substitute_back(p, m);
  return sign;
}

// ---- start
// ---------------------------------------------------------------------------------------

inline void predict(const LaneView& p, Memory& m) {
  const Index mixed_at = p.pure;
  for (Index k = 0; k < p.total; ++k) m.rhs[k] = broadcast(0.0);
  for (Index k = 0; k < p.ports.size; ++k) {
    const PortPlan& port = p.ports[k];
    const Pack v = m.x[port.u] - m.x[port.w];
    Pack more = (m.port_i[k] - broadcast(p.base_port_i[k])) +
                (m.port_g[k] - broadcast(p.base_port_g[k])) * v;
    const auto leaves = [&](Index first, Index last) {
      for (Index j = first; j < last; ++j)
        more += (m.load_c[j] - broadcast(p.base_load_c[j])) * m.load_gr[j] *
                broadcast(p.start_inverse[j]);
    };
    leaves(port.pure.first, port.pure.last);
    leaves(mixed_at + port.mixed.first, mixed_at + port.mixed.last);
    if (port.direct.first < port.direct.last) {
      Pack watts = broadcast(0.0);
      for (Index d = port.direct.first; d < port.direct.last; ++d)
        watts += m.load_p[d] - broadcast(p.base_direct_p[d]);
      more += watts / v;
    }
    m.rhs[port.u] -= more;
    m.rhs[port.w] += more;
  }
  for (Index k = 0; k < p.unknowns; ++k) {
    const Range entries = p.columns[k].entries;
    const Pack b = m.rhs[k];
    for (Index e = entries.first; e < entries.last; ++e)
      m.rhs[p.entry_row[e]] -= broadcast(p.base_off[e]) * b;
  }
  for (Index k = p.unknowns; k-- > 0;) {
    const Range entries = p.columns[k].entries;
    Pack value = m.rhs[k] * broadcast(p.base_inverse[k]);
    for (Index e = entries.first; e < entries.last; ++e)
      value -= broadcast(p.base_off[p.entry_upper[e]]) * m.rhs[p.entry_row[e]];
    m.rhs[k] = value;
  }
  // Terminal voltages follow: A v² - B v + C = 0 gives dv = q (v dV - dC).
  for (Index k = 0; k < p.ports.size; ++k) {
    const PortPlan& port = p.ports[k];
    const Pack dv = (port.u < p.unknowns ? m.rhs[port.u] : broadcast(0.0)) -
                    (port.w < p.unknowns ? m.rhs[port.w] : broadcast(0.0));
    const auto leaves = [&](Index first, Index last) {
      for (Index j = first; j < last; ++j)
        m.load_v[j] += (m.load_v[j] * dv - (m.load_c[j] - broadcast(p.base_load_c[j]))) *
                       broadcast(p.start_inverse[j]);
    };
    leaves(port.pure.first, port.pure.last);
    leaves(mixed_at + port.mixed.first, mixed_at + port.mixed.last);
  }
  for (Index k = 0; k < p.unknowns; ++k) m.x[k] += m.rhs[k];
}

// ---- from unknowns to row potentials
// -------------------------------------------------------------

inline void spread(const LaneView& p, Memory& m) {
  for (Index k = 0; k < p.from_x.size; ++k) m.row[p.from_x[k].row] = m.x[p.from_x[k].x];
  for (Index k = 0; k < p.pairs.size; ++k) {
    const RowPair& pair = p.pairs[k];
    const Pack up = m.row[pair.up];
    const Pack un = m.row[pair.un];
    const Pack i = ((up - un) - m.x[pair.x]) * m.link_g[pair.link];
    m.link_i[pair.link] = i;
    Pack plus = broadcast(0.0);
    for (Index c = pair.plus.first; c < pair.plus.last; ++c) plus += m.chain_r[c];
    const Pack high = up - i * plus;
    m.row[pair.p] = high;
    m.row[pair.n] = high - m.x[pair.x];
  }
  for (Index k = 0; k < p.row_chains.size; ++k) {
    const RowChain& chain = p.row_chains[k];
    Pack i{};
    if (chain.load != none) {
      const LoadPlan& load = p.loads[chain.load];
      const Pack v = m.x[p.ports[load.port].u] - m.x[p.ports[load.port].w];
      i = load.kind == LoadClass::linear ? m.load_b0[chain.load] + m.load_a[chain.load] * v
                                         : (v - m.load_v[chain.load]) * m.load_gr[chain.load];
    } else if (chain.source != none) {
      const PortPlan& port = p.ports[p.sources[chain.source].port];
      i = (m.x[port.u] - m.x[port.w] - m.source_e[chain.source]) * m.source_g[chain.source];
    } else if (chain.to != none) {
      i = (m.row[chain.from] - m.row[chain.to]) * m.link_g[chain.link];
    } else {
      i = m.link_i[chain.link];
    }
    Pack v = m.row[chain.from];
    if (chain.sign < 0.0) i = -i;
    const Index* rows = p.chain_rows.items + chain.rows.first;
    for (Index c = chain.chain.first; c < chain.chain.last; ++c) {
      v -= i * m.chain_r[c];
      m.row[*rows++] = v;
    }
  }
  for (Index k = 0; k < p.copies.size; ++k) m.row[p.copies[k].row] = m.row[p.copies[k].from];
}

// ---- one group
// -----------------------------------------------------------------------------------

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

  for (Index k = 0; k <= p.unknowns; ++k) m.x[k] = broadcast(k < p.unknowns ? p.start_x[k] : 0.0);
  for (Index k = 0; k < p.known.size; ++k)
    m.x[p.known[k].row] = m.x[p.known[k].from] + m.known_emf[k];
  const Index leaves = p.pure + p.mixed;
  for (Index k = 0; k < leaves; ++k) {
    m.load_v[k] = broadcast(p.start_leaf[k]);
    m.load_q[k] = broadcast(p.start_inverse[k]);
  }
  if (p.base_off != nullptr) predict(p, m);

  const Pack one = broadcast(1.0);
  const Pack fine_step = broadcast(1e-6);
  Mask active = all_set();
  Mask done = but_not(active, active);
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
    const Mask settled =
        both(active, both(less_equal(worst, one), less_equal(evaluation.worst_step, fine_step)));
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
