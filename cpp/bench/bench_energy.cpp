/// A year by the minute, the rack solved at every step. The plain balance: bench_energy_plain.py.
///
///   year_of_minutes   525 600 steps, the compiled rack with bank and array at each
///   years_in_lanes    16 such years under other skies, beside each other on one thread
///   years_in_turn     the same one after the other
/// Counters: solves a step, and the share of steps cut by events; for lots the seconds that 1 000
/// years take at that pace.

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

std::vector<SimulationInput> years(std::size_t count) {
  std::vector<SimulationInput> all(count, bench::rack_year());
  for (std::size_t k = 0; k < count; ++k) {
    SimulationInput& in = all[k];
    PersistenceOptions sky;
    sky.mean = 0.8;
    sky.deviation = 0.15;
    sky.seed = k + 1;
    ClearSkyYear year;
    year.site = in.site;
    year.daily_clearness = persistent_clearness(367, sky);
    in.weather = clear_sky_weather(year, in.clock, in.options.start_s, 3600.0, 8760);
  }
  return all;
}

template <bool lanes>
void lot_of_years(benchmark::State& state) {
  const std::vector<SimulationInput> all = years(16);
  std::vector<SimulationResult> results(all.size());
  for (auto step : state) {
    if (lanes) {
      results = simulate_many(all, 1);
    } else {
      for (std::size_t k = 0; k < all.size(); ++k) results[k] = simulate(all[k]);
    }
    benchmark::DoNotOptimize(results.data());
  }
  double unmet_h = 0.0;
  for (const SimulationResult& one : results) {
    if (one.status != SimStatus::done || !(one.ledger.relative_gap() < 1e-9)) {
      state.SkipWithError("a year did not close");
      return;
    }
    unmet_h += one.unmet_h / static_cast<double>(results.size());
  }
  state.counters["unmet_h"] = unmet_h;
  const auto count = static_cast<double>(all.size());
  state.counters["s_per_1000_years"] =
      benchmark::Counter(count / 1000.0 * static_cast<double>(state.iterations()),
                         benchmark::Counter::kIsRate | benchmark::Counter::kInvert);
}
void years_in_lanes(benchmark::State& state) {
  lot_of_years<true>(state);
}
void years_in_turn(benchmark::State& state) {
  lot_of_years<false>(state);
}

}  // namespace

BENCHMARK(year_of_minutes)->Unit(benchmark::kMillisecond);
BENCHMARK(years_in_lanes)->Unit(benchmark::kMillisecond)->Iterations(1);
BENCHMARK(years_in_turn)->Unit(benchmark::kMillisecond)->Iterations(1);

BENCHMARK_MAIN();
