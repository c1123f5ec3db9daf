#pragma once
/// Points of one circuit solved side by side, as time simulations ask for them: each lane has its
/// own parameter set, brings it whenever it needs an answer, and reads only what it looks at.
///
/// A point depends on its own parameters alone: every solve starts from the circuit's operating
/// point as built, moved along its linearisation. Which lane it stood in, what stood beside it and
/// how many lanes there are changes no bit of it.

#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>
#include <vector>

#include "nightbus/network.hpp"

namespace nightbus {

/// One element of a solved point; signs as in OperatingPoint.
struct ElementReading {
  double voltage_v = 0.0, current_a = 0.0;
  double output_voltage_v = 0.0, output_current_a = 0.0;  ///< converters
  ElementState state = ElementState::normal;
};

class PointLanes {
 public:
  /// `columns`: the parameters that lanes set; all others stay as built. `loss_group`: by element,
  /// which sum a wire's or diode's loss belongs to (a list too short, or below 0: sum 0).
  /// `lanes` 0: as many as the processor's widest vector unit holds; 1: one. Lock-outs are held on.
  /// Throws std::out_of_range for a parameter that does not exist.
  PointLanes(const Circuit& circuit, std::span<const Parameter> columns,
             std::span<const int> loss_group = {}, int lanes = 0);
  ~PointLanes();
  PointLanes(PointLanes&&) noexcept;
  PointLanes& operator=(PointLanes&&) noexcept;

  int lanes() const { return lanes_; }
  void set(std::size_t column, int lane, double value) {
    double& present = table_[cell(column, lane)];
    if (present == value) return;
    present = value;
    changed_[column] = 1;
  }
  double get(std::size_t column, int lane) const { return table_[cell(column, lane)]; }

  /// Solves the first `count` lanes. Bit k of what comes back: lane k has its answer. One without
  /// needs solve(): its numbers do not fit the folded circuit, a load stands below its window, or
  /// there is no answer.
  std::uint32_t run(int count);

  /// Where a voltage is read: between two rows of the folded circuit.
  struct Place {
    std::uint32_t p = 0, n = 0;
  };
  Place place(NodeId p, NodeId n) const;
  Place place(ElementId element) const;  ///< its two terminals; a converter's input
  double voltage_v(Place at, int lane) const {
    return rows_[cell(at.p, lane)] - rows_[cell(at.n, lane)];
  }
  /// The potential of a row in a lane; stays where it is from run to run.
  const double* potential_v(std::uint32_t row, int lane) const { return rows_ + cell(row, lane); }
  /// Heat in all resistors and diodes of one group.
  double loss_w(std::size_t group, int lane) const { return losses_[cell(group, lane)]; }
  std::size_t loss_groups() const { return losses_.size() / static_cast<std::size_t>(lanes_); }
  ElementReading read(ElementId element, int lane) const;

 private:
  std::size_t cell(std::size_t row, int lane) const {
    return row * static_cast<std::size_t>(lanes_) + static_cast<std::size_t>(lane);
  }

  struct Impl;
  std::unique_ptr<Impl> impl_;
  int lanes_ = 1;
  double* table_ = nullptr;
  const double* rows_ = nullptr;
  std::vector<double> losses_;
  std::vector<std::uint8_t> changed_;  ///< by column: in any lane, since the last run
};

}  // namespace nightbus
