#pragma once
/// The bus as a compiled circuit; see sim_network.cpp.

#include <algorithm>
#include <cmath>
#include <vector>

#include "energy/sim_bus.hpp"
#include "nightbus/network.hpp"
#include "nightbus/network_points.hpp"

namespace nightbus::sim_detail {

/// How a bank stands in the circuit during one solve.
enum class BankMode : std::uint8_t { charge, discharge, limited, open };

/// Which part of its law a supply is given in the circuit: its limits alone, its set voltage alone,
/// or all of it. Where the part is well chosen the point is smooth; the whole law has corners.
enum class SupplyMode : std::uint8_t { limited, held, whole };

/// A supply in the circuit: out = max(0, min((ceiling - v)/R, current limit, power limit / v)).
struct SupplyLaw {
  double ceiling_v = 0.0, limit_a = 0.0, limit_w = 0.0;
  double resistance_ohm = 1e-4;
  bool gives() const { return limit_a > 0.0 && limit_w > 0.0; }
  double by_limits(double v) const { return v > 0.0 ? std::min(limit_a, limit_w / v) : limit_a; }
  double by_ceiling(double v) const { return (ceiling_v - v) / resistance_ohm; }
  double current_a(SupplyMode mode, double v) const {
    double out = mode == SupplyMode::held ? by_ceiling(v) : by_limits(v);
    if (mode == SupplyMode::whole) out = std::min(out, by_ceiling(v));
    return std::max(out, 0.0);
  }
};

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

/// The numbers of a circuit that a run sets, in this order: EMF and resistance of each bank;
/// ceiling, current and power limit of each array and charger; the draw of each load by its law;
/// the scale of each converter; the tare.
struct NetworkColumns {
  explicit NetworkColumns(const SimulationInput& input);
  std::vector<Parameter> parameters;
  std::size_t supplies = 0, loads = 0, converters = 0, standby = 0;  ///< first of each kind
  std::vector<int> loss_groups;  ///< by element: compartment + 1, 0 outside
};

/// Numbers as built that have the kinds and sizes a run will set: the circuit is folded for them,
/// and every point starts from theirs.
Parameters fitting_numbers(const SimulationInput& input);

/// A lane of somebody's.
struct Lane {
  PointLanes* points = nullptr;
  int at = 0;
};

class NetworkBus final : public BusSolver {
 public:
  NetworkBus(const SimulationInput& input, Circuit circuit);
  void solve(const BusProblem& problem, BusSolution& out) override;
  bool pose(const BusProblem& problem) override;
  void take(const BusProblem& problem, bool answered, BusSolution& out) override;

  /// Where pose() puts the point: a lane made for the same circuit and columns.
  void stand_in(Lane lane);
  PointLanes& own() { return own_; }

 private:
  static ElementId id(int element) { return ElementId{static_cast<std::uint32_t>(element)}; }
  static std::size_t at(int element) { return static_cast<std::size_t>(element); }
  int supply_element(std::size_t s) const {
    const std::size_t arrays = input_.arrays.size();
    return s < arrays ? input_.arrays[s].element : input_.chargers[s - arrays].element;
  }
  double emf_v(std::size_t bank) const { return numbers_[2 * bank]; }

  // sim_network_set.cpp: the problem becomes the circuit's numbers
  void set_loads(const BusProblem& problem);
  void set_supplies(const BusProblem& problem, double lowered_v);
  void set_supply_numbers(std::size_t supply);
  void set_banks(const BusProblem& problem);
  void bring(Lane lane, std::uint64_t& version) const;
  bool fed(const BusProblem& problem) const;
  bool over_asked(const BusProblem& problem);
  double asked_of(const BusProblem& problem) const;
  bool failed_before(const BusProblem& problem) const;
  bool no_easier(const BusProblem& problem, const BusProblem& failed) const;
  void remember_failure(const BusProblem& problem);

  // sim_network.cpp: rounds until banks, modules and limits agree
  bool begin(const BusProblem& problem);
  /// What became of the point of the present numbers so far.
  enum class Point : std::uint8_t { wanted, answered, failed };
  void settle(const BusProblem& problem, Point point, BusSolution& out);
  void call(bool tried);
  void find_good_start();
  bool bank_agrees(const BusProblem& problem, std::size_t b);
  bool banks_agree(const BusProblem& problem);
  bool supplies_agree();
  bool whole_laws();
  bool connect_banks(const BusProblem& problem);
  void balance_banks(const BusProblem& problem, Point point);
  bool modules_agree(const BusProblem& problem);
  void turn_down(const BusProblem& problem);
  double worst_excess_a(const BusProblem& problem) const;

  // sim_network_read.cpp
  void see(Lane lane);
  void see_careful();
  void go_dark(BusStatus status, const BusProblem& problem, BusSolution& out) const;
  void read(const BusProblem& problem, BusSolution& out);
  void read_lane(BusSolution& out) const;
  void read_careful(BusSolution& out) const;

  /// How a load's current follows from its volts: k (P/v + I + G v + Q v²), one of P, I, G set.
  struct LoadLine {
    PointLanes::Place place;
    double scale = 1.0, fan_a_per_v2 = 0.0;
  };
  /// Where the volts of everything that is read stand in one lane.
  struct LoadVolts {
    const double *p = nullptr, *n = nullptr;
  };
  static std::vector<LoadVolts> volts_in(Lane lane, const std::vector<LoadLine>& lines);

  const SimulationInput& input_;
  const SimNetwork& network_;
  Circuit circuit_;
  NetworkColumns columns_;
  std::vector<double> numbers_;  ///< of the present point, by column
  Lane lane_;                    ///< somebody's, or none
  std::uint64_t lane_version_ = ~std::uint64_t{0}, own_version_ = ~std::uint64_t{0};
  PointLanes own_;       ///< for whatever one point does not settle
  Workspace workspace_;  ///< for points that no lane solves
  Parameters parameters_;
  OperatingPoint careful_;
  std::vector<double> careful_numbers_;        ///< what careful_ was solved with
  std::vector<double> starved_v_;              ///< node volts to go on from; empty: none
  std::vector<double> good_numbers_, good_v_;  ///< of the last point that a lane solved
  SolveOptions options_;

  // The present point: its status, where its volts are, and what banks and supplies do in it.
  SolveStatus status_ = SolveStatus::not_converged;
  Lane seen_;  ///< points == nullptr: careful_
  std::vector<double> bank_v_, bank_a_, supply_v_, supply_a_;
  std::vector<PointLanes::Place> bank_place_;
  std::vector<LoadLine> load_lines_;
  std::vector<LoadVolts> lane_volts_, own_volts_;  ///< of the loads
  std::vector<double> draw_;                       ///< k P, k I or k G by load
  std::vector<std::size_t> by_power_, by_current_, by_resistance_, by_fan_;
  PointLanes::Place bus_place_;

  std::vector<BankMode> modes_, solved_modes_;  ///< wanted next; of the present point
  std::vector<LimitSearch> limits_;
  std::vector<SupplyMode> supply_modes_;
  std::vector<SupplyLaw> supply_laws_;
  std::vector<PointLanes::Place> supply_place_;
  std::vector<std::uint8_t> eases_;  ///< by load: takes less below a stated voltage
  double asked_w_ = 0.0;
  std::uint64_t asked_version_ = ~std::uint64_t{0};
  std::size_t sources_ = 0;
  bool agreed_ = true;  // banks stand in the mode their currents ask for
  bool can_be_solved_ = false, posed_ = false;
  std::vector<BusProblem> failed_;  // the last ones without an answer, newest first
  std::vector<double> module_v_;
  std::uint64_t version_ = ~std::uint64_t{0};
};

}  // namespace nightbus::sim_detail
