#include <doctest/doctest.h>

#include <algorithm>
#include <bit>
#include <cstdint>
#include <cstring>
#include <numeric>

#include "network/random_nets.hpp"
#include "nightbus/network_batch.hpp"

using namespace nightbus;

namespace {

// A batch over one random network: every load's power or scale, every EMF, a few resistances.
struct Setup {
  Circuit circuit;
  std::vector<Parameter> parameters;
  std::vector<Quantity> quantities;
  std::vector<double> table;  // [column][scenario]
  std::size_t scenarios;

  // What varies and what is asked for: everything, or as in a day by the minute.
  enum class Asked { everything, potentials_by_watts };

  Setup(const nets::Options& options, unsigned seed, std::size_t count, double spread,
        Asked asked = Asked::everything)
      : circuit(nets::RandomNet(seed).make(options).build()), scenarios(count) {
    if (asked == Asked::everything)
      vary_everything();
    else
      vary_watts();
    nets::RandomNet random(seed + 1);
    const Parameters base = circuit.parameters();
    for (const Parameter& p : parameters)
      for (std::size_t s = 0; s < scenarios; ++s)
        table.push_back(base.get(p) * random.uniform(1.0 - spread, 1.0 + spread));
  }

  void vary_watts() {
    for (std::uint32_t e = 0; e < circuit.element_count(); ++e) {
      const ElementId id{e};
      if (circuit.kind(id) == ElementKind::source) parameters.push_back({id, ParameterKind::emf_v});
      if (circuit.kind(id) == ElementKind::load) parameters.push_back({id, ParameterKind::power_w});
    }
    for (std::uint32_t n = 0; n < circuit.node_count(); ++n)
      quantities.push_back({QuantityKind::node_v, n});
    quantities.push_back({QuantityKind::node_v, 1});  // twice, and last of all a difference
    quantities.push_back({QuantityKind::voltage_v, 2});
  }

  void vary_everything() {
    for (std::uint32_t e = 0; e < circuit.element_count(); ++e) {
      const ElementId id{e};
      switch (circuit.kind(id)) {
        case ElementKind::source:
          parameters.push_back({id, ParameterKind::emf_v});
          break;
        case ElementKind::load:
          parameters.push_back({id, ParameterKind::scale});
          break;
        case ElementKind::resistor:
          if (e % 3 == 0) parameters.push_back({id, ParameterKind::resistance_ohm});
          if (e % 7 == 0) parameters.push_back({id, ParameterKind::ambient_c});
          break;
        default:
          break;
      }
      quantities.push_back({QuantityKind::voltage_v, e});
      quantities.push_back({QuantityKind::current_a, e});
    }
    for (std::uint32_t n = 0; n < circuit.node_count(); ++n)
      quantities.push_back({QuantityKind::node_v, n});
    quantities.push_back({QuantityKind::total_loss_w, 0});
  }

  struct Answer {
    std::vector<double> block;
    std::vector<SolveStatus> status;
    BatchReport report;
    double at(std::size_t scenario, std::size_t column) const {
      return block[column * status.size() + scenario];
    }
  };
  Answer run(int threads, int lanes) const {
    Answer a;
    a.block.assign(quantities.size() * scenarios, -1.0);
    a.status.resize(scenarios);
    BatchRequest r;
    r.scenarios = scenarios;
    r.parameters = parameters;
    r.table = {table.data(), 1, static_cast<std::ptrdiff_t>(scenarios)};
    r.quantities = quantities;
    r.block = {a.block.data(), 1, static_cast<std::ptrdiff_t>(scenarios)};
    r.status = a.status;
    r.threads = threads;
    r.lanes = lanes;
    a.report = solve_batch(circuit, r);
    return a;
  }
  double single(const OperatingPoint& point, const Quantity& q) const {
    switch (q.kind) {
      case QuantityKind::voltage_v:
        return point.voltage_v[q.index];
      case QuantityKind::current_a:
        return point.current_a[q.index];
      case QuantityKind::node_v:
        return point.node_v[q.index];
      default:
        return point.total_loss_w;
    }
  }
};

bool same_bits(const std::vector<double>& a, const std::vector<double>& b) {
  return a.size() == b.size() && std::memcmp(a.data(), b.data(), a.size() * sizeof(double)) == 0;
}

nets::Options mixed() {
  nets::Options o;
  o.pairs = 6;
  o.ties = 0.3;
  o.shared_return = 0.3;
  o.banks = 2;
  o.converters = 2;
  o.charger = true;
  o.diodes = 0.2;
  o.warm = 0.2;
  return o;
}

}  // namespace

TEST_CASE("a batch is the plain loop, bit for bit") {
  for (const unsigned seed : {11u, 12u, 13u, 14u, 15u, 16u}) {
    CAPTURE(seed);
    const Setup setup(seed % 2 == 0 ? mixed() : nets::Options{.pairs = 7}, seed, 37, 0.3,
                      seed % 3 == 0 ? Setup::Asked::potentials_by_watts : Setup::Asked::everything);
    const Setup::Answer batch = setup.run(1, 0);
    Workspace workspace(setup.circuit);
    OperatingPoint point;
    for (std::size_t s = 0; s < setup.scenarios; ++s) {
      Parameters p = setup.circuit.parameters();
      for (std::size_t c = 0; c < setup.parameters.size(); ++c)
        p.set(setup.parameters[c], setup.table[c * setup.scenarios + s]);
      solve(setup.circuit, p, workspace, {}, point);
      REQUIRE(point.status == batch.status[s]);
      if (point.status != SolveStatus::solved) continue;
      std::size_t different = 0;
      for (std::size_t c = 0; c < setup.quantities.size(); ++c) {
        const double a = batch.at(s, c);
        const double b = setup.single(point, setup.quantities[c]);
        if (std::bit_cast<std::uint64_t>(a) != std::bit_cast<std::uint64_t>(b)) ++different;
      }
      CHECK(different == 0);
    }
  }
}

TEST_CASE("neither threads nor lanes change a bit") {
  for (const auto asked : {Setup::Asked::everything, Setup::Asked::potentials_by_watts})
    for (const unsigned seed : {21u, 22u, 23u}) {
      const Setup setup(mixed(), seed, 101, 0.4, asked);
      const Setup::Answer one = setup.run(1, 1);
      for (const int threads : {1, 2, 7, 64})
        for (const int lanes : {0, 1, 4, 8, 16}) {
          const Setup::Answer other = setup.run(threads, lanes);
          CHECK(same_bits(one.block, other.block));
          CHECK(one.status == other.status);
          CHECK(other.report.solved == one.report.solved);
          if (lanes > 0) CHECK(other.report.lanes <= lanes);
        }
    }
}

TEST_CASE("a batch made ready gives for every table what a batch made for it gives") {
  const Setup setup(mixed(), 25, 75, 0.4, Setup::Asked::potentials_by_watts);
  Batch ready(setup.circuit, setup.parameters, setup.quantities);
  CHECK(ready.parameter_count() == setup.parameters.size());
  CHECK(ready.quantity_count() == setup.quantities.size());
  const Setup::Answer whole = setup.run(1, 0);
  // Stretches of the table, of several lengths, some of them narrower than the lanes.
  std::vector<double> block(setup.quantities.size() * setup.scenarios, -1.0);
  std::size_t first = 0;
  for (const std::size_t count : {1ul, 16ul, 40ul, 18ul}) {
    BatchTables tables;
    tables.scenarios = count;
    tables.table = {setup.table.data() + first, 1, static_cast<std::ptrdiff_t>(setup.scenarios)};
    tables.block = {block.data() + first, 1, static_cast<std::ptrdiff_t>(setup.scenarios)};
    tables.threads = count > 20 ? 2 : 1;
    CHECK(ready.solve(tables).solved + ready.solve(tables).failed == count);
    first += count;
  }
  REQUIRE(first == setup.scenarios);
  CHECK(same_bits(block, whole.block));
}

TEST_CASE("the order of the rows does not change a row") {
  Setup setup(mixed(), 31, 64, 0.3);
  const Setup::Answer before = setup.run(1, 0);
  std::vector<std::size_t> order(setup.scenarios);
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::mt19937 random(5);
  std::shuffle(order.begin(), order.end(), random);
  const std::vector<double> table = setup.table;
  for (std::size_t c = 0; c < setup.parameters.size(); ++c)
    for (std::size_t s = 0; s < setup.scenarios; ++s)
      setup.table[c * setup.scenarios + s] = table[c * setup.scenarios + order[s]];
  const Setup::Answer after = setup.run(2, 0);
  for (std::size_t s = 0; s < setup.scenarios; ++s)
    for (std::size_t c = 0; c < setup.quantities.size(); ++c)
      CHECK(after.at(s, c) == before.at(order[s], c));
}

TEST_CASE("a failed scenario keeps its own status and spoils no other") {
  CircuitBuilder b;
  const NodeId p = b.add_node(), n = b.add_node(), d = b.add_node();
  b.add_source(p, n, {12.0, 0.01});
  b.add_resistor(p, d, 0.19);
  const ElementId load = b.add_load(d, n, {.power_w = 50.0});
  const Circuit circuit = b.compile();
  const std::vector<Parameter> parameters{{load, ParameterKind::power_w}};
  const std::vector<Quantity> quantities{
      {QuantityKind::voltage_v, static_cast<std::uint32_t>(index(load))}};
  std::vector<double> watts, volts(40, -1.0);
  for (int s = 0; s < 40; ++s) watts.push_back(s % 5 == 1 ? 500.0 : s % 5 == 3 ? -3.0 : 10.0 + s);
  std::vector<SolveStatus> status(40);
  BatchRequest r;
  r.scenarios = 40;
  r.parameters = parameters;
  r.table = {watts.data(), 1, 40};
  r.quantities = quantities;
  r.block = {volts.data(), 1, 40};
  r.status = status;
  const BatchReport report = solve_batch(circuit, r);
  CHECK(report.solved == 24);
  CHECK(report.failed == 16);
  for (std::size_t s = 0; s < 40; ++s) {
    if (s % 5 == 1) {
      CHECK(status[s] == SolveStatus::collapsed);
      CHECK(volts[s] == 0.0);
    } else if (s % 5 == 3) {
      CHECK(status[s] == SolveStatus::invalid);
    } else {
      CHECK(status[s] == SolveStatus::solved);
      const double expected = 0.5 * (12.0 + std::sqrt(144.0 - 0.8 * watts[s]));
      CHECK(volts[s] == doctest::Approx(expected).epsilon(1e-12));
    }
  }
}

TEST_CASE("rows may be strided any way") {
  const Setup setup(nets::Options{.pairs = 5}, 41, 29, 0.2);
  const Setup::Answer plain = setup.run(1, 0);
  const std::size_t columns = setup.parameters.size(), outs = setup.quantities.size();
  std::vector<double> table(columns * setup.scenarios), block(outs * setup.scenarios);
  for (std::size_t c = 0; c < columns; ++c)
    for (std::size_t s = 0; s < setup.scenarios; ++s)
      table[s * columns + c] = setup.table[c * setup.scenarios + s];
  BatchRequest r;
  r.scenarios = setup.scenarios;
  r.parameters = setup.parameters;
  r.table = {table.data(), static_cast<std::ptrdiff_t>(columns), 1};
  r.quantities = setup.quantities;
  r.block = {block.data(), static_cast<std::ptrdiff_t>(outs), 1};
  solve_batch(setup.circuit, r);
  for (std::size_t s = 0; s < setup.scenarios; ++s)
    for (std::size_t c = 0; c < outs; ++c) CHECK(block[s * outs + c] == plain.at(s, c));
}

TEST_CASE("what does not exist is refused before anything is solved") {
  const Setup setup(nets::Options{.pairs = 3}, 51, 1, 0.0);
  BatchRequest r;
  const std::vector<Parameter> bad{{ElementId{0}, ParameterKind::set_point_v}};
  r.parameters = bad;
  CHECK_THROWS_AS(solve_batch(setup.circuit, r), std::out_of_range);
  BatchRequest q;
  const std::vector<Quantity> beyond{{QuantityKind::node_v, 100000}};
  q.quantities = beyond;
  CHECK_THROWS_AS(solve_batch(setup.circuit, q), std::out_of_range);
}
