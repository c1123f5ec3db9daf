/// A year by the minute, the rack solved at every step. The plain balance: bench_energy_plain.py.
///
///   year_of_minutes   525 600 steps, the compiled rack with bank and array at each
/// Counters: solves a step, and the share of steps cut by events.

#include <benchmark/benchmark.h>

#include "rack_year.hpp"

namespace {

using namespace nightbus;

void year_of_minutes(benchmark::State& state) {
  const SimulationInput in = bench::rack_year();
  SimulationResult result;
  for (auto step : state) {
    result = simulate(in);
    benchmark::DoNotOptimize(result.ledger);
  }
  if (result.status != SimStatus::done || !(result.ledger.relative_gap() < 1e-9)) {
    state.SkipWithError("the year did not close");
    return;
  }
  const auto steps = static_cast<double>(result.steps);
  state.counters["solves_per_step"] = static_cast<double>(result.solves) / steps;
  state.counters["cut_share"] = static_cast<double>(result.sub_steps) / steps - 1.0;
  state.counters["unmet_h"] = result.unmet_h;
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(bench::year_minutes));
}

}  // namespace

BENCHMARK(year_of_minutes)->Unit(benchmark::kMillisecond);

BENCHMARK_MAIN();
