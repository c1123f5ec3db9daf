// How far from the edge: the curve of growing loads (curve.cpp) is walked from no load to its end,
// and every limit is looked for between neighbouring points of it. A multiplier found below 1 means
// that the case itself is already beyond that limit.
//
// Along the curve each load keeps its law below its window too, because the question is what the
// wiring can carry; lock-outs and relays stay as the case has them.
#include <algorithm>
#include <cmath>

#include "network/circuit_impl.hpp"
#include "network/curve.hpp"
#include "network/result.hpp"
#include "nightbus/network_study.hpp"

namespace nightbus {

using namespace network_detail;

namespace {

class MarginSearch {
 public:
  MarginSearch(const Circuit& circuit, const Parameters& parameters, Workspace& workspace,
               const MarginRequest& request)
      : description_(circuit.impl().description), values_(parameters.values()), request_(request) {
    SolveOptions options;
    options.previous_on = request.previous_on;
    case_ = solve(circuit, parameters, workspace, options);
    result_.status = case_.status;
    result_.current.resize(request.limits.size());
    if (case_.status == SolveStatus::invalid || case_.status == SolveStatus::short_circuit) return;
    find_modes(description_, values_, case_.on, workspace.impl().modes);
    bench_ = &workspace.impl().bench(workspace.impl().modes);
    scratch_.node_v.resize(description_.nodes);
    scratch_.on = case_.on;
  }

  Margins run() {
    if (bench_ == nullptr) return result_;
    const Equations::Setting setting{values_, case_.on, 0.0, true};
    Curve curve(bench_->equations, bench_->newton, setting, voltage_scale(description_, values_));
    if (!curve.started()) return result_;
    look_at_start(curve.point());
    while (curve.point().multiplier < request_.largest) {
      const Curve::Step step = curve.advance();
      if (step == Curve::Step::stuck) break;
      search_between(curve);
      if (step == Curve::Step::end) {
        set_collapse(curve.peak());
        break;
      }
      if (fallen(curve.point())) {
        const auto at =
            curve.crossing([&](const Curve::Point& p) { return fallen(p) ? 1.0 : -1.0; },
                           request_.relative_accuracy);
        set_collapse(at ? *at : curve.point());
        break;
      }
    }
    look_at_case();
    for (const auto& found : result_.current)
      if (found &&
          (!result_.first_current || found->multiplier < result_.first_current->multiplier))
        result_.first_current = found;
    return result_;
  }

 private:
  Reading read(const Curve::Point& point, ElementId element) {
    const auto e = static_cast<std::uint32_t>(index(element));
    const Net& net = *bench_->net;
    for (std::size_t node = 0; node < description_.nodes; ++node)
      scratch_.node_v[node] = point.x[net.row[node]];
    if (net.modes[e] == Mode::ideal) {
      std::vector<double> grown(values_.begin(), values_.end());
      for (const Row2& place : net.loads)
        grown[description_.elements[place.element].parameters + slot::scale] *= point.multiplier;
      read_all(description_, net, grown, bench_->equations.floor_v(), scratch_);
      return {scratch_.voltage_v[e], scratch_.current_a[e], 0.0, 0.0, 0.0, 0.0, 0.0, {}};
    }
    return read_element(description_, values_, case_.on, net.modes[e], bench_->equations.floor_v(),
                        e, scratch_.node_v, point.multiplier, true);
  }
  double below_window(const Curve::Point& point, const VoltageWindow& window) {
    return window.minimum_v - read(point, window.element).voltage;
  }
  double above_limit(const Curve::Point& point, const CurrentLimit& limit) {
    return std::abs(read(point, limit.element).current) - limit.limit_a;
  }
  bool watched(const VoltageWindow& window) const { return case_.on[index(window.element)] != 0; }

  void offer_window(double multiplier, ElementId element, double value) {
    if (!result_.first_window || multiplier < result_.first_window->multiplier)
      result_.first_window = MarginPoint{multiplier, element, value};
  }

  void look_at_start(const Curve::Point& start) {
    for (const VoltageWindow& window : request_.windows)
      if (watched(window) && below_window(start, window) >= 0.0)
        offer_window(0.0, window.element, read(start, window.element).voltage);
    for (std::size_t k = 0; k < request_.limits.size(); ++k)
      if (above_limit(start, request_.limits[k]) >= 0.0)
        result_.current[k] = MarginPoint{0.0, request_.limits[k].element,
                                         read(start, request_.limits[k].element).current};
  }

  // A device above its window in the case itself is out of it now, whatever the loads do.
  void look_at_case() {
    if (case_.status != SolveStatus::solved) return;
    for (const VoltageWindow& window : request_.windows)
      if (watched(window) && case_.voltage_v[index(window.element)] > window.maximum_v)
        offer_window(1.0, window.element, case_.voltage_v[index(window.element)]);
  }

  void search_between(Curve& curve) {
    if (!result_.first_window) {
      for (const VoltageWindow& window : request_.windows) {
        if (!watched(window)) continue;
        const auto at =
            curve.crossing([&](const Curve::Point& p) { return below_window(p, window); },
                           request_.relative_accuracy);
        if (at && at->multiplier_slope > -1e-6)
          offer_window(at->multiplier, window.element, read(*at, window.element).voltage);
      }
    }
    for (std::size_t k = 0; k < request_.limits.size(); ++k) {
      if (result_.current[k]) continue;
      const CurrentLimit& limit = request_.limits[k];
      const auto at = curve.crossing([&](const Curve::Point& p) { return above_limit(p, limit); },
                                     request_.relative_accuracy);
      if (at && at->multiplier_slope > -1e-6)
        result_.current[k] =
            MarginPoint{at->multiplier, limit.element, read(*at, limit.element).current};
    }
  }

  bool fallen(const Curve::Point& point) {
    bench_->equations.set_multiplier(point.multiplier);
    return bench_->equations.fallen_load(point.x) != none;
  }

  void set_collapse(const Curve::Point& end) {
    MarginPoint point;
    point.multiplier = end.multiplier;
    bench_->equations.set_multiplier(end.multiplier);
    std::uint32_t k = bench_->equations.weakest_load(end.x, end.x_slope);
    if (k == none) k = bench_->equations.fallen_load(end.x);
    if (k != none) point.element = ElementId{bench_->net->loads[k].element};
    const Net& net = *bench_->net;
    result_.voltage_at_collapse_v.resize(description_.elements.size());
    for (std::size_t e = 0; e < description_.elements.size(); ++e) {
      const Element& element = description_.elements[e];
      result_.voltage_at_collapse_v[e] = end.x[net.row[element.a]] - end.x[net.row[element.b]];
    }
    point.value = result_.voltage_at_collapse_v[index(point.element)];
    result_.collapse = point;
  }

  const Description& description_;
  std::span<const double> values_;
  const MarginRequest& request_;
  OperatingPoint case_, scratch_;
  Bench* bench_ = nullptr;
  Margins result_;
};

}  // namespace

Margins margins(const Circuit& circuit, const Parameters& parameters, Workspace& workspace,
                const MarginRequest& request) {
  return MarginSearch(circuit, parameters, workspace, request).run();
}

}  // namespace nightbus
