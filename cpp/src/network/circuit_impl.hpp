#pragma once
// Behind Circuit and Workspace.

#include <memory>
#include <mutex>
#include <span>
#include <vector>

#include "network/description.hpp"
#include "network/equations.hpp"
#include "network/fast.hpp"
#include "network/net.hpp"
#include "network/newton.hpp"

namespace nightbus {

struct CircuitImpl {
  explicit CircuitImpl(network_detail::Description description);
  static Circuit wrap(network_detail::Description description) {
    return Circuit(std::make_shared<const CircuitImpl>(std::move(description)));
  }

  network_detail::Description description;
  std::shared_ptr<const network_detail::Net> net;  // as built

  // Folded when first used: it starts from the operating point as built.
  const network_detail::FastPath& fast() const;

 private:
  mutable std::once_flag fast_once_;
  mutable std::unique_ptr<const network_detail::FastPath> fast_;
};

namespace network_detail {

// Equations and vectors for one topology. A scenario that opens or closes something that changes
// the topology gets its own bench; the last few are kept.
struct Bench {
  Bench(const Description& description, std::shared_ptr<const Net> shared_net);
  std::shared_ptr<const Net> net;
  Equations equations;
  Newton newton;
  std::vector<double> x, no_load_x;
  bool has_no_load = false;  // no_load_x belongs to the present setting
};

}  // namespace network_detail

namespace network_detail {

// The careful path alone: used where the fast path has no answer, and to find its start.
void solve_carefully(const CircuitImpl& circuit, std::span<const double> values,
                     Workspace::Impl& work, const SolveOptions& options, OperatingPoint& result);

}  // namespace network_detail

struct Workspace::Impl {
  explicit Impl(std::shared_ptr<const CircuitImpl> shared_circuit);

  // The bench for these modes; builds one when none of the kept ones fits.
  network_detail::Bench& bench(std::span<const network_detail::Mode> modes);

  std::shared_ptr<const CircuitImpl> circuit;
  std::vector<std::unique_ptr<network_detail::Bench>> benches;  // most recent first
  std::vector<network_detail::Mode> modes;
  std::vector<std::uint8_t> on;
  std::unique_ptr<network_detail::FastRunner> runner;  // one lane
  std::vector<double> ended_v;  // node voltages the runner's memory stands at; empty: none
};

}  // namespace nightbus
