// Closed forms around banks.
//
//   Peukert, rated-hour form     t = H (C/(I H))^k, Ah = I t, capped at C below the rated current
//   C/H constant power behind E, R   V (V - E)/R + P = 0: V = (E + √(E² - 4 P R))/2, I = P/V taper
//   R I = k (s_end - s), Q ds = I dt: I = I0 e^(-t/τ), τ = R Q / k

#include <algorithm>
#include <cmath>

#include "nightbus/energy_bank.hpp"

namespace nightbus {

PeukertRun peukert_run(double capacity_ah, double rated_hours, double exponent, double current_a) {
  const double rated = capacity_ah / rated_hours;
  if (!(current_a > rated)) return {capacity_ah / current_a, capacity_ah};
  const double hours = rated_hours * std::pow(rated / current_a, exponent);
  return {hours, hours * current_a};
}

double peukert_exponent(double hours1, double current1_a, double hours2, double current2_a) {
  return std::log(hours1 / hours2) / std::log(current2_a / current1_a);
}

std::optional<PowerPoint> constant_power_point(double emf_v, double resistance_ohm,
                                               double power_w) {
  const double square = emf_v * emf_v - 4.0 * power_w * resistance_ohm;
  if (square < 0.0) return std::nullopt;
  const double voltage = 0.5 * (emf_v + std::sqrt(square));
  return PowerPoint{power_w / voltage, voltage};
}

double taper_time_constant_h(double resistance_ohm, double capacity_ah, double slope_v) {
  return resistance_ohm * capacity_ah / slope_v;
}

double lead_acid_molality(double concentration_mol_m3) {
  // Solvent per cubic metre by partial volumes: water 0.01801 kg/mol and 1.75e-5 m³/mol,
  // acid 4.5e-5 m³/mol.
  return concentration_mol_m3 * 1.75e-5 / ((1.0 - 4.5e-5 * concentration_mol_m3) * 0.01801);
}

double lead_acid_cell_v(double molality) {
  const double x = std::log10(molality);
  const double positive = 1.628 + x * (0.074 + x * (0.033 + x * (0.043 + x * 0.022)));
  const double negative = -0.294 - x * (0.074 + x * (0.030 + x * (0.031 + x * 0.012)));
  return positive - negative;
}

double lfp_electrode_v(double stoichiometry) {
  return 3.4077 - 0.020269 * stoichiometry + 0.5 * std::exp(-150.0 * stoichiometry) -
         0.9 * std::exp(-30.0 * (1.0 - stoichiometry));
}

double lfp_cycle_loss(double full_cycles, double depth, double c_rate, double temp_c) {
  const double kelvin = temp_c + 273.15;
  return (4.38e-8 + 1.55e-8 * depth + 1.68e-7 * c_rate) *
         (std::exp(2190.0 / kelvin) + std::exp(-1.55e5 / kelvin)) * std::pow(full_cycles, 0.828);
}

LifeEstimate life_estimate(const BankModel& bank, double discharged_ah, double days,
                           double mean_daily_depth, double mean_current_a, double mean_temp_c) {
  LifeEstimate life;
  if (!(days > 0.0) || !(bank.capacity_ah > 0.0)) return life;
  life.full_cycles_per_year = discharged_ah / bank.capacity_ah * 365.25 / days;
  life.typical_depth = mean_daily_depth;
  if (bank.chemistry != "LFP") {
    life.source = "no sourced cycle-life figure for this chemistry; ask its maker";
    return life;
  }
  const double c_rate = mean_current_a / bank.capacity_ah;
  const auto loss = [&](double years) {
    return lfp_cycle_loss(life.full_cycles_per_year * years, mean_daily_depth, c_rate, mean_temp_c);
  };
  life.loss_per_year = loss(1.0);
  life.source =
      "cycling loss of 250 Ah LFP cells, J. Energy Storage 2023, 10.1016/j.est.2023.109042; "
      "calendar "
      "ageing comes on top";
  if (loss(20.0) >= 0.2) {
    double low = 0.0;
    double high = 20.0;
    for (int k = 0; k < 60; ++k) {
      const double middle = 0.5 * (low + high);
      (loss(middle) < 0.2 ? low : high) = middle;
    }
    life.years_to_80_percent = high;
  }
  return life;
}

}  // namespace nightbus
