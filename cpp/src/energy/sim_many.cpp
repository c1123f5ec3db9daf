// One run, and many over threads. Every run has its own engine; run k is decided by input k alone,
// so neither the number of threads nor the order changes anything.

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <thread>

#include "energy/sim_engine.hpp"
#include "nightbus/source.hpp"

namespace nightbus {

SimulationResult simulate(const SimulationInput& input, const Progress& progress,
                          const Until& until) {
  SimulationResult result;
  const std::vector<std::string> problems = check_input(input);
  if (!problems.empty()) {
    result.status = SimStatus::bad_input;
    for (const std::string& problem : problems) {
      result.message += (result.message.empty() ? "" : "; ") + problem;
    }
    return result;
  }
  try {
    return sim_detail::Engine(input, until).run(progress);
  } catch (const Error& error) {
    result.status = SimStatus::bad_input;
    result.message = error.what();
  }
  return result;
}

std::vector<SimulationResult> simulate_many(std::span<const SimulationInput> inputs,
                                            std::size_t threads, const Progress& progress) {
  std::vector<SimulationResult> results(inputs.size());
  if (inputs.empty()) return results;
  if (threads == 0) threads = std::max(1u, std::thread::hardware_concurrency());
  threads = std::min(threads, inputs.size());
  std::atomic<std::size_t> next{0};
  std::atomic<std::size_t> done{0};
  std::atomic<bool> stop{false};
  std::mutex reporting;
  const auto work = [&] {
    for (std::size_t k = next++; k < inputs.size(); k = next++) {
      if (stop) {
        results[k].status = SimStatus::stopped;
        results[k].message = "not started: stopped by the caller";
        continue;
      }
      results[k] = simulate(inputs[k]);
      const double share = static_cast<double>(++done) / static_cast<double>(inputs.size());
      if (!progress) continue;
      const std::lock_guard lock(reporting);
      if (!stop && !progress(share)) stop = true;
    }
  };
  std::vector<std::jthread> pool;
  for (std::size_t k = 1; k < threads; ++k) pool.emplace_back(work);
  work();
  pool.clear();
  return results;
}

}  // namespace nightbus
