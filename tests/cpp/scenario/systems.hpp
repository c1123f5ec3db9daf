#pragma once
/// Small systems for tests, built with the same words as a file.

#include <string>

#include "nightbus/system.hpp"

namespace systems {

using namespace nightbus;

inline Bank bank_12v(std::string name = "bank") {
  Bank bank;
  bank.name = std::move(name);
  bank.chemistry = "flooded";
  bank.nominal_v = 12.0;
  bank.capacity_ah = 200.0;
  bank.resistance_ohm = 0.010;
  bank.absorption_v = 14.4;
  return bank;
}

inline Bus bus(std::string name) {
  Bus made;
  made.name = std::move(name);
  return made;
}

inline Run run(std::string name, std::string from, std::string to, double length_m,
               const char* size = "10 AWG") {
  Run made;
  made.name = std::move(name);
  made.from = std::move(from);
  made.to = std::move(to);
  made.length_m = length_m;
  made.size = *parse_size(size);
  return made;
}

inline Load load(std::string name, double watts) {
  Load made;
  made.name = std::move(name);
  made.typical_w = watts;
  made.peak_w = watts;
  made.rest_w = watts;
  made.window_v = Range{9.0, 16.0};
  return made;
}

inline Case low_case(std::string name = "low") {
  Case made;
  made.name = std::move(name);
  made.bank = BankState::low;
  made.demand = Demand::typical;
  made.ambient = Ambient::mild;
  return made;
}

/// bank ── feed ── bus ─┬─ router feed ── router 60 W
///                      └─ switch feed ── switch 24 W
inline System small() {
  System system;
  system.title = "small";
  system.site.name = "bench";
  system.banks.push_back(bank_12v());
  system.buses.push_back(bus("block"));
  system.loads.push_back(load("router", 60.0));
  system.loads.push_back(load("switch", 24.0));
  system.runs.push_back(run("feed", "bank", "block", 3.0, "8 AWG"));
  system.runs.push_back(run("router feed", "block", "router", 4.0, "14 AWG"));
  system.runs.push_back(run("switch feed", "block", "switch", 2.0, "16 AWG"));
  system.cases.push_back(low_case());
  return system;
}

}  // namespace systems
