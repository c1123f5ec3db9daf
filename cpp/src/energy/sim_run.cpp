// The loop. A grid step is walked in sub-steps: up to the next foreseen edge (schedule, timer), or
// to the instant at which a rule's distance reaches zero, whichever comes first.

#include <algorithm>
#include <cmath>

#include "energy/sim_engine.hpp"

namespace nightbus::sim_detail {

Engine::Engine(const SimulationInput& input, const Until& until, const Progress& progress,
               std::unique_ptr<BusSolver> solver)
    : in_(input),
      until_(until),
      progress_(progress),
      thermal_(input.thermal),
      end_s_(input.options.start_s +
             input.options.step_s * static_cast<double>(input.options.steps)),
      track_(input.site, input.options.start_s, end_s_),
      weather_(input.weather, track_, input.options.step_s, input.options.hourly_sun),
      solver_(std::move(solver)),
      now_s_(input.options.start_s) {
  for (const SimArray& array : in_.arrays) views_.push_back(array_detail::plane_views(array.model));
  charger_draws_.reserve(in_.chargers.size());
  for (const SimCharger& charger : in_.chargers) {
    const bool scheduled = !charger.windows.empty();
    charger_draws_.push_back(WindowDraw{charger.windows, scheduled ? 1.0 : 0.0, 0.0});
  }
  for (const Draw& draw : charger_draws_) charger_players_.emplace_back(draw);
  for (std::size_t k = 0; k < in_.loads.size(); ++k) {
    const SimLoad& load = in_.loads[k];
    players_.emplace_back(load.draw);
    if (std::holds_alternative<FanDraw>(load.draw)) fan_draws_.push_back(k);
    if (std::holds_alternative<HeaterDraw>(load.draw)) heater_draws_.push_back(k);
    if (std::holds_alternative<DayNightDraw>(load.draw) && !nights_)
      nights_.emplace(track_, input.options.start_s, end_s_);
    if (load.off_v > 0.0) watched_loads_.push_back(k);
    LoadBook book;
    book.window_low_v = load.low_v;
    book.window_high_v = load.high_v;
    book.follows_bus = load.feed < 0 ? 1.0 : 0.0;
    load_books_.push_back(book);
  }
  for (std::size_t c = 0; c < in_.converters.size(); ++c) {
    if (in_.converters[c].off_v > 0.0) watched_converters_.push_back(c);
  }
  for (const SimBank& bank : in_.banks) tables_.emplace_back(bank.model);
  air_.temp_c = weather_.temp_at(now_s_);
  heat_ = thermal_.start(air_.temp_c);
  if (!in_.start_space_c.empty()) {
    for (std::size_t k = 0; k < heat_.temp_c.size(); ++k) {
      if (!in_.thermal.spaces[k].held_c) heat_.temp_c[k] = in_.start_space_c[k];
    }
  }
  trial_.heat = heat_;
  trial_.space_heat_w.assign(in_.thermal.spaces.size(), 0.0);
  fan_load_.assign(heat_.fans.size(), -1);
  for (std::size_t k = 0; k < in_.loads.size(); ++k) {
    const auto* draw = std::get_if<FanDraw>(&in_.loads[k].draw);
    if (!draw) continue;
    for (std::size_t f = 0; f < heat_.fans.size(); ++f) {
      if (heat_.fans[f].space == draw->space && heat_.fans[f].fan == draw->fan) {
        fan_load_[f] = static_cast<int>(k);
      }
    }
  }
  for (const SimBank& bank : in_.banks) {
    BankState state;
    state.soc = bank.soc;
    state.h = bank.hysteresis;
    state.temp_c =
        bank.space < 0 ? air_.temp_c : heat_.temp_c[static_cast<std::size_t>(bank.space)];
    banks_.push_back(state);
    BankRecord record;
    record.lowest_soc = bank.soc;
    record.lowest_soc_time_s = now_s_;
    out_.banks.push_back(record);
    problem_.standby_w += bank.model.standby_w;
  }
  for (const SimArray& array : in_.arrays) problem_.standby_w += array.model.controller.standby_w;
  peukert_.assign(banks_.size(), 1.0);
  bank_temp_c_.assign(banks_.size(), 25.0);
  trial_.banks.assign(banks_.size(), {});
  trial_.bank_temp_c.assign(banks_.size(), 25.0);
  loads_.assign(in_.loads.size(), {});
  down_.assign(in_.loads.size(), 0);
  groups_.assign(in_.groups.size(), {});
  converters_.assign(in_.converters.size(), {});
  generator_on_.assign(in_.chargers.size(), 0);
  arrays_.assign(in_.arrays.size(), {});
  problem_.banks.assign(banks_.size(), {});
  problem_.supplies.assign(in_.arrays.size() + in_.chargers.size(), {});
  problem_.loads.assign(in_.loads.size(), {});
  problem_.converter_on.assign(in_.converters.size(), 1);
  out_.loads.assign(in_.loads.size(), {});
  out_.ledger.load_wh.assign(in_.loads.size(), 0.0);
  out_.hottest_space_c.assign(in_.thermal.spaces.size(), -1e30);
  out_.hottest_time_s.assign(in_.thermal.spaces.size(), now_s_);
  first_day_ = in_.clock.day_number(now_s_);
  last_equalise_s_ = now_s_;
  open_trace();
}

double Engine::cut_at_rule(double dt_s) {
  // Illinois rule on the nearest distance, which is positive at `low` and not at `high`.
  double low = in_.options.event_tolerance_s;
  try_step(low);
  double f_low = nearest_rule();
  if (f_low <= 0.0) return 0.0;
  double high = dt_s;
  try_step(high);
  double f_high = nearest_rule();
  int side = 0;
  double at = high;
  for (int k = 0; k < 60 && high - low > in_.options.event_tolerance_s; ++k) {
    double next = (low * f_high - high * f_low) / (f_high - f_low);
    const double margin = 0.01 * (high - low);
    next = std::clamp(next, low + std::min(margin, 0.5 * in_.options.event_tolerance_s),
                      high - std::min(margin, 0.5 * in_.options.event_tolerance_s));
    if (k % 4 == 3) next = 0.5 * (low + high);
    try_step(next);
    at = next;
    const double f = nearest_rule();
    if (f > 0.0) {
      low = next;
      f_low = f;
      if (side == 1) f_high *= 0.5;
      side = 1;
    } else {
      high = next;
      f_high = f;
      if (side == -1) f_low *= 0.5;
      side = -1;
    }
  }
  if (at != high) try_step(high);
  return high;
}

void Engine::begin_step() {
  from_s_ = in_.options.start_s + in_.options.step_s * static_cast<double>(step_);
  to_s_ = in_.options.start_s + in_.options.step_s * static_cast<double>(step_ + 1);
  drive(from_s_, to_s_);
  pieces_ = idle_ = 0;
  in_step_ = true;
}

void Engine::end_step() {
  now_s_ = to_s_;
  in_step_ = false;
  ++step_;
  ++out_.steps;
  if (stop_) {
    over_ = true;
    return;
  }
  if (in_.options.record_every > 0 && ++row_steps_ == in_.options.record_every) close_row();
  if (progress_ && step_ % 1024 == 0 &&
      !progress_(static_cast<double>(step_) / static_cast<double>(in_.options.steps))) {
    out_.status = SimStatus::stopped;
    out_.message = "stopped by the caller; what was done until then is kept";
    over_ = true;
  }
}

void Engine::begin_piece() {
  update_draws();
  // A piece ends at every foreseen instant; nothing of this changes in between.
  if (stale_ || now_s_ >= timer_s_ - 1e-9) {
    apply_loads();
    timer_s_ = next_timer();
    stale_ = false;
  }
  apply_fans();
  edge_s_ = std::min(to_s_, next_edge());
  whole_s_ = std::max(edge_s_ - now_s_, 1e-6);
  fill_ports(whole_s_);
}

bool Engine::go_on() {
  while (!over_) {
    if (!in_step_) {
      if (step_ >= in_.options.steps) break;
      begin_step();
    }
    if (!(now_s_ < to_s_ - 1e-7)) {
      end_step();
      continue;
    }
    begin_piece();
    if (solver_->pose(problem_)) return true;
    take(false);
  }
  return false;
}

void Engine::take(bool answered) {
  solver_->take(problem_, answered, trial_.bus);
  finish_try(whole_s_);
  finish_piece();
}

void Engine::finish_piece() {
  constexpr int most_pieces = 2000;
  const bool cut = in_.options.subdivide && pieces_ < most_pieces;
  if (nearest_rule() > 0.0) {
    commit();
    idle_ = 0;
    if (edge_s_ < to_s_ - 1e-7 || flipped_) switch_all();
  } else if (!cut) {
    commit();
    for (int k = 0; k < 20 && switch_all(); ++k) apply_loads();
  } else {
    ++pieces_;
    const double dt = cut_at_rule(whole_s_);
    if (dt > 0.0) {
      commit();
      idle_ = 0;
    }
    const bool changed = switch_all();
    if (!changed && dt <= 0.0) commit();  // a rule that holds nothing: go on by the shortest step
    if (changed && dt <= 0.0 && ++idle_ > 200) {
      note(EventKind::chatter, -1, trial_.bus.bus_v);
      commit();
      idle_ = 0;
    }
  }
  flipped_ = false;
}

SimulationResult Engine::result() {
  close_row();
  close_load_books();
  for (std::size_t b = 0; b < banks_.size(); ++b) {
    out_.banks[b].final_soc = banks_[b].soc;
    out_.banks[b].final_hysteresis = banks_[b].h;
    const BankModel& model = in_.banks[b].model;
    out_.ledger.stored_change_wh +=
        model.stored_wh(banks_[b].soc) - model.stored_wh(in_.banks[b].soc);
  }
  for (const SimEvent& event : out_.events) {
    const bool drop = event.kind == EventKind::load_dropped || event.kind == EventKind::collapse;
    if (drop && event.index >= 0) ++out_.loads[static_cast<std::size_t>(event.index)].drops;
  }
  out_.end_s = now_s_;
  out_.final_space_c = heat_.temp_c;
  return std::move(out_);
}

}  // namespace nightbus::sim_detail
