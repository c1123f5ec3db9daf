#pragma once
// The fast path: a circuit's folded programme with its numbers, and one runner for each thread.

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "network/lane_view.hpp"
#include "network/program.hpp"

namespace nightbus::network_detail {

// What a changed parameter makes stale.
enum class Stale : std::uint8_t {
  chain,
  link,
  load,
  load_chain,
  source,
  charger,
  diode,
  conductor,
  converter,
  known
};
struct Dependent {
  Stale kind{};
  Index item = 0;
};

// Made once for a circuit; shared.
class FastPath {
 public:
  // start_v: node voltages of the operating point as built (or its no-load voltages).
  FastPath(const Description& description, const Net& net, std::span<const double> start_v);

  const Description& description() const { return *description_; }
  const Net& net() const { return *net_; }
  const Program& program() const { return program_; }
  const LaneView& view() const { return view_; }
  std::span<const double> low() const { return low_; }
  std::span<const double> high() const { return high_; }
  std::span<const Dependent> dependents(std::uint32_t slot) const {
    return {dependents_.data() + starts_[slot], dependents_.data() + starts_[slot + 1]};
  }
  bool binary(std::uint32_t slot) const { return binary_[slot] != 0; }
  // Whether this number lies where the fold holds.
  bool holds(std::uint32_t slot, double value) const {
    return low_[slot] <= value && value <= high_[slot] &&
           (binary_[slot] == 0 || value == 0.0 || value == 1.0);
  }
  // voltage_scale() without a look at every element.
  double scale_v(std::span<const double> values) const;

  // x and leaf voltages for these node voltages.
  void start_from(std::span<const double> node_v, std::vector<double>& x,
                  std::vector<LeafStart>& leaf) const;

 private:
  void set_constants();
  void set_bounds();
  void set_dependents();
  void set_base();

  const Description* description_;
  const Net* net_;
  Program program_;
  LaneView view_;
  std::vector<LoadConstants> loads_;
  std::vector<std::uint32_t> source_blocks_, known_slots_;
  std::vector<BranchConstants> chargers_, diodes_, conductors_;
  std::vector<ConverterConstants> converters_;
  std::vector<double> low_, high_;
  std::vector<std::uint32_t> scale_slots_;
  std::vector<std::uint8_t> binary_;
  std::vector<double> start_x_;
  std::vector<LeafStart> start_leaf_;
  std::vector<Dependent> dependents_;
  std::vector<Index> starts_;
  std::vector<std::uint32_t> none_varied_;
  std::vector<Index> row_node_;  // some node of each row
  std::vector<double> base_off_, base_inverse_, base_direct_p_;
  std::vector<PortBase> base_port_;
};

// Runs groups of scenarios with one kernel; owns their memory. Not shared between threads.
class FastRunner {
 public:
  FastRunner(const FastPath& path, const LaneKernel& kernel);

  int lanes() const { return kernel_->lanes; }

  // Parameters and states every scenario starts from. Only what holds() saw change is computed
  // again: the same numbers must have been shown to it just before.
  void set_base(std::span<const double> values, std::span<const std::uint8_t> on, bool hold_states);
  // Whether all numbers lie where the fold holds; looks only at those that differ from the last
  // set_base.
  bool holds(std::span<const double> values);
  // The numbers that differ from scenario to scenario.
  void set_columns(std::span<const std::uint32_t> slots);
  // Where these are, in the same order, and where potentials go. rows_are_read: row_v() is asked
  // after a run.
  void set_tables(std::vector<VariedSlot> varied, std::vector<OutputColumn> outputs,
                  bool rows_are_read);
  // Which of the columns differ from the run before in any lane; set_columns() takes all for new.
  void set_changed(std::span<const std::uint32_t> columns);
  void set_start(std::span<const double> node_v);  // empty: as built
  // Heat in all resistors at these node voltages, by conductances kept until one changes; none when
  // one of them warms by its own current.
  std::optional<double> wire_loss_w(std::span<const double> node_v);
  void set_polish(bool polish) { view_.polish = polish; }
  void start_where_it_ended() { view_.keep_start = true; }

  void run(std::size_t first, std::uint32_t count, GroupResult& result);
  // All of them after run(), [row × lane]; the place changes with set_columns().
  const double* rows() const { return rows_; }
  // Row potential in a lane after run().
  double row_v(Index row, int lane) const {
    return rows_[static_cast<std::size_t>(row) * static_cast<std::size_t>(kernel_->lanes) +
                 static_cast<std::size_t>(lane)];
  }

 private:
  void allocate();
  void take_powers(std::span<const std::uint32_t> changed);
  void place_outputs(bool rows_are_read);
  void mark(std::span<const std::uint32_t> slots);
  void clear_marks();

  const FastPath* path_;
  const LaneKernel* kernel_;
  LaneView view_;
  std::vector<double> values_;
  std::vector<std::uint8_t> on_;
  bool ready_ = false;
  std::vector<LoadConstants> loads_;
  std::vector<ConverterConstants> converters_;
  std::vector<LockOutCheck> checks_;
  std::vector<VariedSlot> varied_;
  std::vector<std::uint32_t> varied_of_slot_, changed_, marked_;
  std::vector<OutputColumn> outputs_, copied_;
  std::vector<VariedPower> powers_;
  std::vector<double*> straight_, pair_straight_;
  struct Wire {
    std::uint32_t a = 0, b = 0;
    double conductance_s = 0.0;
  };
  std::vector<Wire> wires_;
  std::vector<std::uint8_t> of_wire_;  // by slot: a number of a resistor
  bool wires_stale_ = true, wires_warm_ = false;
  std::vector<Index> dirty_[10];
  std::vector<double> start_x_;
  std::vector<LeafStart> start_leaf_;
  struct Free {
    void operator()(double* block) const;
  };
  std::unique_ptr<double, Free> memory_;
  const double* rows_ = nullptr;
};

}  // namespace nightbus::network_detail
