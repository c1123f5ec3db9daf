// One evaluation of all balances, and L D Lᵀ in the fixed order. Letters: lane_kernel.hpp, which
// includes this inside its namespace.

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
