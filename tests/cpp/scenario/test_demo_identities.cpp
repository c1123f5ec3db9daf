/// Balances that every solved case of the demo systems must close, added up here by name.

#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

#include "nightbus/reader.hpp"
#include "scenario/energy_plan.hpp"
#include "scenario/heat.hpp"

using namespace nightbus;
using namespace nightbus::scenario_detail;

namespace {

const std::vector<std::string>& demos() {
  static const std::vector<std::string> names{"travelling-library-before",
                                              "travelling-library-after", "rescue-hut-before",
                                              "rescue-hut-after"};
  return names;
}

System demo(const std::string& name) {
  return read_system_file(std::string(NIGHTBUS_SOURCE_DIR) + "/notebooks/systems/" + name +
                          ".toml");
}

struct Solved {
  System system;
  CompiledSystem compiled;
  std::vector<Case> cases;
  std::vector<CaseResult> results;
};

/// All cases with the air that their own heat makes.
Solved solved(const std::string& name) {
  const System system = demo(name);
  const Catalogue& tables = Catalogue::builtin();
  CompiledSystem compiled = compile_system(system, tables, starting_choices(system, tables));
  Solved out{system, compiled, cases_of(system), {}};
  const HeatModel model = heat_model(system);
  Workspace workspace(compiled.circuit());
  for (const Case& which : out.cases) {
    CaseConditions conditions;
    static_cast<CaseAir&>(conditions) = settle_case(compiled, which, model, workspace, {}).air;
    out.results.push_back(solve_case(compiled, which, conditions));
  }
  return out;
}

/// Currents that leave each point's positive and negative side, added up from what is told by name.
struct Sums {
  std::vector<double> positive, negative, out_positive;
  explicit Sums(std::size_t count) : positive(count), negative(count), out_positive(count) {}
};

Sums add_up(const Solved& demo, const CaseResult& result) {
  const CompiledSystem& compiled = demo.compiled;
  Sums sums(compiled.points().size());
  const auto at = [&](PointKind kind, std::size_t k) {
    return compiled.find_point(compiled.point_of(kind, k).name).value();
  };
  const auto through = [&](std::size_t point, double current_a) {
    sums.positive[point] += current_a;
    sums.negative[point] -= current_a;
  };
  for (std::size_t k = 0; k < result.runs.size(); ++k) {
    const RunElements& run = compiled.runs()[k];
    const bool from_output = compiled.points()[run.from].kind == PointKind::converter;
    (from_output ? sums.out_positive : sums.positive)[run.from] += result.runs[k].current_a;
    sums.positive[run.to] -= result.runs[k].current_a;
    sums.negative[run.to] += result.runs[k].return_current_a;
    sums.negative[run.return_to.value_or(run.from)] -= result.runs[k].return_current_a;
  }
  for (std::size_t k = 0; k < result.banks.size(); ++k) {
    const Bank& bank = demo.system.banks[k];
    through(at(PointKind::bank, k), bank.standby_a - result.banks[k].current_a);
  }
  for (std::size_t k = 0; k < result.loads.size(); ++k) {
    through(at(PointKind::load, k), result.loads[k].current_a);
  }
  for (std::size_t k = 0; k < result.fans.size(); ++k) {
    through(at(PointKind::fan, k), result.fans[k].current_a);
  }
  for (std::size_t k = 0; k < result.chargers.size(); ++k) {
    through(at(PointKind::charger, k), -result.chargers[k].current_a);
  }
  for (std::size_t k = 0; k < result.arrays.size(); ++k) {
    const double standby_a = result.inputs.charging ? 0.0
                                                    : demo.system.arrays[k].controller_standby_w /
                                                          result.arrays[k].voltage_v;
    through(at(PointKind::array, k), standby_a - result.arrays[k].current_a);
  }
  for (std::size_t k = 0; k < result.converters.size(); ++k) {
    const std::size_t point = at(PointKind::converter, k);
    const ConverterResult& converter = result.converters[k];
    sums.positive[point] += converter.input_a;
    sums.out_positive[point] -= converter.output_a;
    sums.negative[point] += converter.output_a - converter.input_a;
  }
  for (std::size_t k = 0; k < result.poe_links.size(); ++k) {
    const PoeLink& link = demo.system.poe_links[k];
    const std::size_t port = compiled.find_point(link.from).value();
    sums.out_positive[port] += result.poe_links[k].port_a;
    sums.negative[port] -= result.poe_links[k].port_a;
  }
  return sums;
}

}  // namespace

TEST_CASE("currents add up to nothing at every point: sum(i) = 0") {
  for (const std::string& name : demos()) {
    const Solved system = solved(name);
    std::size_t looked_at = 0;
    for (const CaseResult& result : system.results) {
      if (!result.ok()) {
        continue;
      }
      ++looked_at;
      const Sums sums = add_up(system, result);
      for (std::size_t p = 0; p < system.compiled.points().size(); ++p) {
        CAPTURE(name);
        CAPTURE(result.name);
        CAPTURE(system.compiled.points()[p].name);
        CHECK(std::abs(sums.positive[p]) < 1e-6);
        CHECK(std::abs(sums.negative[p]) < 1e-6);
        CHECK(std::abs(sums.out_positive[p]) < 1e-6);
      }
    }
    CHECK(looked_at > 0);
  }
}

TEST_CASE("what sources give is what loads take and what is lost: P_source = P_load + P_loss") {
  for (const std::string& name : demos()) {
    const Solved system = solved(name);
    for (const CaseResult& result : system.results) {
      if (!result.ok()) {
        continue;
      }
      CAPTURE(name);
      CAPTURE(result.name);
      double given = 0.0, moved = 0.0;
      for (std::size_t k = 0; k < result.banks.size(); ++k) {
        given += result.banks[k].emf_v * result.banks[k].current_a;
        moved += std::abs(given);
      }
      for (const auto* list : {&result.chargers, &result.arrays}) {
        for (const ChargerResult& each : *list) {
          given += each.power_w;
          moved += std::abs(each.power_w);
        }
      }
      double taken = 0.0;
      for (const auto* list : {&result.loads, &result.fans}) {
        for (const LoadResult& each : *list) {
          taken += each.power_w;
        }
      }
      for (const PoeResult& link : result.poe_links) {
        taken += link.device.power_w + link.cable_loss_w;
        CHECK(link.port_w ==
              doctest::Approx(link.device.power_w + link.cable_loss_w).epsilon(1e-9));
      }
      for (const RunResult& run : result.runs) {
        taken += run.loss_w;
        CHECK(run.loss_w == doctest::Approx(std::abs(run.positive_drop_v * run.current_a) +
                                            std::abs(run.negative_drop_v * run.return_current_a))
                                .epsilon(1e-9));
      }
      for (const ConverterResult& converter : result.converters) {
        taken += converter.loss_w;
        CHECK(converter.input_w ==
              doctest::Approx(converter.output_w + converter.loss_w).epsilon(1e-9));
      }
      for (std::size_t k = 0; k < result.banks.size(); ++k) {
        taken +=
            result.banks[k].loss_w + system.system.banks[k].standby_a * result.banks[k].voltage_v;
      }
      if (!result.inputs.charging) {
        for (const Array& array : system.system.arrays) {
          taken += array.controller_standby_w;
        }
      }
      CHECK(std::abs(given - taken) < 1e-7 * std::max(moved, 1.0));
      CHECK(std::abs(result.balance.gap_w) < 1e-7 * std::max(moved, 1.0));
    }
  }
}

TEST_CASE("over a day: in - out = change of store + losses") {
  for (const char* name : {"travelling-library-after", "rescue-hut-after"}) {
    const System system = demo(name);
    const Catalogue& tables = Catalogue::builtin();
    const CompiledSystem compiled =
        compile_system(system, tables, starting_choices(system, tables));
    std::vector<std::string> assumptions;
    EnergyModel model = energy_model(compiled, {}, {}, assumptions);
    for (const int month : {1, 6}) {
      CAPTURE(name);
      CAPTURE(month);
      ClearSkyYear year;
      year.site = model.input.site;
      year.peak_sun_wh_m2 = system.site.peak_sun_hours_wh_per_m2;
      year.temp_mean_c = monthly_air(system.site).mean_c;
      const double start = utc_seconds(2026, month, 15, 43200.0);
      model.input.weather = clear_sky_weather(year, {}, start, 900.0, 192);
      model.input.options.start_s = start;
      model.input.options.steps = 96;
      const SimulationResult run = simulate(model.input);
      REQUIRE(run.status == SimStatus::done);
      CHECK(run.ledger.relative_gap() < 1e-9);
      CHECK(run.ledger.delivered_wh() > 500.0);
      // The change of store is the bank's own: usable watt-hours between the two charges.
      const BankModel& bank = model.input.banks.front().model;
      const double change = bank.stored_wh(run.banks.front().final_soc) -
                            bank.stored_wh(model.input.banks.front().soc);
      CHECK(run.ledger.stored_change_wh == doctest::Approx(change).epsilon(1e-6));
    }
  }
}
