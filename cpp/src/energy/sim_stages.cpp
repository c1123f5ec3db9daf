// The stages of charging, one machine for everything that follows the first bank:
//
//   bulk ──reaches the absorption voltage──▶ absorption ──time, or tail current──▶ float (or rest)
//     ▲                                           │ now and then: equalise ──time──▶ float
//     └──────────── bus below the re-bulk voltage for a while ───────────────────────────┘
//
// Time in absorption counts only while the voltage is really held. The tail is looked for in the
// bank's own current: what the loads take has been subtracted already.

#include <algorithm>
#include <limits>

#include "energy/sim_engine.hpp"

namespace nightbus::sim_detail {

namespace {
constexpr double never = std::numeric_limits<double>::infinity();
constexpr double slack_v = 1e-6;
/// A charger that ends its absorption below this charge was misled; the bank is not full.
constexpr double nearly_full = 0.95;
}  // namespace

double Engine::stage_v() const {
  if (banks_.empty()) return 0.0;
  const ChargeVoltages& v = in_.banks.front().model.voltages;
  double at_25 = v.absorption_v;
  switch (stage_) {
    case Stage::floating:
      at_25 = v.float_v;
      break;
    case Stage::equalise:
      at_25 = v.equalise_v.value_or(v.absorption_v);
      break;
    case Stage::rest:
      return 0.0;
    case Stage::bulk:
    case Stage::absorption:
      break;
  }
  return v.setpoint_v(at_25, banks_.front().temp_c);
}

double Engine::tail_distance() const {
  const double tail = in_.banks.front().model.rules.tail_current_a;
  if (stage_ != Stage::absorption || !trial_.held || tail <= 0.0) return never;
  return trial_.banks.front().current_end_a - tail;
}

double Engine::stage_distance() const {
  if (banks_.empty()) return never;
  const ChargeRules& rules = in_.banks.front().model.rules;
  switch (stage_) {
    case Stage::bulk:
      // Held at once: the stage changes now. Else when the bus gets there.
      if (trial_.held) return -1.0;
      return trial_.bus.bus_v > 0.0 ? set_v_ - trial_.bus_end_v : never;
    case Stage::absorption:
    case Stage::equalise: {
      if (!trial_.held) return never;
      const double whole = stage_ == Stage::absorption ? rules.absorption_s : rules.equalise_s;
      return std::min(whole - stage_s_ - trial_.dt_s, tail_distance());
    }
    case Stage::floating:
    case Stage::rest: {
      const double above = trial_.bus_end_v - rules.rebulk_v;
      return low_since_s_ < 0.0 ? above : slack_v - above;
    }
  }
  return never;
}

double Engine::stage_timer() const {
  if (low_since_s_ < 0.0) return never;
  return std::max(low_since_s_ + in_.banks.front().model.rules.rebulk_delay_s, now_s_ + 1e-6);
}

void Engine::set_stage(Stage stage, EventKind kind) {
  stage_ = stage;
  stage_s_ = 0.0;
  low_since_s_ = -1.0;
  note(kind, 0, trial_.bus_end_v);
}

bool Engine::switch_stage() {
  if (banks_.empty()) return false;
  const BankModel& model = in_.banks.front().model;
  const ChargeRules& rules = model.rules;
  const auto finish = [&] {
    BankRecord& record = out_.banks.front();
    if (trial_.banks.front().soc_end >= nearly_full) {
      if (!record.first_full_s) record.first_full_s = now_s_;
      if (!banks_.front().known_full) note(EventKind::bank_full, 0, trial_.banks.front().soc_end);
      banks_.front().known_full = true;
    }
    if (rules.floats) {
      set_stage(Stage::floating, EventKind::stage_float);
    } else {
      set_stage(Stage::rest, EventKind::stage_rest);
    }
  };
  switch (stage_) {
    case Stage::bulk:
      if (stage_distance() > 0.0) return false;
      set_stage(Stage::absorption, EventKind::stage_absorption);
      return true;
    case Stage::absorption: {
      if (tail_distance() > 0.0 && stage_s_ < rules.absorption_s - 1e-6) return false;
      const bool due = rules.equalise_every_s > 0.0 && model.voltages.equalise_v &&
                       now_s_ - last_equalise_s_ >= rules.equalise_every_s;
      if (due) {
        last_equalise_s_ = now_s_;
        set_stage(Stage::equalise, EventKind::stage_equalise);
      } else {
        finish();
      }
      return true;
    }
    case Stage::equalise:
      if (stage_s_ < rules.equalise_s - 1e-6) return false;
      finish();
      return true;
    case Stage::floating:
    case Stage::rest: {
      bool changed = false;
      if (stage_distance() <= 0.0) {
        low_since_s_ = low_since_s_ < 0.0 ? now_s_ : -1.0;
        changed = true;
      }
      if (low_since_s_ >= 0.0 && now_s_ >= low_since_s_ + rules.rebulk_delay_s - 1e-6) {
        set_stage(Stage::bulk, EventKind::stage_bulk);
        changed = true;
      }
      return changed;
    }
  }
  return false;
}

}  // namespace nightbus::sim_detail
