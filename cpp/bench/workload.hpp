#pragma once
// The day as a batch request: EMF and every watt figure vary, every potential is written out.

#include <string>
#include <vector>

#include "networks.hpp"
#include "nightbus/network_batch.hpp"

namespace bench {

struct Workload {
  Network net;
  Compiled compiled;
  std::size_t points;
  std::vector<Parameter> parameters;
  std::vector<Quantity> quantities;
  std::vector<double> table, block;  // column after column
  std::vector<SolveStatus> status;

  Workload(Network network, std::size_t count)
      : net(std::move(network)), compiled(compile(net)), points(count) {
    parameters.push_back({compiled.source, ParameterKind::emf_v});
    for (std::size_t k = 0; k < net.loads.size(); ++k)
      if (net.loads[k].power_w > 0.0)
        parameters.push_back({compiled.loads[k], ParameterKind::power_w});
    for (std::uint32_t n = 0; n < net.nodes; ++n) quantities.push_back({QuantityKind::node_v, n});
    table.resize(parameters.size() * points);
    for (std::size_t s = 0; s < points; ++s) {
      const std::size_t minute = s * day_points / points;
      table[s] = day_emf_v(minute);
      std::size_t column = 1;
      for (const Load& load : net.loads)
        if (load.power_w > 0.0) table[column++ * points + s] = load.power_w * day_demand(minute);
    }
    block.resize(quantities.size() * points);
    status.resize(points);
  }

  BatchReport run(int lanes, int threads) {
    BatchRequest r;
    r.scenarios = points;
    r.parameters = parameters;
    r.table = {table.data(), 1, static_cast<std::ptrdiff_t>(points)};
    r.quantities = quantities;
    r.block = {block.data(), 1, static_cast<std::ptrdiff_t>(points)};
    r.status = status;
    r.lanes = lanes;
    r.threads = threads;
    return solve_batch(compiled.circuit, r);
  }

  // The same points one by one; returns how many were solved.
  std::size_t run_single(Workspace& workspace, Parameters& parameters_now, OperatingPoint& point) {
    std::size_t solved = 0;
    for (std::size_t s = 0; s < points; ++s) {
      for (std::size_t c = 0; c < parameters.size(); ++c)
        parameters_now.set(parameters[c], table[c * points + s]);
      solve(compiled.circuit, parameters_now, workspace, {}, point);
      solved += point.status == SolveStatus::solved ? 1 : 0;
    }
    return solved;
  }
};

// "rack80", "rack80-ties", "tree-5000", "mesh-500" …
inline Network named(const std::string& name) {
  if (name == "rack80") return rack80(false);
  if (name == "rack80-ties") return rack80(true);
  const std::size_t dash = name.find('-');
  const std::size_t nodes = std::stoul(name.substr(dash + 1));
  return random_tree(nodes, name.substr(0, dash) == "mesh" ? 0.02 : 0.0);
}

}  // namespace bench
