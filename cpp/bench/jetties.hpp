#pragma once
/// A system of as many runs as one likes, with blocks, sub-blocks, fuses and converters.

#include <fmt/format.h>

#include <string>

#include "nightbus/system.hpp"
#include "random.hpp"

namespace nightbus::bench {

/// A boatyard's jetties: one bank in the pump house and a main board, a feeder to each jetty, boxes
/// along it with lamps, cameras, meters and pumps, and on each fourth jetty a converter to 12 V
/// with a block of its own. Invented, as are all its numbers.
inline System jetties(std::size_t runs) {
  using testing::between;
  using testing::pick;
  testing::Random random(9);
  System system;
  system.title = "jetties";
  system.rules.sets = {"ABYC E-11"};
  system.rules.insulation_c = 105.0;
  system.rules.terminal_c = 75.0;
  system.rules.sizes = "AWG";
  system.rules.drop_critical = 0.05;
  system.rules.fuse_forms = {"blade", "maxi blade", "battery post block", "class T"};
  Bank bank;
  bank.name = "pump house bank";
  bank.chemistry = "LFP";
  bank.nominal_v = 48.0;
  bank.capacity_ah = 800.0;
  bank.resistance_ohm = 0.006;
  bank.absorption_v = 56.8;
  system.banks.push_back(bank);
  const auto add_run = [&](const std::string& from, const std::string& to, double length_m) {
    Run run;
    run.name = from + " to " + to;
    run.from = from;
    run.to = to;
    run.length_m = length_m;
    run.bundle = 2 * pick(random, 1, 3);
    system.runs.push_back(run);
  };
  const auto add_board = [&](const std::string& name) {
    Bus bus;
    bus.name = name;
    system.buses.push_back(bus);
  };
  const auto add_load = [&](const std::string& from, double most_w, double most_m) {
    Load load;
    load.name = fmt::format("device {}", system.loads.size() + 1);
    load.typical_w = between(random, 3.0, most_w);
    load.drop_class = pick(random, 0, 2) ? DropClass::general : DropClass::critical;
    if (pick(random, 0, 9) == 0) load.behaviour = Behaviour::resistance;
    system.loads.push_back(load);
    add_run(from, load.name, between(random, 1.0, most_m));
  };
  add_board("main board");
  add_run("pump house bank", "main board", 1.5);
  int boards = 0;
  while (system.runs.size() < runs) {
    const std::string jetty = fmt::format("jetty {}", ++boards);
    add_board(jetty);
    add_run("main board", jetty, between(random, 4.0, 25.0));
    for (int part = 0; part < 2 && system.runs.size() < runs; ++part) {
      const std::string box = fmt::format("{} box {}", jetty, part + 1);
      add_board(box);
      add_run(jetty, box, between(random, 3.0, 12.0));
      for (int k = 0; k < 7 && system.runs.size() < runs; ++k) add_load(box, 30.0, 12.0);
    }
    if (boards % 4 == 0 && system.runs.size() + 6 < runs) {
      Converter stage;
      stage.name = fmt::format("12 V stage {}", boards);
      stage.output_v = 12.5;
      stage.power_w = 150.0;
      stage.isolated = true;
      stage.efficiency = {{0.1, 0.86}, {0.5, 0.92}, {1.0, 0.9}};
      system.converters.push_back(stage);
      add_run(jetty, stage.name, between(random, 1.0, 4.0));
      const std::string block = fmt::format("12 V block {}", boards);
      add_board(block);
      add_run(stage.name, block, between(random, 0.5, 2.0));
      for (int k = 0; k < 4; ++k) add_load(block, 15.0, 6.0);
    }
  }
  return system;
}

}  // namespace nightbus::bench
