#pragma once
/// What people write, turned into SI doubles once, and back into text that reads to the same
/// double.
///
///   parse_quantity("12 ft", Dimension::length)            -> 3.6576
///   parse_quantity("98 °F", Dimension::temperature)       -> 36.666...
///   parse_quantity("18", Dimension::temperature_difference) -> 18 (plain numbers use the field's
///   unit) parse_size("4/0 AWG")                                  -> {awg, -3}
///
/// A temperature is not a temperature difference: only the first has an offset.

#include <compare>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace nightbus {

/// Each dimension has exactly one inside unit, given on the right.
enum class Dimension {
  number,                  ///< plain number
  ratio,                   ///< 1 ("3 %" -> 0.03; a plain number is a ratio)
  length,                  ///< m
  area,                    ///< mm² of conductor, or use Dimension::surface
  surface,                 ///< m²
  volume,                  ///< m³
  mass,                    ///< kg
  time,                    ///< s ("1 d 6 h" -> 108000)
  angle,                   ///< degree
  temperature,             ///< °C
  temperature_difference,  ///< K
  voltage,                 ///< V
  current,                 ///< A
  resistance,              ///< Ω
  resistance_per_length,   ///< Ω/m ("9.38 Ohm/100 m" -> 0.0938)
  capacitance,             ///< F
  inductance,              ///< H
  power,                   ///< W
  charge,                  ///< Ah
  energy,                  ///< Wh
  melting_integral,        ///< A²s
  thermal_conductance,     ///< W/K
  heat_transmittance,      ///< W/(m²·K)
  heat_capacity,           ///< J/K
  air_flow,                ///< m³/s
  irradiance,              ///< W/m²
  pressure,                ///< Pa
  speed,                   ///< m/s
  voltage_per_kelvin,      ///< V/K
  ratio_per_kelvin,        ///< 1/K ("-0.35 %/K" -> -0.0035)
  ratio_per_time,          ///< 1/s ("3 %/month" -> 1.1408e-8; a month is 365.25/12 days)
  insolation,              ///< Wh/m² per day ("3.5 h" of peak sun reads as 3500)
};

/// One spelling of one unit of one dimension: inside = written * scale + offset.
struct Unit {
  std::string_view spelling;
  Dimension dimension;
  double scale;  ///< inside = written × scale + offset
  double offset;
};

/// All spellings known, the preferred spelling of each dimension's inside unit first.
const std::vector<Unit>& units();

/// Preferred spelling of the inside unit ("m", "mm²", "°C", "Ω"), and what to call the dimension
/// ("a length").
std::string_view inside_unit(Dimension dimension);
std::string_view dimension_name(Dimension dimension);

/// Two ready-made examples for messages: "\"12 ft\" or \"3.6 m\"".
std::string_view dimension_examples(Dimension dimension);

/// Why a text could not be read; `offset` and `length` point into the text that was given.
struct QuantityProblem {
  std::string expected;    ///< "a length such as \"12 ft\" or \"3.6 m\""
  std::string seen;        ///< "\"12 fet\": unknown unit \"fet\""
  std::string mend;        ///< "did you mean \"ft\"?"; empty when nothing is near
  std::size_t offset = 0;  ///< bytes from the text's start
  std::size_t length = 0;
  /// Stable: empty, no-number, number-mark, unknown-unit, wrong-dimension, trailing, out-of-bounds,
  /// order (of a window or of the parts of a duration), size.
  std::string_view code = {};
};

/// The three parts as one line: "\"12 V\" is a voltage; expected a length such as …; did you mean
/// …".
std::string describe(const QuantityProblem& problem);

/// A value, or the reason why there is none.
template <class T>
struct Parsed {
  std::optional<T> value;  ///< empty: see `problem`
  QuantityProblem problem;

  explicit operator bool() const { return value.has_value(); }
  const T& operator*() const { return *value; }
  const T* operator->() const { return &*value; }
};

/// Two ends of a window, `low <= high`, in the dimension's inside unit.
struct Range {
  double low = 0.0;
  double high = 0.0;
  friend bool operator==(const Range&, const Range&) = default;
};

/// Beyond these bounds, in the inside unit, a slip of the pen is more likely than the value: no
/// cable is 10 km long and none is shorter than nothing.
Range plausible_range(Dimension dimension);

/// Reads a number with a unit. `plain_unit` is the unit of a number written without one (the
/// field's own unit); empty means the dimension's inside unit. `allowed` replaces
/// plausible_range(dimension), as for an altitude below the sea. Durations, lengths and angles may
/// have several parts ("1 d 6 h", "5' 6\"", "36° 6' N"). Throws std::invalid_argument when
/// plain_unit is no unit of the dimension.
Parsed<double> parse_quantity(std::string_view text, Dimension dimension,
                              std::string_view plain_unit = {}, std::optional<Range> allowed = {});

/// The same for a number that came without text, from TOML or from code.
Parsed<double> quantity_of_number(double number, Dimension dimension,
                                  std::string_view plain_unit = {},
                                  std::optional<Range> allowed = {});

/// Reads "8 V to 30 V", "8 to 30 V", "8..30 V", "8-30 V"; a unit given once counts for both ends.
Parsed<Range> parse_range(std::string_view text, Dimension dimension,
                          std::string_view plain_unit = {}, std::optional<Range> allowed = {});

/// Short text that reads back to exactly the same double: "3.6576 m", "1 d 6 h", "3 %", "98 °F".
std::string print_quantity(double value, Dimension dimension);
std::string print_range(const Range& range, Dimension dimension);

/// Rounded text for people: `digits` significant figures and a readable prefix ("2.31 mΩ", "1.3
/// kWh"); temperatures to digits - 2 places, durations to two parts. Infinity is "unlimited".
std::string show_quantity(double value, Dimension dimension, int digits = 3);

/// How conductor sizes are named. The systems are distinct: SAE 12 has 11 % less copper than
/// AWG 12.
enum class SizeSystem { metric, awg, sae, kcmil };

/// A trade size. `number` is the mm² label (metric), the gauge with 1/0 = 0, 2/0 = -1, 4/0 = -3
/// (awg, sae), or the kcmil value.
struct ConductorSize {
  SizeSystem system = SizeSystem::metric;
  double number = 0.0;  ///< mm² label, gauge (1/0 is 0, 4/0 is -3) or kcmil
  friend bool operator==(const ConductorSize&, const ConductorSize&) = default;
};

/// Reads "18 AWG", "4/0 AWG", "AWG 12", "12 SAE", "2.5 mm2", "2.5 mm²", "250 kcmil".
Parsed<ConductorSize> parse_size(std::string_view text);
std::string print_size(const ConductorSize& size);  ///< "4/0 AWG", "2.5 mm²", "250 kcmil", "12 SAE"

/// Geometric area in mm²: AWG by formula (ASTM B258), metric the label, kcmil by definition. SAE
/// sizes follow no formula: std::invalid_argument, ask the catalogue.
double nominal_area_mm2(const ConductorSize& size);

/// The candidates nearest in spelling to `word` (Damerau–Levenshtein; about a third of its letters
/// may be wrong, case and -_ do not count), best first; used for every "did you mean".
std::vector<std::string> near_misses(std::string_view word,
                                     const std::vector<std::string>& candidates,
                                     std::size_t most = 3);

}  // namespace nightbus
