#pragma once
/// Shared by the files of ThermalNetwork.

#include <cstddef>
#include <span>
#include <vector>

#include "nightbus/thermal.hpp"

namespace nightbus {

/// Flow (m³/s) and motor heat (W) of each fan entry, and one extra flow.
struct ThermalNetwork::Flows {
  std::vector<double> flow_m3s, heat_w;
  ExtraAir extra;
};

namespace thermal_detail {

/// Solves matrix · x = right in place, for matrices that need no pivoting (diagonally dominant).
/// `right` may hold several columns, one after the other.
void eliminate(std::span<double> matrix, std::span<double> right, std::size_t n);

}  // namespace thermal_detail
}  // namespace nightbus
