#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "scenario/compare.hpp"

namespace nightbus::scenario_detail {

namespace {

class Collector {
 public:
  void add(std::string kind, std::string name, std::string figure, double value,
           Dimension dimension) {
    if (std::isfinite(value)) {
      figures_.push_back({std::move(kind), std::move(name), std::move(figure),
                          show_quantity(value, dimension), value, dimension});
    }
  }
  void add(std::string kind, std::string name, std::string figure, const std::string& text) {
    figures_.push_back(
        {std::move(kind), std::move(name), std::move(figure), text, std::nullopt, {}});
  }
  std::vector<Figure> take() { return std::move(figures_); }

 private:
  std::vector<Figure> figures_;
};

void add_wiring(const Plan& plan, Collector& out) {
  out.add("system", "", "metal", plan.wiring.metal_kg, Dimension::mass);
  if (plan.wiring.cost > 0.0) out.add("system", "", "cost", plan.wiring.cost, Dimension::number);
  out.add("system", "", "different sizes", plan.wiring.distinct_sizes, Dimension::number);
  for (const RunPlan& run : plan.wiring.runs) {
    out.add("run", run.run, "size", print_size(run.size));
    if (run.device) {
      out.add("run", run.run, "device",
              fmt::format("{} {}", run.device->form,
                          show_quantity(run.device->rating_a, Dimension::current)));
    }
    out.add("run", run.run, "length", run.length_m, Dimension::length);
    out.add("run", run.run, "largest current", run.current_a, Dimension::current);
    if (run.ampacity_a > 0.0) {
      out.add("run", run.run, "room to its ampacity", 1.0 - run.current_a / run.ampacity_a,
              Dimension::ratio);
    }
    out.add("run", run.run, "largest drop", run.drop_v, Dimension::voltage);
    out.add("run", run.run, "hottest conductor", run.conductor_c, Dimension::temperature);
  }
}

/// How far the least case is from the edge, every load alike.
void add_margins(const Plan& plan, Collector& out) {
  double collapse = std::numeric_limits<double>::infinity(), window = collapse;
  for (const CaseResult& result : plan.cases) {
    if (!result.margins) continue;
    collapse = std::min(collapse, result.margins->collapse_multiplier.value_or(collapse));
    window = std::min(window, result.margins->first_window_multiplier.value_or(window));
  }
  out.add("system", "", "loads times, to collapse", collapse, Dimension::number);
  out.add("system", "", "loads times, to the first window", window, Dimension::number);
}

/// Lowest and highest volts of one consumer over the cases.
template <class Pick>
void add_volts(const Plan& plan, const char* kind, const std::string& name, Pick pick,
               Collector& out) {
  double low = std::numeric_limits<double>::infinity(), high = -low;
  for (const CaseResult& result : plan.cases) {
    if (const std::optional<double> volts = pick(result)) {
      low = std::min(low, *volts);
      high = std::max(high, *volts);
    }
  }
  out.add(kind, name, "lowest volts", low, Dimension::voltage);
  out.add(kind, name, "highest volts", high, Dimension::voltage);
}

void add_devices(const Plan& plan, Collector& out) {
  const auto of = [](const auto& list, std::size_t k) -> std::optional<double> {
    return k < list.size() ? std::optional(list[k].voltage_v) : std::nullopt;
  };
  for (std::size_t k = 0; k < plan.system.loads.size(); ++k) {
    add_volts(
        plan, "load", plan.system.loads[k].name,
        [&](const CaseResult& result) { return of(result.loads, k); }, out);
  }
  for (std::size_t k = 0; k < plan.system.fans.size(); ++k) {
    add_volts(
        plan, "fan", plan.system.fans[k].name,
        [&](const CaseResult& result) { return of(result.fans, k); }, out);
  }
  for (std::size_t k = 0; k < plan.system.poe_links.size(); ++k) {
    add_volts(
        plan, "PoE link", plan.system.poe_links[k].name,
        [&](const CaseResult& result) {
          return k < result.poe_links.size() ? std::optional(result.poe_links[k].device.voltage_v)
                                             : std::nullopt;
        },
        out);
  }
}

void add_heat(const Plan& plan, Collector& out) {
  for (const CompartmentPlan& each : plan.heat.compartments) {
    out.add("compartment", each.name, "hottest air", each.cases[each.hottest].temp_c,
            Dimension::temperature);
    out.add("compartment", each.name, "heat", each.cases[each.hottest].heat.total_w(),
            Dimension::power);
  }
}

void add_energy(const Plan& plan, Collector& out) {
  if (!plan.energy.done) {
    return;
  }
  constexpr double day_s = 86400.0;
  for (const MonthPlan& month : plan.energy.months) {
    const std::string name = fmt::format("{:02}", month.month);
    out.add("month", name, "night", month.night_ah, Dimension::charge);
    out.add("month", name, "day", month.load_wh, Dimension::energy);
    out.add("month", name, "surplus", month.surplus_wh(), Dimension::energy);
    out.add("month", name, "charge at sunrise", month.charge_sunrise, Dimension::ratio);
    if (month.hours_to_full) {
      out.add("month", name, "full again after sunrise", *month.hours_to_full * 3600.0,
              Dimension::time);
    }
    if (month.days_to_reserve) {
      out.add("month", name, "autonomy", *month.days_to_reserve * day_s, Dimension::time);
    }
  }
}

}  // namespace

std::vector<Figure> figures_of(const Plan& plan) {
  Collector out;
  add_wiring(plan, out);
  add_margins(plan, out);
  add_devices(plan, out);
  add_heat(plan, out);
  add_energy(plan, out);
  return out.take();
}

}  // namespace nightbus::scenario_detail
