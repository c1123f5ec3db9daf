// Adds up lengths that somebody wrote, and says how thick the cable is.
#include <cmath>
#include <iostream>
#include <string>

#include "nightbus/quantity.hpp"

int main(int count, char** words) {
  double total_m = 0.0;
  for (int i = 1; i < count; ++i) {
    const auto length = nightbus::parse_quantity(words[i], nightbus::Dimension::length);
    if (!length) {
      std::cerr << "expected " << length.problem.expected << ", saw " << length.problem.seen << '\n';
      return 1;
    }
    total_m += *length;
  }
  const auto size = nightbus::parse_size("4/0 AWG");
  std::cout << nightbus::print_quantity(total_m, nightbus::Dimension::length) << '\n'
            << std::lround(nightbus::nominal_area_mm2(*size)) << " mm2\n";
  return 0;
}
