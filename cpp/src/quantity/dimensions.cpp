#include <array>
#include <cstddef>
#include <stdexcept>

#include "quantity/units.hpp"

namespace nightbus {

namespace {

using D = Dimension;

struct DimensionFacts {
  D dimension;
  std::string_view name;
  std::string_view printed;   ///< unit used in exact text
  std::string_view examples;  ///< what a person might write
  Range plausible;            ///< outside it, a slip of the pen is more likely than the value
};

// Indexed by the enumerator.
constexpr std::array<DimensionFacts, 32> facts{{
    {D::number, "a number", "", "\"3\" or \"0.5\"", {-1e15, 1e15}},
    {D::ratio, "a ratio", "%", "\"3 %\" or \"0.03\"", {-100, 1000}},
    {D::length, "a length", "m", "\"12 ft\" or \"3.6 m\"", {0, 10e3}},
    {D::area, "a conductor area", "mm²", "\"2.5 mm²\"", {0, 100e3}},
    {D::surface, "a surface", "m²", "\"1.6 m²\"", {0, 1e6}},
    {D::volume, "a volume", "m³", "\"0.4 m³\" or \"400 L\"", {0, 1e6}},
    {D::mass, "a mass", "kg", "\"12 kg\"", {0, 1e6}},
    {D::time, "a duration", "s", "\"90 min\" or \"1 d 6 h\"", {0, 36525.0 * 86400.0}},
    {D::angle, "an angle", "°", "\"36.1°\" or \"36° 6' N\"", {-360, 360}},
    {D::temperature, "a temperature", "°C", "\"55 °C\" or \"98 °F\"", {-100, 2000}},
    {D::temperature_difference,
     "a temperature difference",
     "K",
     "\"10 K\" or \"18 °F\"",
     {-1000, 1000}},
    {D::voltage, "a voltage", "V", "\"12.8 V\" or \"300 mV\"", {-2000, 2000}},
    {D::current, "a current", "A", "\"7.5 A\" or \"350 mA\"", {-100e3, 100e3}},
    {D::resistance, "a resistance", "Ω", "\"20 mOhm\" or \"0.5 Ω\"", {0, 1e9}},
    {D::resistance_per_length, "a resistance per length", "Ω/m", "\"9.38 Ohm/100 m\"", {0, 1000}},
    {D::capacitance, "a capacitance", "F", "\"470 µF\"", {0, 1e4}},
    {D::inductance, "an inductance", "H", "\"4 µH\"", {0, 1e4}},
    {D::power, "a power", "W", "\"15 W\" or \"1.2 kW\"", {-10e6, 10e6}},
    {D::charge, "a charge", "Ah", "\"100 Ah\"", {0, 1e6}},
    {D::energy, "an energy", "Wh", "\"1.3 kWh\" or \"800 Wh\"", {-1e9, 1e9}},
    {D::melting_integral, "a melting integral", "A²s", "\"8500 A2s\"", {0, 1e10}},
    {D::thermal_conductance, "a thermal conductance", "W/K", "\"4 W/K\"", {0, 1e6}},
    {D::heat_transmittance, "a heat transmittance", "W/(m²·K)", "\"5.7 W/m2K\"", {0, 1e5}},
    {D::heat_capacity, "a heat capacity", "J/K", "\"25 kJ/K\"", {0, 1e10}},
    {D::air_flow, "an air flow", "m³/s", "\"120 m3/h\" or \"70 CFM\"", {0, 1000}},
    {D::irradiance, "an irradiance", "W/m²", "\"1000 W/m²\"", {0, 2000}},
    {D::pressure, "a pressure", "Pa", "\"30 Pa\" or \"1013 hPa\"", {0, 1e6}},
    {D::speed, "a speed", "m/s", "\"2 m/s\" or \"15 km/h\"", {0, 200}},
    {D::voltage_per_kelvin, "a voltage per kelvin", "V/K", "\"-18 mV/K\"", {-10, 10}},
    {D::ratio_per_kelvin, "a ratio per kelvin", "%/K", "\"-0.35 %/K\"", {-1, 1}},
    {D::ratio_per_time, "a ratio per time", "1/s", "\"3 %/month\"", {-1, 1}},
    {D::insolation, "a daily insolation", "kWh/m²/d", "\"3.5 h\" or \"3.5 kWh/m²/d\"", {0, 15e3}},
}};

const DimensionFacts& facts_of(D dimension) {
  const auto& row = facts.at(static_cast<std::size_t>(dimension));
  if (row.dimension != dimension) throw std::logic_error("dimension facts out of order");
  return row;
}

}  // namespace

std::string_view inside_unit(Dimension dimension) {
  for (const auto& rule : quantity_detail::unit_rules()) {
    if (rule.dimension == dimension) return rule.spelling;
  }
  return {};
}

std::string_view dimension_name(Dimension dimension) {
  return facts_of(dimension).name;
}

std::string_view dimension_examples(Dimension dimension) {
  return facts_of(dimension).examples;
}

Range plausible_range(Dimension dimension) {
  return facts_of(dimension).plausible;
}

namespace quantity_detail {

const UnitRule& printed_unit(Dimension dimension) {
  for (const auto& rule : unit_rules()) {
    if (rule.dimension == dimension && rule.spelling == facts_of(dimension).printed) return rule;
  }
  throw std::logic_error("a dimension has no printed unit");
}

}  // namespace quantity_detail

}  // namespace nightbus
