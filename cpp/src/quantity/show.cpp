/// Rounded text for people. The number is rounded first and the prefix chosen afterwards, so that
/// 999.6 mΩ shows as "1 Ω" and never as "1000 mΩ".

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <span>
#include <string>

#include "nightbus/quantity.hpp"
#include "quantity/number.hpp"

namespace nightbus {

using namespace quantity_detail;

namespace {

struct Step {
  double size;  ///< of one shown unit, in inside units
  std::string_view unit;
};

using D = Dimension;

constexpr Step volts[] = {{1e-6, "µV"}, {1e-3, "mV"}, {1, "V"}, {1e3, "kV"}};
constexpr Step amps[] = {{1e-6, "µA"}, {1e-3, "mA"}, {1, "A"}, {1e3, "kA"}};
constexpr Step ohms[] = {{1e-6, "µΩ"}, {1e-3, "mΩ"}, {1, "Ω"}, {1e3, "kΩ"}, {1e6, "MΩ"}};
constexpr Step ohms_per_metre[] = {{1e-3, "mΩ/m"}, {1, "Ω/m"}};
constexpr Step farads[] = {{1e-12, "pF"}, {1e-9, "nF"}, {1e-6, "µF"}, {1e-3, "mF"}, {1, "F"}};
constexpr Step henries[] = {{1e-9, "nH"}, {1e-6, "µH"}, {1e-3, "mH"}, {1, "H"}};
constexpr Step watts[] = {{1e-3, "mW"}, {1, "W"}, {1e3, "kW"}, {1e6, "MW"}};
constexpr Step watt_hours[] = {{1e-3, "mWh"}, {1, "Wh"}, {1e3, "kWh"}, {1e6, "MWh"}};
constexpr Step amp_hours[] = {{1e-3, "mAh"}, {1, "Ah"}};
constexpr Step metres[] = {{1e-3, "mm"}, {1, "m"}, {1e3, "km"}};
constexpr Step joules_per_kelvin[] = {{1, "J/K"}, {1e3, "kJ/K"}, {1e6, "MJ/K"}};
constexpr Step volts_per_kelvin[] = {{1e-3, "mV/K"}, {1, "V/K"}};
constexpr Step pascals[] = {{1, "Pa"}, {1e2, "hPa"}};
constexpr Step square_metres[] = {{1e-4, "cm²"}, {1, "m²"}};
constexpr Step cubic_metres[] = {{1e-3, "L"}, {1, "m³"}};
constexpr Step kilograms[] = {{1e-3, "g"}, {1, "kg"}};
constexpr Step seconds[] = {{1e-6, "µs"}, {1e-3, "ms"}, {1, "s"}};
constexpr Step per_month[] = {{0.01 / 2629800.0, "%/month"}};
constexpr Step insolation[] = {{1e3, "kWh/m²/d"}};
constexpr Step air_flow[] = {{1.0 / 3600.0, "m³/h"}};
constexpr Step percent[] = {{0.01, "%"}};
constexpr Step percent_per_kelvin[] = {{0.01, "%/K"}};

std::span<const Step> ladder(Dimension dimension) {
  switch (dimension) {
    case D::ratio:
      return percent;
    case D::length:
      return metres;
    case D::surface:
      return square_metres;
    case D::volume:
      return cubic_metres;
    case D::mass:
      return kilograms;
    case D::time:
      return seconds;
    case D::voltage:
      return volts;
    case D::current:
      return amps;
    case D::resistance:
      return ohms;
    case D::resistance_per_length:
      return ohms_per_metre;
    case D::capacitance:
      return farads;
    case D::inductance:
      return henries;
    case D::power:
      return watts;
    case D::charge:
      return amp_hours;
    case D::energy:
      return watt_hours;
    case D::heat_capacity:
      return joules_per_kelvin;
    case D::air_flow:
      return air_flow;
    case D::pressure:
      return pascals;
    case D::voltage_per_kelvin:
      return volts_per_kelvin;
    case D::ratio_per_kelvin:
      return percent_per_kelvin;
    case D::ratio_per_time:
      return per_month;
    case D::insolation:
      return insolation;
    default:
      return {};
  }
}

/// "1 d 6 h", "3 h 25 min", "4 min 10 s": the two largest parts.
std::string show_long_time(double value) {
  const bool negative = value < 0;
  double rest = std::fabs(value);
  const Step parts[] = {{86400, "d"}, {3600, "h"}, {60, "min"}, {1, "s"}};
  std::size_t first = 0;
  while (rest < parts[first].size) ++first;
  // Rounding to the second part may fill up the first: 59 min 59.7 s is 1 h.
  const double grain = parts[std::min<std::size_t>(first + 1, 3)].size;
  rest = std::round(rest / grain) * grain;
  if (first > 0 && rest >= parts[first - 1].size) --first;
  const double whole = std::floor(rest / parts[first].size);
  const double next = std::round((rest - whole * parts[first].size) / grain);
  auto text = fmt::format("{}{:.0f} {}", negative ? "-" : "", whole, parts[first].unit);
  if (next > 0 && first < 3) text += fmt::format(" {:.0f} {}", next, parts[first + 1].unit);
  return text;
}

std::string joined(const std::string& number, std::string_view unit) {
  if (unit.empty()) return number;
  return number + (unit == "°" ? "" : " ") + std::string(unit);
}

/// A temperature is rounded to a place, not to figures: 36.67 °C and -0.04 °C both show one
/// decimal.
std::string show_temperature(double value, int digits, std::string_view unit) {
  auto text = fmt::format("{:.{}f}", value, std::clamp(digits - 2, 0, 6));
  if (text.find('.') != std::string::npos) {
    while (text.back() == '0') text.pop_back();
    if (text.back() == '.') text.pop_back();
  }
  return joined(text == "-0" ? "0" : text, unit);
}

}  // namespace

std::string show_quantity(double value, Dimension dimension, int digits) {
  if (std::isnan(value)) return "unknown";
  if (std::isinf(value)) return value > 0 ? "unlimited" : "unlimited, negative";
  if (dimension == D::temperature) return show_temperature(value, digits, "°C");
  if (dimension == D::time && std::fabs(value) >= 120.0) return show_long_time(value);
  const auto steps = ladder(dimension);
  if (value == 0.0) value = 0.0;  // no "-0"
  if (steps.empty()) return joined(round_decimal(value, digits), inside_unit(dimension));
  if (value == 0.0) {
    for (const auto& step : steps) {
      if (step.size == 1.0) return joined("0", step.unit);
    }
    return joined("0", steps.front().unit);
  }
  std::string number;
  std::string_view unit;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    number = round_decimal(value / steps[i].size, digits);
    unit = steps[i].unit;
    const bool fits = i + 1 == steps.size() ||
                      std::fabs(rounded_value(value / steps[i].size, digits)) * steps[i].size <
                          steps[i + 1].size * 0.999999;
    if (fits) break;
  }
  return joined(number, unit);
}

}  // namespace nightbus
