#pragma once
/// Private: the figures of a plan that are worth comparing.

#include "nightbus/scenario.hpp"

namespace nightbus::scenario_detail {

/// One figure by name; two figures are the same when their texts are, so that rounding is no
/// change.
struct Figure {
  std::string kind, name, figure;
  std::string text;
  std::optional<double> value;
  Dimension dimension = Dimension::number;
};
std::vector<Figure> figures_of(const Plan& plan);

}  // namespace nightbus::scenario_detail
