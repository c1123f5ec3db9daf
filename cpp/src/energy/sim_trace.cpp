// Columns over time: sums weighted by the length of each sub-step, divided when a row is complete.

#include <algorithm>

#include "energy/sim_engine.hpp"

namespace nightbus::sim_detail {

namespace {

Trace::Column column(const char* name, const char* unit, int index = -1) {
  return {name, unit, index, {}};
}

}  // namespace

void Engine::open_trace() {
  if (in_.options.record_every == 0) return;
  auto& columns = out_.trace.columns;
  const auto each = [&](const char* name, const char* unit, std::size_t count) {
    for (std::size_t k = 0; k < count; ++k)
      columns.push_back(column(name, unit, static_cast<int>(k)));
  };
  columns.push_back(column("bus_voltage", "V"));
  columns.push_back(column("load_power", "W"));
  columns.push_back(column("unmet_power", "W"));
  columns.push_back(column("array_available", "W"));
  columns.push_back(column("array_power", "W"));
  columns.push_back(column("charger_power", "W"));
  columns.push_back(column("outside_temperature", "degC"));
  columns.push_back(column("global_irradiance", "W/m2"));
  columns.push_back(column("charge_stage", "1"));
  each("bank_charge", "1", in_.banks.size());
  each("bank_current", "A", in_.banks.size());
  each("bank_voltage", "V", in_.banks.size());
  each("bank_temperature", "degC", in_.banks.size());
  each("plane_irradiance", "W/m2", in_.arrays.size());
  each("space_temperature", "degC", in_.thermal.spaces.size());
  each("fan_step", "1", heat_.fans.size());
  if (in_.options.record_loads) {
    each("load_voltage", "V", in_.loads.size());
    each("load_draw", "W", in_.loads.size());
    each("converter_voltage", "V", in_.converters.size());
    each("converter_draw", "W", in_.converters.size());
  }
  row_sums_.assign(columns.size(), 0.0);
  const std::size_t rows =
      (in_.options.steps + in_.options.record_every - 1) / in_.options.record_every;
  for (auto& c : columns) c.values.reserve(rows);
  out_.trace.time_s.reserve(rows);
  out_.trace.row_s = in_.options.step_s * static_cast<double>(in_.options.record_every);
}

void Engine::record_row() {
  if (row_sums_.empty()) return;
  const double dt = trial_.dt_s;
  std::size_t at = 0;
  const auto add = [&](double value) { row_sums_[at++] += value * dt; };
  double served = 0.0;
  double unmet = 0.0;
  for (std::size_t k = 0; k < loads_.size(); ++k) {
    const LoadFlow& flow = trial_.bus.loads[k];
    if (problem_.loads[k].on) served += flow.current_a * flow.voltage_v;
    if (!problem_.loads[k].on) unmet += players_[k].power_w();
  }
  double best = 0.0;
  double taken = 0.0;
  double charged = 0.0;
  for (std::size_t s = 0; s < problem_.supplies.size(); ++s) {
    const double watts = trial_.bus.supplies[s].power_w;
    if (s < in_.arrays.size()) {
      best += arrays_[s].best.power_w;
      taken += watts;
    } else {
      charged += watts;
    }
  }
  add(trial_.bus.bus_v);
  add(served);
  add(unmet);
  add(best);
  add(taken);
  add(charged);
  add(air_.temp_c);
  add(air_.sky.ghi_wm2);
  add(static_cast<double>(stage_));
  for (const BankState& bank : banks_) add(bank.soc);
  for (const BankStep& step : trial_.banks) add(step.current_a);
  for (const BankStep& step : trial_.banks) add(step.terminal_v);
  for (const BankState& bank : banks_) add(bank.temp_c);
  for (const ArrayDrive& array : arrays_) add(array.light_wm2);
  for (const double temp : heat_.temp_c) add(temp);
  for (const FanState& fan : heat_.fans) add(fan.step);
  if (in_.options.record_loads) {
    for (std::size_t k = 0; k < loads_.size(); ++k) {
      add(problem_.loads[k].on ? trial_.bus.loads[k].voltage_v : 0.0);
    }
    for (std::size_t k = 0; k < loads_.size(); ++k) {
      const LoadFlow& flow = trial_.bus.loads[k];
      add(problem_.loads[k].on ? flow.current_a * flow.voltage_v : 0.0);
    }
    for (std::size_t c = 0; c < converters_.size(); ++c) {
      add(problem_.converter_on[c] ? trial_.bus.converters[c].input_v : 0.0);
    }
    for (std::size_t c = 0; c < converters_.size(); ++c) {
      add(problem_.converter_on[c] ? trial_.bus.converters[c].input_w : 0.0);
    }
  }
  row_s_ += dt;
}

void Engine::close_row() {
  if (row_sums_.empty() || row_s_ <= 0.0) return;
  out_.trace.time_s.push_back(now_s_ - row_s_);
  for (std::size_t k = 0; k < row_sums_.size(); ++k) {
    out_.trace.columns[k].values.push_back(row_sums_[k] / row_s_);
    row_sums_[k] = 0.0;
  }
  row_s_ = 0.0;
  row_steps_ = 0;
}

}  // namespace nightbus::sim_detail
