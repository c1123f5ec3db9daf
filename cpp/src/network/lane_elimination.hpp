// One sweep over the columns: the balance of each unknown, and L D Lᵀ in the fixed order with the
// right-hand side carried along. Letters: lane_kernel.hpp, which includes this inside its
// namespace.
//
// A column's own links and ports are met when its turn comes; what earlier columns and elements of
// other kinds left for it waits in rhs (balance), fill (from the elimination) and diag. After the
// sweep rhs holds the right-hand side ready for substitution.

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
    if (at.u == at.s) m.node[at.u].diag += in_y - out_x;
    if (at.w == at.t) m.node[at.w].diag += in_y - out_x;
    if (at.u == at.t) m.node[at.u].diag -= in_y - out_x;
    if (at.w == at.s) m.node[at.w].diag -= in_y - out_x;
  }
}

// What the element laws add to a port, at voltage v.
template <bool slopes, bool plain, bool masked>
NIGHTBUS_INLINE void evaluate_port(Memory& m, const PortPlan& port, Index k, const Pack& v,
                                   const Mask& active, Pack& current, Pack& slope,
                                   Pack& worst_step) {
  const Pack one = broadcast(1.0);
  current = m.port_i[k] + fixed<plain>(m.port_g, m.one_port_g, k) * v;
  slope = broadcast(0.0);
  for (Index j = port.pure.first; j < port.pure.last; ++j) {
    Pack at = m.leaf[j].v;
    Pack q = m.leaf[j].q;
    pure_leaf<masked>(v, m.leaf[j].c, active, at, q, worst_step);
    m.leaf[j].v = at;
    m.leaf[j].q = q;
    const Pack i = (v - at) * behind<plain>(m, j).gr;
    current += i;
    if (slopes) slope -= i * q;
  }
  for (Index j = port.mixed.first; j < port.mixed.last; ++j) {
    Pack at = m.leaf[j].v;
    Pack q = m.leaf[j].q;
    leaf<masked>(m.load_a[j], v - m.load_b0[j], m.leaf[j].c, active, at, q, worst_step);
    m.leaf[j].v = at;
    m.leaf[j].q = q;
    const Pack g = behind<plain>(m, j).gr;
    current += (v - at) * g;
    if (slopes) slope += (at * (m.load_a[j] + m.load_a[j] - one) - (v - m.load_b0[j])) * q * g;
  }
  for (Index d = port.direct.first; d < port.direct.last; ++d) {
    const Pack inverse = one / v;
    const Pack by_power = m.direct[d].p * inverse;
    const Pack fan = m.direct[d].f * v;
    current += by_power + m.direct[d].i0 + (m.direct[d].g + fan) * v;
    if (slopes) slope += (m.direct[d].g + fan + fan) - by_power * inverse;
  }
}

// Elements between any rows, before the sweep reaches them.
template <bool slopes, bool plain>
inline void evaluate_branches(const LaneView& p, Memory& m) {
  const Pack zero = broadcast(0.0);
  for (Index k = 0; k < p.total; ++k) m.node[k].rhs = m.node[k].fill = zero;
  if (slopes) {
    for (Index k = 0; k < p.total; ++k) m.node[k].diag = zero;
    if (!p.all_still)
      for (Index k = 0; k < p.off_count; ++k) m.off[k] = fixed<plain>(m.off0, m.one_off0, k);
  }
  for (Index k = p.two_terminal_links; k < p.links.size; ++k) {
    const LinkPlan& link = p.links[k];
    const Pack i = fixed<plain>(m.link_g, m.one_link_g, k) *
                   (m.node[link.u].x - m.node[link.w].x + m.node[link.t].x);
    m.node[link.u].rhs -= i;
    m.node[link.w].rhs += i;
    m.node[link.t].rhs -= i;
  }
  if (p.chargers.size > 0) evaluate_chargers<slopes>(p, m);
  if (p.diodes.size > 0) evaluate_diodes<slopes>(p, m);
  if (p.conductors.size > 0) evaluate_conductors<slopes>(p, m);
  if (p.converters.size > 0) {
    evaluate_converters<slopes>(p, m);
    if (slopes) add_cross_terms(p, m);
  }
}

// Column k of the factors, its pivot known.
template <bool plain>
NIGHTBUS_INLINE void eliminate_column(const LaneView& p, Memory& m, const ColumnPlan& column,
                                      const Pack& inverse, const Pack& b) {
  const Index first = column.entries.first;
  const Index last = column.entries.last;
  if (column.still) {
    if (first == last) return;
    const Pack a = fixed<plain>(m.off0, m.one_off0, first);
    const Pack l = a * inverse;
    const Index i = p.entry_row[first];
    m.node[i].diag -= l * a;
    m.node[i].fill -= l * b;
    return;
  }
  Pack* lower_u = m.scratch;                 // unscaled upper parts of the column
  Pack* lower_l = m.scratch + p.max_degree;  // multipliers
  const Index* target = p.targets.items + column.targets;
  if (column.symmetric) {
    for (Index e = first; e < last; ++e) {
      const Pack a = m.off[e];
      const Pack l = a * inverse;
      const Index i = p.entry_row[e];
      m.node[i].diag -= l * a;
      m.node[i].fill -= l * b;
      m.off[e] = l;
      lower_u[e - first] = a;
      for (Index f = 0; f < e - first; ++f) m.off[*target++] -= l * lower_u[f];
    }
    return;
  }
  for (Index e = first; e < last; ++e) {
    const Index upper = p.entry_upper[e];
    const Pack u = m.off[upper];
    const Pack l = m.off[e] * inverse;
    const Index i = p.entry_row[e];
    m.node[i].diag -= l * u;
    m.node[i].fill -= l * b;
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

// With slopes: new factors. Without: those of an earlier sweep.
template <bool slopes, bool plain, bool masked>
inline void sweep(const LaneView& p, Memory& m, const Mask& active, Evaluation& result) {
  evaluate_branches<slopes, plain>(p, m);
  const Pack zero = broadcast(0.0);
  const bool one_way = p.one_way.size > 0;
  Pack worst = zero;
  Pack worst_a = zero;
  Pack worst_step = zero;
  Pack sign = broadcast(1.0);
  Pack current{};
  Pack slope{};
  for (Index k = 0; k < p.unknowns; ++k) {
    const ColumnPlan& column = p.columns[k];
    const Pack x = m.node[k].x;
    Pack f = m.node[k].rhs;
    Pack pivot{};
    if (slopes) pivot = m.node[k].diag + fixed<plain>(m.diag0, m.one_diag0, k);
    for (Index c = column.links.first; c < column.links.last; ++c) {
      const SweepLink& link = p.sweep_links[c];
      const Pack i = fixed<plain>(m.link_g, m.one_link_g, link.link) * (x - m.node[link.far].x);
      f -= i;
      if (link.far < p.unknowns) m.node[link.far].rhs += i;
    }
    for (Index c = column.ports.first; c < column.ports.last; ++c) {
      const PortPlan& port = p.ports[c];
      const bool forward = port.u == k;
      evaluate_port<slopes, plain, masked>(m, port, c,
                                           forward ? x - m.node[port.w].x : m.node[port.u].x - x,
                                           active, current, slope, worst_step);
      f = forward ? f - current : f + current;
      if (slopes) pivot += slope;
      const Index other = forward ? port.w : port.u;
      if (other >= p.unknowns) continue;
      m.node[other].rhs = forward ? m.node[other].rhs + current : m.node[other].rhs - current;
      if (!slopes) continue;
      m.node[other].diag += slope;
      m.off[port.uw] -= slope;
      if (p.entry_upper[port.uw] != port.uw) m.off[p.entry_upper[port.uw]] -= slope;
    }
    const Pack size = magnitude(f);
    worst_a = largest(size, worst_a);
    worst = largest(size * broadcast(p.inverse_tolerance[k]), worst);
    const Pack b = f + m.node[k].fill;
    m.node[k].rhs = b;
    if (slopes) {
      if (one_way)
        sign = select(less(pivot, zero), -sign, sign);
      else
        sign = smallest(pivot, sign);
      const Pack inverse = broadcast(1.0) / pivot;
      m.node[k].inv = inverse;
      eliminate_column<plain>(p, m, column, inverse, b);
    } else if (column.still) {
      if (column.entries.first != column.entries.last)
        m.node[p.entry_row[column.entries.first]].fill -=
            fixed<plain>(m.off0, m.one_off0, column.entries.first) * m.node[k].inv * b;
    } else {
      for (Index e = column.entries.first; e < column.entries.last; ++e)
        m.node[p.entry_row[e]].fill -= m.off[e] * b;
    }
  }
  // Ports between known rows have leaves to settle, too.
  const Index own = p.unknowns > 0 ? p.columns[p.unknowns - 1].ports.last : 0;
  for (Index c = own; c < p.ports.size; ++c) {
    const PortPlan& port = p.ports[c];
    evaluate_port<false, plain, masked>(m, port, c, m.node[port.u].x - m.node[port.w].x, active,
                                        current, slope, worst_step);
  }
  result = {worst_step, worst, worst_a, sign};
}

// The correction by substitution, x moved along in the lanes that take it.
template <bool plain, bool masked>
inline void step(const LaneView& p, Memory& m, const Mask& takes) {
  for (Index k = p.unknowns; k-- > 0;) {
    const ColumnPlan& column = p.columns[k];
    const Index first = column.entries.first;
    const Index last = column.entries.last;
    Pack value = m.node[k].rhs;
    if (column.still) {
      if (first != last)
        value -= fixed<plain>(m.off0, m.one_off0, first) * m.node[p.entry_row[first]].rhs;
      value = value * m.node[k].inv;
    } else {
      value = value * m.node[k].inv;
      for (Index e = first; e < last; ++e)
        value -= m.off[p.entry_upper[e]] * m.node[p.entry_row[e]].rhs;
    }
    m.node[k].rhs = value;
    const Pack moved = m.node[k].x + value;
    m.node[k].x = masked ? select(takes, moved, m.node[k].x) : moved;
  }
}
