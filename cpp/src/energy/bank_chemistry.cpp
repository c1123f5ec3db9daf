// From the catalogue's chemistry to a bank's numbers. Nothing is invented here without a word in
// `assumptions`; where the catalogue is silent the choice errs towards less bank, not more.

#include <algorithm>
#include <cmath>

#include "nightbus/catalogue.hpp"
#include "nightbus/energy_bank.hpp"
#include "nightbus/source.hpp"

namespace nightbus {

namespace {

PiecewiseLinear lines(const Curve& curve) {
  PiecewiseLinear out;
  for (const CurvePoint& point : curve.points) {
    out.x.push_back(point.x);
    out.y.push_back(point.y);
  }
  return out;
}

/// A curve over charge must not slope down: a bank that rises in voltage as it empties has no
/// state.
void require_rising(const PiecewiseLinear& curve, const std::string& chemistry) {
  for (std::size_t k = 1; k < curve.y.size(); ++k) {
    if (!(curve.y[k] >= curve.y[k - 1])) {
      throw Error("the open-circuit voltage of " + chemistry + " falls while its charge rises");
    }
  }
}

class Maker {
 public:
  Maker(const BatteryChemistry& chemistry, std::vector<std::string>* assumptions)
      : chemistry_(chemistry), assumptions_(assumptions) {}

  void assume(const std::string& words) const {
    if (assumptions_) assumptions_->push_back(chemistry_.name + ": " + words);
  }
  std::optional<double> guide(const char* name) const {
    const Guide* found = chemistry_.guide(name);
    if (!found) return std::nullopt;
    return found->value;
  }
  double guide_or(const char* name, double fallback, const char* words) const {
    if (const auto value = guide(name)) return *value;
    assume(words);
    return fallback;
  }

 private:
  const BatteryChemistry& chemistry_;
  std::vector<std::string>* assumptions_;
};

void set_voltage(BankModel& bank, const BatteryChemistry& chemistry) {
  bank.mean_v = lines(chemistry.ocv_mean);
  if (bank.mean_v.empty()) throw Error("no open-circuit voltage is known for " + chemistry.name);
  require_rising(bank.mean_v, chemistry.name);
  if (chemistry.ocv_discharge.empty() || chemistry.ocv_charge.empty()) return;
  for (const CurvePoint& point : chemistry.ocv_discharge.points) {
    const double gap = chemistry.ocv_charge.at(point.x) - point.y;
    bank.swing_v.x.push_back(point.x);
    bank.swing_v.y.push_back(std::max(0.5 * gap, 0.0));
  }
}

void set_resistance(BankModel& bank, const BatteryChemistry& chemistry, const Maker& maker) {
  const double per_cell =
      maker.guide_or("resistance times capacity", 0.15, "resistance taken as 0.15 Ω·Ah per cell");
  bank.resistance_ohm = per_cell / bank.capacity_ah * bank.cells +
                        maker.guide("links and management resistance").value_or(0.0);
  if (const auto growth = maker.guide("resistance growth")) {
    bank.resistance_by_charge = {{0.0, 0.5, 1.0}, {*growth, 1.0, 1.0}};
    bank.resistance_by_temp = {{-20.0, 25.0}, {*growth, 1.0}};
  }
  if (!chemistry.resistance_ratio.empty()) {
    bank.resistance_by_temp = lines(chemistry.resistance_ratio);
  }
}

void set_charging(BankModel& bank, const Maker& maker, bool lithium) {
  const double n = bank.cells;
  ChargeVoltages& v = bank.voltages;
  v.absorption_v = n * maker.guide_or("absorption voltage", lithium ? 3.50 : 2.35,
                                      "absorption voltage not known, a low one taken");
  v.float_v = n * maker.guide_or("float voltage", lithium ? 3.35 : 2.25, "float voltage not known");
  v.ceiling_v = n * maker.guide_or("highest voltage", v.absorption_v / n,
                                   "highest voltage not known, absorption taken as ceiling");
  if (const auto equalise = maker.guide("equalise voltage")) v.equalise_v = n * *equalise;
  v.compensation_v_per_k = n * maker.guide("temperature compensation").value_or(0.0);

  ChargeRules& r = bank.rules;
  r.absorption_s = maker.guide_or("absorption time", 4.0 * 3600.0, "absorption of at most 4 h");
  r.tail_current_a = maker.guide("tail current").value_or(0.0) * bank.capacity_ah;
  r.rebulk_v =
      n * maker.guide_or("recharge voltage", lithium ? 3.35 : 2.20, "recharge voltage not known");
  bank.charge_low_c = maker.guide_or("charge lowest temperature", 0.0, "no charging below 0 °C");
  bank.charge_high_c =
      maker.guide_or("charge highest temperature", 45.0, "no charging above 45 °C");
  bank.discharge_low_c = maker.guide("discharge lowest temperature").value_or(-20.0);
  bank.discharge_high_c = maker.guide("discharge highest temperature").value_or(50.0);
  if (lithium) {
    if (const auto cold = maker.guide("charge rate at 10 °C")) {
      bank.charge_rate_by_temp = {{10.0, 25.0}, {*cold, 0.5}};
      maker.assume(
          "charging held to 0.5 of the capacity an hour at 25 °C, falling to the tested rate "
          "at 10 °C");
    }
    bank.cut_off_v = n * maker.guide("cell under-voltage").value_or(2.5);
    bank.cut_off_return_v = n * maker.guide("reconnect voltage").value_or(3.15);
  } else {
    bank.acceptance_hours = 1.0;
    bank.gassing_rate = 0.01;
    maker.assume(
        "charging current at most the missing charge over one hour (ampere-hour law), and "
        "0.01 of the capacity an hour lost to gas when full");
  }
}

}  // namespace

BankModel bank_model(const BatteryChemistry& chemistry, double nominal_v, double capacity_ah,
                     std::vector<std::string>* assumptions) {
  if (!(capacity_ah > 0.0)) throw Error("a bank needs a capacity above 0 Ah");
  const Maker maker(chemistry, assumptions);
  const bool lithium = chemistry.nominal_cell_v > 2.5;
  BankModel bank;
  bank.chemistry = chemistry.name;
  bank.cells = chemistry.cells_for(nominal_v);
  bank.capacity_ah = capacity_ah;
  set_voltage(bank, chemistry);
  set_resistance(bank, chemistry, maker);
  set_charging(bank, maker, lithium);
  bank.capacity_by_temp = lines(chemistry.capacity_ratio);
  // A warm bank gives a little more than rated; that is not counted on.
  for (double& share : bank.capacity_by_temp.y) share = std::min(share, 1.0);
  bank.coulombic = lines(chemistry.charge_efficiency);
  if (bank.coulombic.empty()) {
    bank.coulombic = PiecewiseLinear::constant(maker.guide_or(
        "coulombic efficiency", lithium ? 0.99 : 0.85, "coulombic efficiency not known"));
  }
  if (!lithium) bank.peukert = maker.guide_or("Peukert exponent", 1.3, "Peukert exponent of 1.3");
  bank.self_discharge_per_s = maker.guide_or("self-discharge", 0.10 * 12.0 / (365.25 * 86400.0),
                                             "self-discharge 10 % a month");
  if (const auto tare = maker.guide("management tare")) bank.standby_w = *tare * nominal_v;
  return bank;
}

}  // namespace nightbus
