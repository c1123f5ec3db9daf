// From the parameters of a group of scenarios to the numbers of the folded network. Included by
// lane_kernel.hpp inside its namespace.

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
    m.behind[k].r = r;
    m.behind[k].gr = broadcast(1.0) / r;
  }

  void load(Index k) const {
    const LoadPlan& plan = p.loads[k];
    const LoadConstants& c = p.load_constants[k];
    const Pack zero = broadcast(0.0);
    const Pack enabled = get(c.block + slot::enabled);
    const Pack scale = c.on ? enabled * get(c.block + slot::scale) : zero;
    const Pack power = scale * get(c.block + slot::power);
    if (plan.kind == LoadClass::pure) {
      m.leaf[k].c = m.behind[k].r * power;
      m.behind[k].min = least_v(k);
      return;
    }
    const Pack current = scale * get(c.block + slot::current);
    const Pack conductance =
        c.on ? scale * get(c.block + slot::conductance) : enabled * broadcast(c.off_conductance);
    const Pack fan = scale * get(c.block + slot::fan);
    if (plan.kind == LoadClass::direct) {
      m.direct[k - p.pure - p.mixed] = {power, current, conductance, fan};
      m.behind[k].min = least_v(k);
      return;
    }
    set_minimum(k, either(less(zero, power), less(zero, current)));
    const Pack a = broadcast(1.0) + m.behind[k].r * conductance;
    if (plan.kind == LoadClass::linear) {
      m.load_a[k] = conductance / a;
      m.load_b0[k] = current / a;
      return;
    }
    m.leaf[k].c = m.behind[k].r * power;
    m.load_a[k] = a;
    m.load_b0[k] = m.behind[k].r * current;
  }
  // Nothing asked, nothing to starve.
  void set_minimum(Index k, const Mask& asks) const {
    m.behind[k].min = select(asks, least_v(k), broadcast(-1e300));
  }
  Pack least_v(Index k) const {
    return largest(get(p.load_constants[k].block + slot::minimum), broadcast(1e-6));
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
  // After everything(), every lane the same.
  void keep_ones() const {
    const auto keep = [](double* ones, const Pack* packs, Index size) {
      for (Index k = 0; k < size; ++k) ones[k] = lane(packs[k], 0);
    };
    keep(m.one_chain_r, m.chain_r, p.chains.size);
    keep(m.one_link_g, m.link_g, p.links.size);
    keep(m.one_port_g, m.port_g, p.ports.size);
    for (Index k = 0; k < p.loads.size; ++k) {
      const Behind<Pack>& of = m.behind[k];
      m.one_behind[k] = {lane(of.gr, 0), lane(of.r, 0), lane(of.min, 0)};
    }
    keep(m.one_diag0, m.diag0, p.total);
    keep(m.one_off0, m.off0, p.off_count + 1);
  }
  template <bool plain>
  void what_varies() const {
    for (Index k = 0; k < p.powers.size; ++k) {
      const VariedPower& at = p.powers[k];
      const Pack watts = at.varied == none ? broadcast(p.values[at.slot]) : m.varied[at.varied];
      const Pack power = broadcast(at.scale) * watts;
      if (at.load < p.pure)
        m.leaf[at.load].c = behind<plain>(m, at.load).r * power;
      else
        m.direct[at.load - p.pure - p.mixed].p = power;
    }
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
