// One run, and many over threads. Every run has its own engine; run k is decided by input k alone,
// so neither the number of threads nor the order changes anything.
//
// Runs whose circuit is solved at every step stand in the lanes of one solver: each walks until it
// needs a point, all points are solved together, each goes on with its own. They need not be in
// step with each other; a lane whose run is over takes the next one.

#include <algorithm>
#include <atomic>
#include <exception>
#include <functional>
#include <mutex>
#include <thread>

#include "energy/sim_engine.hpp"
#include "energy/sim_network_bus.hpp"
#include "nightbus/source.hpp"

namespace nightbus {

using namespace sim_detail;

namespace {

SimulationResult refused(std::string message) {
  SimulationResult result;
  result.status = SimStatus::bad_input;
  result.message = std::move(message);
  return result;
}

/// Why an input cannot be run; empty when it can.
std::string what_is_wrong(const SimulationInput& input) {
  std::string all;
  for (const std::string& problem : check_input(input)) all += (all.empty() ? "" : "; ") + problem;
  return all;
}

/// Inputs that may share the lanes of one solver: the same circuit with the same numbers as built.
struct Group {
  const CircuitImpl* circuit = nullptr;
  Parameters fitted;
  NetworkColumns columns;
  std::vector<std::size_t> inputs;

  bool fits(const CircuitImpl* other, const Parameters& numbers, const NetworkColumns& list) const {
    const auto same = [](const Parameter& a, const Parameter& b) {
      return a.element == b.element && a.kind == b.kind;
    };
    return circuit == other && columns.loss_groups == list.loss_groups &&
           std::equal(columns.parameters.begin(), columns.parameters.end(), list.parameters.begin(),
                      list.parameters.end(), same) &&
           std::equal(fitted.values().begin(), fitted.values().end(), numbers.values().begin(),
                      numbers.values().end());
  }
};

/// What a thread takes from, and where it puts it.
struct Work {
  Work(std::span<const SimulationInput> given, std::vector<SimulationResult>& into,
       const Progress& shown)
      : inputs(given), results(into), progress(shown) {}

  std::span<const SimulationInput> inputs;
  std::vector<SimulationResult>& results;
  const Progress& progress;
  std::atomic<std::size_t> done{0};
  std::atomic<bool> stop{false};
  std::mutex reporting;

  void put(std::size_t k, SimulationResult result) {
    results[k] = std::move(result);
    const double share = static_cast<double>(++done) / static_cast<double>(inputs.size());
    if (!progress) return;
    const std::lock_guard lock(reporting);
    if (!stop && !progress(share)) stop = true;
  }
  void leave(std::size_t k) {
    results[k].status = SimStatus::stopped;
    results[k].message = "not started: stopped by the caller";
  }
};

/// A run in one lane.
struct Seat {
  std::size_t input = 0;
  std::unique_ptr<Engine> engine;
  bool waits = false;  ///< for its point
};

class LaneRuns {
 public:
  LaneRuns(Work& work, const Group& group, const Circuit& circuit, std::atomic<std::size_t>& next,
           std::size_t most)
      : work_(work),
        group_(group),
        circuit_(circuit),
        next_(next),
        points_(circuit, group.columns.parameters, group.columns.loss_groups),
        seats_(std::min(static_cast<std::size_t>(points_.lanes()), most)) {}

  void run() {
    for (;;) {
      int used = 0;
      for (std::size_t k = 0; k < seats_.size(); ++k) {
        walk(k);
        if (seats_[k].waits) used = static_cast<int>(k) + 1;
      }
      if (used == 0) return;
      const std::uint32_t solved = points_.run(used);
      for (std::size_t k = 0; k < seats_.size(); ++k) {
        if (seats_[k].waits) guard(seats_[k], [&](Engine& e) { e.take((solved >> k & 1u) != 0); });
      }
    }
  }

 private:
  /// Brings a seat to its next point; runs that end on the way give it to the next.
  void walk(std::size_t k) {
    Seat& seat = seats_[k];
    seat.waits = false;
    while (seat.engine || sit_down(k)) {
      bool asks = false;
      guard(seat, [&](Engine& engine) { asks = engine.go_on(); });
      if (!seat.engine) continue;
      if (asks) {
        seat.waits = true;
        return;
      }
      work_.put(seat.input, seat.engine->result());
      seat.engine.reset();
    }
  }

  bool sit_down(std::size_t k) {
    while (const std::size_t* input = take_input()) {
      if (work_.stop) {
        work_.leave(*input);
        continue;
      }
      Seat& seat = seats_[k];
      seat.input = *input;
      const SimulationInput& in = work_.inputs[*input];
      auto bus = std::make_unique<NetworkBus>(in, circuit_);
      bus->stand_in({&points_, static_cast<int>(k)});
      try {
        seat.engine = std::make_unique<Engine>(in, none_, unseen_, std::move(bus));
        return true;
      } catch (const Error& error) {
        work_.put(*input, refused(error.what()));
      }
    }
    return false;
  }

  const std::size_t* take_input() {
    const std::size_t at = next_++;
    return at < group_.inputs.size() ? &group_.inputs[at] : nullptr;
  }

  template <class Do>
  void guard(Seat& seat, Do act) {
    try {
      act(*seat.engine);
    } catch (const Error& error) {
      work_.put(seat.input, refused(error.what()));
      seat.engine.reset();
      seat.waits = false;
    }
  }

  Work& work_;
  const Group& group_;
  Circuit circuit_;
  std::atomic<std::size_t>& next_;
  PointLanes points_;
  std::vector<Seat> seats_;
  Until none_;
  Progress unseen_;
};

}  // namespace

SimulationResult simulate(const SimulationInput& input, const Progress& progress,
                          const Until& until) {
  if (std::string problems = what_is_wrong(input); !problems.empty())
    return refused(std::move(problems));
  try {
    if (!input.network) {
      Engine engine(input, until, progress, make_lumped_bus(input));
      while (engine.go_on()) engine.take(false);
      return engine.result();
    }
    auto bus =
        std::make_unique<NetworkBus>(input, input.network->circuit.rebuilt(fitting_numbers(input)));
    PointLanes& points = bus->own();
    bus->stand_in({&points, 0});
    Engine engine(input, until, progress, std::move(bus));
    while (engine.go_on()) engine.take(points.run(1) != 0);
    return engine.result();
  } catch (const Error& error) {
    return refused(error.what());
  }
}

std::vector<SimulationResult> simulate_many(std::span<const SimulationInput> inputs,
                                            std::size_t threads, const Progress& progress) {
  std::vector<SimulationResult> results(inputs.size());
  if (inputs.empty()) return results;
  if (threads == 0) threads = std::max(1u, std::thread::hardware_concurrency());
  threads = std::min(threads, inputs.size());
  Work work(inputs, results, progress);

  std::vector<std::size_t> alone;
  std::vector<Group> groups;
  for (std::size_t k = 0; k < inputs.size(); ++k) {
    if (!inputs[k].network || !what_is_wrong(inputs[k]).empty()) {
      alone.push_back(k);
      continue;
    }
    const CircuitImpl* circuit = &inputs[k].network->circuit.impl();
    Parameters fitted = fitting_numbers(inputs[k]);
    NetworkColumns columns(inputs[k]);
    const auto same = std::find_if(groups.begin(), groups.end(), [&](const Group& g) {
      return g.fits(circuit, fitted, columns);
    });
    if (same != groups.end())
      same->inputs.push_back(k);
    else
      groups.push_back({circuit, std::move(fitted), std::move(columns), {k}});
  }

  const auto share = [&](const std::function<void()>& part) {
    std::vector<std::jthread> pool;
    for (std::size_t t = 1; t < threads; ++t) pool.emplace_back(part);
    part();
  };
  std::atomic<std::size_t> next{0};
  share([&] {
    for (std::size_t at = next++; at < alone.size(); at = next++) {
      const std::size_t k = alone[at];
      if (work.stop)
        work.leave(k);
      else
        work.put(k, simulate(inputs[k]));
    }
  });
  for (const Group& group : groups) {
    const Circuit circuit = inputs[group.inputs.front()].network->circuit.rebuilt(group.fitted);
    next = 0;
    const std::size_t most = (group.inputs.size() + threads - 1) / threads;
    share([&] { LaneRuns(work, group, circuit, next, most).run(); });
  }
  return results;
}

}  // namespace nightbus
