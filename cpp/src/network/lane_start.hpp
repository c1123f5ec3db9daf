// Before the first step and after the last: the start moved along its own linearisation, and row
// potentials from the unknowns. Letters: lane_kernel.hpp, which includes this inside its namespace.

// x and the leaves at their start, as given.
inline void start(const LaneView& p, Memory& m) {
  for (Index k = 0; k < p.unknowns; ++k) m.node[k].x = broadcast(p.start_x[k]);
  m.node[p.unknowns].x = broadcast(0.0);
  for (Index k = 0; k < p.pure + p.mixed; ++k) {
    m.leaf[k].v = broadcast(p.start_leaf[k].v);
    m.leaf[k].q = broadcast(p.start_leaf[k].q);
  }
}
inline void set_known(const LaneView& p, Memory& m) {
  for (Index k = 0; k < p.known.size; ++k)
    m.node[p.known[k].row].x = m.node[p.known[k].from].x + m.known_emf[k];
}

// The start moved along its own linearisation, in two passes over the columns.
template <bool plain>
inline void predict(const LaneView& p, Memory& m) {
  m.node[p.unknowns].x = broadcast(0.0);
  set_known(p, m);
  const auto x = [&](Index k) { return k < p.unknowns ? broadcast(p.start_x[k]) : m.node[k].x; };
  for (Index k = 0; k < p.total; ++k) m.node[k].rhs = broadcast(0.0);
  for (Index k = 0; k < p.unknowns; ++k) {
    const ColumnPlan& column = p.columns[k];
    Pack b = m.node[k].rhs;
    for (Index c = column.ports.first; c < column.ports.last; ++c) {
      const PortPlan& port = p.ports[c];
      const PortBase& base = p.base_port[c];
      const Pack more_g = fixed<plain>(m.port_g, m.one_port_g, c) - broadcast(base.g);
      Pack more = (m.port_i[c] - broadcast(base.i)) + more_g * (x(port.u) - x(port.w));
      const auto leaves = [&](Range of) {
        for (Index j = of.first; j < of.last; ++j) {
          const LeafStart& from = p.start_leaf[j];
          more += (m.leaf[j].c - broadcast(from.c)) * (behind<plain>(m, j).gr * broadcast(from.q));
        }
      };
      leaves(port.pure);
      leaves(port.mixed);
      if (port.direct.first < port.direct.last) {
        Pack watts = broadcast(0.0);
        for (Index d = port.direct.first; d < port.direct.last; ++d)
          watts += m.direct[d].p - broadcast(p.base_direct_p[d]);
        more += watts / (x(port.u) - x(port.w));
      }
      const bool forward = port.u == k;
      b = forward ? b - more : b + more;
      const Index other = forward ? port.w : port.u;
      if (other >= p.unknowns) continue;
      Pack& there = m.node[other].rhs;
      there = forward ? there + more : there - more;
    }
    m.node[k].rhs = b;
    for (Index e = column.entries.first; e < column.entries.last; ++e)
      m.node[p.entry_row[e]].rhs -= broadcast(p.base_off[e]) * b;
  }
  // Terminal voltages follow: A v² - B v + C = 0 gives dv = q (v dV - dC).
  const auto follow_port = [&](Index c) {
    const PortPlan& port = p.ports[c];
    const Pack dv = m.node[port.u].rhs - m.node[port.w].rhs;
    const auto leaves = [&](Range of) {
      for (Index j = of.first; j < of.last; ++j) {
        const LeafStart& from = p.start_leaf[j];
        const Pack v = broadcast(from.v);
        const Pack q = broadcast(from.q);
        Leaf& leaf = m.leaf[j];
        leaf.v = v + (v * dv - (leaf.c - broadcast(from.c))) * q;
        leaf.q = q;
      }
    };
    leaves(port.pure);
    leaves(port.mixed);
  };
  for (Index k = p.unknowns; k < p.total; ++k) m.node[k].rhs = broadcast(0.0);
  Index port_end = p.ports.size;
  for (Index k = p.unknowns; k-- > 0;) {
    const ColumnPlan& column = p.columns[k];
    Pack value = m.node[k].rhs * broadcast(p.base_inverse[k]);
    for (Index e = column.entries.first; e < column.entries.last; ++e)
      value -= broadcast(p.base_off[p.entry_upper[e]]) * m.node[p.entry_row[e]].rhs;
    m.node[k].rhs = value;
    m.node[k].x = broadcast(p.start_x[k]) + value;
    for (; port_end > column.ports.first; --port_end) follow_port(port_end - 1);
  }
  for (; port_end > 0; --port_end) follow_port(port_end - 1);
}

// Row potentials; interior rows of a full group go straight to where they are wanted.
template <bool plain>
inline void spread(const LaneView& p, Memory& m, std::size_t first, bool full) {
  const auto r = [&](Index k) { return fixed<plain>(m.chain_r, m.one_chain_r, k); };
  const auto link_g = [&](Index k) { return fixed<plain>(m.link_g, m.one_link_g, k); };
  const bool straight = full && p.outputs.size > 0;
  const auto put = [&](Index at, const Pack& v) {
    double* const to = straight ? p.straight[at] : nullptr;
    if (to != nullptr)
      store(v, to + first);
    else
      m.row[p.chain_rows[at]] = v;
  };
  for (Index k = 0; k < p.from_x.size; ++k) m.row[p.from_x[k].row] = m.node[p.from_x[k].x].x;
  for (Index k = 0; k < p.pairs.size; ++k) {
    const RowPair& pair = p.pairs[k];
    const Pack up = m.row[pair.up];
    const Pack un = m.row[pair.un];
    const Pack i = ((up - un) - m.node[pair.x].x) * link_g(pair.link);
    m.link_i[pair.link] = i;
    Pack plus = r(pair.plus.first);
    for (Index c = pair.plus.first + 1; c < pair.plus.last; ++c) plus += r(c);
    const Pack high = up - i * plus;
    const Pack low = high - m.node[pair.x].x;
    m.row[pair.p] = high;
    m.row[pair.n] = low;
    if (!straight) continue;
    if (double* const to = p.pair_straight[2 * k]; to != nullptr) store(high, to + first);
    if (double* const to = p.pair_straight[2 * k + 1]; to != nullptr) store(low, to + first);
  }
  for (Index k = 0; k < p.row_chains.size; ++k) {
    const RowChain& chain = p.row_chains[k];
    Pack i = chain.to != none ? (m.row[chain.from] - m.row[chain.to]) * link_g(chain.link)
                              : m.link_i[chain.link];
    if (chain.sign < 0.0) i = -i;
    Pack v = m.row[chain.from];
    Index row = chain.rows.first;
    for (Index c = chain.chain.first; c < chain.chain.last; ++c) {
      v -= i * r(c);
      put(row++, v);
    }
  }
  const auto leaf = [&](const LeafRows& at, const Pack& i) {
    Index row = at.rows;
    Pack v = m.row[at.from_a];
    for (Index c = at.chain_a; c < at.chain_a + at.parts_a; ++c) {
      v -= i * r(c);
      put(row++, v);
    }
    v = m.row[at.from_b];
    for (Index c = at.chain_b; c < at.chain_b + at.parts_b; ++c) {
      v += i * r(c);
      put(row++, v);
    }
  };
  for (Index k = 0; k < p.leaf_rows.size; ++k) {
    const LeafRows& at = p.leaf_rows[k];
    leaf(at,
         ((m.node[at.u].x - m.node[at.w].x) - m.leaf[at.item].v) * behind<plain>(m, at.item).gr);
  }
  for (Index k = 0; k < p.linear_rows.size; ++k) {
    const LeafRows& at = p.linear_rows[k];
    leaf(at, m.load_b0[at.item] + m.load_a[at.item] * (m.node[at.u].x - m.node[at.w].x));
  }
  for (Index k = 0; k < p.source_rows.size; ++k) {
    const LeafRows& at = p.source_rows[k];
    leaf(at, (m.node[at.u].x - m.node[at.w].x - m.source_e[at.item]) * m.source_g[at.item]);
  }
  for (Index k = 0; k < p.copies.size; ++k) m.row[p.copies[k].row] = m.row[p.copies[k].from];
}
