#include <doctest/doctest.h>

#include <stdexcept>
#include <string>
#include <string_view>

#include "nightbus/quantity.hpp"

using namespace nightbus;
using D = Dimension;

namespace {

struct Reads {
  std::string_view text;
  D dimension;
  double value;
};

struct Refuses {
  std::string_view text;
  D dimension;
  std::string_view seen;  ///< must stand in the problem's `seen`
  std::string_view mend;  ///< must stand in the problem's `mend`
};

template <std::size_t N>
void check_all(const Reads (&rows)[N]) {
  for (const auto& row : rows) {
    CAPTURE(row.text);
    const auto parsed = parse_quantity(row.text, row.dimension);
    if (!parsed) FAIL_CHECK(describe(parsed.problem));
    if (parsed) CHECK(*parsed == row.value);  // the same double, not a near one
  }
}

template <std::size_t N>
void check_all(const Refuses (&rows)[N]) {
  for (const auto& row : rows) {
    CAPTURE(row.text);
    const auto parsed = parse_quantity(row.text, row.dimension);
    REQUIRE_FALSE(parsed);
    const auto& problem = parsed.problem;
    CAPTURE(problem.seen);
    CAPTURE(problem.mend);
    CHECK(problem.seen.find(row.seen) != std::string::npos);
    CHECK(problem.mend.find(row.mend) != std::string::npos);
    CHECK_FALSE(problem.expected.empty());
    CHECK(problem.offset + problem.length <= row.text.size());
  }
}

}  // namespace

TEST_CASE("what people write is read to the exact double") {
  check_all({
      {"12 ft", D::length, 3.6576},
      {"3.6 m", D::length, 3.6},
      {"12'", D::length, 3.6576},
      {"7 in", D::length, 0.1778},
      {"7\"", D::length, 0.1778},
      {"5' 6\"", D::length, 1.6764},
      {"5 ft 6 in", D::length, 1.6764},
      {"1 m 20 cm", D::length, 1.2},
      {"250mm", D::length, 0.25},
      {"40 feet", D::length, 12.192},
      {"2.5 mm2", D::area, 2.5},
      {"2.5 mm²", D::area, 2.5},
      {"2.5 mm^2", D::area, 2.5},
      {"55 degC", D::temperature, 55.0},
      {"55 °C", D::temperature, 55.0},
      {"55°C", D::temperature, 55.0},
      {"-40 °F", D::temperature, -40.0},
      {"32 °F", D::temperature, 0.0},
      {"212 °F", D::temperature, 100.0},
      {"300.15 K", D::temperature, 27.0},
      {"68 F", D::temperature, 20.0},
      {"18 °F", D::temperature_difference, 10.0},
      {"18 K", D::temperature_difference, 18.0},
      {"18 °C", D::temperature_difference, 18.0},
      {"7.5 A", D::current, 7.5},
      {"7.5A", D::current, 7.5},
      {"350 mA", D::current, 0.35},
      {"100 Ah", D::charge, 100.0},
      {"2300 mAh", D::charge, 2.3},
      {"1.3 kWh", D::energy, 1300.0},
      {"3.6 MJ", D::energy, 1000.0},
      {"15 W", D::power, 15.0},
      {"1.2 kW", D::power, 1200.0},
      {"20 mOhm", D::resistance, 0.02},
      {"20 mΩ", D::resistance, 0.02},
      {"20 m\u2126", D::resistance, 0.02},
      {"20 mohm", D::resistance, 0.02},
      {"300 µΩ", D::resistance, 0.0003},
      {"300 \u03BC\u03A9", D::resistance, 0.0003},
      {"0.1 mOhm", D::resistance, 0.0001},
      {"2 MOhm", D::resistance, 2e6},
      {"9.38 Ohm/100 m", D::resistance_per_length, 0.0938},
      {"9.38 Ω / 100 m", D::resistance_per_length, 0.0938},
      {"7.41 Ω/km", D::resistance_per_length, 0.00741},
      {"1 d 6 h", D::time, 108000.0},
      {"1d6h", D::time, 108000.0},
      {"90 min", D::time, 5400.0},
      {"1 h 30 min 15 s", D::time, 5415.0},
      {"20 ms", D::time, 0.02},
      {"3 %", D::ratio, 0.03},
      {"7 %", D::ratio, 0.07},
      {"0.03", D::ratio, 0.03},
      {"29 percent", D::ratio, 0.29},
      {"4 W/K", D::thermal_conductance, 4.0},
      {"4 W/°C", D::thermal_conductance, 4.0},
      {"5.7 W/(m²·K)", D::heat_transmittance, 5.7},
      {"5.7 W/m2K", D::heat_transmittance, 5.7},
      {"25 kJ/K", D::heat_capacity, 25000.0},
      {"120 m3/h", D::air_flow, 120.0 / 3600.0},
      {"36 m³/h", D::air_flow, 0.01},
      {"1 CFM", D::air_flow, 28316846592.0 / 60e12},
      {"1000 W/m²", D::irradiance, 1000.0},
      {"8500 A2s", D::melting_integral, 8500.0},
      {"8500 A²s", D::melting_integral, 8500.0},
      {"-18 mV/K", D::voltage_per_kelvin, -0.018},
      {"-0.35 %/K", D::ratio_per_kelvin, -0.0035},
      {"3 %/month", D::ratio_per_time, 3.0 / 262980000.0},
      {"3.5 h", D::insolation, 3500.0},
      {"3.5 kWh/m²", D::insolation, 3500.0},
      {"3.5 peak sun hours", D::insolation, 3500.0},
      {"47.5°", D::angle, 47.5},
      {"36° 6' N", D::angle, 36.1},
      {"36 N", D::angle, 36.0},
      {"79.95 W", D::angle, -79.95},
      {"79°57'0\" W", D::angle, -79.95},
      {"470 µF", D::capacitance, 0.00047},
      {"470 uF", D::capacitance, 0.00047},
      {"1013.25 hPa", D::pressure, 101325.0},
      {"36 km/h", D::speed, 10.0},
      {"  12.8   V  ", D::voltage, 12.8},
      {"+12.8V", D::voltage, 12.8},
      {"\u22125 V", D::voltage, -5.0},
      {".5 V", D::voltage, 0.5},
      {"5. V", D::voltage, 5.0},
      {"1.28e1 V", D::voltage, 12.8},
      {"1.5E-3 V", D::voltage, 0.0015},
      {"12\u00A0V", D::voltage, 12.0},
      {"12\u202FV", D::voltage, 12.0},
      {"12 v", D::voltage, 12.0},
      {"12 VDC", D::voltage, 12.0},
      {"100 ah", D::charge, 100.0},
      {"3", D::number, 3.0},
      {"0 m", D::length, 0.0},
      {"3.0000000000000000000000000000000001 m", D::length, 3.0},
  });
}

TEST_CASE("a plain number takes the field's own unit") {
  CHECK(*parse_quantity("12", D::length) == 12.0);
  CHECK(*parse_quantity("12", D::length, "ft") == 3.6576);
  CHECK(*parse_quantity("98.6", D::temperature, "°F") == 37.0);
  CHECK(*parse_quantity("20", D::resistance, "mΩ") == 0.02);
  CHECK(*parse_quantity("20", D::resistance, "mOhm") == 0.02);
  CHECK(*parse_quantity("12 m", D::length, "ft") == 12.0);
  CHECK(*quantity_of_number(12.0, D::length, "ft") == 3.6576);
  CHECK(*quantity_of_number(20.0, D::resistance, "mΩ") == 0.02);
  CHECK(*quantity_of_number(0.1, D::resistance, "mΩ") == 0.0001);
  CHECK(*quantity_of_number(-40.0, D::temperature, "°F") == -40.0);
  CHECK_THROWS_AS((void)parse_quantity("12", D::length, "V"), std::invalid_argument);
}

TEST_CASE("a wrong dimension says what was seen and what was expected") {
  const auto parsed = parse_quantity("12 V", D::length);
  REQUIRE_FALSE(parsed);
  CHECK(parsed.problem.seen == "\"12 V\" is a voltage");
  CHECK(parsed.problem.expected == "a length such as \"12 ft\" or \"3.6 m\"");
  CHECK(describe(parsed.problem) ==
        "\"12 V\" is a voltage; expected a length such as \"12 ft\" or \"3.6 m\"");
  check_all({
      {"12 ft", D::voltage, "is a length", ""},
      {"3 A", D::power, "is a current", "volts times amperes"},
      {"500 Wh", D::charge, "is an energy", "nominal volts"},
      {"7 %", D::current, "is a ratio", ""},
      {"20 mOhm", D::voltage, "is a resistance", ""},
      {"5 °C", D::current, "is a temperature", ""},
      {"10 W/K", D::power, "is a thermal conductance", ""},
      {"3 h", D::length, "is a duration", ""},
  });
}

TEST_CASE("an unknown unit gets the nearest spelling of the right dimension") {
  check_all({
      {"12 fet", D::length, "unknown unit \"fet\"", "did you mean \"ft\"?"},
      {"12 mtres", D::length, "unknown unit \"mtres\"", "did you mean \"metres\"?"},
      {"12 volst", D::voltage, "unknown unit \"volst\"", "did you mean \"volts\"?"},
      {"12 kWhr", D::energy, "unknown unit \"kWhr\"", "did you mean \"kWh\"?"},
      {"20 mOhn", D::resistance, "unknown unit \"mOhn\"", "did you mean \"mΩ\"?"},
      {"12 %/moth", D::ratio_per_time, "unknown unit", "did you mean \"%/month\"?"},
      {"5 Mm", D::length, "unknown unit \"Mm\"", "did you mean \"mm\"?"},
      {"12 parsecs", D::length, "unknown unit \"parsecs\"", "units known here: m, mm, cm, km, ft"},
      {"12 Ж", D::voltage, "unknown unit \"Ж\"", "units known here"},
  });
}

TEST_CASE("what is not a number is named") {
  check_all({
      {"", D::length, "an empty text", "write \"12 ft\""},
      {"   ", D::length, "an empty text", "write"},
      {"ft", D::length, "a unit without a number", "3 ft"},
      {"long", D::length, "no number at its start", "write \"12 ft\""},
      {"about 3 m", D::length, "no number", "write"},
      {"nan V", D::voltage, "not a value that can be built", "leave the field out"},
      {"NaN", D::voltage, "not a value that can be built", "leave the field out"},
      {"inf A", D::current, "not a value that can be built", "leave the field out"},
      {"-infinity", D::current, "not a value that can be built", "leave the field out"},
      {"-", D::current, "no number", ""},
      {".", D::current, "no number", ""},
      {"0x10 V", D::voltage, "unknown unit", ""},
      {"--5 V", D::voltage, "no number", ""},
      {"12 V extra", D::voltage, "\"extra\" after a complete value", "leave out"},
      {"12 V 3 V", D::voltage, "after a complete value", ""},
      {"3 apples", D::number, "after the number", "no unit"},
      {"1 h 5", D::time, "the last number has no unit", "give it one"},
      {"6 h 1 d", D::time, "after a smaller or equal unit", "largest unit first"},
      {"1 h 1 h", D::time, "after a smaller or equal unit", "largest unit first"},
      {"1 h -5 min", D::time, "after a complete value", ""},
      {"-36 S", D::angle, "both a sign and a compass letter", "one of them"},
  });
}

TEST_CASE("commas, gaps and fractions inside numbers are refused with the right spelling") {
  check_all({
      {"2,5 mm2", D::area, "a decimal comma", "write \"2.5\""},
      {"12,75 V", D::voltage, "a decimal comma", "write \"12.75\""},
      {"-3,5 V", D::voltage, "a decimal comma", "write \"-3.5\""},
      {"1,500 W", D::power, "a comma inside a number", "write \"1500\", or \"1.500\""},
      {"1,500,000 W", D::power, "a comma inside a number", "write \"1500000\""},
      {"1 500 W", D::power, "digits in groups", "write \"1500\""},
      {"1\u202F500 W", D::power, "digits in groups", "write \"1500\""},
      {"1_500 W", D::power, "digits in groups", "write \"1500\""},
      {"1'500 W", D::power, "digits in groups", "write \"1500\""},
      {"3/8 in", D::length, "a fraction", "decimal point"},
  });
}

TEST_CASE("absurd magnitudes are refused with the bounds") {
  check_all({
      {"11 km", D::length, "more than a length can be", "from 0 m to 10 km"},
      {"-1 m", D::length, "a length cannot be negative", "from 0 m"},
      {"1e9 A", D::current, "more than a current can be", "100 kA"},
      {"-1 h", D::time, "a duration cannot be negative", "from 0 s to 36525 d"},
      {"-1e9 A", D::current, "less than a current can be", "100 kA"},
      {"1e400 V", D::voltage, "more than a voltage can be", ""},
      {"-300 °C", D::temperature, "less than a temperature can be", "from -100 °C"},
      {"-2 Ah", D::charge, "a charge cannot be negative", ""},
      {"99999999999999999999999999999999 W", D::power, "more than a power can be", ""},
  });
  CHECK(*parse_quantity("1e-400 V", D::voltage) == 0.0);
  CHECK_FALSE(parse_quantity("1e99999999999999999999 V", D::voltage));
}

TEST_CASE("a field may set its own bounds") {
  CHECK(*parse_quantity("-86 m", D::length, {}, Range{-450, 9000}) == -86.0);
  CHECK_FALSE(parse_quantity("9001 m", D::length, {}, Range{-450, 9000}));
  CHECK_FALSE(quantity_of_number(-1.0, D::length));
  CHECK_FALSE(quantity_of_number(1e300, D::length));
}

TEST_CASE("the place of a problem is given in bytes of the text as written") {
  const std::string_view text = "20 µΩhm";
  const auto parsed = parse_quantity(text, D::resistance);
  REQUIRE_FALSE(parsed);
  CHECK(text.substr(parsed.problem.offset, parsed.problem.length) == "µΩhm");
  const std::string_view comma = "  2,5 mm²";
  const auto second = parse_quantity(comma, D::area);
  REQUIRE_FALSE(second);
  CHECK(comma.substr(second.problem.offset, second.problem.length) == "2,5");
}

TEST_CASE("control characters never reach a message raw") {
  const auto parsed = parse_quantity("12 \x1b[31mV", D::voltage);
  REQUIRE_FALSE(parsed);
  CHECK(describe(parsed.problem).find('\x1b') == std::string::npos);
  CHECK(parsed.problem.seen.find("\\x1b") != std::string::npos);
}

TEST_CASE("windows are read with the unit given once or twice") {
  struct Row {
    std::string_view text;
    D dimension;
    Range range;
  };
  const Row rows[] = {
      {"8 V to 30 V", D::voltage, {8, 30}},
      {"8 to 30 V", D::voltage, {8, 30}},
      {"8..30 V", D::voltage, {8, 30}},
      {"8 V .. 30 V", D::voltage, {8, 30}},
      {"8-30 V", D::voltage, {8, 30}},
      {"8 \u2013 30 V", D::voltage, {8, 30}},
      {"8 V TO 30 V", D::voltage, {8, 30}},
      {"10 to 30", D::voltage, {10, 30}},
      {"900 mV to 1 V", D::voltage, {0.9, 1}},
      {"-20 to 60 °C", D::temperature, {-20, 60}},
      {"-20 °C - -10 °C", D::temperature, {-20, -10}},
      {"32 to 212 °F", D::temperature, {0, 100}},
      {"1e-3..2e-3 V", D::voltage, {0.001, 0.002}},
      {"1e-3-2e-3 V", D::voltage, {0.001, 0.002}},
      {"10 % to 90 %", D::ratio, {0.1, 0.9}},
      {"1 d 6 h to 2 d", D::time, {108000, 172800}},
      {"12 V to 12 V", D::voltage, {12, 12}},
  };
  for (const auto& row : rows) {
    CAPTURE(row.text);
    const auto parsed = parse_range(row.text, row.dimension);
    if (!parsed) FAIL_CHECK(describe(parsed.problem));
    if (parsed) CHECK(*parsed == row.range);
  }
}

TEST_CASE("broken windows are refused") {
  struct Row {
    std::string_view text;
    std::string_view seen;
    std::string_view mend;
  };
  const Row rows[] = {
      {"", "an empty text", "both ends"},
      {"12 V", "only one end", "both ends with \"to\""},
      {"30 V to 8 V", "the first end lies above the second", "write \"8 V to 30 V\""},
      {"8 V to", "only one end", ""},
      {"8 to 30 ft", "is a length", ""},
      {"8 ft to 30 V", "is a length", ""},
      {"8 V to 30 Vv", "unknown unit \"Vv\"", "\"V\""},
      {"a to b", "no number", ""},
      {"8 V to 1e9 V", "more than a voltage can be", ""},
  };
  for (const auto& row : rows) {
    CAPTURE(row.text);
    const auto parsed = parse_range(row.text, D::voltage);
    REQUIRE_FALSE(parsed);
    CAPTURE(parsed.problem.seen);
    CAPTURE(parsed.problem.mend);
    CHECK(parsed.problem.seen.find(row.seen) != std::string::npos);
    CHECK(parsed.problem.mend.find(row.mend) != std::string::npos);
    CHECK(parsed.problem.offset + parsed.problem.length <= row.text.size());
  }
}
