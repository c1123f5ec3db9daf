#pragma once
// What CircuitBuilder collected: elements as added, and where each of their numbers sits in the
// flat parameter vector of a scenario.

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "nightbus/network.hpp"

namespace nightbus::network_detail {

inline constexpr std::uint32_t none = 0xffffffffu;

// Position of each number inside its element's block; slot 0 is `enabled` for every kind.
namespace slot {
inline constexpr std::uint32_t enabled = 0;
inline constexpr std::uint32_t resistance = 1;  // all but loads
// resistor
inline constexpr std::uint32_t ambient = 2;
// source
inline constexpr std::uint32_t emf = 2;
// charger
inline constexpr std::uint32_t ceiling = 2;
inline constexpr std::uint32_t current_limit = 3;  // charger and converter
inline constexpr std::uint32_t power_limit = 4;
// load
inline constexpr std::uint32_t power = 1;
inline constexpr std::uint32_t current = 2;
inline constexpr std::uint32_t conductance = 3;
inline constexpr std::uint32_t fan = 4;
inline constexpr std::uint32_t scale = 5;  // load and converter
inline constexpr std::uint32_t minimum = 6;
// converter
inline constexpr std::uint32_t set_point = 2;
inline constexpr std::uint32_t standby = 6;
}  // namespace slot

// The numbers of an element that stay as built.
struct ResistorFixed {
  double temperature_coefficient = 0.0, reference_c = 20.0, kelvin_per_watt = 0.0;
  std::uint32_t sense_p = none, sense_n = none;  // relay only
};
struct LoadFixed {
  double off_conductance_s = 0.0;
};
struct DiodeFixed {
  double forward_v = 0.0, leakage_s = 1e-7;
};
struct ConverterFixed {
  ConverterTopology kind = ConverterTopology::buck_boost;
  double input_current_limit_a = no_limit, loss_fraction = 0.0, loss_per_watt = 0.0;
  double drop_out_v = 0.0, minimum_input_v = 0.0, off_w = 0.0;
};

struct Element {
  ElementKind kind{};
  std::uint32_t a = 0, b = 0;                // first and second terminal, or the input
  std::uint32_t out_p = none, out_n = none;  // converter
  std::uint32_t parameters = 0;              // start of its block
  std::uint32_t fixed = 0;                   // index into the array of its kind
  bool has_lock_out = false;                 // lock-out or relay
  double off_below_v = 0.0, on_above_v = 0.0;
};

struct Description {
  std::uint32_t nodes = 0;
  std::vector<Element> elements;
  std::vector<double> values;  // parameters as built
  std::vector<ResistorFixed> resistors;
  std::vector<LoadFixed> loads;
  std::vector<DiodeFixed> diodes;
  std::vector<ConverterFixed> converters;
  std::vector<std::uint32_t> references;   // chosen by the user
  std::optional<std::uint32_t> bad_fixed;  // first element built with a number out of range

  std::uint32_t block_size(ElementKind kind) const;
  // Offset of a parameter in the scenario's values, or `none` when the element has no such number.
  std::uint32_t offset(Parameter parameter) const;
};

struct BadValue {
  std::uint32_t element = 0;
  std::optional<ParameterKind> parameter;  // empty: a number fixed when built
};
// First value out of its range, if any. NaN and infinities are out of range (limits may be
// infinite).
std::optional<BadValue> find_bad_value(const Description& description,
                                       std::span<const double> values);

}  // namespace nightbus::network_detail
