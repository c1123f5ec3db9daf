#include "energy/sim_bank.hpp"

namespace nightbus::sim_detail {

WalkedTable::WalkedTable(const PiecewiseLinear& table, double times) : x_(table.x) {
  if (x_.empty()) return;
  for (std::size_t k = 0; k <= x_.size(); ++k) {
    const std::size_t before = k == 0 ? 0 : k - 1;
    const bool inside = k > 0 && k < x_.size();
    from_.push_back(x_[before]);
    y_.push_back(times * table.y[before]);
    slope_.push_back(inside ? times * (table.y[k] - table.y[before]) / (x_[k] - x_[before]) : 0.0);
  }
}

BankTables::BankTables(const BankModel& model)
    : mean_(model.mean_v, model.cells),
      swing_(model.swing_v, model.cells),
      by_charge_(model.resistance_by_charge),
      by_temp_(model.resistance_by_temp),
      coulombic_(model.coulombic),
      capacity_by_temp_(model.capacity_by_temp),
      emf_per_k_(model.cells * model.ocv_v_per_k),
      resistance_ohm_(model.resistance_ohm),
      hysteresis_charge_(model.hysteresis_charge),
      usable_ah_(model.usable_ah()),
      leak_a_(model.usable_ah() * model.self_discharge_per_s * 3600.0),
      leak_doubling_k_(model.self_discharge_doubling_k) {}

}  // namespace nightbus::sim_detail
