#pragma once
/// Plays the draw of one load: watts now, and until when.

#include <limits>

#include "energy/sim_weather.hpp"
#include "nightbus/energy_simulation.hpp"

namespace nightbus::sim_detail {

/// What draws may look at.
struct DrawContext {
  const LocalClock* clock = nullptr;
  const NightClock* nights = nullptr;
  const ThermalNetwork* thermal = nullptr;
  const ThermalState* heat = nullptr;
  double outside_c = 20.0;
  std::span<const double> bank_temp_c{};
};

class DrawPlayer {
 public:
  explicit DrawPlayer(const Draw& draw);

  /// Brings the watts up to date at `time_s`; true when they changed.
  bool update(double time_s, const DrawContext& context);
  double power_w() const { return power_w_; }
  /// First instant after the last update at which the watts may change of themselves.
  double next_s() const { return next_s_; }
  /// A heater's signed distance (K) to its next switch; infinity for everything else.
  double distance_k(const DrawContext& context) const;

 private:
  double sensed_c(const HeaterDraw& heater, const DrawContext& context) const;
  void burst(const BurstDraw& d, double time_s);

  const Draw& draw_;
  double power_w_ = 0.0;
  double next_s_ = -std::numeric_limits<double>::infinity();
  bool heating_ = false;
  bool bursting_ = false;
  std::mt19937_64 random_;
};

}  // namespace nightbus::sim_detail
