#pragma once
// Random networks of the kinds that occur: trees of paired runs, shared returns, meshes, several
// banks, converters with loads behind, chargers, diodes, warm conductors, chains, spare ends.

#include <random>

#include "network/dense.hpp"

namespace nets {

using dense::Part;
using dense::Sheet;
using nightbus::ConverterLaw;
using nightbus::ConverterTopology;
using nightbus::ElementKind;
using nightbus::LoadLaw;

struct Options {
  std::size_t pairs = 8;       // bus pairs
  double ties = 0.0;           // loops, as a share of the pairs, on one side only
  double shared_return = 0.0;  // share of pairs whose return goes to another place than the feed
  std::size_t banks = 1;
  std::size_t converters = 0;
  bool charger = false;
  double diodes = 0.0;  // share of runs with a blocking diode
  double warm = 0.0;    // share of conductors heated by their own current
  double chains = 0.5;  // share of runs made of several pieces
  double spare = 0.2;   // share of pairs with a dead end
  bool all_laws = true;
};

class RandomNet {
 public:
  explicit RandomNet(unsigned seed) : random_(seed) {}

  double uniform(double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random_);
  }
  std::size_t below(std::size_t count) {
    return std::uniform_int_distribution<std::size_t>(0, count - 1)(random_);
  }
  bool chance(double share) { return uniform(0.0, 1.0) < share; }

  Sheet make(const Options& o) {
    sheet_ = {};
    options_ = o;
    std::vector<std::size_t> plus{node(13.0)}, minus{node()};
    sheet_.grounds.push_back(minus[0]);
    source(plus[0], minus[0]);
    for (std::size_t k = 1; k < o.pairs; ++k) {
      const std::size_t from = below(k);
      const std::size_t back = chance(o.shared_return) ? below(k) : from;
      plus.push_back(node(13.0));
      minus.push_back(node());
      run(plus[from], plus[k], chance(o.diodes));
      run(minus[k], minus[back], false);
    }
    for (std::size_t k = 1; k < o.banks; ++k) {
      const std::size_t at = below(o.pairs);
      source(plus[at], minus[at]);
    }
    for (std::size_t k = 0; k < o.pairs; ++k) {
      if (chance(o.ties) && o.pairs > 2) run(plus[k], plus[below(o.pairs)], false);
      if (chance(o.ties) && o.pairs > 2) run(minus[k], minus[below(o.pairs)], false);
      if (chance(0.8)) load(plus[k], minus[k], 12.8);
      if (chance(0.5)) {  // a load on its own leads
        const std::size_t p = node(13.0), n = node();
        run(plus[k], p, false);
        run(n, minus[k], false);
        load(p, n, 12.8);
      }
      if (chance(o.spare)) run(plus[k], node(13.0), false);
    }
    if (o.charger) {
      Part p;
      p.kind = ElementKind::charger;
      const std::size_t at = below(o.pairs);
      p.a = plus[at];
      p.b = minus[at];
      p.emf = uniform(12.5, 14.4);
      p.ohm = 0.002;
      p.limit_a = uniform(1.0, 20.0);
      if (chance(0.5)) p.limit_w = uniform(20.0, 200.0);
      sheet_.parts.push_back(p);
    }
    for (std::size_t k = 0; k < o.converters; ++k) {
      const std::size_t at = below(o.pairs);
      converter(plus[at], minus[at]);
    }
    return sheet_;
  }

 private:
  std::size_t node(double hint_v = 0.0) {
    sheet_.hint_v.push_back(hint_v);
    return sheet_.nodes++;
  }

  void resistor(std::size_t a, std::size_t b) {
    Part p;
    p.kind = ElementKind::resistor;
    p.a = a;
    p.b = b;
    p.ohm = std::exp(uniform(std::log(5e-4), std::log(0.02)));
    p.alpha = 0.00393;
    p.ambient_c = uniform(0.0, 50.0);
    if (options_.warm > 0.0 && chance(options_.warm)) p.kelvin_per_watt = uniform(0.5, 4.0);
    sheet_.parts.push_back(p);
  }
  void run(std::size_t a, std::size_t b, bool diode) {
    if (a == b) return;
    std::size_t from = a;
    while (chance(options_.chains)) {
      const std::size_t next = node(sheet_.hint_v[from]);
      resistor(from, next);
      from = next;
    }
    if (!diode) {
      resistor(from, b);
      return;
    }
    const std::size_t next = node(sheet_.hint_v[from]);
    resistor(from, next);
    Part p;
    p.kind = ElementKind::diode;
    p.a = next;
    p.b = b;
    p.diode = {uniform(0.1, 0.5), 0.01, 1e-6};
    sheet_.parts.push_back(p);
  }
  void source(std::size_t p, std::size_t n) {
    Part part;
    part.kind = ElementKind::source;
    part.a = p;
    part.b = n;
    part.emf = uniform(12.4, 13.2);
    part.ohm = uniform(0.002, 0.02);
    sheet_.parts.push_back(part);
  }
  void load(std::size_t p, std::size_t n, double v) {
    Part part;
    part.kind = ElementKind::load;
    part.a = p;
    part.b = n;
    const double watts = uniform(0.5, 14.0);
    const std::size_t law = options_.all_laws ? below(6) : 0;
    LoadLaw& l = part.load;
    if (law == 0 || law == 1 || law == 4) l.power_w = watts;
    if (law == 2 || law == 4) l.current_a = watts / v;
    if (law == 3 || law == 4) l.conductance_s = watts / (v * v);
    if (law == 5) l.fan_a_per_v2 = watts / (v * v * v);
    l.minimum_v = 0.5 * v;
    l.scale = uniform(0.3, 1.2);
    sheet_.parts.push_back(part);
  }
  void converter(std::size_t in_p, std::size_t in_n) {
    Part part;
    part.kind = ElementKind::converter;
    part.a = in_p;
    part.b = in_n;
    const bool isolated = chance(0.5);
    part.s = node(13.0);
    part.t = isolated ? node() : in_n;
    if (isolated) sheet_.grounds.push_back(part.t);
    ConverterLaw& c = part.converter;
    const std::size_t which = below(3);
    c.kind = which == 0   ? ConverterTopology::buck
             : which == 1 ? ConverterTopology::boost
                          : ConverterTopology::buck_boost;
    c.set_point_v = which == 0 ? uniform(5.0, 12.3) : uniform(24.0, 54.0);
    c.output_resistance_ohm = uniform(0.01, 0.1);
    c.standby_w = uniform(0.0, 2.0);
    c.loss_fraction = uniform(0.02, 0.15);
    c.loss_per_watt = chance(0.5) ? 0.0005 : 0.0;
    c.drop_out_v = which == 2 ? 0.0 : uniform(0.2, 0.8);
    c.minimum_input_v = which == 0 ? 0.0 : 8.0;
    sheet_.hint_v[part.s] = c.set_point_v;
    sheet_.parts.push_back(part);
    const std::size_t loads = 1 + below(3);
    for (std::size_t k = 0; k < loads; ++k) {
      const std::size_t p = node(c.set_point_v), n = node();
      run(part.s, p, false);
      run(n, part.t, false);
      load(p, n, c.set_point_v);
    }
  }

  std::mt19937 random_;
  Options options_;
  Sheet sheet_;
};

}  // namespace nets
