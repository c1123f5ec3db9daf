// The numbers of one group of scenarios in memory. Included by lane_kernel.hpp inside its
// namespace.

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
  return used * lanes;
}
