#pragma once
// The passive network (sources and resistances only) seen from pairs of nodes.

#include <memory>
#include <span>
#include <vector>

#include "network/equations.hpp"
#include "nightbus/network_study.hpp"

namespace nightbus::network_detail {

// Parameters with loads, chargers and converters taken out.
std::vector<double> passive_values(const Description& description, std::span<const double> values);

class PortNetwork {
 public:
  PortNetwork(const Description& description, std::vector<double> passive);
  bool sound() const { return sound_; }
  const Net& net() const { return *net_; }
  double open_circuit_v(FaultPoint at) const;
  // Row voltages for one ampere driven into p and out of n.
  std::vector<double> response(FaultPoint at);
  double across(std::span<const double> z, FaultPoint at) const;

 private:
  std::vector<double> values_;
  std::unique_ptr<Net> net_;
  std::unique_ptr<Equations> equations_;
  std::vector<double> open_;
  bool sound_ = false;
};

}  // namespace nightbus::network_detail
