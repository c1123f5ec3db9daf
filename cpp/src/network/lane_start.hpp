// Before the first step and after the last: the start moved along its own linearisation, and row
// potentials from the unknowns. Letters: lane_kernel.hpp, which includes this inside its namespace.

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
