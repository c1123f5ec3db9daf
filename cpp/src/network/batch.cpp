// Many scenarios. Groups of lanes are dealt to threads in contiguous stretches; each thread has its
// own runner and, for scenarios the fast path leaves open, its own workspace. Every scenario starts
// from the circuit's operating point as built, so its answer depends on its own row alone.
#include <algorithm>
#include <atomic>
#include <limits>
#include <stdexcept>
#include <thread>

#include "network/circuit_impl.hpp"
#include "network/result.hpp"
#include "nightbus/network_batch.hpp"

namespace nightbus {

using namespace network_detail;

namespace {

class Batch {
 public:
  Batch(const Circuit& circuit, const BatchRequest& request)
      : circuit_(circuit), impl_(circuit.impl()), request_(request) {
    check();
    plan_columns();
  }

  BatchReport run() {
    BatchReport report;
    if (request_.scenarios == 0) return report;
    const LaneKernel& kernel = request_.lanes == 1 ? scalar_kernel() : widest_kernel();
    const std::size_t groups = (request_.scenarios + static_cast<std::size_t>(kernel.lanes) - 1) /
                               static_cast<std::size_t>(kernel.lanes);
    std::size_t threads = request_.threads > 0 ? static_cast<std::size_t>(request_.threads)
                                               : std::max(1u, std::thread::hardware_concurrency());
    threads = std::min(threads, groups);
    impl_.fast();
    std::vector<BatchReport> parts(threads);
    const auto work = [&](std::size_t t) {
      run_groups(kernel, groups * t / threads, groups * (t + 1) / threads, parts[t]);
    };
    std::vector<std::thread> helpers;
    for (std::size_t t = 1; t < threads; ++t) helpers.emplace_back(work, t);
    work(0);
    for (std::thread& helper : helpers) helper.join();
    for (const BatchReport& part : parts) {
      report.solved += part.solved;
      report.failed += part.failed;
      report.careful += part.careful;
    }
    report.lanes = kernel.lanes;
    report.threads = static_cast<int>(threads);
    return report;
  }

 private:
  void check() const {
    const Description& d = impl_.description;
    for (const Parameter& parameter : request_.parameters)
      if (d.offset(parameter) == none)
        throw std::out_of_range("nightbus: this element has no such parameter");
    for (const Quantity& quantity : request_.quantities) {
      const bool whole =
          quantity.kind == QuantityKind::total_loss_w || quantity.kind == QuantityKind::supplied_w;
      const std::size_t limit = quantity.kind == QuantityKind::node_v ? d.nodes : d.elements.size();
      if (!whole && quantity.index >= limit)
        throw std::out_of_range("nightbus: no such node or element");
    }
    const auto fits = [&](std::size_t size) { return size == 0 || size == request_.scenarios; };
    if (!fits(request_.status.size()) || !fits(request_.residual_a.size()) ||
        !fits(request_.iterations.size()))
      throw std::invalid_argument("nightbus: one status, residual and count for each scenario");
    if (!request_.previous_on.empty() && request_.previous_on.size() != d.elements.size())
      throw std::invalid_argument("nightbus: one state for each element");
    if (request_.scenarios > 0 &&
        ((!request_.parameters.empty() && request_.table.data == nullptr) ||
         (!request_.quantities.empty() && request_.block.data == nullptr)))
      throw std::invalid_argument("nightbus: a table or block without data");
  }

  void plan_columns() {
    const Description& d = impl_.description;
    for (std::size_t c = 0; c < request_.parameters.size(); ++c) {
      const std::uint32_t slot_index = d.offset(request_.parameters[c]);
      const VariedSlot varied{
          slot_index,
          request_.table.data + static_cast<std::ptrdiff_t>(c) * request_.table.column_stride,
          request_.table.scenario_stride};
      const auto same = std::find_if(varied_.begin(), varied_.end(),
                                     [&](const VariedSlot& v) { return v.slot == slot_index; });
      if (same != varied_.end())
        *same = varied;  // the last column of a parameter counts
      else
        varied_.push_back(varied);
    }
    const Net& net = *impl_.net;
    for (std::size_t c = 0; c < request_.quantities.size(); ++c) {
      const Quantity& quantity = request_.quantities[c];
      double* to =
          request_.block.data + static_cast<std::ptrdiff_t>(c) * request_.block.column_stride;
      if (quantity.kind == QuantityKind::node_v) {
        outputs_.push_back({net.row[quantity.index], none, to, request_.block.scenario_stride});
      } else if (quantity.kind == QuantityKind::voltage_v) {
        const Element& element = d.elements[quantity.index];
        outputs_.push_back(
            {net.row[element.a], net.row[element.b], to, request_.block.scenario_stride});
      } else {
        others_.push_back(c);
      }
    }
    on_.assign(d.elements.size(), 1);
    if (!request_.previous_on.empty())
      for (std::size_t e = 0; e < on_.size(); ++e)
        if (d.elements[e].has_lock_out) on_[e] = request_.previous_on[e] != 0;
    relay_open_ = !net.ideal_loops.empty();
    for (std::size_t e = 0; e < on_.size(); ++e)
      if (d.elements[e].kind == ElementKind::resistor && on_[e] == 0) relay_open_ = true;
  }

  struct Thread {
    Workspace workspace;
    Parameters parameters;
    OperatingPoint point;
    std::vector<double> node_v;
  };

  void run_groups(const LaneKernel& kernel, std::size_t first_group, std::size_t last_group,
                  BatchReport& report) {
    Thread thread{Workspace(circuit_), circuit_.parameters(), {}, {}};
    thread.node_v.resize(impl_.description.nodes);
    FastRunner runner(impl_.fast(), kernel);
    runner.set_base(impl_.description.values, on_, false);
    runner.set_columns(varied_, outputs_);
    const auto lanes = static_cast<std::size_t>(kernel.lanes);
    for (std::size_t g = first_group; g < last_group; ++g) {
      const std::size_t first = g * lanes;
      const auto count = static_cast<std::uint32_t>(std::min(lanes, request_.scenarios - first));
      GroupResult group;
      if (!relay_open_) runner.run(first, count, group);
      for (std::uint32_t k = 0; k < count; ++k) {
        const std::size_t scenario = first + k;
        if ((group.solved >> k & 1u) != 0) {
          ++report.solved;
          set(request_.status, scenario, SolveStatus::solved);
          set(request_.residual_a, scenario, group.residual_a[k]);
          set(request_.iterations, scenario, group.iterations[k]);
          if (!others_.empty()) read_others(runner, static_cast<int>(k), scenario, thread);
        } else {
          solve_alone(scenario, thread, report);
        }
      }
    }
  }

  template <class T>
  static void set(std::span<T> list, std::size_t at, T value) {
    if (!list.empty()) list[at] = value;
  }

  double& cell(std::size_t scenario, std::size_t column) const {
    return request_.block
        .data[static_cast<std::ptrdiff_t>(scenario) * request_.block.scenario_stride +
              static_cast<std::ptrdiff_t>(column) * request_.block.column_stride];
  }

  void load_parameters(std::size_t scenario, Thread& thread) const {
    for (std::size_t c = 0; c < request_.parameters.size(); ++c)
      thread.parameters.set(
          request_.parameters[c],
          request_.table
              .data[static_cast<std::ptrdiff_t>(scenario) * request_.table.scenario_stride +
                    static_cast<std::ptrdiff_t>(c) * request_.table.column_stride]);
  }

  // Quantities that are more than a difference of potentials: by the same code as a single solve.
  void read_others(const FastRunner& runner, int lane, std::size_t scenario, Thread& thread) const {
    load_parameters(scenario, thread);
    thread.point.on.assign(on_.begin(), on_.end());
    thread.point.node_v.resize(impl_.description.nodes);
    for (std::size_t node = 0; node < thread.point.node_v.size(); ++node)
      thread.point.node_v[node] = runner.row_v(impl_.net->row[node], lane);
    const auto values = thread.parameters.values();
    read_all(impl_.description, *impl_.net, values, 1e-3 * voltage_scale(impl_.description, values),
             thread.point);
    write_others(scenario, thread.point);
  }

  void solve_alone(std::size_t scenario, Thread& thread, BatchReport& report) const {
    load_parameters(scenario, thread);
    SolveOptions options;
    options.previous_on = on_;
    OperatingPoint& point = thread.point;
    solve_carefully(impl_, thread.parameters.values(), thread.workspace.impl(), options, point);
    ++report.careful;
    ++(point.status == SolveStatus::solved ? report.solved : report.failed);
    set(request_.status, scenario, point.status);
    set(request_.residual_a, scenario, point.residual_a);
    set(request_.iterations, scenario,
        static_cast<std::uint16_t>(std::min(point.iterations, 65535)));
    for (std::size_t c = 0; c < request_.quantities.size(); ++c) {
      const Quantity& quantity = request_.quantities[c];
      if (quantity.kind == QuantityKind::node_v)
        cell(scenario, c) = point.node_v[quantity.index];
      else if (quantity.kind == QuantityKind::voltage_v)
        cell(scenario, c) = point.voltage_v[quantity.index];
    }
    write_others(scenario, point);
  }

  void write_others(std::size_t scenario, const OperatingPoint& point) const {
    for (const std::size_t c : others_) {
      const Quantity& quantity = request_.quantities[c];
      const std::size_t k = quantity.index;
      double value = 0.0;
      switch (quantity.kind) {
        case QuantityKind::node_v:
        case QuantityKind::voltage_v:
          break;
        case QuantityKind::current_a:
          value = point.current_a[k];
          break;
        case QuantityKind::power_w:
          value = point.power_w[k];
          break;
        case QuantityKind::output_voltage_v:
          value = point.output_voltage_v[k];
          break;
        case QuantityKind::output_current_a:
          value = point.output_current_a[k];
          break;
        case QuantityKind::output_power_w:
          value = point.output_voltage_v[k] * point.output_current_a[k];
          break;
        case QuantityKind::loss_w:
          value = point.loss_w[k];
          break;
        case QuantityKind::temp_c:
          value = point.temp_c[k];
          break;
        case QuantityKind::total_loss_w:
          value = point.total_loss_w;
          break;
        case QuantityKind::supplied_w:
          value = point.supplied_w;
          break;
      }
      cell(scenario, c) = value;
    }
  }

  const Circuit& circuit_;
  const CircuitImpl& impl_;
  const BatchRequest& request_;
  std::vector<VariedSlot> varied_;
  std::vector<OutputColumn> outputs_;
  std::vector<std::size_t> others_;
  std::vector<std::uint8_t> on_;
  bool relay_open_ = false;  // the folded topology does not apply
};

}  // namespace

BatchReport solve_batch(const Circuit& circuit, const BatchRequest& request) {
  return Batch(circuit, request).run();
}

int widest_lanes() {
  return widest_kernel().lanes;
}

}  // namespace nightbus
