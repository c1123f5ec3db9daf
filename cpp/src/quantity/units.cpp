#include "quantity/units.hpp"

#include <numbers>

namespace nightbus::quantity_detail {

namespace {

using D = Dimension;

// Inch, foot, pound and US gallon: exact definitions (international yard and pound agreement, 1959;
// NIST Special Publication 811). A month is 365.25/12 days, a year 365.25 days.
constexpr double month_s = 2629800.0;
constexpr double year_s = 31557600.0;
constexpr double cmil_mm2 = std::numbers::pi / 4.0 * 0.0254 * 0.0254;

// The inside unit's preferred spelling stands first in its dimension.
constexpr UnitRule table[] = {
    {"", D::number},

    {"1", D::ratio},
    {"%", D::ratio, -2},
    {"percent", D::ratio, -2},
    {"‰", D::ratio, -3},
    {"ppm", D::ratio, -6},

    {"m", D::length},
    {"mm", D::length, -3},
    {"cm", D::length, -2},
    {"km", D::length, 3},
    {"ft", D::length, 0, 3048, 10000},
    {"in", D::length, 0, 254, 10000},
    {"yd", D::length, 0, 9144, 10000},
    {"'", D::length, 0, 3048, 10000},
    {"\"", D::length, 0, 254, 10000},
    {"foot", D::length, 0, 3048, 10000},
    {"feet", D::length, 0, 3048, 10000},
    {"inch", D::length, 0, 254, 10000},
    {"inches", D::length, 0, 254, 10000},
    {"metre", D::length},
    {"metres", D::length},
    {"meter", D::length},
    {"meters", D::length},

    {"mm²", D::area},
    {"cm²", D::area, 2},
    {"kcmil", D::area, 3, cmil_mm2},
    {"MCM", D::area, 3, cmil_mm2},
    {"cmil", D::area, 0, cmil_mm2},

    {"m²", D::surface},
    {"cm²", D::surface, -4},
    {"mm²", D::surface, -6},
    {"ft²", D::surface, 0, 3048.0 * 3048.0, 1e8},
    {"in²", D::surface, 0, 254.0 * 254.0, 1e8},

    {"m³", D::volume},
    {"L", D::volume, -3},
    {"dm³", D::volume, -3},
    {"cm³", D::volume, -6},
    {"ft³", D::volume, 0, 3048.0 * 3048.0 * 3048.0, 1e12},
    {"gal", D::volume, 0, 3785411784.0, 1e12},
    {"litre", D::volume, -3},
    {"litres", D::volume, -3},
    {"liter", D::volume, -3},
    {"liters", D::volume, -3},

    {"kg", D::mass},
    {"g", D::mass, -3},
    {"t", D::mass, 3},
    {"lb", D::mass, 0, 45359237.0, 1e8},
    {"lbs", D::mass, 0, 45359237.0, 1e8},
    {"oz", D::mass, 0, 45359237.0, 16e8},

    {"s", D::time},
    {"ms", D::time, -3},
    {"µs", D::time, -6},
    {"min", D::time, 0, 60},
    {"h", D::time, 0, 3600},
    {"d", D::time, 0, 86400},
    {"week", D::time, 0, 604800},
    {"month", D::time, 0, month_s},
    {"year", D::time, 0, year_s},
    {"sec", D::time},
    {"second", D::time},
    {"seconds", D::time},
    {"minute", D::time, 0, 60},
    {"minutes", D::time, 0, 60},
    {"hr", D::time, 0, 3600},
    {"hrs", D::time, 0, 3600},
    {"hour", D::time, 0, 3600},
    {"hours", D::time, 0, 3600},
    {"day", D::time, 0, 86400},
    {"days", D::time, 0, 86400},
    {"weeks", D::time, 0, 604800},
    {"months", D::time, 0, month_s},
    {"years", D::time, 0, year_s},

    {"°", D::angle},
    {"'", D::angle, 0, 1, 60},
    {"\"", D::angle, 0, 1, 3600},
    {"rad", D::angle, 0, 180, std::numbers::pi},
    {"degree", D::angle},
    {"degrees", D::angle},

    {"°C", D::temperature},
    {"°F", D::temperature, 0, 5, 9, -160},
    {"K", D::temperature, 2, 1, 100, -27315},
    {"C", D::temperature},
    {"F", D::temperature, 0, 5, 9, -160},
    {"celsius", D::temperature},
    {"fahrenheit", D::temperature, 0, 5, 9, -160},
    {"kelvin", D::temperature, 2, 1, 100, -27315},

    {"K", D::temperature_difference},
    {"°C", D::temperature_difference},
    {"°F", D::temperature_difference, 0, 5, 9},
    {"mK", D::temperature_difference, -3},
    {"C", D::temperature_difference},
    {"F", D::temperature_difference, 0, 5, 9},
    {"kelvin", D::temperature_difference},

    {"V", D::voltage},
    {"mV", D::voltage, -3},
    {"µV", D::voltage, -6},
    {"kV", D::voltage, 3},
    {"V DC", D::voltage},
    {"volt", D::voltage},
    {"volts", D::voltage},

    {"A", D::current},
    {"mA", D::current, -3},
    {"µA", D::current, -6},
    {"kA", D::current, 3},
    {"amp", D::current},
    {"amps", D::current},
    {"ampere", D::current},
    {"amperes", D::current},

    {"Ω", D::resistance},
    {"mΩ", D::resistance, -3},
    {"µΩ", D::resistance, -6},
    {"kΩ", D::resistance, 3},
    {"MΩ", D::resistance, 6},
    {"ohms", D::resistance},

    {"Ω/m", D::resistance_per_length},
    {"mΩ/m", D::resistance_per_length, -3},
    {"Ω/km", D::resistance_per_length, -3},
    {"Ω/100 m", D::resistance_per_length, -2},
    {"Ω/1000 m", D::resistance_per_length, -3},
    {"Ω/ft", D::resistance_per_length, 0, 10000, 3048},
    {"mΩ/ft", D::resistance_per_length, 0, 10, 3048},
    {"Ω/kft", D::resistance_per_length, 0, 10, 3048},
    {"Ω/1000 ft", D::resistance_per_length, 0, 10, 3048},

    {"F", D::capacitance},
    {"mF", D::capacitance, -3},
    {"µF", D::capacitance, -6},
    {"nF", D::capacitance, -9},
    {"pF", D::capacitance, -12},

    {"H", D::inductance},
    {"mH", D::inductance, -3},
    {"µH", D::inductance, -6},
    {"nH", D::inductance, -9},

    {"W", D::power},
    {"mW", D::power, -3},
    {"kW", D::power, 3},
    {"MW", D::power, 6},
    {"watt", D::power},
    {"watts", D::power},
    {"BTU/h", D::power, 0, 29307107.0, 1e8},

    {"Ah", D::charge},
    {"mAh", D::charge, -3},
    {"kAh", D::charge, 3},
    {"As", D::charge, 0, 1, 3600},

    {"Wh", D::energy},
    {"mWh", D::energy, -3},
    {"kWh", D::energy, 3},
    {"MWh", D::energy, 6},
    {"J", D::energy, 0, 1, 3600},
    {"kJ", D::energy, 3, 1, 3600},
    {"MJ", D::energy, 6, 1, 3600},

    {"A²s", D::melting_integral},
    {"kA²s", D::melting_integral, 3},

    {"W/K", D::thermal_conductance},
    {"mW/K", D::thermal_conductance, -3},
    {"kW/K", D::thermal_conductance, 3},
    {"W/°C", D::thermal_conductance},
    {"W/°F", D::thermal_conductance, 0, 9, 5},

    {"W/(m²·K)", D::heat_transmittance},
    {"W/m²/K", D::heat_transmittance},
    {"W/(m²·°C)", D::heat_transmittance},

    {"J/K", D::heat_capacity},
    {"kJ/K", D::heat_capacity, 3},
    {"MJ/K", D::heat_capacity, 6},
    {"Wh/K", D::heat_capacity, 0, 3600},
    {"J/°C", D::heat_capacity},
    {"kJ/°C", D::heat_capacity, 3},

    {"m³/s", D::air_flow},
    {"m³/h", D::air_flow, 0, 1, 3600},
    {"m³/min", D::air_flow, 0, 1, 60},
    {"L/s", D::air_flow, -3},
    {"L/min", D::air_flow, 0, 1, 60e3},
    {"CFM", D::air_flow, 0, 28316846592.0, 60e12},
    {"ft³/min", D::air_flow, 0, 28316846592.0, 60e12},

    {"W/m²", D::irradiance},
    {"kW/m²", D::irradiance, 3},

    {"Pa", D::pressure},
    {"hPa", D::pressure, 2},
    {"kPa", D::pressure, 3},
    {"mbar", D::pressure, 2},
    {"bar", D::pressure, 5},
    {"mmH2O", D::pressure, 0, 980665.0, 1e5},
    {"inH2O", D::pressure, 0, 24908891.0, 1e5},

    {"m/s", D::speed},
    {"km/h", D::speed, 0, 10, 36},
    {"mph", D::speed, 0, 1609344, 3600000},
    {"kn", D::speed, 0, 1852, 3600},
    {"ft/s", D::speed, 0, 3048, 10000},

    {"V/K", D::voltage_per_kelvin},
    {"mV/K", D::voltage_per_kelvin, -3},
    {"V/°C", D::voltage_per_kelvin},
    {"mV/°C", D::voltage_per_kelvin, -3},

    {"1/K", D::ratio_per_kelvin},
    {"%/K", D::ratio_per_kelvin, -2},
    {"ppm/K", D::ratio_per_kelvin, -6},
    {"/K", D::ratio_per_kelvin},
    {"%/°C", D::ratio_per_kelvin, -2},
    {"1/°C", D::ratio_per_kelvin},
    {"ppm/°C", D::ratio_per_kelvin, -6},

    {"1/s", D::ratio_per_time},
    {"%/month", D::ratio_per_time, 0, 1, 100 * month_s},
    {"%/year", D::ratio_per_time, 0, 1, 100 * year_s},
    {"%/week", D::ratio_per_time, 0, 1, 100 * 604800},
    {"%/d", D::ratio_per_time, 0, 1, 100 * 86400},
    {"%/day", D::ratio_per_time, 0, 1, 100 * 86400},
    {"%/h", D::ratio_per_time, 0, 1, 100 * 3600},
    {"1/h", D::ratio_per_time, 0, 1, 3600},
    {"1/d", D::ratio_per_time, 0, 1, 86400},

    {"Wh/m²/d", D::insolation},
    {"kWh/m²/d", D::insolation, 3},
    {"kWh/m²/day", D::insolation, 3},
    {"Wh/m²/day", D::insolation},
    {"kWh/m²", D::insolation, 3},
    {"Wh/m²", D::insolation},
    {"h", D::insolation, 3},
    {"h/d", D::insolation, 3},
    {"sun hours", D::insolation, 3},
    {"peak sun hours", D::insolation, 3},
    {"MJ/m²/d", D::insolation, 6, 1, 3600},
};

}  // namespace

std::span<const UnitRule> unit_rules() {
  return table;
}

}  // namespace nightbus::quantity_detail
