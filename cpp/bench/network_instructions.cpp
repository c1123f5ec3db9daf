// Runs the day of one network with the scalar kernel a given number of times, and nothing else: the
// difference between two counts of instructions divided by the points is the cost of a point.
//   network_instructions rack80 3
#include <cstdio>
#include <cstdlib>

#include "workload.hpp"

int main(int count, char** words) {
  if (count != 3) return 2;
  bench::Workload work(bench::named(words[1]), bench::day_points);
  work.compiled.circuit.shape();
  std::size_t solved = 0;
  const int days = std::atoi(words[2]);
  for (int day = 0; day < days; ++day) solved += work.run(1, 1).solved;
  std::printf("%zu\n", solved);
  return solved == static_cast<std::size_t>(days) * work.points ? 0 : 1;
}
