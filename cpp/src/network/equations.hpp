#pragma once
// The nodal equations of one scenario and their exact Jacobian.
//
//   f_u(x) = sum of the currents that leave row u through its elements = 0
//
// An element on rows (u, w) with law i(v), v = x_u - x_w, adds i to f_u and -i to f_w and its slope
// g to the four entries (u,u) +g, (u,w) -g, (w,u) -g, (w,w) +g. A converter adds its input current
// j to (u, w) and takes its output current i out of (s, t), with all four partial derivatives.

#include <cstdint>
#include <span>
#include <vector>

#include "network/factor.hpp"
#include "network/law_conductor.hpp"
#include "network/law_converter.hpp"
#include "network/law_load.hpp"
#include "network/law_supply.hpp"
#include "network/net.hpp"

namespace nightbus::network_detail {

// Numbers of the laws as a scenario sets them. `on` may be empty: all on.
ConductorNumbers conductor_of(const Description& d, std::span<const double> values,
                              std::uint32_t e);
ChargerNumbers charger_of(const Description& d, std::span<const double> values, std::uint32_t e);
// `floor`: see law_load.hpp. `lifted`: the law holds below the window too (for the end of the
// curve).
LoadNumbers load_of(const Description& d, std::span<const double> values,
                    std::span<const std::uint8_t> on, std::uint32_t e, double multiplier,
                    double floor, bool lifted);
ConverterNumbers converter_of(const Description& d, std::span<const double> values,
                              std::span<const std::uint8_t> on, std::uint32_t e);
inline bool is_on(std::span<const std::uint8_t> on, std::uint32_t e) {
  return on.empty() || on[e] != 0;
}
// Largest EMF, ceiling and set point of the scenario.
double voltage_scale(const Description& d, std::span<const double> values);
constexpr double least_scale_v = 1e-3;
// Elements whose EMF, ceiling or set point the scale is judged by.
constexpr bool sets_scale(ElementKind kind) {
  return kind == ElementKind::source || kind == ElementKind::charger ||
         kind == ElementKind::converter;
}

class Equations {
 public:
  Equations(const Description& description, const Net& net);

  struct Setting {
    std::span<const double> values{};
    std::span<const std::uint8_t> on{};
    double multiplier = 1.0;
    bool lifted = false;
  };
  void set(const Setting& setting);
  void set_multiplier(double multiplier);

  const Net& net() const { return *net_; }
  Factor& factor() { return factor_; }
  double floor_v() const { return floor_v_; }
  // Sum of the stiffest conductances at each row: turns a residual into volts.
  std::span<const double> stiffness() const { return stiffness_; }
  // What is left of a current after rounding: the residual that counts as balanced.
  double tolerance(std::uint32_t row) const { return 1e-10 + 1e-15 * noise_[row]; }

  void fill_known(std::span<double> x) const;
  // f over all rows; the Jacobian into factor() when asked.
  void evaluate(std::span<const double> x, std::span<double> f, bool jacobian);
  // The linear network that stands in for the unloaded one: chargers hold their ceiling, converters
  // their set point, and nothing is drawn. One solve gives voltages at or above every solution.
  void evaluate_start(std::span<const double> x, std::span<double> f);
  // d f / d multiplier over all rows.
  void load_direction(std::span<const double> x, std::span<double> direction) const;
  // Load (index in net().loads) at the lowest share of its minimum among those without a window of
  // their own that have fallen through the floor; `none` when every law is met.
  std::uint32_t fallen_load(std::span<const double> x) const;
  // Net load that takes most of the null mode's negative conductance at the end of the curve.
  std::uint32_t weakest_load(std::span<const double> x, std::span<const double> mode) const;

 private:
  void stamp(const Stamp& at, double slope);
  void linear_part(std::span<const double> x, std::span<double> f, bool jacobian);
  void add(const Row2& place, const Stamp& at, const Branch& branch, std::span<double> f,
           bool jacobian);

  const Description* description_;
  const Net* net_;
  Factor factor_;
  Setting setting_;
  double floor_v_ = 0.0, scale_v_ = 0.0;
  std::vector<ConductorNumbers> resistors_;
  std::vector<ChargerNumbers> chargers_;
  std::vector<LoadNumbers> loads_;
  std::vector<ConverterNumbers> converters_;
  std::vector<double> stiffness_;
  // Conductance times voltage at each row; a converter passes the rounding of its output current on
  // to its input.
  std::vector<double> noise_;
  std::vector<Stamp> resistor_at_, source_at_, charger_at_, load_at_, diode_at_, leak_at_;
  struct ConverterStamp {
    Stamp in, out;
    std::uint32_t us, ut, ws, wt, su, sw, tu, tw;
  };
  std::vector<ConverterStamp> converter_at_;
};

}  // namespace nightbus::network_detail
