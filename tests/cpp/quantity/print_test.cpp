#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <random>
#include <set>
#include <string>
#include <string_view>

#include "nightbus/quantity.hpp"

using namespace nightbus;
using D = Dimension;

namespace {

constexpr int dimension_count = static_cast<int>(D::insolation) + 1;

/// A value the parser accepts, spread evenly over magnitudes, both signs where both make sense.
double random_value(std::mt19937_64& generator, const Range& bounds) {
  const double largest = std::max(std::fabs(bounds.low), std::fabs(bounds.high));
  std::uniform_real_distribution<double> decade(-9.0, std::log10(largest));
  double value = std::pow(10.0, decade(generator));
  if (bounds.low < 0 && (generator() & 1U) != 0) value = -value;
  return std::clamp(value, bounds.low, bounds.high);
}

void check_round_trip(double value, D dimension) {
  const auto text = print_quantity(value, dimension);
  CAPTURE(text);
  const auto back = parse_quantity(text, dimension);
  if (!back) FAIL_CHECK(describe(back.problem));
  if (back) CHECK(*back == value);
}

}  // namespace

TEST_CASE("print then parse gives the same double, for every dimension and magnitude") {
  std::mt19937_64 generator(20240611);
  for (int i = 0; i < dimension_count; ++i) {
    const auto dimension = static_cast<D>(i);
    CAPTURE(dimension_name(dimension));
    const auto bounds = plausible_range(dimension);
    for (int n = 0; n < 500; ++n) check_round_trip(random_value(generator, bounds), dimension);
    check_round_trip(0.0, dimension);
    check_round_trip(bounds.high, dimension);
    if (std::isfinite(bounds.low)) check_round_trip(bounds.low, dimension);
    check_round_trip(std::numeric_limits<double>::min(), dimension);
    check_round_trip(std::numeric_limits<double>::denorm_min(), dimension);
  }
}

TEST_CASE("a value written in any known unit survives print and parse") {
  std::mt19937_64 generator(7);
  std::set<D> seen;
  for (const auto& unit : units()) {
    if (unit.spelling.empty()) continue;
    seen.insert(unit.dimension);
    for (int n = 0; n < 25; ++n) {
      std::uniform_int_distribution<int> mantissa(1, 99999);
      std::uniform_int_distribution<int> places(0, 4);
      const int digits = mantissa(generator);
      const double number = digits / std::pow(10.0, places(generator));
      std::string text = std::to_string(number) + " " + std::string(unit.spelling);
      CAPTURE(text);
      const auto value = parse_quantity(text, unit.dimension, {}, Range{-1e300, 1e300});
      if (!value) FAIL_CHECK(describe(value.problem));
      if (!value) continue;
      const double expected = std::stod(text) * unit.scale + unit.offset;
      CHECK(*value == doctest::Approx(expected).epsilon(1e-12));
      const auto printed = print_quantity(*value, unit.dimension);
      CAPTURE(printed);
      const auto back = parse_quantity(printed, unit.dimension, {}, Range{-1e300, 1e300});
      REQUIRE(back);
      CHECK(*back == *value);
    }
  }
  CHECK(seen.size() == dimension_count - 1);  // all but the plain number have units
}

TEST_CASE("windows round-trip too") {
  std::mt19937_64 generator(11);
  for (int i = 0; i < dimension_count; ++i) {
    const auto dimension = static_cast<D>(i);
    for (int n = 0; n < 60; ++n) {
      double low = random_value(generator, plausible_range(dimension));
      double high = random_value(generator, plausible_range(dimension));
      if (low > high) std::swap(low, high);
      const auto text = print_range({low, high}, dimension);
      CAPTURE(text);
      const auto back = parse_range(text, dimension);
      if (!back) FAIL_CHECK(describe(back.problem));
      if (back) CHECK(*back == Range{low, high});
    }
  }
}

TEST_CASE("exact text is short and in the trade's spelling") {
  struct Row {
    double value;
    D dimension;
    std::string_view text;
  };
  const Row rows[] = {
      {3.6576, D::length, "3.6576 m"},
      {108000, D::time, "1 d 6 h"},
      {5415, D::time, "1 h 30 min 15 s"},
      {-3600, D::time, "-1 h"},
      {0.5, D::time, "0.5 s"},
      {45, D::time, "45 s"},
      {0.03, D::ratio, "3 %"},
      {0.07, D::ratio, "7 %"},
      {0.29, D::ratio, "29 %"},
      {0.0001, D::resistance, "0.0001 Ω"},
      {1e-7, D::resistance, "1e-7 Ω"},
      {36.1, D::angle, "36.1°"},
      {(98.0 * 5 - 160) / 9, D::temperature, "98 °F"},
      {120.0 / 3600, D::air_flow, "120 m³/h"},
      {3.0 / 262980000.0, D::ratio_per_time, "3 %/month"},
      {3500, D::insolation, "3.5 kWh/m²/d"},
      {-0.0035, D::ratio_per_kelvin, "-0.35 %/K"},
      {12.8, D::voltage, "12.8 V"},
      {1e6, D::power, "1000000 W"},
      {7, D::number, "7"},
      {0, D::voltage, "0 V"},
  };
  for (const auto& row : rows) CHECK(print_quantity(row.value, row.dimension) == row.text);
}

TEST_CASE("rounded text reads well") {
  struct Row {
    double value;
    D dimension;
    int digits;
    std::string_view text;
  };
  const Row rows[] = {
      {0.0023149, D::resistance, 3, "2.31 mΩ"},
      {1300, D::energy, 3, "1.3 kWh"},
      {0.9996, D::resistance, 3, "1 Ω"},
      {0.9994, D::resistance, 3, "999 mΩ"},
      {12.847, D::voltage, 3, "12.8 V"},
      {12.847, D::voltage, 4, "12.85 V"},
      {0.366, D::voltage, 3, "366 mV"},
      {1024, D::current, 3, "1.02 kA"},
      {0.1778, D::length, 3, "178 mm"},
      {3.6576, D::length, 3, "3.66 m"},
      {0.0345, D::ratio, 3, "3.45 %"},
      {36.6667, D::temperature, 3, "36.7 °C"},
      {104.04, D::temperature, 3, "104 °C"},
      {-0.04, D::temperature, 3, "0 °C"},
      {108000, D::time, 3, "1 d 6 h"},
      {12300, D::time, 3, "3 h 25 min"},
      {250, D::time, 3, "4 min 10 s"},
      {3599.7, D::time, 3, "1 h"},
      {86399, D::time, 3, "1 d"},
      {0.065, D::time, 3, "65 ms"},
      {1.0 / 30, D::air_flow, 3, "120 m³/h"},
      {8500, D::melting_integral, 3, "8500 A²s"},
      {8512.7, D::melting_integral, 3, "8510 A²s"},
      {0, D::voltage, 3, "0 V"},
      {-0.0, D::voltage, 3, "0 V"},
      {-3.14159, D::current, 3, "-3.14 A"},
      {2.5, D::area, 3, "2.5 mm²"},
      {1e-9, D::voltage, 3, "0.001 µV"},
      {47.123, D::angle, 4, "47.12°"},
      {4200, D::insolation, 3, "4.2 kWh/m²/d"},
  };
  for (const auto& row : rows)
    CHECK(show_quantity(row.value, row.dimension, row.digits) == row.text);
  CHECK(show_quantity(std::numeric_limits<double>::infinity(), D::time) == "unlimited");
  CHECK(show_quantity(std::nan(""), D::time) == "unknown");
}

TEST_CASE("every dimension has a name, examples that are read, and bounds in order") {
  for (int i = 0; i < dimension_count; ++i) {
    const auto dimension = static_cast<D>(i);
    CAPTURE(dimension_name(dimension));
    CHECK(dimension_name(dimension).starts_with("a"));
    const auto bounds = plausible_range(dimension);
    CHECK(bounds.low < bounds.high);
    const auto examples = dimension_examples(dimension);
    // Examples stand in quotes: every second piece. A quote may itself hold an inch mark; none
    // does.
    int read = 0;
    for (std::size_t at = 0; (at = examples.find('"', at)) != std::string_view::npos;) {
      const auto end = examples.find('"', at + 1);
      REQUIRE(end != std::string_view::npos);
      const auto example = examples.substr(at + 1, end - at - 1);
      CAPTURE(example);
      CHECK(parse_quantity(example, dimension));
      ++read;
      at = end + 1;
    }
    CHECK(read >= 1);
    if (dimension != D::number) CHECK_FALSE(inside_unit(dimension).empty());
  }
}

TEST_CASE("no unit is listed twice in a dimension, and inside units have scale one") {
  std::set<std::pair<D, std::string_view>> seen;
  std::set<D> first;
  for (const auto& unit : units()) {
    CAPTURE(unit.spelling);
    CHECK(seen.insert({unit.dimension, unit.spelling}).second);
    if (first.insert(unit.dimension).second) {
      CHECK(unit.scale == 1.0);
      CHECK(unit.offset == 0.0);
    }
  }
}
