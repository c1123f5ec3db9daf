// Sizes by search on the simulation. Availability rises with the bank, so its smallest size is
// found by bisection of the logarithm; each trial simulates every year given.

#include <algorithm>
#include <cmath>

#include "nightbus/energy_answers.hpp"

namespace nightbus {

void scale_bank(SimulationInput& input, double factor) {
  for (SimBank& bank : input.banks) {
    BankModel& m = bank.model;
    m.capacity_ah *= factor;
    m.resistance_ohm /= factor;
    m.rules.tail_current_a *= factor;
    if (m.max_charge_a < 1e9) m.max_charge_a *= factor;
    if (m.max_discharge_a < 1e9) m.max_discharge_a *= factor;
  }
}

void scale_arrays(SimulationInput& input, double factor) {
  for (SimArray& array : input.arrays) {
    ArrayModel& m = array.model;
    m.simple.power_w *= factor;
    if (m.diode) {
      // More of the same modules side by side: currents grow, resistances fall.
      m.diode->light_current_ref_a *= factor;
      m.diode->saturation_ref_a *= factor;
      m.diode->alpha_isc_a_per_k *= factor;
      m.diode->series_ohm /= factor;
      m.diode->shunt_ref_ohm /= factor;
    }
    if (m.controller.max_current_a < 1e9) m.controller.max_current_a *= factor;
  }
}

namespace {

struct Scale {
  double f;
  void operator()(SteadyDraw& d) const { d.power_w *= f; }
  void operator()(WindowDraw& d) const {
    d.on_w *= f;
    d.off_w *= f;
  }
  void operator()(DutyDraw& d) const {
    d.on_w *= f;
    d.off_w *= f;
  }
  void operator()(DayNightDraw& d) const {
    d.day_w *= f;
    d.night_w *= f;
    d.off_w *= f;
  }
  void operator()(FanDraw&) const {}  // follows the temperature
  void operator()(HeaterDraw& d) const {
    d.on_w *= f;
    d.off_w *= f;
  }
  void operator()(TraceDraw& d) const {
    for (double& w : d.power_w) w *= f;
    d.outside_w *= f;
  }
  void operator()(BurstDraw& d) const {
    d.idle_w *= f;
    d.burst_w *= f;
  }
};

template <class Change>
std::vector<SimulationInput> changed(std::span<const SimulationInput> years, Change&& change) {
  std::vector<SimulationInput> out(years.begin(), years.end());
  for (SimulationInput& year : out) {
    year.options.record_every = 0;
    change(year);
  }
  return out;
}

}  // namespace

void scale_draws(SimulationInput& input, double factor) {
  for (SimLoad& load : input.loads) std::visit(Scale{factor}, load.draw);
}

std::optional<double> smallest_factor(const std::function<double(double)>& availability,
                                      double wanted, double low, double high, double relative) {
  if (availability(high) < wanted) return std::nullopt;
  if (availability(low) >= wanted) return low;
  while (high / low > 1.0 + relative) {
    const double middle = std::sqrt(low * high);
    (availability(middle) >= wanted ? high : low) = middle;
  }
  return high;
}

std::vector<SizePair> size_frontier(std::span<const SimulationInput> years, double wanted,
                                    std::span<const double> array_factors, double low, double high,
                                    std::size_t threads) {
  std::vector<SizePair> pairs;
  for (const double array : array_factors) {
    const auto availability = [&](double bank) {
      const auto trial = changed(years, [&](SimulationInput& year) {
        scale_arrays(year, array);
        scale_bank(year, bank);
      });
      return availability_of(trial, threads).availability;
    };
    pairs.push_back({array, smallest_factor(availability, wanted, low, high, 0.02)});
  }
  return pairs;
}

std::vector<Marginal> marginal_values(std::span<const SimulationInput> years,
                                      const MarginalOptions& options, std::size_t threads) {
  const auto base = availability_of(changed(years, [](SimulationInput&) {}), threads);
  double mean_w = 0.0;
  if (!years.empty()) {
    for (const SimLoad& load : years.front().loads) mean_w += mean_draw_w(load.draw, 0.5);
  }
  std::vector<Marginal> out;
  const auto add = [&](const char* change, double factor, void (*scale)(SimulationInput&, double)) {
    Marginal m;
    m.change = change;
    m.factor = factor;
    m.after = availability_of(changed(years, [&](SimulationInput& year) { scale(year, factor); }),
                              threads);
    m.hours_won = base.mean_unmet_h - m.after.mean_unmet_h;
    out.push_back(m);
  };
  add("one more panel", 1.0 + options.panel_share, &scale_arrays);
  add("one more battery", 1.0 + options.battery_share, &scale_bank);
  if (mean_w > options.less_w) add("less draw", 1.0 - options.less_w / mean_w, &scale_draws);
  return out;
}

}  // namespace nightbus
