#pragma once
/// Private: the plan as JSON. The shape is documented in json_format.md.

#include <nlohmann/json.hpp>
#include <optional>

#include "nightbus/scenario.hpp"

namespace nightbus::scenario_detail {

using Json = nlohmann::ordered_json;

template <class T>
Json optional_json(const std::optional<T>& value) {
  return value ? Json(*value) : Json(nullptr);
}
inline Json range_json(const std::optional<Range>& range) {
  return range ? Json::array({range->low, range->high}) : Json(nullptr);
}

Json finding_json(const Finding& finding);
Json wiring_json(const WiringPlan& plan);
Json case_json(const Plan& plan, const CaseResult& result);
Json heat_json(const HeatPlan& plan);
Json energy_json(const EnergyPlan& plan);

}  // namespace nightbus::scenario_detail
