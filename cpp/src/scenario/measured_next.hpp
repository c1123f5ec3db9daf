#pragma once
// Which reading would part the explanations that these readings leave alike.

#include <optional>

#include "scenario/measured_model.hpp"

namespace nightbus::measured_detail {

/// Nothing when no single reading between points would part them.
std::optional<NextReading> next_reading(Model& model, const Measured& measured,
                                        const MeasuredOptions& options);

}  // namespace nightbus::measured_detail
