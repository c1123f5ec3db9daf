#pragma once
/// Random small systems for the whole choice: a bank, a block, up to three loads, few sizes and few
/// devices, so that everything can be tried through the real checks and the real solver.

#include <string>
#include <vector>

#include "nightbus/protection.hpp"
#include "random.hpp"

namespace nightbus::testing {

/// The built-in tables and one form more, which is made in two ratings.
inline const Catalogue& with_two_ratings() {
  static const Catalogue both = Catalogue::builtin().with(
      "format = 1\nkind = \"overcurrent\"\nname = \"pair\"\npurpose = \"two ratings\"\n"
      "fallback = \"none\"\nlimits = \"not a device\"\ndate = \"2026-01-31\"\n"
      "device = \"fuse\"\nfits = \"nothing\"\n"
      "[[table]]\nid = \"pair ratings\"\nholds = \"ratings\"\npurpose = \"ours\"\n"
      "standard = \"house rule\"\nsource = \"our own test\"\nconfidence = \"read\"\n"
      "columns = [\"rating\"]\nunits = [\"A\"]\nrows = [10, 25]\n"
      "[[table]]\nid = \"pair interrupt\"\nholds = \"interrupt ratings\"\npurpose = \"ours\"\n"
      "standard = \"house rule\"\nsource = \"our own test\"\nconfidence = \"read\"\n"
      "columns = [\"voltage\", \"current\"]\nunits = [\"V\", \"kA\"]\nrows = [[60, 6]]\n",
      "pair.toml");
  return both;
}

struct SystemShape {
  int most_loads = 2;
  int sizes = 3;
  int behind_converter = 0;  ///< loads on a converter that hangs on the block
  bool nested = false;       ///< and another converter behind it, with one load
  bool links = false;        ///< and powered ports at its output
};

inline Converter random_converter(Random& random, std::string name, double output_v) {
  Converter converter;
  converter.name = std::move(name);
  converter.output_v = output_v;
  converter.power_w = 250.0;
  const double least = between(random, 0.75, 0.9);
  converter.efficiency = {{0.1, least}, {0.5, least + 0.05}, {1.0, least + 0.03}};
  converter.standby_w = between(random, 0.0, 3.0);
  if (pick(random, 0, 1)) converter.output_ohm = between(random, 0.002, 0.03);
  converter.isolated = true;
  return converter;
}

inline Load random_load(Random& random, std::string name, double least_w, double most_w) {
  Load load;
  load.name = std::move(name);
  load.typical_w = between(random, least_w, most_w);
  load.peak_w = load.typical_w * between(random, 1.0, 1.6);
  load.behaviour = pick(random, 0, 3) ? Behaviour::constant_power : Behaviour::resistance;
  load.drop_class = pick(random, 0, 1) ? DropClass::critical : DropClass::general;
  return load;
}

/// A converter on the block; what hangs on it starts from its output.
template <class AddRun>
void add_converter(Random& random, const SystemShape& shape, System& system, AddRun add_run) {
  const double output_v = shape.links ? 54.0 : pick(random, 0, 1) ? 12.0 : 24.0;
  Converter converter = random_converter(random, "stage", output_v);
  converter.window_v = Range{9.0, 16.0};
  system.converters.push_back(converter);
  add_run("to stage", "block", "stage", between(random, 0.5, 5.0));
  for (int k = 0; k < shape.behind_converter; ++k) {
    system.loads.push_back(
        random_load(random, "behind " + std::to_string(k + 1), 15.0, shape.nested ? 25.0 : 60.0));
    add_run("behind run " + std::to_string(k + 1), "stage", system.loads.back().name,
            between(random, 1.0, 9.0));
  }
  if (shape.nested) {
    system.converters.push_back(random_converter(random, "second stage", 5.0));
    add_run("to second stage", "stage", "second stage", between(random, 1.0, 6.0));
    system.loads.push_back(random_load(random, "last", 4.0, 12.0));
    add_run("last run", "second stage", "last", between(random, 0.3, 1.5));
  }
  for (int k = 0; shape.links && k < 2; ++k) {
    PoeLink link;
    link.name = "link " + std::to_string(k + 1);
    link.from = "stage";
    link.length_m = between(random, 5.0, 60.0);
    link.typical_w = between(random, 4.0, 10.0);
    link.peak_w = link.typical_w * 1.3;
    system.poe_links.push_back(link);
  }
}

inline System random_system(Random& random, const SystemShape& shape) {
  System system;
  system.title = "random";
  system.site.name = "bench";
  system.rules.sets = {pick(random, 0, 1) ? "33 CFR 183" : "ABYC E-11"};
  system.rules.insulation_c = 105.0;
  system.rules.terminal_c = 75.0;
  system.rules.fuse_forms = {"pair"};
  system.rules.drop_critical = between(random, 0.02, 0.05);
  static const std::vector<const char*> all{"18 AWG", "16 AWG", "14 AWG", "12 AWG",
                                            "10 AWG", "8 AWG",  "6 AWG",  "4 AWG"};
  const int first = pick(random, 1, 3);
  for (int k = 0; k < shape.sizes; ++k) {
    system.rules.stock.push_back(
        *parse_size(all[static_cast<std::size_t>(first) + static_cast<std::size_t>(k)]));
  }
  Bank bank;
  bank.name = "bank";
  bank.chemistry = pick(random, 0, 1) ? "LFP" : "flooded";
  bank.nominal_v = 12.0;
  bank.capacity_ah = between(random, 50.0, 300.0);
  bank.resistance_ohm = between(random, 0.004, 0.015);
  bank.absorption_v = 14.4;
  system.banks.push_back(bank);
  const auto add_run = [&](std::string name, std::string from, std::string to, double length_m) {
    Run run;
    run.name = std::move(name);
    run.from = std::move(from);
    run.to = std::move(to);
    run.length_m = length_m;
    run.bundle = 2 * pick(random, 1, 2);
    system.runs.push_back(run);
  };
  Bus block;
  block.name = "block";
  system.buses.push_back(block);
  add_run("feed", "bank", "block", between(random, 0.3, 3.0));
  const int loads = pick(random, 1, shape.most_loads);
  for (int k = 0; k < loads; ++k) {
    Load load;
    load.name = "load " + std::to_string(k + 1);
    load.typical_w = between(random, 5.0, 80.0);
    load.peak_w = load.typical_w * between(random, 1.0, 1.6);
    load.behaviour = pick(random, 0, 3) ? Behaviour::constant_power : Behaviour::resistance;
    load.nominal_v = 12.0;
    load.window_v = Range{9.0, 16.0};
    load.drop_class = pick(random, 0, 2) ? DropClass::critical : DropClass::general;
    system.loads.push_back(load);
    add_run("run " + std::to_string(k + 1), "block", load.name, between(random, 0.5, 7.0));
  }
  if (shape.behind_converter > 0 || shape.nested) add_converter(random, shape, system, add_run);
  for (const Demand demand : {Demand::typical, Demand::peak}) {
    Case one;
    one.name = demand == Demand::peak ? "peak" : "typical";
    one.bank = BankState::low;
    one.demand = demand;
    one.ambient = demand == Demand::peak ? Ambient::hot : Ambient::cold;
    system.cases.push_back(one);
  }
  return system;
}

inline WiringOptions bare() {
  WiringOptions options;
  options.explain = false;
  options.size_ups = false;
  options.changes = false;
  return options;
}

}  // namespace nightbus::testing
