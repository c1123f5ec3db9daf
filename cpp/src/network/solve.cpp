// One scenario from parameters to operating point: check the numbers, find the topology, solve,
// turn lock-outs and relays until they agree with their voltages, read the elements.
//
// States.  A lock-out that is on below its lower threshold trips; one that is off above its upper
// threshold restarts. One element turns at a time, trips before restarts (a cut-off acts in
// milliseconds, a restart waits), the one furthest beyond its threshold first; after each turn the
// network is solved again. Every set of states met is remembered: meeting one again closes a loop,
// and no further turn can leave it. For up to ten elements in the loop all their combinations are
// tried, to tell "no consistent state exists" from "one exists that is not reached from here".
#include <algorithm>
#include <cmath>
#include <string>
#include <unordered_map>

#include "network/circuit_impl.hpp"
#include "network/curve.hpp"
#include "network/result.hpp"

namespace nightbus {

using namespace network_detail;

namespace {

class Solver {
 public:
  Solver(const CircuitImpl& circuit, std::span<const double> values, Workspace::Impl& work,
         const SolveOptions& options, OperatingPoint& result)
      : circuit_(circuit),
        description_(circuit.description),
        values_(values),
        work_(work),
        options_(options),
        result_(result) {}

  void run() {
    reset();
    if (!options_.careful && run_fast()) return;
    run_carefully();
  }

  void run_carefully() {
    reset();
    result_.careful = true;
    if (const auto bad = find_bad_value(description_, values_)) {
      result_.fault_element = ElementId{bad->element};
      result_.fault_parameter = bad->parameter;
      finish_without_answer(SolveStatus::invalid);
      return;
    }
    if (!solve_states()) return;
    read();
  }

 private:
  void reset() {
    result_.status = SolveStatus::not_converged;
    result_.iterations = result_.state_changes = 0;
    result_.careful = false;
    result_.collapse_multiplier = 0.0;
    result_.fault_element.reset();
    result_.fault_parameter.reset();
    result_.loop.clear();
    result_.other_state_exists = false;
    result_.residual_a = 0.0;
    result_.on.assign(description_.elements.size(), 1);
    if (!options_.previous_on.empty() && options_.previous_on.size() == result_.on.size())
      for (std::size_t e = 0; e < result_.on.size(); ++e)
        if (description_.elements[e].has_lock_out) result_.on[e] = options_.previous_on[e] != 0;
    result_.node_v.assign(description_.nodes, 0.0);
  }

  // The folded programme, if every number lies where its fold holds.
  bool run_fast() {
    const FastPath& path = circuit_.fast();
    const Net& net = *circuit_.net;
    if (!net.ideal_loops.empty()) return false;
    if (!work_.runner) work_.runner = std::make_unique<FastRunner>(path, *scalar_kernel());
    FastRunner& runner = *work_.runner;
    if (!runner.holds(values_)) return false;
    if (!options_.previous_on.empty())
      for (std::uint32_t e = 0; e < description_.elements.size(); ++e)
        if (description_.elements[e].kind == ElementKind::resistor && result_.on[e] == 0)
          return false;
    const bool warm = options_.start_v.size() == description_.nodes;
    runner.set_polish(warm);
    // The runner's own last answer needs no translation.
    if (warm && std::equal(options_.start_v.begin(), options_.start_v.end(), work_.ended_v.begin(),
                           work_.ended_v.end()))
      runner.start_where_it_ended();
    else
      runner.set_start(warm ? options_.start_v : std::span<const double>{});
    work_.ended_v.clear();
    runner.set_base(values_, result_.on, options_.hold_states);
    GroupResult group;
    runner.run(0, 1, group);
    if (group.solved == 0) return false;
    for (std::size_t node = 0; node < result_.node_v.size(); ++node)
      result_.node_v[node] = runner.row_v(net.row[node], 0);
    result_.status = SolveStatus::solved;
    result_.residual_a = group.residual_a[0];
    result_.iterations = group.iterations[0];
    if (options_.read_elements) {
      read_all(description_, net, values_, 1e-3 * path.scale_v(values_), result_,
               options_.read_wires,
               options_.read_wires ? std::nullopt : runner.wire_loss_w(result_.node_v));
      if (!std::isfinite(result_.balance_w)) return false;
    }
    work_.ended_v.assign(result_.node_v.begin(), result_.node_v.end());
    return true;
  }

  // All numbers present and zero, so that nobody reads an old answer.
  void finish_without_answer(SolveStatus status) {
    result_.status = status;
    const std::size_t count = description_.elements.size();
    std::fill(result_.node_v.begin(), result_.node_v.end(), 0.0);
    for (auto* list :
         {&result_.voltage_v, &result_.current_a, &result_.power_w, &result_.output_voltage_v,
          &result_.output_current_a, &result_.loss_w, &result_.temp_c})
      list->assign(count, 0.0);
    result_.states.assign(count, ElementState::dark);
    result_.balance_w = result_.supplied_w = result_.load_w = result_.total_loss_w = 0.0;
    result_.wire_loss_w = 0.0;
    result_.residual_a = 0.0;
  }

  Equations::Setting setting(std::span<const std::uint8_t> on) const {
    return {values_, on, 1.0, false};
  }

  bool shorted(const Net& net, std::span<const double> x, Equations& equations) {
    if (net.ideal_loops.empty()) return false;
    // Which element of a loop the tree took is arbitrary, so all of them are looked at.
    std::vector<std::uint32_t> ideal(net.ideal_loops);
    for (const IdealEdge& edge : net.ideal_tree) ideal.push_back(edge.element);
    for (const std::uint32_t e : ideal) {
      const Element& element = description_.elements[e];
      double gap = x[net.row[element.a]] - x[net.row[element.b]];
      if (element.kind == ElementKind::source) gap -= values_[element.parameters + slot::emf];
      if (std::abs(gap) > 1e-9 * equations.floor_v()) {
        result_.fault_element = ElementId{e};
        return true;
      }
    }
    return false;
  }

  // Solves with these states; false: result_.status says why not. `x` of the bench is the answer.
  bool solve_once(std::span<const std::uint8_t> on, bool diagnose) {
    find_modes(description_, values_, on, work_.modes);
    bench_ = &work_.bench(work_.modes);
    const Net& net = *bench_->net;
    Equations& equations = bench_->equations;
    Newton& newton = bench_->newton;
    equations.set(setting(on));
    equations.fill_known(bench_->x);
    if (shorted(net, bench_->x, equations)) {
      result_.status = SolveStatus::short_circuit;
      return false;
    }
    newton.reset_count();
    constexpr int usual = 400;
    std::vector<double>& x = bench_->x;
    bool found = false;
    if (start_ready_) {
      for (std::size_t node = 0; node < start_v_.size(); ++node)
        if (net.row[node] < net.unknowns) x[net.row[node]] = start_v_[node];
      found = newton.settle(x, options_.diagnose ? usual : 0) &&
              (options_.follow_start || !any_below(net, x, on));
    }
    if (!found) {
      newton.no_load(setting(on), x);
      found = newton.settle(x, usual);
    }
    result_.iterations += newton.iterations();
    const std::uint32_t fallen = found ? equations.fallen_load(x) : none;
    if (found && fallen != none && fed(net, on, fallen)) found = false;
    if (!found) {
      if (!diagnose || !options_.diagnose) {
        result_.status = SolveStatus::collapsed;
        return false;
      }
      if (!follow_curve(on)) return false;
    }
    result_.residual_a = newton.residual();
    result_.status = SolveStatus::solved;
    start_v_.resize(description_.nodes);
    for (std::size_t node = 0; node < start_v_.size(); ++node) start_v_[node] = x[net.row[node]];
    start_ready_ = true;
    return true;
  }

  // A load below its window where the start came from elsewhere: a higher solution may exist.
  bool any_below(const Net& net, std::span<const double> x,
                 std::span<const std::uint8_t> on) const {
    for (const Row2& place : net.loads) {
      const LoadNumbers n = load_of(description_, values_, on, place.element, 1.0,
                                    bench_->equations.floor_v(), false);
      if ((n.power > 0.0 || n.current > 0.0 || n.fan > 0.0) && x[place.u] - x[place.w] < n.minimum)
        return true;
    }
    return false;
  }

  // Does load k see a voltage when no load draws? Otherwise it is dark, which is an answer.
  bool fed(const Net& net, std::span<const std::uint8_t> on, std::uint32_t k) {
    std::vector<double>& x0 = bench_->no_load_x;
    bench_->newton.no_load(setting(on), x0);
    for (std::uint32_t other = k; other < net.loads.size(); ++other) {
      const Row2& place = net.loads[other];
      const double now = bench_->x[place.u] - bench_->x[place.w];
      const double before = x0[place.u] - x0[place.w];
      const LoadNumbers n = load_of(description_, values_, on, place.element, 1.0,
                                    bench_->equations.floor_v(), false);
      const bool asks = n.power > 0.0 || n.current > 0.0;
      if (asks && now < bench_->equations.floor_v() && before > 2.0 * bench_->equations.floor_v())
        return true;
    }
    // fallen_load reports the worst; look at those before it as well.
    for (std::uint32_t other = 0; other < k; ++other) {
      const Row2& place = net.loads[other];
      const LoadNumbers n = load_of(description_, values_, on, place.element, 1.0,
                                    bench_->equations.floor_v(), false);
      if ((n.power > 0.0 || n.current > 0.0) && n.minimum <= bench_->equations.floor_v() &&
          bench_->x[place.u] - bench_->x[place.w] < bench_->equations.floor_v() &&
          x0[place.u] - x0[place.w] > 2.0 * bench_->equations.floor_v())
        return true;
    }
    return false;
  }

  // Nothing settled: follow the curve of growing loads. It either ends below 1 (collapse, with its
  // multiplier) or delivers the point at 1.
  bool follow_curve(std::span<const std::uint8_t> on) {
    Equations& equations = bench_->equations;
    const double scale_v = voltage_scale(description_, values_);
    Curve curve(equations, bench_->newton, setting(on), scale_v);
    result_.status = SolveStatus::not_converged;
    if (!curve.started()) return false;
    for (int k = 0; k < 2000; ++k) {
      const Curve::Step step = curve.advance();
      const Curve::Point* end = nullptr;
      if (step == Curve::Step::end) end = &curve.peak();
      if (step == Curve::Step::stuck) end = &curve.point();
      if (end != nullptr && end->multiplier < 1.0) {
        result_.status = SolveStatus::collapsed;
        result_.collapse_multiplier = end->multiplier;
        equations.set_multiplier(end->multiplier);
        name_culprit(*end);
        return false;
      }
      if (end != nullptr || curve.point().multiplier >= 1.0) {
        const auto at =
            curve.crossing([](const Curve::Point& p) { return p.multiplier - 1.0; }, 1e-9);
        if (!at) return false;
        std::copy(at->x.begin(), at->x.end(), bench_->x.begin());
        equations.set(setting(on));
        return bench_->newton.settle(bench_->x);
      }
      const std::uint32_t fallen = fallen_at(curve.point());
      if (fallen != none) {
        const auto at = curve.crossing(
            [&](const Curve::Point& p) { return fallen_at(p) == none ? -1.0 : 1.0; }, 1e-7);
        result_.status = SolveStatus::collapsed;
        result_.collapse_multiplier = at ? at->multiplier : curve.previous().multiplier;
        result_.fault_element = ElementId{bench_->net->loads[fallen].element};
        return false;
      }
    }
    return false;
  }
  std::uint32_t fallen_at(const Curve::Point& point) {
    bench_->equations.set_multiplier(point.multiplier);
    return bench_->equations.fallen_load(point.x);
  }
  void name_culprit(const Curve::Point& end) {
    std::vector<double> mode(end.x_slope);
    const std::uint32_t k = bench_->equations.weakest_load(end.x, mode);
    if (k != none) result_.fault_element = ElementId{bench_->net->loads[k].element};
  }

  double sensed(std::uint32_t e) const {
    const Element& element = description_.elements[e];
    std::uint32_t p = element.a;
    std::uint32_t n = element.b;
    if (element.kind == ElementKind::resistor) {
      p = description_.resistors[element.fixed].sense_p;
      n = description_.resistors[element.fixed].sense_n;
    }
    const Net& net = *bench_->net;
    return bench_->x[net.row[p]] - bench_->x[net.row[n]];
  }

  // The element that turns next, if any.
  std::optional<StateChange> next_turn(std::span<const std::uint8_t> on) const {
    std::optional<StateChange> turn;
    double worst = 0.0;
    for (const bool tripping : {true, false}) {
      for (std::uint32_t e = 0; e < description_.elements.size(); ++e) {
        const Element& element = description_.elements[e];
        if (!element.has_lock_out || (on[e] != 0) != tripping) continue;
        const double v = sensed(e);
        const double threshold = tripping ? element.off_below_v : element.on_above_v;
        const double beyond = (tripping ? threshold - v : v - threshold) / (threshold + 1e-9);
        if (beyond > worst) {
          worst = beyond;
          turn = StateChange{ElementId{e}, !tripping, v, threshold};
        }
      }
      if (turn) return turn;
    }
    return turn;
  }

  bool solve_states() {
    std::vector<std::uint8_t>& on = work_.on;
    on = result_.on;
    start_v_.assign(options_.start_v.begin(), options_.start_v.end());
    start_ready_ =
        start_v_.size() == description_.nodes &&
        std::all_of(start_v_.begin(), start_v_.end(), [](double v) { return std::isfinite(v); });
    std::unordered_map<std::string, std::size_t> seen;
    std::vector<StateChange> history;
    for (;;) {
      if (!solve_once(on, true)) {
        result_.on = on;
        const SolveStatus status = result_.status;
        finish_without_answer(status);
        return false;
      }
      result_.on = on;
      if (options_.hold_states) return true;
      const auto turn = next_turn(on);
      if (!turn) return true;
      const std::string key(on.begin(), on.end());
      const auto [at, fresh] = seen.try_emplace(key, history.size());
      if (!fresh) {
        result_.loop.assign(history.begin() + static_cast<std::ptrdiff_t>(at->second),
                            history.end());
        look_for_other_state();
        result_.status = SolveStatus::no_consistent_state;
        return true;
      }
      history.push_back(*turn);
      on[index(turn->element)] = turn->turned_on ? 1 : 0;
      ++result_.state_changes;
    }
  }

  void look_for_other_state() {
    std::vector<std::uint32_t> members;
    for (const StateChange& change : result_.loop) {
      const auto e = static_cast<std::uint32_t>(index(change.element));
      if (std::find(members.begin(), members.end(), e) == members.end()) members.push_back(e);
    }
    if (!options_.diagnose || members.size() > 10) return;
    std::vector<std::uint8_t> on(result_.on);
    for (std::uint32_t pattern = 0; pattern < (1u << members.size()); ++pattern) {
      for (std::size_t k = 0; k < members.size(); ++k) on[members[k]] = (pattern >> k) & 1u;
      if (solve_once(on, false) && !next_turn(on)) {
        result_.other_state_exists = true;
        break;
      }
    }
    result_.status = SolveStatus::solved;
    solve_once(result_.on, true);
  }

  void read() {
    const Net& net = *bench_->net;
    for (std::size_t node = 0; node < result_.node_v.size(); ++node)
      result_.node_v[node] = bench_->x[net.row[node]];
    read_all(description_, net, values_, bench_->equations.floor_v(), result_, options_.read_wires);
    if (!std::isfinite(result_.balance_w)) finish_without_answer(SolveStatus::not_converged);
  }

  const CircuitImpl& circuit_;
  const Description& description_;
  std::span<const double> values_;
  Workspace::Impl& work_;
  const SolveOptions& options_;
  OperatingPoint& result_;
  Bench* bench_ = nullptr;
  std::vector<double> start_v_;
  bool start_ready_ = false;
};

}  // namespace

namespace network_detail {

void solve_carefully(const CircuitImpl& circuit, std::span<const double> values,
                     Workspace::Impl& work, const SolveOptions& options, OperatingPoint& result) {
  Solver(circuit, values, work, options, result).run_carefully();
}

}  // namespace network_detail

void solve(const Circuit& circuit, const Parameters& parameters, Workspace& workspace,
           const SolveOptions& options, OperatingPoint& result) {
  Solver(circuit.impl(), parameters.values(), workspace.impl(), options, result).run();
}

OperatingPoint solve(const Circuit& circuit, const Parameters& parameters, Workspace& workspace,
                     const SolveOptions& options) {
  OperatingPoint result;
  solve(circuit, parameters, workspace, options, result);
  return result;
}

OperatingPoint solve(const Circuit& circuit, Workspace& workspace, const SolveOptions& options) {
  return solve(circuit, circuit.parameters(), workspace, options);
}

}  // namespace nightbus
