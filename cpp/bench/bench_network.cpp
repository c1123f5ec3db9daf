// Operating points a second of our own paths: Google Benchmark, one network a line.
#include <benchmark/benchmark.h>

#include "workload.hpp"

namespace {

using bench::Workload;

void batch(benchmark::State& state, const char* name, int lanes, int threads) {
  Workload work(bench::named(name),
                state.range(0) > 0 ? static_cast<std::size_t>(state.range(0)) : bench::day_points);
  nightbus::BatchReport report = work.run(lanes, threads);
  if (report.failed > 0) state.SkipWithError("a point failed");
  for (auto step : state) report = work.run(lanes, threads);
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(work.points));
  state.counters["lanes"] = report.lanes;
  state.counters["careful"] = static_cast<double>(report.careful);
}

void single(benchmark::State& state, const char* name) {
  Workload work(bench::named(name), bench::day_points);
  nightbus::Workspace workspace(work.compiled.circuit);
  nightbus::Parameters parameters = work.compiled.circuit.parameters();
  nightbus::OperatingPoint point;
  for (auto step : state)
    if (work.run_single(workspace, parameters, point) != work.points)
      state.SkipWithError("a point failed");
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(work.points));
}

void build(benchmark::State& state, const char* name) {
  const bench::Network net = bench::named(name);
  for (auto step : state) {
    bench::Compiled compiled = bench::compile(net);
    benchmark::DoNotOptimize(compiled.circuit.shape());
  }
}

}  // namespace

BENCHMARK_CAPTURE(batch, rack80_tree, "rack80", 0, 1)->Arg(0);
BENCHMARK_CAPTURE(batch, rack80_tree_scalar, "rack80", 1, 1)->Arg(0);
BENCHMARK_CAPTURE(batch, rack80_tree_two_threads, "rack80", 0, 2)->Arg(14400)->UseRealTime();
BENCHMARK_CAPTURE(batch, rack80_ties, "rack80-ties", 0, 1)->Arg(0);
BENCHMARK_CAPTURE(batch, rack80_ties_scalar, "rack80-ties", 1, 1)->Arg(0);
BENCHMARK_CAPTURE(batch, rack80_ties_two_threads, "rack80-ties", 0, 2)->Arg(14400)->UseRealTime();
BENCHMARK_CAPTURE(single, rack80_tree, "rack80");
BENCHMARK_CAPTURE(single, rack80_ties, "rack80-ties");
BENCHMARK_CAPTURE(batch, tree_500, "tree-500", 0, 1)->Arg(320);
BENCHMARK_CAPTURE(batch, tree_5000, "tree-5000", 0, 1)->Arg(64);
BENCHMARK_CAPTURE(batch, tree_50000, "tree-50000", 0, 1)->Arg(32)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(batch, mesh_500, "mesh-500", 0, 1)->Arg(320);
BENCHMARK_CAPTURE(batch, mesh_5000, "mesh-5000", 0, 1)->Arg(64);
BENCHMARK_CAPTURE(batch, mesh_50000, "mesh-50000", 0, 1)->Arg(32)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(build, rack80_tree, "rack80")->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(build, tree_5000, "tree-5000")->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(build, tree_50000, "tree-50000")->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(build, mesh_50000, "mesh-50000")->Unit(benchmark::kMillisecond);

BENCHMARK_MAIN();
