#include "network/description.hpp"

#include <array>
#include <cmath>

namespace nightbus::network_detail {

namespace {

struct SlotName {
  ParameterKind parameter;
  std::uint32_t slot;
};

std::span<const SlotName> slots_of(ElementKind kind) {
  using P = ParameterKind;
  static constexpr std::array resistor{SlotName{P::enabled, slot::enabled},
                                       SlotName{P::resistance_ohm, slot::resistance},
                                       SlotName{P::ambient_c, slot::ambient}};
  static constexpr std::array source{SlotName{P::enabled, slot::enabled},
                                     SlotName{P::resistance_ohm, slot::resistance},
                                     SlotName{P::emf_v, slot::emf}};
  static constexpr std::array charger{
      SlotName{P::enabled, slot::enabled}, SlotName{P::resistance_ohm, slot::resistance},
      SlotName{P::ceiling_v, slot::ceiling}, SlotName{P::current_limit_a, slot::current_limit},
      SlotName{P::power_limit_w, slot::power_limit}};
  static constexpr std::array load{
      SlotName{P::enabled, slot::enabled},   SlotName{P::power_w, slot::power},
      SlotName{P::current_a, slot::current}, SlotName{P::conductance_s, slot::conductance},
      SlotName{P::fan_a_per_v2, slot::fan},  SlotName{P::scale, slot::scale},
      SlotName{P::minimum_v, slot::minimum}};
  static constexpr std::array converter{SlotName{P::enabled, slot::enabled},
                                        SlotName{P::resistance_ohm, slot::resistance},
                                        SlotName{P::set_point_v, slot::set_point},
                                        SlotName{P::current_limit_a, slot::current_limit},
                                        SlotName{P::power_limit_w, slot::power_limit},
                                        SlotName{P::scale, slot::scale},
                                        SlotName{P::standby_w, slot::standby}};
  static constexpr std::array diode{SlotName{P::enabled, slot::enabled},
                                    SlotName{P::resistance_ohm, slot::resistance}};
  switch (kind) {
    case ElementKind::resistor:
      return resistor;
    case ElementKind::source:
      return source;
    case ElementKind::charger:
      return charger;
    case ElementKind::load:
      return load;
    case ElementKind::converter:
      return converter;
    case ElementKind::diode:
      return diode;
  }
  return {};
}

bool in_range(ElementKind kind, ParameterKind parameter, double value) {
  switch (parameter) {
    case ParameterKind::enabled:
      return value == 0.0 || value == 1.0;
    case ParameterKind::ambient_c:
      return value > -273.15 && value < 1e6;
    case ParameterKind::current_limit_a:
    case ParameterKind::power_limit_w:
      return value >= 0.0;  // infinity: no limit
    case ParameterKind::set_point_v:
      return value > 0.0 && value < 1e9;
    case ParameterKind::resistance_ohm:
      if (kind == ElementKind::resistor) return value >= 0.0;  // infinity: open
      if (kind == ElementKind::source) return value >= 0.0 && std::isfinite(value);
      return value > 0.0 && std::isfinite(value);
    default:
      return value >= 0.0 && value < 1e12;
  }
}

}  // namespace

std::uint32_t Description::block_size(ElementKind kind) const {
  return static_cast<std::uint32_t>(slots_of(kind).size());
}

std::uint32_t Description::offset(Parameter parameter) const {
  const std::size_t at = index(parameter.element);
  if (at >= elements.size()) return none;
  for (const SlotName& name : slots_of(elements[at].kind))
    if (name.parameter == parameter.kind) return elements[at].parameters + name.slot;
  return none;
}

std::optional<BadValue> find_bad_value(const Description& description,
                                       std::span<const double> values) {
  if (description.bad_fixed) return BadValue{*description.bad_fixed, std::nullopt};
  for (std::uint32_t e = 0; e < description.elements.size(); ++e) {
    const Element& element = description.elements[e];
    for (const SlotName& name : slots_of(element.kind))
      if (!in_range(element.kind, name.parameter, values[element.parameters + name.slot]))
        return BadValue{e, name.parameter};
  }
  return std::nullopt;
}

}  // namespace nightbus::network_detail
