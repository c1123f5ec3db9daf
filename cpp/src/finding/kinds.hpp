#pragma once
/// The rows of the finding registry, one file per area of work. To add a kind: one row in the file
/// of its area. In a template {subject} reads as `run "router feed"`, {value} and {limit} as "18.2
/// A", {case} as ` in case "night peak"` with its own leading space (nothing when no case governs),
/// and {detail} as the caller's words with a leading space.

#include <span>

#include "nightbus/finding.hpp"

namespace nightbus::finding_detail {

std::span<const FindingKind> input_kinds();
std::span<const FindingKind> network_kinds();
std::span<const FindingKind> wiring_kinds();
std::span<const FindingKind> protection_kinds();
std::span<const FindingKind> energy_kinds();
std::span<const FindingKind> thermal_kinds();

}  // namespace nightbus::finding_detail
