#pragma once
/// The bus at one instant: what is connected, and what flows. The engine fills BusProblem, a
/// BusSolver answers with BusSolution. Two solvers: the lumped bus, and a compiled circuit.

#include <cstddef>
#include <cstdint>
#include <memory>
#include <vector>

#include "nightbus/energy_simulation.hpp"

namespace nightbus::sim_detail {

/// A bank for one step. `emf_v` is that of the middle of the step as long as no current flows; the
/// resistances hold half of what the step's own current will move the EMF, so that the solution is
/// the midpoint rule without a second solve.
struct BankPort {
  double emf_v = 12.0;
  double charge_ohm = 0.01, discharge_ohm = 0.01;  ///< bank alone, without the path
  double path_ohm = 0.0;
  double turn_down_a = 1e30;    ///< the supplies are turned down so that the bank gets no more
  double charge_limit_a = 0.0;  ///< what the plates accept; 0: charging is blocked
  bool can_discharge = true;
};

struct SupplyPort {
  enum class Kind : std::uint8_t { power, current, module };
  Kind kind = Kind::power;
  bool on = false;
  double power_w = 0.0;  ///< kind power: at its output
  double current_limit_a = 0.0;
  double set_v = 14.4;  ///< at the bus
  double path_ohm = 0.0;
  const ArrayModel* module = nullptr;  ///< kind module: current by the bus voltage
  double light_wm2 = 0.0, cell_c = 25.0, loss = 0.0;
};

struct LoadPort {
  bool on = false;
  double power_w = 0.0;  ///< at nominal voltage
};

struct BusProblem {
  std::vector<BankPort> banks;
  std::vector<SupplyPort> supplies;
  std::vector<LoadPort> loads;
  std::vector<std::uint8_t> converter_on;
  double standby_w = 0.0;     ///< monitors and controllers, at the bus
  std::uint64_t version = 0;  ///< changes whenever loads or converters change
};

struct BankFlow {
  double terminal_v = 0.0;  ///< of the bank itself
  double current_a = 0.0;   ///< into the bank
  bool limited = false;     ///< the bank would take more at this voltage than it accepts
};
struct SupplyFlow {
  double power_w = 0.0;    ///< at its output, its path's loss included
  double current_a = 0.0;  ///< into the bus
  bool at_set = false;     ///< held back by its voltage
};
struct LoadFlow {
  double current_a = 0.0, voltage_v = 0.0;
};
struct ConverterFlow {
  double input_v = 0.0, input_w = 0.0, output_w = 0.0, loss_w = 0.0;
};

enum class BusStatus : std::uint8_t {
  fine,
  dead,       ///< nothing can hold the bus up: no volts
  collapsed,  ///< the demand is beyond what the sources can carry
};

struct BusSolution {
  BusStatus status = BusStatus::fine;
  double bus_v = 0.0;
  double lift = 1.0;         ///< d(bus volts) / d(EMF of all banks together)
  double wire_loss_w = 0.0;  ///< paths of loads, converters, supplies and banks
  bool turned_down = false;  ///< a bank's charge-current limit governs, not a set voltage
  int overdrawn_load = -1;   ///< a load beyond what its own path can carry
  int overdrawn_converter = -1;
  std::vector<BankFlow> banks;
  std::vector<SupplyFlow> supplies;
  std::vector<LoadFlow> loads;
  std::vector<ConverterFlow> converters;
  std::vector<double> space_heat_w;  ///< losses of the network by compartment
};

class BusSolver {
 public:
  virtual ~BusSolver() = default;
  virtual void solve(const BusProblem& problem, BusSolution& solution) = 0;
  /// The same in two halves, so that somebody else may solve the circuit's point in between, beside
  /// those of other runs. pose() is true when there is one to solve; take() makes the solution,
  /// `answered`: from that point, and else, or where one point is not enough, on its own.
  virtual bool pose(const BusProblem&) { return false; }
  virtual void take(const BusProblem& problem, bool answered, BusSolution& solution) {
    (void)answered;
    solve(problem, solution);
  }
};

std::unique_ptr<BusSolver> make_lumped_bus(const SimulationInput& input);

}  // namespace nightbus::sim_detail
