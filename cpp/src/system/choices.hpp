#pragma once
/// The written names of every choice, in the order of its enumeration.

#include <array>
#include <string_view>

#include "system/field_builder.hpp"

namespace nightbus::system_detail {

template <>
struct ChoiceNames<Behaviour> {
  static constexpr std::array<std::string_view, 3> names{"constant power", "constant current",
                                                         "resistance"};
};
template <>
struct ChoiceNames<DropClass> {
  static constexpr std::array<std::string_view, 2> names{"critical", "general"};
};
template <>
struct ChoiceNames<ReturnPath> {
  static constexpr std::array<std::string_view, 2> names{"own", "chassis"};
};
template <>
struct ChoiceNames<Tracking> {
  static constexpr std::array<std::string_view, 2> names{"MPPT", "PWM"};
};
template <>
struct ChoiceNames<ChargerKind> {
  static constexpr std::array<std::string_view, 3> names{"mains", "engine", "generator"};
};
template <>
struct ChoiceNames<ConverterKind> {
  static constexpr std::array<std::string_view, 3> names{"DC-DC", "injector", "inverter"};
};
template <>
struct ChoiceNames<PoeType> {
  static constexpr std::array<std::string_view, 5> names{"type 1", "type 2", "type 3", "type 4",
                                                         "passive"};
};
template <>
struct ChoiceNames<BankState> {
  static constexpr std::array<std::string_view, 3> names{"low", "rest", "charging"};
};
template <>
struct ChoiceNames<Demand> {
  static constexpr std::array<std::string_view, 3> names{"rest", "typical", "peak"};
};
template <>
struct ChoiceNames<Ambient> {
  static constexpr std::array<std::string_view, 3> names{"cold", "mild", "hot"};
};
template <>
struct ChoiceNames<Objective> {
  static constexpr std::array<std::string_view, 3> names{"copper", "cost", "sizes"};
};

}  // namespace nightbus::system_detail
