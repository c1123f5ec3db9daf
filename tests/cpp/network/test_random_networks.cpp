#include <doctest/doctest.h>

#include "network/random_nets.hpp"

using namespace nightbus;

namespace {

// Current balance at every node from the reported element currents.
double worst_imbalance(const dense::Sheet& sheet, const Circuit& circuit,
                       const OperatingPoint& point) {
  std::vector<double> sum(sheet.nodes, 0.0);
  for (std::size_t e = 0; e < circuit.element_count(); ++e) {
    const ElementId id{static_cast<std::uint32_t>(e)};
    sum[index(circuit.first(id))] += point.current_a[e];
    sum[index(circuit.second(id))] -= point.current_a[e];
    if (circuit.kind(id) != ElementKind::converter) continue;
    sum[sheet.parts[e].s] -= point.output_current_a[e];
    sum[sheet.parts[e].t] += point.output_current_a[e];
  }
  double worst = 0.0;
  for (const double s : sum) worst = std::max(worst, std::abs(s));
  return worst;
}

struct Tally {
  int solved = 0, careful = 0;
};

Tally compare(const nets::Options& options, unsigned first_seed, int count) {
  Tally tally;
  for (int k = 0; k < count; ++k) {
    const unsigned seed = first_seed + static_cast<unsigned>(k);
    CAPTURE(seed);
    const dense::Sheet sheet = nets::RandomNet(seed).make(options);
    const Circuit circuit = sheet.build();
    Workspace workspace(circuit);
    const OperatingPoint point = solve(circuit, workspace);
    const auto expected = dense::solve(sheet);
    if (!expected) {
      // The plain solver may stall on kinks; the library must not call that solved without balance.
      if (point.status == SolveStatus::solved) CHECK(worst_imbalance(sheet, circuit, point) < 1e-8);
      continue;
    }
    REQUIRE(point.status == SolveStatus::solved);
    ++tally.solved;
    tally.careful += point.careful ? 1 : 0;
    double gap = 0.0;
    for (std::size_t n = 0; n < sheet.nodes; ++n)
      gap = std::max(gap, std::abs(point.node_v[n] - (*expected)[n]));
    CHECK(gap < 1e-8);  // the differences in the plain Jacobian leave it at about 1e-10 V
    CHECK(worst_imbalance(sheet, circuit, point) < 1e-8);
    CHECK(point.residual_a < 1e-9);
    CHECK(std::abs(point.balance_w) < 1e-11 * point.supplied_w + 1e-9);
  }
  return tally;
}

}  // namespace

TEST_CASE("random trees of paired runs agree with a plain dense solver") {
  const Tally tally = compare({.pairs = 7}, 1000, 220);
  CHECK(tally.solved > 200);
  CHECK(tally.careful == 0);
}

TEST_CASE("random meshes with shared returns and several banks agree with a plain dense solver") {
  nets::Options o;
  o.pairs = 8;
  o.ties = 0.4;
  o.shared_return = 0.4;
  o.banks = 3;
  const Tally tally = compare(o, 2000, 200);
  CHECK(tally.solved > 180);
  CHECK(tally.careful == 0);
}

TEST_CASE("random networks with converters agree with a plain dense solver") {
  nets::Options o;
  o.pairs = 5;
  o.shared_return = 0.2;
  o.converters = 3;
  o.banks = 2;
  const Tally tally = compare(o, 3000, 150);
  CHECK(tally.solved > 100);
}

TEST_CASE("random networks with chargers, diodes and warm wire agree with a plain dense solver") {
  nets::Options o;
  o.pairs = 6;
  o.ties = 0.2;
  o.charger = true;
  o.diodes = 0.3;
  o.warm = 0.3;
  o.banks = 2;
  o.converters = 1;
  const Tally tally = compare(o, 4000, 150);
  CHECK(tally.solved > 90);
}
