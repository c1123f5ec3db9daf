/// Who pays for the losses on the way. See energy_plan.hpp.

#include <algorithm>
#include <deque>

#include "scenario/energy_plan.hpp"

namespace nightbus::scenario_detail {

namespace {

double ratio_or_one(double a, double b) {
  return a > 0.0 && b > 0.0 ? a / b : 1.0;
}

/// Breadth first from the banks along runs, through converters and PoE links.
std::vector<int> parents_of(const CompiledSystem& compiled) {
  const System& system = compiled.system();
  const std::size_t count = compiled.points().size();
  std::vector<std::vector<std::size_t>> next(count);
  for (const RunElements& run : compiled.runs()) {
    if (run.connected) {
      next[run.from].push_back(run.to);
      // Charge comes in against the arrow of a feed; a bus behind a bus may be named either way.
      const PointKind kind = compiled.points()[run.from].kind;
      if (kind != PointKind::converter && kind != PointKind::charger && kind != PointKind::array) {
        next[run.to].push_back(run.from);
      }
    }
  }
  for (std::size_t k = 0; k < system.poe_links.size(); ++k) {
    if (const auto port = compiled.find_point(system.poe_links[k].from)) {
      for (std::size_t p = 0; p < count; ++p) {
        const PointNodes& point = compiled.points()[p];
        if (point.kind == PointKind::poe_link && point.index == k) {
          next[*port].push_back(p);
        }
      }
    }
  }
  std::vector<int> parent(count, -1);
  std::vector<bool> seen(count, false);
  std::deque<std::size_t> queue;
  for (std::size_t p = 0; p < count; ++p) {
    if (compiled.points()[p].kind == PointKind::bank) {
      seen[p] = true;
      queue.push_back(p);
    }
  }
  while (!queue.empty()) {
    const std::size_t at = queue.front();
    queue.pop_front();
    for (const std::size_t to : next[at]) {
      if (!seen[to]) {
        seen[to] = true;
        parent[to] = static_cast<int>(at);
        queue.push_back(to);
      }
    }
  }
  return parent;
}

}  // namespace

LossShares loss_shares(const CompiledSystem& compiled, const CaseResult& result) {
  const auto& points = compiled.points();
  LossShares shares;
  shares.parent = parents_of(compiled);
  shares.factor.assign(points.size(), 1.0);
  shares.out_factor.assign(points.size(), 1.0);
  if (result.points.size() != points.size()) {
    return shares;
  }
  const auto& domains = compiled.domains();
  // Factor at the source of each domain, and its volts. Domains behind converters depend on the
  // domain that feeds these; a few sweeps settle any chain.
  std::vector<double> source_factor(domains.size(), 1.0), source_v(domains.size(), 0.0);
  for (std::size_t sweep = 0; sweep <= domains.size(); ++sweep) {
    for (std::size_t d = 0; d < domains.size(); ++d) {
      double watts = 0.0, weighted_factor = 0.0, volts = 0.0, current = 0.0;
      for (const std::size_t bank : domains[d].banks) {
        const double out_a = std::max(result.banks[bank].current_a, 1e-9);
        const double out_w = out_a * result.banks[bank].voltage_v;
        watts += out_w;
        weighted_factor += out_w;
        volts += out_a * result.banks[bank].voltage_v;
        current += out_a;
      }
      for (const std::size_t k : domains[d].converters) {
        const ConverterResult& converter = result.converters[k];
        const PointNodes& point = compiled.point_of(PointKind::converter, k);
        const auto in = static_cast<std::size_t>(point.domain);
        const double at_input = source_factor[in] * ratio_or_one(source_v[in], converter.input_v);
        const double out_w = std::max(converter.output_w, 1e-9);
        watts += out_w;
        weighted_factor +=
            out_w * at_input *
            (converter.output_w > 1e-6 ? ratio_or_one(converter.input_w, converter.output_w) : 1.0);
        volts += std::max(converter.output_a, 1e-9) * converter.output_v;
        current += std::max(converter.output_a, 1e-9);
      }
      if (watts > 0.0) {
        source_factor[d] = weighted_factor / watts;
        source_v[d] = volts / current;
      }
    }
  }
  for (std::size_t p = 0; p < points.size(); ++p) {
    const auto in = static_cast<std::size_t>(points[p].domain);
    const auto out = static_cast<std::size_t>(points[p].out_domain);
    shares.factor[p] = source_factor[in] * ratio_or_one(source_v[in], result.points[p].voltage_v);
    shares.out_factor[p] =
        source_factor[out] * ratio_or_one(source_v[out], result.points[p].out_voltage_v);
  }
  return shares;
}

}  // namespace nightbus::scenario_detail
