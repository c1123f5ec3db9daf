#pragma once
/// The bus as a compiled circuit; see sim_network.cpp.

#include <cmath>
#include <vector>

#include "energy/sim_bus.hpp"
#include "nightbus/network.hpp"

namespace nightbus::sim_detail {

/// How a bank stands in the circuit during one solve.
enum class BankMode : std::uint8_t { charge, discharge, limited, open };

/// The resistance at which a limited bank takes just its limit: a secant on ln(i/limit) over ln R
/// inside a bracket. `low` lets in too much, `high` too little. Supplies at their current limits
/// leave two answers; the bracket keeps the one that is stable.
class LimitSearch {
 public:
  double ohm() const { return ohm_; }
  void start_at(double ohm) {
    *this = {};
    ohm_ = ohm;
  }
  /// Nothing is known of the new problem but where the last one ended.
  void restart() { start_at(ohm_); }
  bool has_low() const { return has_low_; }
  /// With `ohm()` the bank took `ratio` times its limit.
  void aim(double ratio);

 private:
  double ohm_ = 1.0;
  double last_ = 0.0, last_miss_ = 0.0;
  double low_ = 0.0, high_ = 0.0;
  int rounds_ = 0;
  bool has_low_ = false, has_high_ = false, has_last_ = false;
};

class NetworkBus final : public BusSolver {
 public:
  explicit NetworkBus(const SimulationInput& input);
  void solve(const BusProblem& problem, BusSolution& out) override;

 private:
  static ElementId id(int element) { return ElementId{static_cast<std::uint32_t>(element)}; }
  static std::size_t at(int element) { return static_cast<std::size_t>(element); }
  void set(int element, ParameterKind kind, double value) {
    parameters_.set(id(element), kind, value);
  }
  int supply_element(std::size_t s) const {
    const std::size_t arrays = input_.arrays.size();
    return s < arrays ? input_.arrays[s].element : input_.chargers[s - arrays].element;
  }

  // sim_network_set.cpp: the problem becomes the circuit's numbers
  static Circuit fitting(const SimulationInput& input);
  void set_loads(const BusProblem& problem);
  void set_supplies(const BusProblem& problem, double lowered_v);
  void set_banks(const BusProblem& problem);
  bool fed(const BusProblem& problem) const;
  bool over_asked(const BusProblem& problem);
  double asked_of(const BusProblem& problem) const;
  bool failed_before(const BusProblem& problem) const;
  bool no_easier(const BusProblem& problem, const BusProblem& failed) const;
  void remember_failure(const BusProblem& problem);

  // sim_network.cpp: rounds until banks, modules and limits agree
  void call();
  bool bank_agrees(const BusProblem& problem, std::size_t b);
  bool banks_agree(const BusProblem& problem);
  bool connect_banks(const BusProblem& problem);
  void balance_banks(const BusProblem& problem);
  bool modules_agree(const BusProblem& problem);
  void turn_down(const BusProblem& problem);
  double worst_excess_a(const BusProblem& problem) const;

  // sim_network_read.cpp
  void go_dark(BusStatus status, const BusProblem& problem, BusSolution& out) const;
  void read(const BusProblem& problem, BusSolution& out);

  const SimulationInput& input_;
  const SimNetwork& network_;
  Circuit circuit_;
  Workspace workspace_;
  Parameters parameters_;
  OperatingPoint point_;
  SolveOptions options_;
  std::vector<double> start_v_;
  std::vector<BankMode> modes_, solved_modes_;  ///< wanted next; of the present point
  std::vector<LimitSearch> limits_;
  std::vector<std::size_t> warming_wires_;  ///< whose losses warm a compartment
  std::vector<std::uint8_t> eases_;         ///< by load: takes less below a stated voltage
  double asked_w_ = 0.0;
  std::uint64_t asked_version_ = ~std::uint64_t{0};
  std::size_t sources_ = 0;
  bool agreed_ = true;              // banks stand in the mode their currents ask for
  std::vector<BusProblem> failed_;  // the last ones without an answer, newest first
  std::vector<double> module_v_;
  std::uint64_t version_ = ~std::uint64_t{0};
};

}  // namespace nightbus::sim_detail
