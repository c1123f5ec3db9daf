// A program of somebody else: reads a system file, makes the plan, and says what each run needs.
// The exit status is 0 without a danger, 1 with one, 2 for a file that cannot be used.
#include <iostream>

#include "nightbus/reader.hpp"
#include "nightbus/scenario.hpp"

int main(int count, char** words) {
  if (count != 2) return 2;
  try {
    const nightbus::System system = nightbus::read_system_file(words[1]);
    const nightbus::Plan plan = nightbus::make_plan(system, nightbus::Catalogue::builtin());
    for (const nightbus::RunPlan& run : plan.wiring.runs) {
      std::cout << run.run << ": " << nightbus::print_size(run.size) << ", "
                << nightbus::show_quantity(run.current_a, nightbus::Dimension::current) << '\n';
    }
    std::cout << "verdict: " << nightbus::verdict_name(plan.verdict()) << '\n';
    return plan.verdict() == nightbus::PlanVerdict::danger ? 1 : 0;
  } catch (const nightbus::Error& error) {
    std::cerr << error.what() << '\n';
    return 2;
  }
}
