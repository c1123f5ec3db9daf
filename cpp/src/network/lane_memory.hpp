// The numbers of one group of scenarios in memory, what is used together side by side. Included by
// lane_kernel.hpp inside its namespace.

struct Node {  // an unknown or a known row
  Pack x;      // of the known ones, only this counts
  Pack rhs, fill, diag, inv;
};
struct Leaf {  // a load of class pure or mixed
  Pack v, q, c;
};
template <class T>
struct Behind {  // 1/R, R and the least voltage of any load
  T gr, r, min;
};
struct Direct {  // a load of class direct: P, I0, G, Q
  Pack p, i0, g, f;
};

struct Memory {
  Node* node;
  Leaf* leaf;
  Direct* direct;
  Behind<Pack>* behind;
  Pack *load_a, *load_b0;  // mixed: A, R I0; linear: conductance and current at the port
  Pack *off, *diag0, *off0, *scratch;
  Pack *link_g, *link_i, *port_g, *port_i;
  Pack *chain_r, *varied;
  Pack *source_g, *source_e;
  Pack *charger, *diode, *conductor, *converter;  // blocks of numbers
  Pack *known_emf, *cross;
  Pack* row;
  // The same in every lane while LaneView::plain, once each.
  Behind<double>* one_behind;
  double *one_chain_r, *one_link_g, *one_port_g, *one_diag0, *one_off0;
};

constexpr Index charger_numbers = 4;      // ceiling, 1/r, current limit, power limit
constexpr Index diode_numbers = 2;        // slope, enabled
constexpr Index conductor_numbers_n = 2;  // R_a, k
constexpr Index converter_numbers_n = 6;  // set point, 1/r, current limit, power limit, standby, on

inline std::size_t lay_out(const LaneView& p, double* base, Memory& m) {
  std::size_t used = 0;  // doubles
  const auto take = [&]<class T>(T*& to, std::size_t count) {
    to = base == nullptr ? nullptr : reinterpret_cast<T*>(base + used);
    used += count * sizeof(T) / sizeof(double);
  };
  take(m.node, p.total);
  take(m.leaf, p.pure + p.mixed);
  take(m.direct, p.direct);
  take(m.behind, p.loads.size);
  take(m.load_a, p.loads.size);
  take(m.load_b0, p.loads.size);
  take(m.off, p.off_count + 1);
  take(m.diag0, p.total);
  take(m.off0, p.off_count + 1);
  take(m.scratch, 2 * p.max_degree + 1);
  take(m.link_g, p.links.size);
  take(m.link_i, p.links.size);
  take(m.port_g, p.ports.size);
  take(m.port_i, p.ports.size);
  take(m.chain_r, p.chains.size);
  take(m.varied, p.varied.size);
  take(m.source_g, p.sources.size);
  take(m.source_e, p.sources.size);
  take(m.charger, charger_numbers * p.chargers.size);
  take(m.diode, diode_numbers * p.diodes.size);
  take(m.conductor, conductor_numbers_n * p.conductors.size);
  take(m.converter, converter_numbers_n * p.converters.size);
  take(m.known_emf, p.known.size);
  take(m.cross, 2 * p.converters.size);
  take(m.row, p.rows);
  if constexpr (lanes == 1) {  // one lane: the packs are the numbers themselves
    m.one_behind = reinterpret_cast<Behind<double>*>(m.behind);
    const auto same = [](Pack* packs) { return reinterpret_cast<double*>(packs); };
    m.one_chain_r = same(m.chain_r);
    m.one_link_g = same(m.link_g);
    m.one_port_g = same(m.port_g);
    m.one_diag0 = same(m.diag0);
    m.one_off0 = same(m.off0);
  } else {
    take(m.one_behind, p.loads.size);
    take(m.one_chain_r, p.chains.size);
    take(m.one_link_g, p.links.size);
    take(m.one_port_g, p.ports.size);
    take(m.one_diag0, p.total);
    take(m.one_off0, p.off_count + 1);
  }
  return used;
}

// A number that no scenario changes while the group is plain.
template <bool plain>
NIGHTBUS_INLINE Pack fixed(const Pack* packs, const double* ones, Index k) {
  if constexpr (plain)
    return broadcast(ones[k]);
  else
    return packs[k];
}
template <bool plain>
NIGHTBUS_INLINE Behind<Pack> behind(const Memory& m, Index k) {
  if constexpr (plain) {
    const Behind<double>& one = m.one_behind[k];
    return {broadcast(one.gr), broadcast(one.r), broadcast(one.min)};
  } else {
    return m.behind[k];
  }
}
