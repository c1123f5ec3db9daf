// The words for kinds, states and statuses: one list each, beside one another.
#include "nightbus/network.hpp"

namespace nightbus {

std::string_view parameter_name(ParameterKind kind) {
  switch (kind) {
    case ParameterKind::enabled:
      return "enabled";
    case ParameterKind::resistance_ohm:
      return "resistance_ohm";
    case ParameterKind::ambient_c:
      return "ambient_c";
    case ParameterKind::emf_v:
      return "emf_v";
    case ParameterKind::ceiling_v:
      return "ceiling_v";
    case ParameterKind::current_limit_a:
      return "current_limit_a";
    case ParameterKind::power_limit_w:
      return "power_limit_w";
    case ParameterKind::power_w:
      return "power_w";
    case ParameterKind::current_a:
      return "current_a";
    case ParameterKind::conductance_s:
      return "conductance_s";
    case ParameterKind::fan_a_per_v2:
      return "fan_a_per_v2";
    case ParameterKind::scale:
      return "scale";
    case ParameterKind::minimum_v:
      return "minimum_v";
    case ParameterKind::set_point_v:
      return "set_point_v";
    case ParameterKind::standby_w:
      return "standby_w";
  }
  return "";
}

std::string_view state_name(ElementState state) {
  switch (state) {
    case ElementState::normal:
      return "normal";
    case ElementState::open:
      return "open";
    case ElementState::absorbing:
      return "absorbing";
    case ElementState::constant_current:
      return "constant current";
    case ElementState::constant_power:
      return "constant power";
    case ElementState::blocking:
      return "blocking";
    case ElementState::starved:
      return "starved";
    case ElementState::drop_out:
      return "drop-out";
    case ElementState::passing:
      return "passing";
    case ElementState::locked_out:
      return "locked out";
    case ElementState::dark:
      return "dark";
  }
  return "";
}

namespace {

struct StatusWords {
  std::string_view name;
  std::string_view sentence;
};

StatusWords words(SolveStatus status) {
  switch (status) {
    case SolveStatus::solved:
      return {"solved",
              "Currents balance at every point and every load gets what its law asks for "
              "or says that it does not."};
    case SolveStatus::collapsed:
      return {"collapsed",
              "The loads ask for more power than the wiring and the bank can carry at "
              "any voltage: the bus would collapse."};
    case SolveStatus::no_consistent_state:
      return {"no consistent state",
              "Under-voltage cut-offs chase each other: a device that drops lifts the bus enough "
              "to start it again, over and over."};
    case SolveStatus::short_circuit:
      return {"short circuit",
              "Sources without any resistance are joined by no resistance at "
              "different voltages: the current has no limit."};
    case SolveStatus::invalid:
      return {"invalid", "A number lies outside its physical range: the network was not solved."};
    case SolveStatus::not_converged:
      return {"not converged",
              "The numbers span more decades than double precision can balance; "
              "no answer is given."};
  }
  return {"", ""};
}

}  // namespace

std::string_view status_name(SolveStatus status) {
  return words(status).name;
}
std::string_view status_sentence(SolveStatus status) {
  return words(status).sentence;
}

}  // namespace nightbus
