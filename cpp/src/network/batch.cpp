// Many scenarios. Groups of lanes are dealt to threads in contiguous stretches; each thread has its
// own runner and, for scenarios the fast path leaves open, its own workspace. Every scenario starts
// from the circuit's operating point as built, so its answer depends on its own row alone.
#include <algorithm>
#include <mutex>
#include <stdexcept>
#include <thread>

#include "network/circuit_impl.hpp"
#include "network/result.hpp"
#include "nightbus/network_batch.hpp"

namespace nightbus {

using namespace network_detail;

struct Batch::Impl {
  Impl(const Circuit& of, std::span<const Parameter> columns, std::span<const Quantity> wanted,
       std::span<const std::uint8_t> previous_on, int lanes)
      : circuit(of),
        impl(circuit.impl()),
        parameters(columns.begin(), columns.end()),
        quantities(wanted.begin(), wanted.end()) {
    check(previous_on);
    find_states(previous_on);
    find_columns();
    kernel = &choose_kernel(impl.fast().view(), lanes);
  }

  BatchReport solve(const BatchTables& tables) {
    const std::lock_guard lock(one_call);
    check(tables);
    BatchReport report;
    if (tables.scenarios == 0) return report;
    const auto lanes = static_cast<std::size_t>(kernel->lanes);
    const std::size_t groups = (tables.scenarios + lanes - 1) / lanes;
    std::size_t threads = tables.threads > 0 ? static_cast<std::size_t>(tables.threads)
                                             : std::max(1u, std::thread::hardware_concurrency());
    threads = std::min(threads, groups);
    while (crews.size() < threads) crews.push_back(std::make_unique<Crew>(*this));
    std::vector<BatchReport> parts(threads);
    const auto work = [&](std::size_t t) {
      run_groups(*crews[t], tables, groups * t / threads, groups * (t + 1) / threads, parts[t]);
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
    report.lanes = kernel->lanes;
    report.threads = static_cast<int>(threads);
    return report;
  }

  // What one thread works with, kept from call to call.
  struct Crew {
    explicit Crew(const Impl& of)
        : runner(of.impl.fast(), *of.kernel),
          workspace(of.circuit),
          parameters(of.circuit.parameters()) {
      runner.set_base(of.impl.description.values, of.on, false);
      runner.set_columns(of.slots);
    }
    FastRunner runner;
    Workspace workspace;
    Parameters parameters;
    OperatingPoint point;
  };

  void check(std::span<const std::uint8_t> previous_on) const {
    const Description& d = impl.description;
    for (const Parameter& parameter : parameters)
      if (d.offset(parameter) == none)
        throw std::out_of_range("nightbus: this element has no such parameter");
    for (const Quantity& quantity : quantities) {
      const bool whole =
          quantity.kind == QuantityKind::total_loss_w || quantity.kind == QuantityKind::supplied_w;
      const std::size_t limit = quantity.kind == QuantityKind::node_v ? d.nodes : d.elements.size();
      if (!whole && quantity.index >= limit)
        throw std::out_of_range("nightbus: no such node or element");
    }
    if (!previous_on.empty() && previous_on.size() != d.elements.size())
      throw std::invalid_argument("nightbus: one state for each element");
  }

  void check(const BatchTables& tables) const {
    const auto fits = [&](std::size_t size) { return size == 0 || size == tables.scenarios; };
    if (!fits(tables.status.size()) || !fits(tables.residual_a.size()) ||
        !fits(tables.iterations.size()))
      throw std::invalid_argument("nightbus: one status, residual and count for each scenario");
    if (tables.scenarios > 0 && ((!parameters.empty() && tables.table.data == nullptr) ||
                                 (!quantities.empty() && tables.block.data == nullptr)))
      throw std::invalid_argument("nightbus: a table or block without data");
  }

  void find_states(std::span<const std::uint8_t> previous_on) {
    const Description& d = impl.description;
    on.assign(d.elements.size(), 1);
    if (!previous_on.empty())
      for (std::size_t e = 0; e < on.size(); ++e)
        if (d.elements[e].has_lock_out) on[e] = previous_on[e] != 0;
    relay_open = !impl.net->ideal_loops.empty();
    for (std::size_t e = 0; e < on.size(); ++e)
      if (d.elements[e].kind == ElementKind::resistor && on[e] == 0) relay_open = true;
  }

  void find_columns() {
    const Description& d = impl.description;
    for (std::size_t c = 0; c < parameters.size(); ++c) {
      const std::uint32_t slot_index = d.offset(parameters[c]);
      const auto same = std::find(slots.begin(), slots.end(), slot_index);
      if (same == slots.end()) {
        slots.push_back(slot_index);
        slot_column.push_back(c);
      } else {
        slot_column[static_cast<std::size_t>(same - slots.begin())] = c;  // the last one counts
      }
    }
    const Net& net = *impl.net;
    for (std::size_t c = 0; c < quantities.size(); ++c) {
      const Quantity& quantity = quantities[c];
      if (quantity.kind == QuantityKind::node_v) {
        rows.push_back({net.row[quantity.index], none});
        row_column.push_back(c);
      } else if (quantity.kind == QuantityKind::voltage_v) {
        const Element& element = d.elements[quantity.index];
        rows.push_back({net.row[element.a], net.row[element.b]});
        row_column.push_back(c);
      } else {
        others.push_back(c);
      }
    }
  }

  void run_groups(Crew& crew, const BatchTables& tables, std::size_t first_group,
                  std::size_t last_group, BatchReport& report) const {
    std::vector<VariedSlot> varied;
    for (std::size_t k = 0; k < slots.size(); ++k)
      varied.push_back({slots[k],
                        tables.table.data + static_cast<std::ptrdiff_t>(slot_column[k]) *
                                                tables.table.column_stride,
                        tables.table.scenario_stride});
    std::vector<OutputColumn> outputs;
    for (std::size_t k = 0; k < rows.size(); ++k)
      outputs.push_back({rows[k].row, rows[k].minus,
                         tables.block.data + static_cast<std::ptrdiff_t>(row_column[k]) *
                                                 tables.block.column_stride,
                         tables.block.scenario_stride});
    crew.runner.set_tables(std::move(varied), std::move(outputs), !others.empty());
    const auto lanes = static_cast<std::size_t>(kernel->lanes);
    for (std::size_t g = first_group; g < last_group; ++g) {
      const std::size_t first = g * lanes;
      const auto count = static_cast<std::uint32_t>(std::min(lanes, tables.scenarios - first));
      GroupResult group;
      if (!relay_open) crew.runner.run(first, count, group);
      for (std::uint32_t k = 0; k < count; ++k) {
        const std::size_t scenario = first + k;
        if ((group.solved >> k & 1u) != 0) {
          ++report.solved;
          set(tables.status, scenario, SolveStatus::solved);
          set(tables.residual_a, scenario, group.residual_a[k]);
          set(tables.iterations, scenario, group.iterations[k]);
          if (!others.empty()) read_others(static_cast<int>(k), scenario, tables, crew);
        } else {
          solve_alone(scenario, tables, crew, report);
        }
      }
    }
  }

  template <class T>
  static void set(std::span<T> list, std::size_t at, T value) {
    if (!list.empty()) list[at] = value;
  }

  static double& cell(const BatchTables& tables, std::size_t scenario, std::size_t column) {
    return tables.block.data[static_cast<std::ptrdiff_t>(scenario) * tables.block.scenario_stride +
                             static_cast<std::ptrdiff_t>(column) * tables.block.column_stride];
  }

  void load_parameters(std::size_t scenario, const BatchTables& tables, Crew& crew) const {
    for (std::size_t c = 0; c < parameters.size(); ++c)
      crew.parameters.set(
          parameters[c],
          tables.table.data[static_cast<std::ptrdiff_t>(scenario) * tables.table.scenario_stride +
                            static_cast<std::ptrdiff_t>(c) * tables.table.column_stride]);
  }

  // Quantities that are more than a difference of potentials: by the same code as a single solve.
  void read_others(int lane, std::size_t scenario, const BatchTables& tables, Crew& crew) const {
    load_parameters(scenario, tables, crew);
    crew.point.on.assign(on.begin(), on.end());
    crew.point.node_v.resize(impl.description.nodes);
    for (std::size_t node = 0; node < crew.point.node_v.size(); ++node)
      crew.point.node_v[node] = crew.runner.row_v(impl.net->row[node], lane);
    const auto values = crew.parameters.values();
    read_all(impl.description, *impl.net, values, 1e-3 * voltage_scale(impl.description, values),
             crew.point);
    write_others(scenario, tables, crew.point);
  }

  void solve_alone(std::size_t scenario, const BatchTables& tables, Crew& crew,
                   BatchReport& report) const {
    load_parameters(scenario, tables, crew);
    SolveOptions options;
    options.previous_on = on;
    OperatingPoint& point = crew.point;
    solve_carefully(impl, crew.parameters.values(), crew.workspace.impl(), options, point);
    ++report.careful;
    ++(point.status == SolveStatus::solved ? report.solved : report.failed);
    set(tables.status, scenario, point.status);
    set(tables.residual_a, scenario, point.residual_a);
    set(tables.iterations, scenario, static_cast<std::uint16_t>(std::min(point.iterations, 65535)));
    for (std::size_t c = 0; c < quantities.size(); ++c) {
      const Quantity& quantity = quantities[c];
      if (quantity.kind == QuantityKind::node_v)
        cell(tables, scenario, c) = point.node_v[quantity.index];
      else if (quantity.kind == QuantityKind::voltage_v)
        cell(tables, scenario, c) = point.voltage_v[quantity.index];
    }
    write_others(scenario, tables, point);
  }

  void write_others(std::size_t scenario, const BatchTables& tables,
                    const OperatingPoint& point) const {
    for (const std::size_t c : others) {
      const Quantity& quantity = quantities[c];
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
      cell(tables, scenario, c) = value;
    }
  }

  struct Row {
    Index row = 0, minus = none;
  };
  const Circuit circuit;
  const CircuitImpl& impl;
  const std::vector<Parameter> parameters;
  const std::vector<Quantity> quantities;
  std::vector<std::uint32_t> slots;      // that vary, each once ...
  std::vector<std::size_t> slot_column;  // ... and its column of the table
  std::vector<Row> rows;                 // potentials and differences wanted ...
  std::vector<std::size_t> row_column;   // ... and their columns of the block
  std::vector<std::size_t> others;       // columns of the block that need a whole reading
  std::vector<std::uint8_t> on;
  bool relay_open = false;  // the folded topology does not apply
  const LaneKernel* kernel = nullptr;
  std::vector<std::unique_ptr<Crew>> crews;
  std::mutex one_call;
};

Batch::Batch(const Circuit& circuit, std::span<const Parameter> parameters,
             std::span<const Quantity> quantities, std::span<const std::uint8_t> previous_on,
             int lanes)
    : impl_(std::make_unique<Impl>(circuit, parameters, quantities, previous_on, lanes)) {}
Batch::~Batch() = default;
Batch::Batch(Batch&&) noexcept = default;
Batch& Batch::operator=(Batch&&) noexcept = default;

BatchReport Batch::solve(const BatchTables& tables) {
  return impl_->solve(tables);
}
std::size_t Batch::parameter_count() const {
  return impl_->parameters.size();
}
std::size_t Batch::quantity_count() const {
  return impl_->quantities.size();
}

BatchReport solve_batch(const Circuit& circuit, const BatchRequest& request) {
  return Batch(circuit, request.parameters, request.quantities, request.previous_on, request.lanes)
      .solve(request);
}

int widest_lanes() {
  return kernels().back()->lanes;
}

}  // namespace nightbus
