/// What a bank is as an EMF behind a resistance.
///
///   EMF = n · (ocv(s) + k (T - 25))        R = R25 / strings · f(T)
///
/// n cells in series; the discharge branch where the bank is falling, the charge branch where it is
/// rising, the mean at rest.

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "network/system_impl.hpp"

namespace nightbus::compile_detail {

namespace {

/// A figure of the chemistry, or what stands in for it.
double figure(const BatteryChemistry& chemistry, std::string_view quantity, double otherwise) {
  const Guide* guide = chemistry.guide(quantity);
  return guide ? guide->value : otherwise;
}

}  // namespace

double bank_resistance_ohm(const Bank& bank, const BatteryChemistry& chemistry, double charge,
                           double temp_c) {
  static_cast<void>(charge);
  const int strings = std::max(bank.strings, 1);
  double one = bank.resistance_ohm.value_or(0.0);
  if (!bank.resistance_ohm && bank.short_circuit_a && *bank.short_circuit_a > 0.0) {
    one = chemistry.cells_for(bank.nominal_v) * chemistry.ocv_mean.at(1.0) / *bank.short_circuit_a;
  } else if (!bank.resistance_ohm) {
    const double per_12v = figure(chemistry, "resistance", 1.0);
    one = per_12v * bank.nominal_v / 12.0 / std::max(bank.capacity_ah, 1.0);
  }
  const double by_temp =
      chemistry.resistance_ratio.empty() ? 1.0 : chemistry.resistance_ratio.at(temp_c);
  return one * by_temp / strings;
}

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
  const int cells = chemistry.cells_for(bank.nominal_v);
  const double per_k = figure(chemistry, "ocv per kelvin", 0.0);
  BankNumbers numbers;
  numbers.emf_v = cells * (branch->at(charge) + per_k * (temp_c - 25.0));
  numbers.resistance_ohm = bank_resistance_ohm(bank, chemistry, charge, temp_c);
  numbers.basis = fmt::format("{} of {} at {:.0f} % and {:.0f} °C", words, chemistry.name,
                              100.0 * charge, temp_c);
  return numbers;
}

double absorption_v(const Bank& bank, const BatteryChemistry& chemistry, double temp_c) {
  const int cells = chemistry.cells_for(bank.nominal_v);
  const double at_25 = bank.absorption_v.value_or(cells * figure(chemistry, "absorption", 2.4));
  const double per_k = cells * figure(chemistry, "compensation", 0.0);
  return at_25 + per_k * (std::clamp(temp_c, 0.0, 40.0) - 25.0);
}

double tail_a(const Bank& bank) {
  return 0.03 * bank.capacity_ah * std::max(bank.strings, 1);
}

}  // namespace nightbus::compile_detail
