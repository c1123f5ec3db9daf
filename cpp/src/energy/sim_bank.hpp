#pragma once
/// A bank's tables as a run reads them, step after step: times cells, with slopes made once and the
/// segment kept where it was found last.

#include <algorithm>
#include <cmath>
#include <vector>

#include "nightbus/energy_bank.hpp"

namespace nightbus::sim_detail {

/// y over rising x, straight between, flat outside; one segment more on either side.
class WalkedTable {
 public:
  WalkedTable() = default;
  WalkedTable(const PiecewiseLinear& table, double times);

  bool empty() const { return x_.empty(); }
  double at(double value) {
    find(value);
    return y_[k_] + slope_[k_] * (value - from_[k_]);
  }
  /// Slope of the segment that is entered when moving from `value` up, or down.
  double slope(double value, bool up) {
    find(value);
    if (!up && k_ > 0 && value == x_[k_ - 1]) return slope_[k_ - 1];
    return slope_[k_];
  }
  /// Next x in that direction, held inside 0…1.
  double corner(double value, bool up) {
    find(value);
    if (up) return k_ == x_.size() ? 1.0 : std::min(x_[k_], 1.0);
    std::size_t below = k_;
    if (below > 0 && value == x_[below - 1]) --below;
    return below == 0 ? 0.0 : std::max(x_[below - 1], 0.0);
  }

 private:
  // Segment k reaches from x[k - 1] to below x[k].
  void find(double value) {
    while (k_ < x_.size() && value >= x_[k_]) ++k_;
    while (k_ > 0 && value < x_[k_ - 1]) --k_;
  }

  std::size_t k_ = 0;
  std::vector<double> x_, from_, y_, slope_;
};

/// What a factor table gives, kept while its argument stays the same.
class KeptFactor {
 public:
  KeptFactor() = default;
  explicit KeptFactor(const PiecewiseLinear& table) : table_(table, 1.0) {}
  bool empty() const { return table_.empty(); }
  double at(double value) {
    if (table_.empty()) return 1.0;
    if (value != last_) {
      last_ = value;
      kept_ = table_.at(value);
    }
    return kept_;
  }

 private:
  WalkedTable table_;
  double last_ = std::nan(""), kept_ = 1.0;
};

/// The functions of BankModel by the same names; see there.
class BankTables {
 public:
  explicit BankTables(const BankModel& model);

  double mean_emf_v(double s) { return mean_.at(s); }
  double emf_v(double s, double temp_c, double h) {
    double v = mean_.at(s);
    if (!swing_.empty()) v += h * swing_.at(s);
    return v + emf_per_k_ * (temp_c - 25.0);
  }
  double emf_slope_v(double s, double h, bool charging) {
    double slope = mean_.slope(s, charging);
    if (!swing_.empty()) {
      const double march = (charging ? 1.0 - h : 1.0 + h) / hysteresis_charge_;
      slope += h * swing_.slope(s, charging) + swing_.at(s) * march;
    }
    return slope;
  }
  double resistance_at(double s, double temp_c) {
    return resistance_ohm_ * by_charge_.at(s) * by_temp_.at(temp_c);
  }
  double coulombic_at(double s) { return coulombic_.at(s); }
  double self_discharge_a(double temp_c) {
    if (leak_a_ == 0.0) return 0.0;
    if (temp_c != leak_at_c_) {
      leak_at_c_ = temp_c;
      leak_now_a_ = leak_a_ * std::exp2((temp_c - 25.0) / leak_doubling_k_);
    }
    return leak_now_a_;
  }
  double empty_soc(double temp_c) {
    return std::clamp(1.0 - capacity_by_temp_.at(temp_c), 0.0, 1.0);
  }
  double next_corner(double s, bool charging) { return mean_.corner(s, charging); }
  double usable_ah() const { return usable_ah_; }

 private:
  WalkedTable mean_, swing_;
  KeptFactor by_charge_, by_temp_, coulombic_, capacity_by_temp_;
  double emf_per_k_, resistance_ohm_, hysteresis_charge_, usable_ah_;
  double leak_a_, leak_doubling_k_;
  double leak_at_c_ = std::nan(""), leak_now_a_ = 0.0;
};

}  // namespace nightbus::sim_detail
