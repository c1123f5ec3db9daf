// Readings held against one case of a plan.

#include "nightbus/scenario_measured.hpp"

namespace nightbus {

Measured as_measured(const Plan& plan, const Catalogue& catalogue, std::string_view case_name,
                     const std::vector<Reading>& readings, const MeasuredOptions& options) {
  std::vector<std::string> names;
  for (const CaseResult& each : plan.cases) {
    if (each.name == case_name) {
      const CompiledSystem compiled = compile_system(plan.system, catalogue, plan.wiring.choices());
      return as_measured(compiled, each.inputs, readings, options);
    }
    names.push_back(each.name);
  }
  std::string message = "the plan has no case \"" + std::string(case_name) + "\"";
  const std::vector<std::string> near = near_misses(case_name, names, 1);
  message += near.empty() ? "" : "; did you mean \"" + near.front() + "\"?";
  throw LookupError(message);
}

}  // namespace nightbus
