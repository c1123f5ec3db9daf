/// Least current of an edge among all plans that are better than the best known one.
///
/// Thick wire behind e keeps the volts up and the current down, but thick wire everywhere costs
/// more than a better plan may. For each draw the current lies above its tangent,
///
///   P/V ≥ P/V0 + β (V0 - V),   β = P/V0²,   V0 the highest volts it can have,
///
/// and V0 - V is at least what the path loses beyond its least loss D0. Summed over the draws
/// behind e, with w(e') = Σ β of the draws behind e' and the losses of the linear programme:
///
///   i(e) ≥ Σ [ i0 - β (D0 - D(e)) ] + Σ over edges e' behind e of w(e') spend(e')
///
/// where D(e) is the least loss up to the end of e. A better plan spends less than `best - rest(e)`
/// of the value behind e, so for any λ ≥ 0 (Lagrange)
///
///   i(e) ≥ … + min over choices behind e of Σ [ w spend + λ value ]  -  λ (best - rest(e)).
///
/// The minimum is again the tree programme, with w·spend + λ·value as the value, so one run serves
/// all edges. Where loss goes as 1/area and value as area, λ near (Σ w spend)/(Σ value) is best.

#include <algorithm>
#include <array>

#include "wiring/feeder_bounds.hpp"
#include "wiring/tree_fronts.hpp"

namespace nightbus::wiring_detail {

void raise_currents(const FeederModel& model, const Relaxation& relaxed, const LeastCurrents& least,
                    std::size_t dimension, double best_value, std::span<const double> outside,
                    const std::vector<std::uint32_t>& of_kept, Proved& proved) {
  const auto found = relaxed.case_of(dimension, model.cases);
  if (!found || relaxed.patterns > 1 || best_value == unlimited) return;
  const std::size_t which = *found;
  const std::size_t n = model.edges.size();
  const SpendTable& table = relaxed.table;
  const auto drop_to_v = [&](std::size_t edge) {
    const std::size_t source = source_of(model.edges[edge].stage);
    return least.root_v[which * source_count(model) + source] - least.end_v[which * n + edge];
  };
  // Sums over the draws behind each edge: β, and i0 - β D0.
  std::vector<double> weight(n, 0.0), base(n, 0.0);
  for (std::size_t k = 0; k < model.draws.size(); ++k) {
    if (model.draws[k].edge < 0) continue;
    const std::size_t at = which * model.draws.size() + k;
    const auto e = static_cast<std::size_t>(model.draws[k].edge);
    const double beta = least.draw_w[at] / (least.draw_v[at] * least.draw_v[at]);
    const std::size_t source = source_of(model.draws[k].stage);
    const double root_v = least.root_v[which * source_count(model) + source];
    weight[e] += beta;
    base[e] += least.draw_a[at] - beta * (root_v - least.draw_v[at]);
  }
  std::vector<double> rest(outside.begin(), outside.end());
  for (std::size_t e = n; e-- > 0;) {
    if (const int parent = model.edges[e].parent; parent >= 0) {
      weight[static_cast<std::size_t>(parent)] += weight[e];
      base[static_cast<std::size_t>(parent)] += base[e];
    }
    double own = unlimited;
    for (const std::uint32_t k : relaxed.kept[e]) {
      own = std::min(own, model.edges[e].options[k].value);
    }
    rest[e] += own;
  }
  double spend_sum = 0.0, value_sum = 0.0;
  for (std::size_t e = 0; e < n; ++e) {
    spend_sum += weight[e] * table.spend[(table.first[e] + of_kept[e]) * table.dims + dimension];
    value_sum += model.edges[e].options[relaxed.kept[e][of_kept[e]]].value;
  }
  if (spend_sum <= 0.0 || value_sum <= 0.0) return;
  if (proved.edge_a.empty()) proved.edge_a.assign(model.cases * n, 0.0);
  for (const double share : {0.3, 0.7, 1.0, 1.5, 3.0}) {
    const double lambda = share * spend_sum / value_sum;
    TreeProblem problem(1);
    for (std::size_t e = 0; e < n; ++e) {
      problem.add_edge(model.edges[e].parent);
      problem.set_budget(e, 0, table.budget[e * table.dims + dimension]);
      for (std::size_t k = 0; k < relaxed.kept[e].size(); ++k) {
        const std::size_t row = (table.first[e] + k) * table.dims + dimension;
        const double value = weight[e] * table.spend[row] +
                             lambda * model.edges[e].options[relaxed.kept[e][k]].value;
        problem.add_option(value, std::array{table.spend[row]}, std::array{table.own[row]});
      }
    }
    Programme programme(problem, unlimited);
    programme.run();
    for (std::size_t e = 0; e < n; ++e) {
      const double spent = drop_to_v(e);
      const double beyond = programme.least_beyond(e, &spent);
      if (beyond == unlimited) continue;
      const double current_a =
          base[e] + weight[e] * spent + beyond - lambda * (best_value - rest[e]);
      double& known = proved.edge_a[which * n + e];
      known = std::max(known, current_a * (1.0 - 1e-12));
    }
  }
}

}  // namespace nightbus::wiring_detail
