#include <doctest/doctest.h>

#include <fstream>
#include <sstream>
#include <string>

#include "network/nets.hpp"

using namespace nets;

namespace {

struct Branch {
  std::size_t from, to;
  double resistance, power, voltage;
};

std::vector<Branch> read_branches() {
  std::ifstream file(NIGHTBUS_SOURCE_DIR "/tests/published/networks_21_node.csv");
  REQUIRE(file.good());
  std::vector<Branch> branches;
  for (std::string line; std::getline(file, line);) {
    if (line.empty() || line[0] == '#') continue;
    for (char& c : line)
      if (c == ',') c = ' ';
    std::istringstream words(line);
    Branch branch{};
    words >> branch.from >> branch.to >> branch.resistance >> branch.power >> branch.voltage;
    REQUIRE(words);
    branches.push_back(branch);
  }
  REQUIRE(branches.size() == 20);
  return branches;
}

// Base voltage and power turn per-unit numbers into a network of any size with the same answers.
void check(double base_v, double base_w) {
  const double base_ohm = base_v * base_v / base_w;
  CircuitBuilder b;
  const std::vector<NodeId> node = b.add_nodes(22);  // 0 is the common return
  b.add_source(node[1], node[0], {.emf_v = base_v});
  for (const Branch& branch : read_branches()) {
    b.add_resistor(node[branch.from], node[branch.to], branch.resistance * base_ohm);
    b.add_load(node[branch.to], node[0], {.power_w = branch.power * base_w});
  }
  const Circuit circuit = b.compile();
  const OperatingPoint point = solved(circuit);
  REQUIRE(point.status == SolveStatus::solved);
  for (const Branch& branch : read_branches())
    CHECK(std::abs(point.node_v[branch.to] / base_v - branch.voltage) <= 0.5e-6);
  // Published loss 27.6034 kW of 100 kW base = 0.276034; computed 0.2760341, slack 5.8160341.
  CHECK(std::abs(point.total_loss_w / base_w - 0.2760341) <= 0.5e-7);
  CHECK(std::abs(point.supplied_w / base_w - 5.8160341) <= 0.5e-7);
  CHECK(std::abs(point.load_w / base_w - 5.54) <= 1e-9);
}

}  // namespace

TEST_CASE("the published 21-node network, at its own base and scaled to 12 V") {
  check(1000.0, 100e3);
  check(12.0, 100.0);
}
