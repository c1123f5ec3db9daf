/// Which voltages meet. A group of points joined by runs has one voltage; converters part groups.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <vector>

#include "reader/check.hpp"
#include "reader/labels.hpp"
#include "reader/points.hpp"

namespace nightbus::reader_detail {

namespace {

// How far a bus can stray from its nominal voltage. Only a load that could never work is refused
// here; one that fails in some cases is the plan's business.
constexpr double bank_lowest = 0.75;
constexpr double bank_highest = 1.30;
constexpr double output_lowest = 0.85;
constexpr double output_highest = 1.10;
// A charging converter on a bank may stand at 1.2 times its nominal voltage; 12 V and 24 V are
// twice.
constexpr double same_voltage = 1.4;

/// What sets the voltage of a group.
struct Setter {
  double nominal_v = 0.0;
  bool bank = false;
  Span where;
  std::string label;
};

class Levels {
 public:
  explicit Levels(const Check& check) : points(check.system), groups(check.system, points) {
    for (const auto& point : points.all()) {
      if (point.kind == PointKind::bank) {
        const auto& bank = check.system.banks[point.index];
        setters_[groups.of(point.node)].push_back(
            {bank.nominal_v, true, Check::place(bank.written, "voltage"), point.label()});
      } else if (point.kind == PointKind::converter) {
        const auto& converter = check.system.converters[point.index];
        setters_[groups.of(point.output)].push_back(
            {converter.output_v, false, Check::place(converter.written, "output"), point.label()});
      }
    }
    // Banks first: they give the group its nominal voltage.
    for (auto& [group, list] : setters_) {
      std::stable_sort(list.begin(), list.end(),
                       [](const Setter& a, const Setter& b) { return a.bank && !b.bank; });
    }
  }

  const std::map<std::size_t, std::vector<Setter>>& setters() const { return setters_; }

  const Setter* of(std::size_t node) const {
    const auto found = setters_.find(groups.of(node));
    return found == setters_.end() ? nullptr : &found->second.front();
  }

  Points points;
  Groups groups;

 private:
  std::map<std::size_t, std::vector<Setter>> setters_;
};

Range range_of(const Setter& setter) {
  return setter.bank ? Range{setter.nominal_v * bank_lowest, setter.nominal_v * bank_highest}
                     : Range{setter.nominal_v * output_lowest, setter.nominal_v * output_highest};
}

std::string volts(double value) {
  return show_quantity(value, Dimension::voltage, 4);
}

}  // namespace

void check_bank_voltage(const Check& check) {
  for (const auto& bank : check.system.banks) {
    const BatteryChemistry* chemistry = nullptr;
    try {
      chemistry = &check.catalogue.chemistry(bank.chemistry);
    } catch (const LookupError&) {
      continue;  // reported by itself
    }
    const auto whole = [](double cells) {
      return cells > 0.5 && std::fabs(cells - std::round(cells)) < 0.02;
    };
    const double by_nominal = bank.nominal_v / 12.0 * chemistry->cells_per_12v;
    const double by_cell =
        chemistry->nominal_cell_v > 0.0 ? bank.nominal_v / chemistry->nominal_cell_v : 0.0;
    if (whole(by_nominal) || whole(by_cell)) continue;
    check.report("bank-voltage",
                 fmt::format("bank \"{}\": no whole number of {} cells makes {}", bank.name,
                             bank.chemistry, volts(bank.nominal_v)),
                 Check::place(bank.written, "voltage"),
                 "the nominal voltage: 12, 24 or 48 V as a rule",
                 "give the nominal voltage, not one that was measured");
  }
}

void check_joined_voltages(const Check& check) {
  const Levels levels(check);
  for (const auto& [group, list] : levels.setters()) {
    const auto& first = list.front();
    for (std::size_t i = 1; i < list.size(); ++i) {
      const auto [low, high] = std::minmax(first.nominal_v, list[i].nominal_v);
      if (high <= low * same_voltage) continue;
      auto& problem =
          check.report("voltage-clash",
                       fmt::format("{} at {} and {} at {} are joined by runs", first.label,
                                   volts(first.nominal_v), list[i].label, volts(list[i].nominal_v)),
                       list[i].where, "buses of different voltage joined by a converter only",
                       "look for the run that joins the two sides");
      problem.other = first.where;
      problem.other_label = "the other voltage";
    }
  }
}

namespace {

struct Input {
  const Written& written;
  std::string label;
  std::size_t node;
  std::optional<Range> window;
  std::optional<double> rated;
};

void check_input(const Check& check, const Levels& levels, const Input& input) {
  const auto* setter = levels.of(input.node);
  if (setter == nullptr) return;
  const auto bus = range_of(*setter);
  std::string key;
  std::string seen;
  if (input.window && !check.damage.has(input.written, "window")) {
    if (input.window->low <= bus.high && input.window->high >= bus.low) return;
    key = "window";
    seen = fmt::format("{} to {}", volts(input.window->low), volts(input.window->high));
  } else if (input.rated && !check.damage.has(input.written, "rated_voltage")) {
    if (*input.rated <= setter->nominal_v * same_voltage &&
        *input.rated * same_voltage >= setter->nominal_v)
      return;
    key = "rated_voltage";
    seen = volts(*input.rated);
  } else {
    return;
  }
  auto& problem = check.report(
      "voltage-misfit",
      fmt::format("{} can never work on a bus of {}", input.label, volts(setter->nominal_v)),
      Check::place(input.written, key),
      fmt::format("a {} that fits {} to {}", key == "window" ? "window" : "voltage", volts(bus.low),
                  volts(bus.high)),
      "feed it from another bus or through a converter");
  problem.seen = seen;
  problem.other = setter->where;
  problem.other_label = "the voltage of its bus, set by " + setter->label;
}

}  // namespace

void check_input_windows(const Check& check) {
  const Levels levels(check);
  for (const auto& point : levels.points.all()) {
    if (point.kind == PointKind::load) {
      const auto& load = check.system.loads[point.index];
      check_input(check, levels,
                  {load.written, point.label(), point.node, load.window_v, load.nominal_v});
    } else if (point.kind == PointKind::fan) {
      const auto& fan = check.system.fans[point.index];
      check_input(check, levels, {fan.written, point.label(), point.node, fan.window_v, {}});
    } else if (point.kind == PointKind::converter) {
      const auto& converter = check.system.converters[point.index];
      check_input(check, levels,
                  {converter.written, point.label(), point.node, converter.window_v, {}});
    }
  }
}

void check_charger_voltages(const Check& check) {
  const Levels levels(check);
  for (const auto& point : levels.points.all()) {
    if (point.kind != PointKind::charger) continue;
    const auto& charger = check.system.chargers[point.index];
    const auto* setter = levels.of(point.node);
    if (setter == nullptr || !setter->bank || !charger.voltage_v ||
        check.damage.has(charger.written, "voltage"))
      continue;
    if (*charger.voltage_v >= setter->nominal_v &&
        *charger.voltage_v <= setter->nominal_v * same_voltage)
      continue;
    auto& problem = check.report("voltage-misfit",
                                 fmt::format("{} stops at {} and cannot charge {}", point.label(),
                                             volts(*charger.voltage_v), setter->label),
                                 Check::place(charger.written, "voltage"),
                                 fmt::format("somewhat above {}", volts(setter->nominal_v)));
    problem.other = setter->where;
    problem.other_label = "the bank's voltage";
  }
}

}  // namespace nightbus::reader_detail
