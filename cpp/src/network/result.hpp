#pragma once
// From node voltages to everything an OperatingPoint or a batch column reports.

#include <optional>
#include <span>

#include "network/equations.hpp"

namespace nightbus::network_detail {

// One element at given terminal voltages; the one place where a reading is computed from them.
struct Reading {
  double voltage = 0.0, current = 0.0, power = 0.0;  // a converter's input
  double output_voltage = 0.0, output_current = 0.0;
  double loss = 0.0;
  double temp_c = 0.0;
  ElementState state = ElementState::normal;
};
Reading read_element(const Description& description, std::span<const double> values,
                     std::span<const std::uint8_t> on, Mode mode, double floor_v, std::uint32_t e,
                     std::span<const double> node_v, double multiplier = 1.0, bool lifted = false);

// Fills all vectors and totals of `result` from result.node_v and result.on. Without `wires` the
// entries of resistors are left alone; their losses count all the same, as given or added up.
void read_all(const Description& description, const Net& net, std::span<const double> values,
              double floor_v, OperatingPoint& result, bool wires = true,
              std::optional<double> resistor_loss_w = std::nullopt);

}  // namespace nightbus::network_detail
