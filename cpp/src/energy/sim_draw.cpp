// Draws in time. Whatever can be foreseen gives the instant of its next change, so that steps are
// cut there; fans and heaters change with the temperature and are watched by the stepping itself.

#include "energy/sim_draw.hpp"

#include <algorithm>
#include <cmath>

namespace nightbus::sim_detail {

namespace {

constexpr double never = std::numeric_limits<double>::infinity();

struct WindowState {
  bool inside = true;
  double until_s = never;
};

WindowState look(const std::vector<DayWindow>& windows, const LocalClock& clock, double t) {
  WindowState state;
  if (windows.empty()) return state;
  state.inside = false;
  for (const DayWindow& window : windows) {
    state.inside = state.inside || window.holds(clock, t);
    state.until_s = std::min(state.until_s, window.next_edge(clock, t));
  }
  return state;
}

/// Uniform in (0, 1], the same on every platform.
double uniform(std::mt19937_64& random) {
  return static_cast<double>((random() >> 11) + 1) * 0x1.0p-53;
}

}  // namespace

DrawPlayer::DrawPlayer(const Draw& draw) : draw_(draw) {
  if (const auto* d = std::get_if<BurstDraw>(&draw)) random_.seed(d->seed);
}

void DrawPlayer::burst(const BurstDraw& d, double time_s) {
  if (next_s_ < 0.0 && !std::isfinite(next_s_)) {
    next_s_ = time_s - d.mean_gap_s * std::log(uniform(random_));
  }
  while (next_s_ <= time_s) {
    bursting_ = !bursting_;
    next_s_ -= (bursting_ ? d.mean_length_s : d.mean_gap_s) * std::log(uniform(random_));
  }
  power_w_ = bursting_ ? d.burst_w : d.idle_w;
}

double DrawPlayer::sensed_c(const HeaterDraw& heater, const DrawContext& context) const {
  const auto k = static_cast<std::size_t>(heater.index);
  switch (heater.sensor) {
    case HeaterDraw::Sensor::space:
      return context.heat->temp_c[k];
    case HeaterDraw::Sensor::bank:
      return context.bank_temp_c[k];
    case HeaterDraw::Sensor::outside:
      break;
  }
  return context.outside_c;
}

double DrawPlayer::distance_k(const DrawContext& context) const {
  const auto* d = std::get_if<HeaterDraw>(&draw_);
  if (!d) return never;
  const double t = sensed_c(*d, context);
  return heating_ ? d->off_above_c - t : t - d->on_below_c;
}

bool DrawPlayer::update(double time_s, const DrawContext& context) {
  const double before = power_w_;
  const LocalClock& clock = *context.clock;
  if (const auto* steady = std::get_if<SteadyDraw>(&draw_)) {
    power_w_ = steady->power_w;
    next_s_ = never;
  } else if (const auto* fan = std::get_if<FanDraw>(&draw_)) {
    power_w_ = 0.0;
    for (const FanState& state : context.heat->fans) {
      if (state.space == fan->space && state.fan == fan->fan) {
        power_w_ = context.thermal->fan_power_w(state);
      }
    }
    next_s_ = never;
  } else if (const auto* heater = std::get_if<HeaterDraw>(&draw_)) {
    const double t = sensed_c(*heater, context);
    if (t < heater->on_below_c) heating_ = true;
    if (t >= heater->off_above_c) heating_ = false;
    power_w_ = heating_ ? heater->on_w : heater->off_w;
    next_s_ = never;
  } else if (time_s >= next_s_) {
    if (const auto* window = std::get_if<WindowDraw>(&draw_)) {
      const WindowState state = look(window->windows, clock, time_s);
      power_w_ = state.inside ? window->on_w : window->off_w;
      next_s_ = state.until_s;
    } else if (const auto* duty = std::get_if<DutyDraw>(&draw_)) {
      const WindowState state = look(duty->windows, clock, time_s);
      const double place = (time_s - duty->phase_s) / duty->period_s;
      double into = (place - std::floor(place)) * duty->period_s;
      if (duty->period_s - into < 1e-6) into = 0.0;  // the start of a period, give or take rounding
      const bool on = into < duty->on_s - 1e-6;
      power_w_ = state.inside && on ? duty->on_w : duty->off_w;
      next_s_ = std::min(state.until_s, time_s - into + (on ? duty->on_s : duty->period_s));
    } else if (const auto* lamp = std::get_if<DayNightDraw>(&draw_)) {
      const WindowState state = look(lamp->windows, clock, time_s);
      const bool night = context.nights->night_at(time_s);
      power_w_ = !state.inside ? lamp->off_w : night ? lamp->night_w : lamp->day_w;
      next_s_ = std::min(state.until_s, context.nights->next_change(time_s));
    } else if (const auto* trace = std::get_if<TraceDraw>(&draw_)) {
      const double count = static_cast<double>(trace->power_w.size());
      double place = std::floor((time_s - trace->start_s) / trace->step_s + 1e-9);
      next_s_ = trace->start_s + (place + 1.0) * trace->step_s;
      if (trace->repeats && count > 0.0) place -= std::floor(place / count) * count;
      const bool inside = place >= 0.0 && place < count;
      power_w_ = inside ? trace->power_w[static_cast<std::size_t>(place)] : trace->outside_w;
      if (!inside && place >= count) next_s_ = never;
      if (!inside && place < 0.0) next_s_ = trace->start_s;
    } else if (const auto* bursts = std::get_if<BurstDraw>(&draw_)) {
      burst(*bursts, time_s);
    }
  }
  return power_w_ != before;
}

}  // namespace nightbus::sim_detail
