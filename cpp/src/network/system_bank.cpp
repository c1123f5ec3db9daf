/// What a bank is as an EMF behind a resistance.
///
///   EMF = n · ocv(s)            n cells in series; the discharge branch where the bank is falling,
///   the
///                               charge branch where it is rising, the mean at rest
///   R = (R_cell · f(T) · g(s) + R_links) / strings
///
/// f and g from the chemistry's tables: f(25 °C) = 1, g(1) = 1. A stated resistance covers both
/// parts; where the chemistry knows of links and a management switch, what exceeds the bare cells
/// is theirs and does not follow the temperature. A stated short-circuit current stands for EMF /
/// R.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "network/system_impl.hpp"

namespace nightbus {

using namespace compile_detail;

namespace {

/// A figure of the chemistry, or what stands in for it.
double figure(const BatteryChemistry& chemistry, std::string_view quantity, double otherwise) {
  const Guide* guide = chemistry.guide(quantity);
  return guide ? guide->value : otherwise;
}

struct Parts {
  double cell_ohm = 0.0;
  double links_ohm = 0.0;
};

/// One string at 25 °C, full.
Parts warm_parts(const Bank& bank, const BatteryChemistry& chemistry, bool least) {
  const int cells = chemistry.cells_for(bank.nominal_v);
  const auto pick = [&](std::string_view name, double otherwise) {
    const Guide* guide = chemistry.guide(name);
    return guide ? (least ? guide->low : guide->value) : otherwise;
  };
  constexpr double usual_ohm_ah = 0.075;  // a lead-acid cell, from memory
  const double bare =
      cells * pick("resistance times capacity", usual_ohm_ah) / std::max(bank.capacity_ah, 1e-3);
  const bool has_links = chemistry.guide("links and management resistance") != nullptr;
  std::optional<double> stated = bank.resistance_ohm;
  if (!stated && bank.short_circuit_a && *bank.short_circuit_a > 0.0) {
    stated = cells * chemistry.ocv_mean.at(1.0) / *bank.short_circuit_a;
  }
  if (!stated) {
    return {bare, pick("links and management resistance", 0.0)};
  }
  if (!has_links) {
    return {*stated, 0.0};
  }
  const double cell = std::min(bare, *stated);
  return {cell, *stated - cell};
}

double temperature_factor(const BatteryChemistry& chemistry, double temp_c) {
  if (!chemistry.resistance_ratio.empty()) {
    return chemistry.resistance_ratio.at(temp_c);
  }
  // Growth is stated at -20 °C; straight down to it, warm cells are not credited.
  const double growth = figure(chemistry, "resistance growth", 2.0);
  return 1.0 + (growth - 1.0) * std::max(0.0, (25.0 - temp_c) / 45.0);
}

double charge_factor(const BatteryChemistry& chemistry, double charge) {
  const double growth = figure(chemistry, "resistance growth", 1.0);
  return 1.0 + (growth - 1.0) * (1.0 - std::clamp(charge, 0.0, 1.0));
}

}  // namespace

double bank_resistance_ohm(const Bank& bank, const BatteryChemistry& chemistry, double charge,
                           double temp_c, bool least) {
  const Parts parts = warm_parts(bank, chemistry, least);
  const double cell =
      parts.cell_ohm * temperature_factor(chemistry, temp_c) * charge_factor(chemistry, charge);
  return (cell + parts.links_ohm) / std::max(bank.strings, 1);
}

double bank_absorption_v(const Bank& bank, const BatteryChemistry& chemistry, double temp_c) {
  const int cells = chemistry.cells_for(bank.nominal_v);
  const double per_cell = std::max(figure(chemistry, "highest voltage", 0.0),
                                   figure(chemistry, "absorption voltage", 2.45));
  const double at_25 = bank.absorption_v.value_or(cells * per_cell);
  const double per_k = cells * figure(chemistry, "temperature compensation", 0.0);
  // Controllers hold the compensation flat outside 0 to 40 °C.
  return at_25 + per_k * (std::clamp(temp_c, 0.0, 40.0) - 25.0);
}

namespace compile_detail {

BankNumbers bank_numbers(const Bank& bank, const BatteryChemistry& chemistry, double charge,
                         double temp_c, BankUse use) {
  const Curve* branch = &chemistry.ocv_mean;
  std::string_view words = "rest voltage";
  if (use == BankUse::discharge && !chemistry.ocv_discharge.empty()) {
    branch = &chemistry.ocv_discharge;
    words = "rest voltage after discharge";
  } else if (use == BankUse::charge && !chemistry.ocv_charge.empty()) {
    branch = &chemistry.ocv_charge;
    words = "rest voltage after charge";
  }
  BankNumbers numbers;
  numbers.emf_v = chemistry.cells_for(bank.nominal_v) * branch->at(charge);
  numbers.resistance_ohm = bank_resistance_ohm(bank, chemistry, charge, temp_c);
  numbers.basis = fmt::format("{} of {} at {:.0f} % and {:.0f} °C", words, chemistry.name,
                              100.0 * charge, temp_c);
  return numbers;
}

double tail_a(const Bank& bank, const BatteryChemistry& chemistry) {
  return figure(chemistry, "tail current", 0.02) * bank.capacity_ah * std::max(bank.strings, 1);
}

}  // namespace compile_detail

}  // namespace nightbus
