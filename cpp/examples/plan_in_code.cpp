/// A plan without a file: a field station's rack described in C++ with the words of the system
/// file.
///
///   example_plan_in_code            the findings that matter, and the wiring schedule
///   example_plan_in_code --json     the whole plan

#include <cstdio>
#include <cstring>
#include <string>

#include "nightbus/scenario.hpp"

using namespace nightbus;

namespace {

Load device(const char* name, double typical_w, double peak_w, Range window_v) {
  Load load;
  load.name = name;
  load.typical_w = typical_w;
  load.peak_w = peak_w;
  load.rest_w = typical_w / 2;
  load.window_v = window_v;
  load.compartment = "cabinet";
  return load;
}

Run cable(const char* from, const char* to, double length_m) {
  Run run;
  run.name = std::string(to) + " feed";
  run.from = from;
  run.to = to;
  run.length_m = length_m;
  return run;
}

System field_station() {
  System system;
  system.title = "Bird-ringing station";
  system.site.name = "dune";
  system.site.latitude_deg = 55.2;
  system.site.longitude_deg = 8.5;
  system.site.temp_cold_c = 1;
  system.site.temp_hot_c = 30;
  system.site.peak_sun_hours_wh_per_m2 = {600,  1200, 2500, 4100, 5300, 5500,
                                          5300, 4400, 3000, 1600, 700,  450};
  system.rules.insulation_c = 105;
  system.rules.terminal_c = 75;

  Bank bank;
  bank.name = "bank";
  bank.chemistry = "LFP";
  bank.nominal_v = 12;
  bank.capacity_ah = 200;
  bank.resistance_ohm = 0.006;
  bank.absorption_v = 14.4;
  system.banks.push_back(bank);

  Bus block;
  block.name = "block";
  block.rated_a = 100;
  block.compartment = "cabinet";
  system.buses.push_back(block);

  Compartment cabinet;
  cabinet.name = "cabinet";
  cabinet.conductance_w_per_k = 5;
  system.compartments.push_back(cabinet);

  system.loads.push_back(device("router", 9, 16, {9, 32}));
  system.loads.push_back(device("switch", 6, 10, {9, 28}));
  system.loads.push_back(device("recorder", 12, 20, {10.5, 19}));

  Array roof;
  roof.name = "roof";
  roof.power_w = 400;
  roof.tilt_deg = 35;
  roof.controller_a = 30;
  roof.controller_v = 100;
  roof.voc_v = 45;
  roof.vmp_v = 37;
  system.arrays.push_back(roof);

  system.runs.push_back(cable("bank", "block", 1.2));
  system.runs.push_back(cable("block", "router", 1.5));
  system.runs.push_back(cable("block", "switch", 1.5));
  system.runs.push_back(cable("block", "recorder", 4.0));
  Run sun = cable("roof", "block", 2.0);
  sun.name = "roof feed";
  system.runs.push_back(sun);
  return system;
}

}  // namespace

int main(int argc, char** argv) try {
  const Plan plan = make_plan(field_station(), Catalogue::builtin());
  if (argc > 1 && std::strcmp(argv[1], "--json") == 0) {
    std::printf("%s\n", plan_json(plan).c_str());
    return plan.verdict() == PlanVerdict::danger ? 2 : 0;
  }
  std::printf("%s: %s\n\n", plan.system.title.c_str(),
              std::string(verdict_sentence(plan.verdict())).c_str());
  for (const std::string& caution : plan.cautions) {
    std::printf("! %s\n", caution.c_str());
  }
  std::printf("\n%-16s %-9s %-28s %8s\n", "run", "size", "device", "largest");
  for (const RunPlan& run : plan.wiring.runs) {
    const std::string fuse =
        run.device
            ? run.device->form + ", " + show_quantity(run.device->rating_a, Dimension::current)
            : std::string("none");
    std::printf("%-16s %-9s %-28s %8s\n", run.run.c_str(), print_size(run.size).c_str(),
                fuse.c_str(), show_quantity(run.current_a, Dimension::current).c_str());
  }
  std::printf("\n");
  for (const Finding& finding : plan.findings) {
    if (finding.severity == Severity::danger || finding.severity == Severity::warning) {
      std::printf("%s: %s\n", std::string(severity_name(finding.severity)).c_str(),
                  sentence(finding).c_str());
    }
  }
  return plan.verdict() == PlanVerdict::danger ? 2 : 0;
} catch (const Error& error) {
  std::fprintf(stderr, "%s\n", error.what());
  return 1;
}
