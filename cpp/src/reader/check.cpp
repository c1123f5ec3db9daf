#include "reader/check.hpp"

#include <algorithm>
#include <tuple>

#include "nightbus/reader.hpp"

namespace nightbus::reader_detail {

Span Check::place(const Written& record, const std::string& key) {
  const auto found = record.places.find(key);
  return found != record.places.end() ? found->second : record.where;
}

Problem& Check::report(std::string code, std::string what, Span where, std::string expected,
                       std::string mend) const {
  problems.push_back({std::move(code),
                      std::move(what),
                      std::move(where),
                      std::move(expected),
                      "",
                      std::move(mend),
                      {},
                      ""});
  return problems.back();
}

void check_all(const Check& check) {
  for (const auto rule :
       {check_bounds, check_schedules, check_efficiency_curves, check_names, check_duplicates,
        check_catalogue_references, check_conductor_sizes, check_draws, check_lockouts,
        check_bank_levels, check_site, check_fans, check_compartments, check_arrays, check_chargers,
        check_runs, check_objective, check_poe}) {
    rule(check);
  }
  if (check.damage.names) return;
  const auto sound = [&check] {
    return std::none_of(check.problems.begin(), check.problems.end(), [](const Problem& problem) {
      return problem.code == "unknown-name" || problem.code == "duplicate-name" ||
             problem.code == "missing-name" || problem.code == "wrong-end";
    });
  };
  check_references(check);
  if (check.damage.structure || !sound()) return;
  check_run_ends(check);
  if (!sound()) return;
  for (const auto rule :
       {check_bank_present, check_fed, check_dead_ends, check_reachable, check_converter_sides}) {
    rule(check);
  }
  if (check.damage.voltages) return;
  for (const auto rule : {check_bank_voltage, check_joined_voltages, check_input_windows,
                          check_charger_voltages, check_poe_voltages}) {
    rule(check);
  }
}

}  // namespace nightbus::reader_detail

namespace nightbus {

std::vector<Problem> check_system(const System& system, const Catalogue& catalogue) {
  std::vector<Problem> problems;
  const reader_detail::Damage damage;
  reader_detail::check_all({system, catalogue, damage, problems});
  return problems;
}

}  // namespace nightbus
