/// Changes of what is laid and of what hangs on it: thicker sizes, more conductors, a second run,
/// less load, a higher voltage.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "nightbus/wiring_context.hpp"
#include "scenario/changes.hpp"

namespace nightbus::changes_detail {

namespace {

std::string quoted(const std::string& name) {
  return "\"" + name + "\"";
}

/// Names of the points behind a run, its own end first; through converters as well.
std::vector<std::string> behind(const System& system, std::size_t run) {
  std::vector<std::string> points{system.runs[run].to};
  for (std::size_t k = 0; k < points.size(); ++k) {
    for (const Run& each : system.runs) {
      if (each.from == points[k] && !each.spare &&
          std::find(points.begin(), points.end(), each.to) == points.end()) {
        points.push_back(each.to);
      }
    }
  }
  return points;
}

void add_split(const System& system, std::size_t run, std::vector<Attempt>& all) {
  const Run& described = system.runs[run];
  const auto is_bus = std::any_of(system.buses.begin(), system.buses.end(),
                                  [&](const Bus& bus) { return bus.name == described.to; });
  if (!is_bus) return;
  std::vector<std::size_t> circuits;
  for (std::size_t k = 0; k < system.runs.size(); ++k) {
    if (system.runs[k].from == described.to && !system.runs[k].spare &&
        system.runs[k].return_to.empty()) {
      circuits.push_back(k);
    }
  }
  if (circuits.size() < 2) return;
  for (const std::size_t moved : circuits) {
    Attempt attempt;
    attempt.kind = ChangeKind::split;
    attempt.subject = described.name;
    attempt.amounts = {1.0};
    attempt.make = [run, moved](System& changed, double) {
      const Run first = changed.runs[run];
      Bus bus;
      for (const Bus& each : changed.buses) {
        if (each.name == first.to) bus = each;
      }
      const auto free = [&](std::string name) {
        const auto points = [&](const std::string& wanted) {
          return std::any_of(changed.runs.begin(), changed.runs.end(), [&](const Run& each) {
            return each.name == wanted || each.from == wanted || each.to == wanted;
          });
        };
        while (points(name)) name += " 2";
        return name;
      };
      bus.name = free(first.to + " 2");
      Run second = first;
      second.name = free(first.name + " 2");
      second.to = bus.name;
      second.size.reset();
      second.return_size.reset();
      second.fuse_a.reset();
      second.fuse_form.clear();
      changed.runs[moved].from = bus.name;
      changed.buses.push_back(bus);
      changed.runs.push_back(std::move(second));
    };
    attempt.words = [name = described.name, other = system.runs[moved].name](double&,
                                                                             const WiringPlan&) {
      return fmt::format("lay a second run beside {} and hang {} on it", quoted(name),
                         quoted(other));
    };
    all.push_back(std::move(attempt));
  }
}

void add_parallel(const System& system, std::size_t run, std::vector<Attempt>& all) {
  const Run& described = system.runs[run];
  Attempt attempt;
  attempt.kind = ChangeKind::double_up;
  attempt.subject = described.name;
  attempt.from = described.parallel;
  for (int n = described.parallel + 1; n <= std::max(4, 2 * described.parallel); ++n) {
    attempt.amounts.push_back(n);
  }
  attempt.make = [run](System& changed, double amount) {
    changed.runs[run].parallel = static_cast<int>(amount);
  };
  attempt.words = [run, name = described.name, from = described.parallel](double& amount,
                                                                          const WiringPlan& after) {
    return fmt::format(
        "lay {:g} conductors of {} in parallel for each pole of run {} instead of {}", amount,
        print_size(after.runs[run].size), quoted(name), from);
  };
  all.push_back(std::move(attempt));
}

}  // namespace

void add_copper(const System& system, const Catalogue& catalogue, std::size_t run,
                std::vector<Attempt>& all) {
  const Run& described = system.runs[run];
  if (!system.rules.stock.empty() && !described.size) {
    double thickest = 0.0;
    for (const ConductorSize& size : system.rules.stock) {
      thickest = std::max(thickest, conductor_for(system, catalogue, described, size).area_mm2);
    }
    const ConductorFamily& family = catalogue.conductor_family(
        described.family.empty() ? system.rules.sizes : described.family);
    Attempt attempt;
    attempt.kind = ChangeKind::allow_size;
    attempt.subject = described.name;
    attempt.from = thickest;
    attempt.dimension = Dimension::area;
    for (const Conductor& each : family.conductors) {
      if (each.area_mm2 > thickest) attempt.amounts.push_back(each.area_mm2);
    }
    const auto size_of = [&family](double area_mm2) {
      const auto found =
          std::find_if(family.conductors.begin(), family.conductors.end(),
                       [&](const Conductor& each) { return each.area_mm2 == area_mm2; });
      return found->size;
    };
    attempt.make = [run, size_of](System& changed, double amount) {
      changed.runs[run].size = size_of(amount);
    };
    attempt.words = [name = described.name, size_of](double& amount, const WiringPlan&) {
      return fmt::format("get {} for run {}; the stock ends below it", print_size(size_of(amount)),
                         quoted(name));
    };
    if (!attempt.amounts.empty()) all.push_back(std::move(attempt));
  }
  add_parallel(system, run, all);
  add_split(system, run, all);
}

void add_load(const System& system, std::size_t run, std::vector<Attempt>& all) {
  const std::vector<std::string> points = behind(system, run);
  std::vector<std::size_t> loads;
  double watts = 0.0;
  for (std::size_t k = 0; k < system.loads.size(); ++k) {
    const Load& load = system.loads[k];
    if (std::find(points.begin(), points.end(), load.name) == points.end()) continue;
    loads.push_back(k);
    watts += load.count * load.peak_w.value_or(load.typical_w);
  }
  if (loads.empty() || watts <= 0.0) return;
  Attempt attempt;
  attempt.kind = ChangeKind::lower_load;
  attempt.subject = system.runs[run].name;
  attempt.from = 1.0;
  attempt.dimension = Dimension::ratio;
  attempt.extreme = 0.05;
  attempt.grain = 0.005;
  attempt.make = [loads](System& changed, double amount) {
    for (const std::size_t k : loads) {
      Load& load = changed.loads[k];
      load.typical_w *= amount;
      for (std::optional<double>* draw : {&load.peak_w, &load.rest_w}) {
        if (*draw) **draw *= amount;
      }
      load.usage.night_extra_w *= amount;
    }
  };
  const std::string what = loads.size() == 1
                               ? "what " + quoted(system.loads[loads.front()].name) + " draws"
                               : "what hangs on run " + quoted(system.runs[run].name);
  attempt.words = [what, watts](double& amount, const WiringPlan&) {
    return fmt::format("lower {} to {:.3g} % of it: {} to {} at its peak", what, 100.0 * amount,
                       show_quantity(watts, Dimension::power, 3),
                       show_quantity(amount * watts, Dimension::power, 3));
  };
  all.push_back(std::move(attempt));
}

void add_voltage(const System& system, std::vector<Attempt>& all) {
  // The same cells, twice as many in series: half the ampere-hours, four times the resistance.
  // Whether the gear takes it is asked of every window; gear without one is not asked to.
  if (system.banks.size() != 1 || !system.chargers.empty()) return;
  const Bank& bank = system.banks.front();
  const double highest_v = 2.0 * bank.absorption_v.value_or(1.25 * bank.nominal_v);
  const double lowest_v = 2.0 * bank.disconnect_v.value_or(0.85 * bank.nominal_v);
  const auto takes = [&](const std::optional<Range>& window) {
    return window && window->low <= lowest_v && window->high >= highest_v;
  };
  for (const Load& each : system.loads) {
    if (!takes(each.window_v) || each.behaviour != Behaviour::constant_power) return;
  }
  for (const Fan& each : system.fans) {
    if (!takes(each.window_v)) return;
  }
  for (const Converter& each : system.converters) {
    if (!takes(each.window_v)) return;
  }
  Attempt attempt;
  attempt.kind = ChangeKind::raise_voltage;
  attempt.subject = bank.name;
  attempt.from = bank.nominal_v;
  attempt.dimension = Dimension::voltage;
  attempt.amounts = {2.0 * bank.nominal_v};
  attempt.make = [](System& changed, double amount) {
    Bank& higher = changed.banks.front();
    const double ratio = amount / higher.nominal_v;
    higher.nominal_v = amount;
    higher.capacity_ah /= ratio;
    if (higher.resistance_ohm) *higher.resistance_ohm *= ratio * ratio;
    for (std::optional<double>* volts :
         {&higher.disconnect_v, &higher.reconnect_v, &higher.absorption_v, &higher.float_v}) {
      if (*volts) **volts *= ratio;
    }
    for (std::optional<double>* amps : {&higher.short_circuit_a, &higher.cold_cranking_a,
                                        &higher.max_charge_a, &higher.max_discharge_a}) {
      if (*amps) **amps /= ratio;
    }
    for (Array& array : changed.arrays) array.controller_a /= ratio;
  };
  attempt.words = [name = bank.name, from = bank.nominal_v](double& amount, const WiringPlan&) {
    return fmt::format(
        "build bank {} for {:g} V instead of {:g} V from the same cells; every "
        "window that is stated takes it",
        quoted(name), amount, from);
  };
  all.push_back(std::move(attempt));
}

}  // namespace nightbus::changes_detail
