#pragma once
// The yardstick networks of the benchmarks: the same for every solver that is timed.

#include <cmath>
#include <cstddef>
#include <random>
#include <vector>

#include "nightbus/network.hpp"

namespace bench {

using namespace nightbus;

// A network as plain lists, for solvers that build their own matrices.
struct Resistor {
  std::size_t a, b;
  double ohm;
};
struct Load {  // P/v + I + G v between a and b; constant power becomes a resistance below minimum_v
  std::size_t a, b;
  double power_w, current_a, conductance_s, minimum_v;
};
struct Converter {  // P_in = P0 + (1 + a) P_out, out (s, ground of its own island)
  std::size_t a, b, s, t;
  double set_point_v, resistance_ohm, standby_w, loss_fraction;
};
struct Network {
  std::size_t nodes = 0;
  std::vector<std::size_t> grounds;
  std::size_t source_p = 0, source_n = 0;
  double emf_v = 12.8, source_ohm = 0.004;
  std::vector<Resistor> resistors;
  std::vector<Load> loads;
  std::vector<Converter> converters;

  std::size_t unknowns() const { return nodes - grounds.size(); }
};

// Index of every element in the compiled circuit: source, resistors, loads, converters in that
// order.
struct Compiled {
  Circuit circuit;
  ElementId source{};
  std::vector<ElementId> loads;
};

inline Compiled compile(const Network& net) {
  CircuitBuilder b;
  const std::vector<NodeId> n = b.add_nodes(net.nodes);
  for (const std::size_t g : net.grounds) b.set_reference(n[g]);
  const ElementId source =
      b.add_source(n[net.source_p], n[net.source_n], {net.emf_v, net.source_ohm});
  for (const Resistor& r : net.resistors) b.add_resistor(n[r.a], n[r.b], r.ohm);
  std::vector<ElementId> loads;
  for (const Load& l : net.loads) {
    LoadLaw law;
    law.power_w = l.power_w;
    law.current_a = l.current_a;
    law.conductance_s = l.conductance_s;
    law.minimum_v = l.minimum_v;
    loads.push_back(b.add_load(n[l.a], n[l.b], law));
  }
  for (const Converter& c : net.converters) {
    ConverterLaw law;
    law.set_point_v = c.set_point_v;
    law.output_resistance_ohm = c.resistance_ohm;
    law.standby_w = c.standby_w;
    law.loss_fraction = c.loss_fraction;
    law.minimum_input_v = 9.0;
    b.add_converter(n[c.a], n[c.b], n[c.s], n[c.t], law);
  }
  return {b.compile(), source, std::move(loads)};
}

// A rack of always-on gear: 80 unknown potentials. 24 branches on five positions of a positive and
// a negative bus, each with its own return: 14 constant-power loads, 4 resistive, 4
// constant-current, 2 converters 12 -> 54 V with six powered devices. `ties` puts one more link on
// each bus.
inline Network rack80(bool ties) {
  Network net;
  std::mt19937 random(80);
  const auto uniform = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  const auto node = [&] { return net.nodes++; };
  const auto link = [&](std::size_t a, std::size_t b, double ohm) {
    net.resistors.push_back({a, b, ohm});
  };
  net.source_p = node();
  net.source_n = node();
  net.grounds.push_back(net.source_n);
  const std::size_t fused = node(), joint_p = node(), joint_n = node();
  link(net.source_p, fused, 0.0005);
  std::vector<std::size_t> plus{node()}, minus{node()};
  link(fused, joint_p, 0.0011);
  link(joint_p, plus[0], 0.0012);
  link(net.source_n, joint_n, 0.0011);
  link(joint_n, minus[0], 0.0012);
  for (int k = 0; k < 4; ++k) {
    plus.push_back(node());
    minus.push_back(node());
    link(plus[plus.size() - 2], plus.back(), 0.0002);
    link(minus[minus.size() - 2], minus.back(), 0.0003);
  }
  if (ties) {
    link(plus[0], plus[4], 0.0006);
    link(minus[0], minus[3], 0.0007);
  }
  for (std::size_t k = 0; k < 24; ++k) {
    const std::size_t at = k % 5;
    const std::size_t p = node(), n = node();
    const double one_way_ohm = uniform(0.004, 0.04);
    if (k == 0 || k == 1 || k >= 22) {  // a branch fuse of its own
      const std::size_t branch = node();
      link(plus[at], branch, 0.002);
      link(branch, p, one_way_ohm);
    } else {
      link(plus[at], p, one_way_ohm);
    }
    link(n, minus[at], one_way_ohm);
    if (k < 14) {
      net.loads.push_back({p, n, uniform(5.0, 60.0) * 0.6, 0.0, 0.0, 9.0});
    } else if (k < 18) {
      net.loads.push_back({p, n, 0.0, 0.0, uniform(5.0, 20.0) / 163.84, 0.0});
    } else if (k < 22) {
      net.loads.push_back({p, n, 0.0, uniform(0.3, 2.0), 0.0, 9.0});
    } else {
      const std::size_t s = node(), t = node();
      net.grounds.push_back(t);
      net.converters.push_back({p, n, s, t, 54.0, 0.05, 0.8, 1.0 / 0.92 - 1.0});
      for (int device = 0; device < 3; ++device) {
        const std::size_t dp = node(), dn = node();
        const double loop_ohm = uniform(5.0, 40.0) * 0.125;
        link(s, dp, 0.5 * loop_ohm);
        link(dn, t, 0.5 * loop_ohm);
        net.loads.push_back({dp, dn, uniform(4.0, 20.0), 0.0, 0.0, 37.0});
      }
    }
  }
  return net;
}

// A random recursive tree of bus pairs with a constant-power load at each: `nodes` potentials, 10
// to 50 mV an edge. `ties`: share of the pairs with one more link on either bus.
inline Network random_tree(std::size_t nodes, double ties) {
  Network net;
  std::mt19937 random(static_cast<unsigned>(nodes));
  const auto uniform = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  const std::size_t pairs = nodes / 2;
  std::vector<std::size_t> parent(pairs, 0);
  std::vector<double> below_w(pairs, 0.0), own_w(pairs, 0.0);
  for (std::size_t k = 1; k < pairs; ++k)
    parent[k] = std::uniform_int_distribution<std::size_t>(0, k - 1)(random);
  for (std::size_t k = pairs; k-- > 0;) {
    own_w[k] = uniform(2.0, 20.0);
    below_w[k] += own_w[k];
    if (k > 0) below_w[parent[k]] += below_w[k];
  }
  net.nodes = 2 * pairs;
  net.source_p = 0;
  net.source_n = 1;
  net.grounds.push_back(1);
  net.source_ohm = 0.04 / (below_w[0] / 12.8);
  for (std::size_t k = 0; k < pairs; ++k) {
    if (k > 0) {
      // The drop is 10 to 50 mV over both ways at the feeder's nominal current.
      const double one_way_ohm = 0.5 * uniform(0.010, 0.050) / (below_w[k] / 12.5);
      net.resistors.push_back({2 * parent[k], 2 * k, one_way_ohm});
      net.resistors.push_back({2 * k + 1, 2 * parent[k] + 1, one_way_ohm});
    }
    net.loads.push_back({2 * k, 2 * k + 1, own_w[k], 0.0, 0.0, 9.0});
  }
  const auto count = static_cast<std::size_t>(ties * static_cast<double>(pairs));
  for (std::size_t k = 0; k < count; ++k) {
    const auto any = [&] {
      return std::uniform_int_distribution<std::size_t>(0, pairs - 1)(random);
    };
    const std::size_t a = any(), b = any();
    if (a == b) continue;
    net.resistors.push_back({2 * a + k % 2, 2 * b + k % 2, uniform(0.01, 0.05)});
  }
  return net;
}

// The day: one minute a point; EMF and every watt figure follow it.
inline constexpr std::size_t day_points = 1440;
inline double day_emf_v(std::size_t minute) {
  return 12.8 + 0.4 * std::sin(2.0 * 3.14159265358979323846 * static_cast<double>(minute) /
                               static_cast<double>(day_points));
}
inline double day_demand(std::size_t minute) {
  return 0.75 + 0.25 * std::sin(2.0 * 3.14159265358979323846 * static_cast<double>(minute) * 3.0 /
                                static_cast<double>(day_points));
}

}  // namespace bench
