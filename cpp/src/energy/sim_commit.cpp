// The step is taken: state, ledger, records.
//
// Ledger of one bank over a step (terminal current I into it, stored share c, leak Is, Ē the mean
// of the stored-energy table over the step, E the EMF the circuit saw):
//   at the terminals  V I  =  I² R                       resistance
//                           + (V - E - I R) I            polarisation, when the plates accept no
//                           more
//                           + (E - Ē) I                  hysteresis and temperature
//                           + Ē (1 - c) I                coulombic loss, or Peukert's
//                           + Ē Is                       self-discharge
//                           + Ē (c I - Is)               change of store

#include <algorithm>
#include <cmath>

#include "energy/sim_engine.hpp"

namespace nightbus::sim_detail {

void Engine::note(EventKind kind, int index, double value) {
  constexpr std::size_t most = 200000;
  const SimEvent event{now_s_, kind, index, value};
  if (out_.events.size() < most) out_.events.push_back(event);
  if (until_ && until_(event)) stop_ = true;
}

/// Which local day it is; looked up once a day, and when the clock is put forward or back.
void Engine::pass_days() {
  const double t = now_s_ - 1e-6;
  if (t < day_until_s_) return;
  const LocalClock& clock = in_.clock;
  day_ = static_cast<std::size_t>(std::max(0LL, clock.day_number(t) - first_day_));
  day_until_s_ = t + 86400.0 - clock.second_of_day(t);
  for (const ClockChange& change : clock.changes) {
    if (change.utc_s > t) day_until_s_ = std::min(day_until_s_, change.utc_s);
  }
}

void Engine::book_banks(double hours) {
  EnergyLedger& l = out_.ledger;
  pass_days();
  for (std::size_t b = 0; b < banks_.size(); ++b) {
    BankState& state = banks_[b];
    const BankStep& step = trial_.banks[b];
    BankRecord& record = out_.banks[b];
    const double i = step.current_a;
    const double c = i >= 0.0 ? step.coulombic : step.peukert;
    l.bank_resistance_wh += i * i * step.resistance_ohm * hours;
    const double polarised = trial_.bus.banks[b].limited
                                 ? (step.terminal_v - step.emf_v - i * step.resistance_ohm) * i
                                 : 0.0;
    l.bank_charge_loss_wh +=
        (polarised + (step.emf_v - step.mean_emf_v) * i + step.mean_emf_v * (1.0 - c) * i) * hours;
    l.self_discharge_wh += step.mean_emf_v * step.self_discharge_a * hours;
    (i >= 0.0 ? record.charged_ah : record.discharged_ah) += std::abs(i) * hours;
    (i >= 0.0 ? record.charged_wh : record.discharged_wh) += std::abs(step.terminal_v * i) * hours;
    record.highest_charge_a = std::max(record.highest_charge_a, i);
    record.highest_discharge_a = std::max(record.highest_discharge_a, -i);

    // Without a lag the bank jumps with the air's own steps: a jump in a short step is no rate.
    const bool jumps = in_.banks[b].space < 0 && in_.banks[b].model.thermal_lag_s <= 0.0;
    state.temp_rate_k_per_s =
        trial_.dt_s > 0.0 && !jumps ? (step.temp_end_c - state.temp_c) / trial_.dt_s : 0.0;
    state.temp_c = step.temp_end_c;
    state.soc = step.soc_end;
    state.h = step.h_end;
    state.net_a = step.net_a;
    state.current_a = i;

    if (step.soc_end < record.lowest_soc) {
      record.lowest_soc = step.soc_end;
      record.lowest_soc_time_s = now_s_;
    }
    record.lowest_v = std::min(record.lowest_v, step.terminal_v);
    record.highest_v = std::max(record.highest_v, step.terminal_v);
    record.lowest_temp_c = std::min(record.lowest_temp_c, step.temp_end_c);
    record.highest_temp_c = std::max(record.highest_temp_c, step.temp_end_c);
    if (step.soc_end >= 0.995) {
      record.full_s += trial_.dt_s;
      if (!record.first_full_s) record.first_full_s = now_s_;
      if (!state.known_full) note(EventKind::bank_full, static_cast<int>(b), step.soc_end);
      state.known_full = true;
    } else if (step.soc_end < 0.985 && i < 0.0) {
      state.known_full = false;
    }
    if (state.charge_blocked && offered_) record.blocked_charge_s += trial_.dt_s;
    if (record.daily_low_soc.size() <= day_) {
      record.daily_low_soc.resize(day_ + 1, 1e9);
      record.daily_high_soc.resize(day_ + 1, -1e9);
    }
    record.daily_low_soc[day_] = std::min(record.daily_low_soc[day_], step.soc_end);
    record.daily_high_soc[day_] = std::max(record.daily_high_soc[day_], step.soc_end);
  }
}

void Engine::book_supplies(double hours) {
  EnergyLedger& l = out_.ledger;
  const bool alive = trial_.bus.bus_v > 0.0;
  for (std::size_t s = 0; s < problem_.supplies.size(); ++s) {
    const SupplyPort& port = problem_.supplies[s];
    const double watts = trial_.bus.supplies[s].power_w;
    if (s >= in_.arrays.size()) {
      l.charger_wh += watts * hours;
      if (port.on) {
        out_.charger_run_s += trial_.dt_s;
        const double efficiency = in_.chargers[s - in_.arrays.size()].efficiency;
        out_.charger_input_wh += watts / efficiency * hours;
      }
      continue;
    }
    const double best = arrays_[s].best.power_w;
    const double taken = port.kind == SupplyPort::Kind::power
                             ? watts / in_.arrays[s].model.controller.efficiency
                             : watts;
    l.array_wh += best * hours;
    l.curtailed_wh += (best - taken) * hours;
    l.controller_loss_wh += (taken - watts) * hours;
  }
  l.wire_loss_wh += trial_.bus.wire_loss_w * hours;
  if (!alive) return;
  if (!in_.network || in_.network->standby_element >= 0) {
    for (const SimBank& bank : in_.banks) l.bank_standby_wh += bank.model.standby_w * hours;
    for (const SimArray& array : in_.arrays) {
      l.controller_standby_wh += array.model.controller.standby_w * hours;
    }
  }
  for (std::size_t c = 0; c < converters_.size(); ++c) {
    if (problem_.converter_on[c]) l.converter_loss_wh += trial_.bus.converters[c].loss_w * hours;
  }
}

void Engine::book_loads(double hours) {
  EnergyLedger& l = out_.ledger;
  const double dt = trial_.dt_s;
  const double rise = trial_.bus_end_v - trial_.bus.bus_v;
  l.wanted_wh += wanted_w_ * hours;
  if (any_down_) book_unmet(hours);
  for (const std::size_t k : running_) {
    LoadBook& book = load_books_[k];
    const LoadFlow flow = trial_.bus.loads[k];
    const double v = flow.voltage_v;
    book.energy_wh += flow.current_a * v * hours;
    const double end_v = v + book.follows_bus * rise;
    const bool calm = v >= book.calm_low_v && end_v >= book.calm_low_v && v <= book.calm_high_v &&
                      end_v <= book.calm_high_v;
    if (!calm) book.look(v, end_v, now_s_, dt);
  }
  if (critical_down_) {
    out_.unmet_h += hours;
    unmet_run_s_ += dt;
    out_.longest_unmet_h = std::max(out_.longest_unmet_h, unmet_run_s_ / 3600.0);
  } else {
    unmet_run_s_ = 0.0;
  }
}

/// What the ledger and the records have to show.
void Engine::close_load_books() {
  for (std::size_t k = 0; k < load_books_.size(); ++k) {
    const LoadBook& book = load_books_[k];
    LoadRecord& record = out_.loads[k];
    out_.ledger.load_wh[k] = book.energy_wh;
    record.lowest_v = book.lowest_v;
    record.lowest_time_s = book.lowest_s;
    record.highest_v = book.highest_v;
    record.below_window_s = book.below_s;
    record.above_window_s = book.above_s;
  }
}

void Engine::book_unmet(double hours) {
  const double start_s = now_s_ - trial_.dt_s;
  for (std::size_t k = 0; k < loads_.size(); ++k) {
    if (down_[k] == 0) continue;
    LoadRecord& record = out_.loads[k];
    record.down_s += trial_.dt_s;
    if (problem_.loads[k].on) continue;  // boots
    const double want = players_[k].power_w();
    out_.ledger.unmet_wh += want * hours;
    if (in_.loads[k].critical) out_.critical_unmet_wh += want * hours;
    if (!record.first_drop_s) record.first_drop_s = start_s;
  }
}

void Engine::pass_marks() {
  if (next_mark_ >= in_.options.marks_s.size()) return;
  for (const double v : {trial_.bus.bus_v, trial_.bus_end_v}) {
    if (v >= mark_.lowest_bus_v) continue;
    mark_.lowest_bus_v = v;
    mark_.lowest_bus_v_s = now_s_;
  }
  if (now_s_ >= in_.options.marks_s[next_mark_] - 1e-5) close_load_books();
  while (next_mark_ < in_.options.marks_s.size() &&
         now_s_ >= in_.options.marks_s[next_mark_] - 1e-5) {
    mark_.time_s = now_s_;
    mark_.ledger = out_.ledger;
    for (std::size_t b = 0; b < banks_.size(); ++b) {
      mark_.soc.push_back(banks_[b].soc);
      mark_.discharged_ah.push_back(out_.banks[b].discharged_ah);
      mark_.discharged_wh.push_back(out_.banks[b].discharged_wh);
    }
    out_.marks.push_back(mark_);
    mark_ = {};
    ++next_mark_;
  }
}

void Engine::commit() {
  const double dt = trial_.dt_s;
  const double hours = dt / 3600.0;
  now_s_ += dt;
  if (trial_.held && (stage_ == Stage::absorption || stage_ == Stage::equalise)) stage_s_ += dt;
  book_loads(hours);
  book_supplies(hours);
  book_banks(hours);
  if (!in_.thermal.spaces.empty()) {
    std::swap(heat_, trial_.heat);
    for (std::size_t k = 0; k < heat_.temp_c.size(); ++k) {
      if (heat_.temp_c[k] <= out_.hottest_space_c[k]) continue;
      const double limit = in_.thermal.spaces[k].limit_c.value_or(1e30);
      const bool crossed = out_.hottest_space_c[k] <= limit && heat_.temp_c[k] > limit;
      if (crossed) note(EventKind::limit_temperature, static_cast<int>(k), heat_.temp_c[k]);
      out_.hottest_space_c[k] = heat_.temp_c[k];
      out_.hottest_time_s[k] = now_s_;
    }
  }
  ++out_.sub_steps;
  record_row();
  pass_marks();
}

}  // namespace nightbus::sim_detail
