// What comes from outside during one grid step: sun, air, draws.

#include <algorithm>
#include <cmath>
#include <limits>

#include "energy/sim_engine.hpp"

namespace nightbus::sim_detail {

void Engine::drive(double from_s, double to_s) {
  const double middle = 0.5 * (from_s + to_s);
  // Plane irradiance once per weather step, or once per grid step.
  const double sun_s = in_.options.hourly_sun ? weather_.middle_of(middle) : middle;
  if (sun_s == drive_weather_s_) return;
  drive_weather_s_ = sun_s;
  // In the dark nobody asks where the sun stands.
  const SunTrack::Direction sun =
      weather_.dark_at(sun_s) ? SunTrack::Direction{} : track_.direction(sun_s);
  air_ = weather_.at(sun_s, sun);
  if (in_.arrays.empty()) return;

  const bool light = air_.sky.ghi_wm2 > 0.0 || air_.sky.dni_wm2 > 0.0;
  SkyInput sky{.sky = air_.sky, .extraterrestrial_wm2 = air_.e0_wm2, .albedo = in_.options.albedo};
  std::size_t month = 0;
  if (light) {
    month = static_cast<std::size_t>(civil_date(in_.clock.local_s(middle)).month - 1);
    const bool perez = std::any_of(in_.arrays.begin(), in_.arrays.end(), [](const SimArray& a) {
      return a.model.sky == SkyModel::perez;
    });
    if (perez) sky.relative_air_mass = relative_air_mass(track_.at(sun_s).apparent_zenith_deg);
  }
  for (std::size_t k = 0; k < in_.arrays.size(); ++k) {
    ArrayDrive& drive = arrays_[k];
    const ArrayModel& array = in_.arrays[k].model;
    drive = {};
    if (!light) continue;
    for (const auto& view : views_[k]) {
      drive.light_wm2 += array_detail::effective_on(array, view, sun, sky);
    }
    drive.light_wm2 /= static_cast<double>(views_[k].size());
    drive.cell_c = cell_temperature_c(array, drive.light_wm2, air_.temp_c, air_.wind_ms);
    drive.loss = 1.0 - (1.0 - array.fixed_loss) * (1.0 - array.monthly_loss[month]);
    drive.best = array_output(array, drive.light_wm2, drive.cell_c, drive.loss);
  }
}

DrawContext Engine::context(const ThermalState& heat,
                            const std::vector<double>& bank_temp_c) const {
  return {&in_.clock, nights_ ? &*nights_ : nullptr, &thermal_, &heat, air_.temp_c, bank_temp_c};
}

void Engine::update_draws() {
  const bool due = now_s_ >= draws_due_s_;
  if (!due && fan_draws_.empty() && heater_draws_.empty()) return;
  for (std::size_t b = 0; b < banks_.size(); ++b) bank_temp_c_[b] = banks_[b].temp_c;
  const DrawContext look = context(heat_, bank_temp_c_);
  bool changed = false;
  if (due) {
    draws_due_s_ = std::numeric_limits<double>::infinity();
    for (DrawPlayer& player : charger_players_) {
      player.update(now_s_, look);
      draws_due_s_ = std::min(draws_due_s_, player.next_s());
    }
    for (DrawPlayer& player : players_) {
      changed = player.update(now_s_, look) || changed;
      draws_due_s_ = std::min(draws_due_s_, player.next_s());
    }
  } else {
    for (const std::size_t k : fan_draws_) changed = players_[k].update(now_s_, look) || changed;
    for (const std::size_t k : heater_draws_) changed = players_[k].update(now_s_, look) || changed;
  }
  if (changed) flipped_ = stale_ = true;
}

double Engine::load_want_w(std::size_t load) const {
  const bool boots = now_s_ < loads_[load].boot_until_s && in_.loads[load].boot_w > 0.0;
  return boots ? in_.loads[load].boot_w : players_[load].power_w();
}

bool Engine::load_runs(std::size_t load) const {
  const SimLoad& law = in_.loads[load];
  if (!loads_[load].on) return false;
  if (law.group >= 0 && !groups_[static_cast<std::size_t>(law.group)].on) return false;
  for (int c = law.feed; c >= 0; c = in_.converters[static_cast<std::size_t>(c)].feed) {
    const auto k = static_cast<std::size_t>(c);
    const int group = in_.converters[k].group;
    if (!converters_[k].on) return false;
    if (group >= 0 && !groups_[static_cast<std::size_t>(group)].on) return false;
  }
  return true;
}

void Engine::apply_loads() {
  bool changed = false;
  wanted_w_ = 0.0;
  any_off_ = any_down_ = critical_down_ = false;
  running_.clear();
  for (std::size_t k = 0; k < in_.loads.size(); ++k) {
    const double want = load_want_w(k);
    const LoadPort port{want > 0.0 && load_runs(k), want};
    const double wish = players_[k].power_w();
    if (wish > 0.0) wanted_w_ += wish;
    down_[k] = wish > 0.0 && (!port.on || now_s_ < loads_[k].boot_until_s) ? 1 : 0;
    if (port.on) running_.push_back(k);
    any_down_ = any_down_ || down_[k] != 0;
    critical_down_ = critical_down_ || (down_[k] != 0 && in_.loads[k].critical);
    any_off_ = any_off_ || !loads_[k].on;
    changed =
        changed || port.on != problem_.loads[k].on || port.power_w != problem_.loads[k].power_w;
    problem_.loads[k] = port;
  }
  for (std::size_t c = 0; c < in_.converters.size(); ++c) {
    bool on = converters_[c].on;
    for (int up = static_cast<int>(c); up >= 0;
         up = in_.converters[static_cast<std::size_t>(up)].feed) {
      const auto k = static_cast<std::size_t>(up);
      const int group = in_.converters[k].group;
      on = on && converters_[k].on && (group < 0 || groups_[static_cast<std::size_t>(group)].on);
    }
    changed = changed || (on ? 1 : 0) != problem_.converter_on[c];
    problem_.converter_on[c] = on ? 1 : 0;
    any_off_ = any_off_ || !converters_[c].on;
  }
  if (changed) ++problem_.version;
}

void Engine::apply_fans() {
  // A fan without power stands still, whatever its thermostat asks for.
  for (std::size_t f = 0; f < fan_load_.size(); ++f) {
    if (fan_load_[f] < 0) continue;
    const bool powered = load_runs(static_cast<std::size_t>(fan_load_[f]));
    FanState& fan = heat_.fans[f];
    const bool locked = fan.since_change_s < -1e200;
    if (powered && locked) fan.since_change_s = 1e30;
    if (!powered && !locked) {
      fan.step = 0;
      fan.since_change_s = -1e300;
    }
  }
}

double Engine::next_edge() const {
  double next = std::min({timer_s_, stage_timer(), draws_due_s_});
  if (next_mark_ < in_.options.marks_s.size()) {
    next = std::min(next, std::max(in_.options.marks_s[next_mark_], now_s_ + 1e-6));
  }
  return next;
}

}  // namespace nightbus::sim_detail
