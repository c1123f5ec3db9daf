#pragma once
/// One bus, solved for its voltage; see sim_lumped.cpp.

#include <algorithm>
#include <vector>

#include "energy/sim_bus.hpp"

namespace nightbus::sim_detail {

/// A current and its slope over the bus's volts.
struct Value {
  double f = 0.0, slope = 0.0;
};

class LumpedBus final : public BusSolver {
 public:
  explicit LumpedBus(const SimulationInput& input) : input_(input) {}
  void solve(const BusProblem& problem, BusSolution& out) override;

 private:
  /// Constant-power load at the bus.
  struct PowerLoad {
    double power_w, path_ohm;
    int load, converter;
  };

  void pack(const BusProblem& problem, BusSolution& out);
  LoadFlow behind(const SimLoad& load, double power_w, double feed_v) const;
  Value loads_at(double v) const;
  Value banks_at(const BusProblem& problem, double v) const;
  /// The supply's set voltage, or where a bank takes just its charge-current limit if that is
  /// lower.
  double set_of(const SupplyPort& s) const { return std::min(s.set_v, turned_down_v_); }
  Value supplies_at(const BusProblem& problem, double v, double pushed_out_below) const;
  Value total(const BusProblem& problem, double v, double pushed_out_below) const;
  bool find(const BusProblem& problem, double low, double high, double pushed_out_below, double& v);
  void write(const BusProblem& problem, double v, double held_set_v, double pushed_out_below,
             BusSolution& out) const;

  const SimulationInput& input_;
  std::uint64_t packed_version_ = ~std::uint64_t{0};
  std::vector<PowerLoad> power_loads_;  ///< with a path
  std::vector<int> plain_loads_;        ///< constant power without a path
  double plain_w_ = 0.0, constant_a_ = 0.0, conductance_s_ = 0.0;
  double inner_wire_w_ = 0.0;  ///< lost between converters and their loads
  int packed_overdrawn_load_ = -1, packed_overdrawn_converter_ = -1;
  double last_v_ = 0.0;
  double turned_down_v_ = 1e30;
};

/// What a supply gives into a bus at `v`, held back by nothing but its own limits.
Value supply_at(const SupplyPort& supply, double v);

}  // namespace nightbus::sim_detail
