// Who switches, and when. Each rule is a signed distance that is positive while nothing happens and
// reaches zero at the instant of switching; its unit does not matter, only its sign and that it is
// continuous. Distances are taken at the end of the trial step.
//
// What was dropped stays off for a while (its boot time, or half a minute), so that a lock-out
// whose threshold lies within the bus's own droop gives a slow boot loop as in life, not an endless
// step.

#include <algorithm>
#include <cmath>
#include <limits>

#include "energy/sim_engine.hpp"

namespace nightbus::sim_detail {

namespace {

constexpr double never = std::numeric_limits<double>::infinity();
constexpr double at_once = -1.0;
constexpr double shortest_off_s = 30.0;
constexpr double slack = 1e-6;            ///< between a condition and its opposite
constexpr double recovered_share = 0.02;  ///< of charge, before an emptied bank serves again
constexpr double corner_nudge = 1e-9;

/// Inside [low, high] with hysteresis: distance to leaving when `blocked` is false, else to coming
/// back.
double window_distance(double temp, double low, double high, double hysteresis, bool blocked) {
  if (!blocked) return std::min(temp - low, high - temp);
  return -std::min(temp - low - hysteresis, high - hysteresis - temp);
}

}  // namespace

bool Engine::banks_cut() const {
  return !banks_.empty() && std::all_of(banks_.begin(), banks_.end(), [](const BankState& b) {
    return b.cut || b.discharge_blocked;
  });
}

double Engine::available_soc(std::size_t b) {
  const double empty = tables_[b].empty_soc(trial_.banks[b].temp_end_c);
  return empty < 1.0 ? (trial_.banks[b].soc_end - empty) / (1.0 - empty) : 0.0;
}

double Engine::group_distance(std::size_t g) {
  const ShedGroup& rule = in_.groups[g];
  const GroupState& state = groups_[g];
  const double v_limit = state.on ? rule.off_v : rule.on_v;
  const double s_limit = state.on ? rule.off_soc : rule.on_soc;
  // Positive: the bus stands above the limits that are in use.
  double above = never;
  if (rule.off_v > 0.0) above = std::min(above, trial_.bus_end_v - v_limit);
  if (rule.off_soc >= 0.0 && !banks_.empty()) above = std::min(above, available_soc(0) - s_limit);
  const double towards_switch = state.on ? above : -above;
  return state.since_s < 0.0 ? towards_switch : slack - towards_switch;
}

double Engine::return_distance(std::size_t b) {
  const BankModel& model = in_.banks[b].model;
  const BankStep& step = trial_.banks[b];
  const double wanted =
      std::max(tables_[b].empty_soc(step.temp_end_c), banks_[b].soc_at_cut) + recovered_share;
  return std::max(wanted - step.soc_end, model.cut_off_return_v - step.terminal_end_v);
}

double Engine::load_feed_v(std::size_t load) const {
  // A circuit knows the volts of a load that takes nothing; on the lumped bus they are its feed's.
  if (in_.network) return trial_.bus_end_v > 0.0 ? trial_.bus.loads[load].voltage_v : 0.0;
  const int feed = in_.loads[load].feed;
  if (feed < 0) return trial_.bus_end_v;
  const auto c = static_cast<std::size_t>(feed);
  return problem_.converter_on[c] && trial_.bus_end_v > 0.0 ? in_.converters[c].output_v : 0.0;
}

double Engine::nearest_rule() {
  const BusSolution& bus = trial_.bus;
  if (bus.status != BusStatus::fine) {
    for (const LoadPort& port : problem_.loads) {
      if (port.on) return at_once;
    }
    for (const auto on : problem_.converter_on) {
      if (on) return at_once;
    }
  }
  if (bus.overdrawn_load >= 0 || bus.overdrawn_converter >= 0) return at_once;
  double nearest = stage_distance();
  for (std::size_t b = 0; b < banks_.size(); ++b) {
    const BankModel& model = in_.banks[b].model;
    BankTables& tables = tables_[b];
    const BankState& state = banks_[b];
    const BankStep& step = trial_.banks[b];
    if (step.net_a > 0.0) {
      nearest =
          std::min(nearest, tables.next_corner(state.soc + corner_nudge, true) - step.soc_end);
    } else if (step.net_a < 0.0) {
      nearest =
          std::min(nearest, step.soc_end - tables.next_corner(state.soc - corner_nudge, false));
    }
    if (state.cut) {
      nearest = std::min(nearest, return_distance(b));
    } else if (step.current_a < 0.0) {
      nearest = std::min(nearest, step.soc_end - tables.empty_soc(step.temp_end_c));
      if (model.cut_off_v > 0.0) nearest = std::min(nearest, step.terminal_end_v - model.cut_off_v);
    }
    nearest =
        std::min(nearest, window_distance(step.temp_end_c, model.charge_low_c, model.charge_high_c,
                                          model.limit_hysteresis_k, state.charge_blocked));
    nearest = std::min(
        nearest, window_distance(step.temp_end_c, model.discharge_low_c, model.discharge_high_c,
                                 model.limit_hysteresis_k, state.discharge_blocked));
  }
  for (std::size_t g = 0; g < groups_.size(); ++g) nearest = std::min(nearest, group_distance(g));
  nearest = nearest_of_loads(nearest);
  for (std::size_t k = 0; k < in_.chargers.size(); ++k) {
    const SimCharger& law = in_.chargers[k];
    if (!law.start_below_soc || banks_.empty()) continue;
    const double s = available_soc(0);
    nearest = std::min(nearest, generator_on_[k] ? law.stop_above_soc.value_or(1.0) - s
                                                 : s - *law.start_below_soc);
  }
  if (!in_.thermal.spaces.empty()) {
    nearest = std::min(nearest, thermal_.distance_to_switch_k(trial_.heat));
  }
  if (!heater_draws_.empty()) {
    const DrawContext look = context(trial_.heat, trial_.bank_temp_c);
    for (const std::size_t k : heater_draws_)
      nearest = std::min(nearest, players_[k].distance_k(look));
  }
  return nearest;
}

/// Lock-outs: what is on and has one, and whatever is off.
double Engine::nearest_of_loads(double nearest) const {
  const BusSolution& bus = trial_.bus;
  const double rise = trial_.bus_end_v - bus.bus_v;
  for (const std::size_t c : watched_converters_) {
    if (problem_.converter_on[c])
      nearest = std::min(nearest, bus.converters[c].input_v + rise - in_.converters[c].off_v);
  }
  for (const std::size_t k : watched_loads_) {
    if (!problem_.loads[k].on) continue;
    const double lifted = bus.loads[k].voltage_v + (in_.loads[k].feed < 0 ? rise : 0.0);
    nearest = std::min(nearest, lifted - in_.loads[k].off_v);
  }
  if (!any_off_ || banks_cut()) return nearest;
  for (std::size_t c = 0; c < converters_.size(); ++c) {
    if (problem_.converter_on[c] || converters_[c].on || now_s_ < converters_[c].hold_until_s)
      continue;
    const SimConverter& law = in_.converters[c];
    if (trial_.bus_end_v > 0.0)
      nearest = std::min(nearest, std::max(law.on_v, law.off_v) - trial_.bus_end_v);
  }
  for (std::size_t k = 0; k < loads_.size(); ++k) {
    if (problem_.loads[k].on || loads_[k].on || now_s_ < loads_[k].hold_until_s) continue;
    const SimLoad& law = in_.loads[k];
    const double feed = load_feed_v(k);
    if (feed > 0.0) nearest = std::min(nearest, std::max(law.on_v, law.off_v) - feed);
  }
  return nearest;
}

double Engine::next_timer() const {
  double next = never;
  const auto consider = [&](double t) {
    if (t > now_s_ + 1e-9) next = std::min(next, t);
  };
  for (const LoadState& load : loads_) {
    if (!load.on) consider(load.hold_until_s);
    consider(load.boot_until_s);
  }
  for (const ConverterState& converter : converters_) {
    if (!converter.on) consider(converter.hold_until_s);
  }
  for (std::size_t g = 0; g < groups_.size(); ++g) {
    if (groups_[g].since_s >= 0.0) consider(groups_[g].since_s + in_.groups[g].delay_s);
  }
  return next;
}

double Engine::offered_power_w() const {
  for (const BankPort& port : problem_.banks) {
    if (port.can_discharge) return never;
  }
  double sum_w = 0.0;
  for (const SupplyPort& port : problem_.supplies) {
    if (!port.on) continue;
    if (port.kind == SupplyPort::Kind::module) return never;
    sum_w +=
        port.kind == SupplyPort::Kind::power ? port.power_w : port.current_limit_a * port.set_v;
  }
  return sum_w;
}

bool Engine::drop_overdrawn() {
  const BusSolution& bus = trial_.bus;
  const auto drop_load = [&](std::size_t k, EventKind kind) {
    loads_[k].on = false;
    loads_[k].hold_until_s = now_s_ + std::max(in_.loads[k].restart_s, shortest_off_s);
    note(kind, static_cast<int>(k), bus.loads.empty() ? 0.0 : bus.loads[k].voltage_v);
  };
  const auto drop_converter = [&](std::size_t c, EventKind kind) {
    converters_[c].on = false;
    converters_[c].hold_until_s = now_s_ + shortest_off_s;
    note(kind, static_cast<int>(c), bus.converters.empty() ? 0.0 : bus.converters[c].output_w);
  };
  if (bus.overdrawn_load >= 0) {
    drop_load(static_cast<std::size_t>(bus.overdrawn_load), EventKind::collapse);
    return true;
  }
  if (bus.overdrawn_converter >= 0) {
    drop_converter(static_cast<std::size_t>(bus.overdrawn_converter), EventKind::converter_dropped);
    return true;
  }
  if (bus.status == BusStatus::fine) return false;
  bool dropped = false;
  if (bus.status == BusStatus::collapsed) {
    // More than the sources can carry: the largest goes first, until it balances. As long as the
    // rest asks for more watts than are offered there is no need to solve in between.
    double asked_w = 0.0;
    for (std::size_t k = 0; k < loads_.size(); ++k) {
      const bool constant = problem_.loads[k].on && in_.loads[k].law == DrawLaw::power;
      if (constant) asked_w += problem_.loads[k].power_w;
    }
    const double offered_w = offered_power_w();
    while (!dropped || asked_w > offered_w) {
      std::size_t largest = loads_.size();
      for (std::size_t k = 0; k < loads_.size(); ++k) {
        if (!problem_.loads[k].on || !loads_[k].on) continue;
        const bool more =
            largest == loads_.size() || problem_.loads[k].power_w > problem_.loads[largest].power_w;
        if (more) largest = k;
      }
      if (largest == loads_.size()) break;
      drop_load(largest, EventKind::collapse);
      if (in_.loads[largest].law == DrawLaw::power) asked_w -= problem_.loads[largest].power_w;
      dropped = true;
    }
    if (dropped) return true;
  }
  for (std::size_t k = 0; k < loads_.size(); ++k) {
    if (!problem_.loads[k].on) continue;
    drop_load(k, EventKind::load_dropped);
    dropped = true;
  }
  for (std::size_t c = 0; c < converters_.size(); ++c) {
    if (!problem_.converter_on[c]) continue;
    drop_converter(c, EventKind::converter_dropped);
    dropped = true;
  }
  return dropped;
}

bool Engine::switch_all() {
  stale_ = true;
  if (drop_overdrawn()) return true;
  bool changed = switch_stage();
  const double rise = trial_.bus_end_v - trial_.bus.bus_v;
  for (std::size_t b = 0; b < banks_.size(); ++b) {
    const BankModel& model = in_.banks[b].model;
    BankState& state = banks_[b];
    const BankStep& step = trial_.banks[b];
    const int index = static_cast<int>(b);
    if (state.cut) {
      if (return_distance(b) <= 0.0) {
        state.cut = false;
        note(EventKind::bank_returned, index, step.soc_end);
        changed = true;
      }
    } else if (step.current_a < 0.0) {
      const bool empty = step.soc_end <= tables_[b].empty_soc(step.temp_end_c);
      const bool low = model.cut_off_v > 0.0 && step.terminal_end_v <= model.cut_off_v;
      if (empty || low) {
        state.cut = true;
        state.soc_at_cut = step.soc_end;
        note(EventKind::bank_empty, index, step.soc_end);
        changed = true;
      }
    }
    const auto block = [&](bool& blocked, double low, double high, bool charging) {
      if (window_distance(step.temp_end_c, low, high, model.limit_hysteresis_k, blocked) > 0.0)
        return;
      blocked = !blocked;
      if (charging) {
        note(blocked ? EventKind::charge_blocked : EventKind::charge_allowed, index,
             step.temp_end_c);
      }
      changed = true;
    };
    block(state.charge_blocked, model.charge_low_c, model.charge_high_c, true);
    block(state.discharge_blocked, model.discharge_low_c, model.discharge_high_c, false);
  }
  for (std::size_t g = 0; g < groups_.size(); ++g) {
    GroupState& state = groups_[g];
    const ShedGroup& rule = in_.groups[g];
    if (group_distance(g) <= 0.0) {
      state.since_s = state.since_s < 0.0 ? now_s_ : -1.0;
      changed = true;
    }
    if (state.since_s >= 0.0 && now_s_ >= state.since_s + rule.delay_s - 1e-9) {
      state.on = !state.on;
      state.since_s = -1.0;
      note(state.on ? EventKind::group_returned : EventKind::group_shed, static_cast<int>(g),
           trial_.bus_end_v);
      changed = true;
    }
  }
  const bool dark = banks_cut();
  for (std::size_t c = 0; c < converters_.size(); ++c) {
    const SimConverter& law = in_.converters[c];
    ConverterState& state = converters_[c];
    if (problem_.converter_on[c]) {
      if (law.off_v > 0.0 && trial_.bus.converters[c].input_v + rise <= law.off_v) {
        state.on = false;
        state.hold_until_s = now_s_ + shortest_off_s;
        note(EventKind::converter_dropped, static_cast<int>(c), trial_.bus.converters[c].input_v);
        changed = true;
      }
    } else if (!state.on && !dark && now_s_ >= state.hold_until_s && trial_.bus_end_v > 0.0 &&
               trial_.bus_end_v >= std::max(law.on_v, law.off_v)) {
      state.on = true;
      note(EventKind::converter_returned, static_cast<int>(c), trial_.bus_end_v);
      changed = true;
    }
  }
  for (std::size_t k = 0; k < loads_.size(); ++k) {
    const SimLoad& law = in_.loads[k];
    LoadState& state = loads_[k];
    if (problem_.loads[k].on) {
      const double lifted = trial_.bus.loads[k].voltage_v + (law.feed < 0 ? rise : 0.0);
      if (law.off_v > 0.0 && lifted <= law.off_v) {
        state.on = false;
        state.hold_until_s = now_s_ + std::max(law.restart_s, shortest_off_s);
        note(EventKind::load_dropped, static_cast<int>(k), lifted);
        changed = true;
      }
    } else if (!state.on && !dark && now_s_ >= state.hold_until_s) {
      const double feed = load_feed_v(k);
      if (feed > 0.0 && feed >= std::max(law.on_v, law.off_v)) {
        state.on = true;
        if (law.restart_s > 0.0) state.boot_until_s = now_s_ + law.restart_s;
        note(EventKind::load_returned, static_cast<int>(k), feed);
        changed = true;
      }
    }
  }
  for (std::size_t k = 0; k < in_.chargers.size(); ++k) {
    const SimCharger& law = in_.chargers[k];
    if (!law.start_below_soc || banks_.empty()) continue;
    const double s = available_soc(0);
    const bool flip =
        generator_on_[k] ? s >= law.stop_above_soc.value_or(1.0) : s <= *law.start_below_soc;
    if (!flip) continue;
    generator_on_[k] = generator_on_[k] ? 0 : 1;
    note(generator_on_[k] ? EventKind::charger_started : EventKind::charger_stopped,
         static_cast<int>(k), s);
    changed = true;
  }
  if (!in_.thermal.spaces.empty() && thermal_.switch_fans(heat_)) {
    for (std::size_t f = 0; f < heat_.fans.size(); ++f) {
      if (heat_.fans[f].since_change_s == 0.0)
        note(EventKind::fan_step, static_cast<int>(f), heat_.fans[f].step);
    }
    changed = true;
  }
  return changed;
}

}  // namespace nightbus::sim_detail
