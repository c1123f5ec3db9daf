/// The same checks turned round: what a device asks of the rest of the plan. The choice needs it
/// this way, since currents and fault loops follow from what is chosen elsewhere.
///
///   design current             <=  rating · k(air) / continuous factor, and its holder
///   highest prospective        <=  what it breaks at the bus voltage
///   least fault at the far end >=  what opens it in time, slow side
///   both faults within a range over which I²t stays below k²S²

#include <algorithm>

#include "protection/device_judge.hpp"

namespace nightbus::protection_detail {

std::vector<DeviceRules::Limits> Judge::limits(const OvercurrentForm& form, const Device& device) {
  DeviceRules::Limits limits;
  limits.device = device;
  limits.breaks_a = std::numeric_limits<double>::infinity();
  const Rerating& rerating = facts_.of(form).rerating;
  limits.carries_a = usable_current_a(device.rating_a, rerating.factor, facts_.continuous_factor);
  if (const auto holder = holder_limit_a(form)) {
    limits.carries_a = std::min(limits.carries_a, *holder);
  }
  if (!ceiling(form, device)) return {};
  if (context_.fault == FaultSource::none) return {limits};
  const InterruptRating* rating = form.interrupt_at(context_.highest_v);
  if (!rating) return {};
  if (context_.fault == FaultSource::limited) {
    const bool broken = context_.limited_a <= rating->current_a;
    const bool harmless = context_.limited_a <= facts_.ampacity_a * (1.0 + 1e-9);
    const bool opens = context_.limited_a >= current_to_clear_a(form, device) * (1.0 - 1e-9);
    if (!broken || (!harmless && !opens)) return {};
    return {limits};
  }
  if (context_.cold_cranking_a) {
    for (const RuleSet* rules : context_.rules) {
      if (!interrupt_tier(*rules, form)) return {};
    }
  }
  limits.breaks_a = rating->current_a;
  limits.needs_fault_a = current_to_clear_a(form, device);
  if (facts_.withstand_a2s <= 0.0) return {limits};
  const double clearing = context_.catalogue->guide("clearing over melting").value;
  const auto melting = melting_figure(form, device.rating_a);
  if (melting && melting->published && melting->value_a2s * clearing > facts_.withstand_a2s) {
    return {};
  }
  const OpeningBand* band = form.opening_of(device.rating_a);
  if (!band) return {limits};
  std::vector<DeviceRules::Limits> all;
  for (const CurrentRange& range :
       currents_within_a2s(*band, device.rating_a, limits.needs_fault_a, facts_.withstand_a2s)) {
    if (range.low_a > limits.breaks_a) break;
    DeviceRules::Limits part = limits;
    part.needs_fault_a = std::max(limits.needs_fault_a, range.low_a);
    part.breaks_a = std::min(limits.breaks_a, range.high_a);
    all.push_back(part);
  }
  return all;
}

}  // namespace nightbus::protection_detail
