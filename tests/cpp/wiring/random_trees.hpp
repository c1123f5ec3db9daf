#pragma once
/// Random instances for the exact choice, small enough to try everything.

#include <cmath>
#include <cstdint>
#include <vector>

#include "nightbus/wiring_tree.hpp"
#include "random.hpp"

namespace nightbus::testing {

/// Fixed spending: areas in steps of 26 %, value = length × area, spend = current × length / area.
inline TreeProblem random_problem(Random& random, int edges, int options, std::size_t dims) {
  TreeProblem problem(dims);
  std::vector<int> parents;
  std::vector<char> leaf;
  for (int e = 0; e < edges; ++e) {
    parents.push_back(e == 0 ? -1 : pick(random, -1, e - 1));
    leaf.push_back(1);
    if (parents.back() >= 0) leaf[static_cast<std::size_t>(parents.back())] = 0;
  }
  for (int e = 0; e < edges; ++e) {
    const auto edge = problem.add_edge(parents[static_cast<std::size_t>(e)]);
    const double length = between(random, 0.3, 6.0);
    std::vector<double> current(dims), spend(dims), own(dims, unlimited);
    for (double& a : current) a = between(random, 0.5, 12.0);
    for (int k = 0; k < options; ++k) {
      const double area = 0.8 * std::pow(1.26, 2 * k);
      for (std::size_t d = 0; d < dims; ++d) spend[d] = 0.0345 * current[d] * length / area;
      if (pick(random, 0, 9) == 0) own[dims - 1] = between(random, 0.2, 2.0);
      problem.add_option(length * area, spend, own);
      own.assign(dims, unlimited);
    }
    for (std::size_t d = 0; d < dims; ++d) {
      if (leaf[edge] || pick(random, 0, 4) == 0) {
        problem.set_budget(edge, d, between(random, 0.15, 1.2));
      }
    }
  }
  return problem;
}

/// Tries every combination of options.
template <class Visit>
void every_choice(const std::vector<std::size_t>& counts, Visit visit) {
  std::vector<std::uint32_t> option(counts.size(), 0);
  while (true) {
    visit(option);
    std::size_t e = 0;
    while (e < counts.size() && ++option[e] == counts[e]) option[e++] = 0;
    if (e == counts.size()) return;
  }
}

struct FeederShape {
  int edges = 5;
  int options = 4;
  int cases = 2;
  bool parted_returns = false;
  bool devices = false;  ///< options also differ in what they carry, break and need
  int stages = 0;        ///< converters, each on some edge that is there already
  int stage_edges = 2;   ///< behind each of them
};

/// An edge with its options, behind `parent` in its stage.
inline FeederEdge random_edge(Random& random, const FeederShape& shape, const FeederModel& model,
                              int parent, int stage) {
  FeederEdge edge;
  edge.parent = parent;
  edge.home = parent;
  edge.stage = stage;
  if (shape.parted_returns && edge.parent >= 0 && pick(random, 0, 2) == 0) {
    // Any edge nearer the root may take the return.
    int up = edge.parent;
    const int steps = pick(random, 1, 3);
    for (int s = 0; s < steps && up >= 0; ++s)
      up = model.edges[static_cast<std::size_t>(up)].parent;
    edge.home = up;
  }
  for (int c = 0; c < shape.cases; ++c) edge.ambient_c.push_back(between(random, -10.0, 55.0));
  if (pick(random, 0, 5) == 0) edge.fixed_a = between(random, 1.0, 20.0);
  const double length = between(random, 0.3, 6.0);
  const double joints = between(random, 0.0, 0.002);
  for (int k = 0; k < shape.options; ++k) {
    const double area = 0.8 * std::pow(1.26, 2 * k);
    FeederOption option;
    option.value = length * area * 2 * 0.0089;
    option.out.wire_ohm = 0.01724 * length / area;
    option.out.kelvin_per_watt = 3.0 / length;
    option.out.fixed_ohm = joints;
    option.out.hot_ohm = option.out.wire_ohm * 1.25 + joints;
    option.out.cold_ohm = option.out.wire_ohm + joints;
    option.back = option.out;
    option.carries_a = 8.0 * area;
    if (shape.devices) {
      const double rating = between(random, 3.0, 40.0);
      option.carries_a = std::min(option.carries_a, rating * 0.8);
      option.out.fixed_ohm += 0.1 / rating;
      option.out.hot_ohm += 0.1 / rating;
      option.out.cold_ohm += 0.1 / rating;
      option.value *= between(random, 0.98, 1.02);
      const double breaks_a = pick(random, 0, 3) == 0 ? between(random, 400.0, 3000.0) : unlimited;
      const double inrush_ohm = pick(random, 0, 3) == 0 ? between(random, 0.002, 0.03) : 0.0;
      if (stage < 0) {  // behind a converter nothing but its own limit feeds a fault
        option.needs_fault_a = 3.0 * rating;
        option.breaks_a = breaks_a;
        option.least_inrush_ohm = inrush_ohm;
      }
    }
    edge.options.push_back(option);
  }
  return edge;
}

/// Something that takes watts, amperes or a conductance, another in each case.
inline FeederDraw random_draw(Random& random, const FeederShape& shape, int edge, int stage) {
  FeederDraw draw;
  draw.edge = edge;
  draw.stage = stage;
  for (int c = 0; c < shape.cases; ++c) {
    const int kind = pick(random, 0, 4);
    draw.power_w.push_back(kind <= 2 ? between(random, 5.0, 60.0) : 0.0);
    draw.current_a.push_back(kind == 3 ? between(random, 0.5, 5.0) : 0.0);
    draw.conductance_s.push_back(kind == 4 ? between(random, 0.02, 0.3) : 0.0);
  }
  draw.drop_limit_v = between(random, 0.2, 1.3);
  draw.lowest_v = pick(random, 0, 1) ? between(random, 9.0, 11.2) : 0.0;
  return draw;
}

/// A converter at the end of some edge, with edges and draws behind it.
inline void add_random_stage(Random& random, const FeederShape& shape, FeederModel& model) {
  const auto cases = static_cast<std::size_t>(shape.cases);
  const int stage = static_cast<int>(model.stages.size());
  const int first = static_cast<int>(model.edges.size());
  const int at = pick(random, 0, first - 1);
  FeederDraw input;
  input.edge = at;
  input.stage = model.edges[static_cast<std::size_t>(at)].stage;
  input.converter = true;
  for (auto* values : {&input.power_w, &input.current_a, &input.conductance_s}) {
    values->assign(cases, 0.0);
  }
  input.drop_limit_v = between(random, 0.2, 1.3);
  FeederStage made;
  made.draw = model.draws.size();
  const double output_v = pick(random, 0, 1) ? 12.0 : between(random, 11.5, 48.0);
  for (std::size_t c = 0; c < cases; ++c) {
    made.emf_v.push_back(output_v);
    made.source_ohm.push_back(between(random, 0.0, 0.03));
    made.standby_w.push_back(between(random, 0.0, 2.0));
  }
  made.loss_fraction = between(random, 0.03, 0.15);
  made.loss_per_watt = between(random, 0.0, 5e-4);
  model.draws.push_back(input);
  model.stages.push_back(made);
  for (int e = first; e < first + shape.stage_edges; ++e) {
    const int parent = e == first || pick(random, 0, 2) == 0 ? -1 : pick(random, first, e - 1);
    model.edges.push_back(random_edge(random, shape, model, parent, stage));
    model.draws.push_back(random_draw(random, shape, e, stage));
    if (pick(random, 0, 2)) model.draws.back().lowest_v = 0.0;
  }
}

inline FeederModel random_feeder(Random& random, const FeederShape& shape) {
  FeederModel model;
  model.cases = static_cast<std::size_t>(shape.cases);
  model.highest_emf_v = 13.3;
  model.highest_ohm = between(random, 0.002, 0.01);
  model.lowest_emf_v = 11.5;
  model.lowest_ohm = between(random, 0.006, 0.03);
  for (std::size_t c = 0; c < model.cases; ++c) {
    model.emf_v.push_back(between(random, 11.6, 13.4));
    model.source_ohm.push_back(between(random, 0.0, 0.02));
  }
  for (int e = 0; e < shape.edges; ++e) {
    const int parent = e == 0 ? -1 : pick(random, -1, e - 1);
    model.edges.push_back(random_edge(random, shape, model, parent, -1));
  }
  std::vector<char> leaf(model.edges.size(), 1);
  for (const FeederEdge& edge : model.edges) {
    if (edge.parent >= 0) leaf[static_cast<std::size_t>(edge.parent)] = 0;
  }
  for (int e = -1; e < shape.edges; ++e) {
    const bool wanted = e < 0 ? pick(random, 0, 3) == 0
                              : leaf[static_cast<std::size_t>(e)] || pick(random, 0, 2) == 0;
    if (wanted) model.draws.push_back(random_draw(random, shape, e, -1));
  }
  for (int k = 0; k < shape.stages; ++k) add_random_stage(random, shape, model);
  return model;
}

}  // namespace nightbus::testing
