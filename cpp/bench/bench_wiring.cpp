/// Copper of the exact choice against the common practice of sizing each run alone with an equal
/// share of the drop that its devices may have; and how long the choice takes.
///
///   equal shares   run of a way with n runs: thinnest size with current · loop ohms <= limit / n,
///                  the least over all devices behind it, that passes every check of its own; then
///                  the whole is planned with these sizes, and a run that fails a check goes up by
///                  a size, or the one before it when there is none, until nothing fails
///   weighed        metal of every run of the plan, given runs and all
///
/// Three families: both demo systems as mended, whole systems drawn at random, and bare trees of 30
/// and 300 runs with fixed currents (areas in steps of 26 %, no other check). Then how long it
/// takes to choose and verify whole systems of 30, 100 and 300 runs, converters and fuses included.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <ctime>
#include <string>
#include <vector>

#include "jetties.hpp"
#include "nightbus/protection.hpp"
#include "nightbus/reader.hpp"
#include "wiring/random_trees.hpp"

namespace {

using namespace nightbus;

/// Processor time: what else the machine does does not count.
double seconds_now() {
  return static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

/// Run that ends at a point, in one domain: a converter starts a way of its own.
const Run* run_to(const System& system, const std::string& point) {
  for (const Run& run : system.runs) {
    if (run.to == point && !run.spare) return &run;
  }
  return nullptr;
}

bool is_converter(const System& system, const std::string& point) {
  return std::any_of(system.converters.begin(), system.converters.end(),
                     [&](const Converter& each) { return each.name == point; });
}

std::vector<std::size_t> way_to(const System& system, const std::string& end) {
  std::vector<std::size_t> way;
  for (const Run* run = run_to(system, end); run && way.size() < system.runs.size();
       run = is_converter(system, run->from) ? nullptr : run_to(system, run->from)) {
    way.push_back(static_cast<std::size_t>(run - system.runs.data()));
  }
  return way;
}

struct Shared {
  double metal_kg = 0.0;
  int failing = 0;  // runs and devices
};

/// Sizes by equal shares of the drop. `plan` only lends its currents and its candidates.
std::vector<std::size_t> by_shares(const System& system, const Catalogue& catalogue,
                                   const WiringPlan& plan) {
  std::vector<double> share_v(system.runs.size(), unlimited);
  for (const EndVolts& end : plan.ends) {
    if (end.limit_ratio <= 0.0) continue;
    const std::vector<std::size_t> way = way_to(system, end.name);
    const double part_v = end.limit_ratio * end.nominal_v / static_cast<double>(way.size());
    for (const std::size_t run : way) share_v[run] = std::min(share_v[run], part_v);
  }
  std::vector<std::size_t> sizes;
  for (const RunPlan& run : plan.runs) {
    const Run& described = system.runs[run.index];
    const bool back = described.return_path == ReturnPath::own;
    std::size_t taken = run.candidates.size() - 1;
    for (std::size_t k = 0; k < run.candidates.size(); ++k) {
      const Candidate& each = run.candidates[k];
      const Conductor& wire = conductor_for(system, catalogue, described, each.size);
      const double warm =
          catalogue.material(wire.material).resistance_ratio(std::max(run.conductor_c, 20.0));
      const double metres = described.length_m +
                            (back ? described.return_length_m.value_or(described.length_m) : 0.0);
      const double ohm = warm * wire.resistance_ohm_per_m * metres / described.parallel +
                         (back ? 2.0 : 1.0) * described.joints * described.joint_ohm;
      if (each.feasible() && run.current_a * ohm <= share_v[run.index]) {
        taken = k;
        break;
      }
    }
    sizes.push_back(taken);
  }
  return sizes;
}

Shared equal_shares(const System& system, const Catalogue& catalogue, const WiringPlan& plan) {
  const std::vector<std::size_t> sizes = by_shares(system, catalogue, plan);
  System fixed = system;
  for (const RunPlan& run : plan.runs) {
    fixed.runs[run.index].size = run.candidates[sizes[run.index]].size;
  }
  WiringOptions bare;
  bare.explain = false;
  bare.size_ups = false;
  const WiringPlan made = plan_wiring(fixed, catalogue, bare);
  Shared shared{made.metal_kg, 0};
  for (const RunPlan& run : made.runs) shared.failing += run.feasible ? 0 : 1;
  for (const EndVolts& end : made.ends) {
    shared.failing += end.limit_ratio > 0.0 && end.drop_ratio > end.limit_ratio ? 1 : 0;
  }
  return shared;
}

void line(const std::string& name, double exact_kg, double shared_kg, double ms,
          const std::string& note) {
  fmt::print("{:<34} {:>9.3f} {:>9.3f} {:>8.2f} {:>9.2f}  {}\n", name, exact_kg, shared_kg,
             shared_kg / exact_kg, ms, note);
}

std::string proof_of(const WiringPlan& plan) {
  const Optimality& best = plan.optimality;
  return best.proven
             ? "proven"
             : fmt::format("within {:.1f} % of the bound", 100.0 * (best.value / best.bound - 1.0));
}

void demo(const std::string& name) {
  const Catalogue& catalogue = Catalogue::builtin();
  const System system =
      read_system_file(std::string(NIGHTBUS_SOURCE_DIR) + "/notebooks/systems/" + name);
  WiringOptions bare;
  bare.explain = false;
  bare.size_ups = false;
  double best_s = unlimited;
  for (int k = 0; k < 5; ++k) {
    const double begin = seconds_now();
    plan_wiring(system, catalogue, bare);
    best_s = std::min(best_s, seconds_now() - begin);
  }
  const WiringPlan plan = plan_wiring(system, catalogue);
  const Shared shared = equal_shares(system, catalogue, plan);
  line(name, plan.metal_kg, shared.metal_kg, 1e3 * best_s,
       fmt::format("{}; equal shares fail {} checks", proof_of(plan), shared.failing));
}

/// bank, a block, a second block behind it, six loads; lengths, watts and limits at random; no
/// fuses.
System random_system(testing::Random& random) {
  using testing::between;
  using testing::pick;
  System system;
  system.title = "random";
  system.rules.sets = {"ABYC E-11"};
  system.rules.insulation_c = 105.0;
  system.rules.terminal_c = 75.0;
  system.rules.drop_critical = between(random, 0.02, 0.04);
  for (const char* size :
       {"18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG", "2 AWG"}) {
    system.rules.stock.push_back(*parse_size(size));
  }
  Bank bank;
  bank.name = "bank";
  bank.chemistry = "LFP";
  bank.capacity_ah = 200.0;
  bank.resistance_ohm = 0.015;
  system.banks.push_back(bank);
  const auto add_run = [&](std::string from, std::string to, double length_m) {
    Run run;
    run.name = "to " + to;
    run.from = std::move(from);
    run.to = std::move(to);
    run.length_m = length_m;
    run.overcurrent = false;  // conductors alone: what fuses ask for, equal shares do not know
    system.runs.push_back(run);
  };
  for (const char* name : {"block 1", "block 2"}) {
    Bus bus;
    bus.name = name;
    system.buses.push_back(bus);
  }
  add_run("bank", "block 1", between(random, 0.5, 3.0));
  add_run("block 1", "block 2", between(random, 1.0, 6.0));
  for (int k = 0; k < 6; ++k) {
    Load load;
    load.name = fmt::format("load {}", k + 1);
    load.typical_w = between(random, 4.0, 60.0);
    load.window_v = Range{9.0, 16.0};
    load.drop_class = pick(random, 0, 2) ? DropClass::critical : DropClass::general;
    system.loads.push_back(load);
    add_run(k < 2 ? "block 1" : "block 2", load.name, between(random, 0.5, 6.0));
  }
  return system;
}

struct Sum {
  double exact = 0.0, shared = 0.0, log_ratio = 0.0, seconds = 0.0;
  int compared = 0, left_out = 0;
  void add(double exact_value, double shared_value) {
    exact += exact_value;
    shared += shared_value;
    log_ratio += std::log(shared_value / exact_value);
    ++compared;
  }
  void tell(const std::string& name, const std::string& note) const {
    fmt::print("{:<34} {:>9.3f} {:>9.3f} {:>8.2f} {:>9.2f}  {}\n", name, exact / compared,
               shared / compared, std::exp(log_ratio / compared), 1e3 * seconds / compared,
               fmt::format("{} of them{}", compared, note));
  }
};

void random_systems(int count) {
  testing::Random random(7);
  Sum sum;
  for (int k = 0; k < count; ++k) {
    const System system = random_system(random);
    const double begin = seconds_now();
    const WiringPlan plan = plan_wiring(system, Catalogue::builtin());
    const double took = seconds_now() - begin;
    const Shared shared = equal_shares(system, Catalogue::builtin(), plan);
    if (!plan.feasible || shared.failing > 0) {
      ++sum.left_out;
      continue;
    }
    sum.seconds += took;
    sum.add(plan.metal_kg, shared.metal_kg);
  }
  sum.tell("random systems, 8 runs, no fuses",
           fmt::format("; {} more that one of the two cannot wire", sum.left_out));
}

void bare_trees(int count, int runs) {
  testing::Random random(8);
  Sum sum;
  for (int k = 0; k < count; ++k) {
    const TreeProblem problem = testing::random_problem(random, runs, 12, 1);
    const double begin = seconds_now();
    const TreeChoice exact = choose_exactly(problem);
    const double took = seconds_now() - begin;
    const TreeChoice shared = choose_by_equal_shares(problem);
    if (!exact.feasible || !shared.feasible) {
      ++sum.left_out;
      continue;
    }
    sum.seconds += took;
    sum.add(exact.value, shared.value);
  }
  sum.tell(fmt::format("bare trees, {} runs, fixed currents", runs),
           fmt::format(", mm²·m; {} more that one of the two cannot wire", sum.left_out));
}

void whole_system(std::size_t runs) {
  const System system = bench::jetties(runs);
  WiringOptions bare;
  bare.explain = false;
  bare.size_ups = false;
  double best_s = unlimited;
  WiringPlan plan;
  for (int k = 0; k < 3; ++k) {
    const double begin = seconds_now();
    plan = plan_wiring(system, Catalogue::builtin(), bare);
    best_s = std::min(best_s, seconds_now() - begin);
  }
  fmt::print("{:<34} {:>9.3f} {:>9} {:>8} {:>9.2f}  {}\n", fmt::format("jetties, {} runs", runs),
             plan.metal_kg, "", "", 1e3 * best_s,
             plan.feasible ? proof_of(plan) : "no plan passes every check");
}

}  // namespace

int main() {
  fmt::print("{:<34} {:>9} {:>9} {:>8} {:>9}\n", "copper, kg", "exact", "shares", "ratio",
             "choice ms");
  demo("travelling-library-after.toml");
  demo("rescue-hut-after.toml");
  random_systems(100);
  bare_trees(200, 30);
  bare_trees(50, 300);
  for (const std::size_t runs : {30u, 100u, 300u}) whole_system(runs);
}
