/// Values of one record that must fit each other.

#include <fmt/format.h>

#include <optional>
#include <string>

#include "reader/check.hpp"
#include "reader/labels.hpp"

namespace nightbus::reader_detail {

namespace {

/// Two fields of one record of which the first may not exceed the second.
struct Pair {
  const Written& written;
  std::string label;
  std::string low_key;
  std::optional<double> low;
  std::string high_key;
  std::optional<double> high;
  Dimension dimension;
  bool may_be_equal = true;
};

void check_order(const Check& check, const Pair& pair) {
  if (!pair.low || !pair.high) return;
  if (check.damage.has(pair.written, pair.low_key) || check.damage.has(pair.written, pair.high_key))
    return;
  if (pair.may_be_equal ? *pair.low <= *pair.high : *pair.low < *pair.high) return;
  const auto low = Check::place(pair.written, pair.low_key);
  const auto high = Check::place(pair.written, pair.high_key);
  auto& problem = check.report(
      "out-of-order",
      fmt::format("{}: \"{}\" must lie below \"{}\"", pair.label, pair.low_key, pair.high_key),
      low);
  problem.seen =
      fmt::format("{} {} and {} {}", pair.low_key, show_quantity(*pair.low, pair.dimension, 5),
                  pair.high_key, show_quantity(*pair.high, pair.dimension, 5));
  if (pair.written.places.count(pair.high_key) != 0 &&
      pair.written.places.count(pair.low_key) != 0) {
    problem.other = high;
    problem.other_label = "\"" + pair.high_key + "\" is written here";
  } else if (pair.written.places.count(pair.high_key) != 0) {
    problem.where = high;
    problem.mend = fmt::format("{} was not given and is taken as {}", pair.low_key,
                               show_quantity(*pair.low, pair.dimension, 5));
  } else {
    problem.mend = fmt::format("{} was not given and is taken as {}", pair.high_key,
                               show_quantity(*pair.high, pair.dimension, 5));
  }
}

template <class R>
std::string label(std::string_view key, const std::vector<R>& list, std::size_t i) {
  return label_of(record_type(key), &list[i], i);
}

/// rest <= typical <= peak of whatever draws power.
template <class R>
void check_draw_order(const Check& check, std::string_view key, const std::vector<R>& list) {
  for (std::size_t i = 0; i < list.size(); ++i) {
    const auto& one = list[i];
    const auto name = label(key, list, i);
    check_order(
        check, {one.written, name, "rest", one.rest_w, "typical", one.typical_w, Dimension::power});
    check_order(
        check, {one.written, name, "typical", one.typical_w, "peak", one.peak_w, Dimension::power});
  }
}

template <class R>
void check_lockout_order(const Check& check, std::string_view key, const std::vector<R>& list) {
  for (std::size_t i = 0; i < list.size(); ++i) {
    const auto& one = list[i];
    const auto name = label(key, list, i);
    check_order(check, {one.written, name, "off_below", one.off_v, "on_above", one.on_v,
                        Dimension::voltage});
    if (one.on_v && !one.off_v) {
      check.report("missing-key", fmt::format("{}: \"on_above\" without \"off_below\"", name),
                   Check::place(one.written, "on_above"), "both, or none",
                   "give the voltage at which it switches off");
    }
    if (!one.window_v || check.damage.has(one.written, "window")) continue;
    check_order(check, {one.written, name, "off_below", one.off_v, "window", one.window_v->high,
                        Dimension::voltage, false});
    check_order(check, {one.written, name, "on_above", one.on_v, "window", one.window_v->high,
                        Dimension::voltage, false});
  }
}

}  // namespace

void check_draws(const Check& check) {
  check_draw_order(check, "load", check.system.loads);
  check_draw_order(check, "poe_link", check.system.poe_links);
}

void check_lockouts(const Check& check) {
  check_lockout_order(check, "load", check.system.loads);
  check_lockout_order(check, "converter", check.system.converters);
}

void check_bank_levels(const Check& check) {
  const auto& banks = check.system.banks;
  for (std::size_t i = 0; i < banks.size(); ++i) {
    const auto& bank = banks[i];
    const auto name = label("bank", banks, i);
    check_order(check, {bank.written, name, "charge_low", bank.charge_low, "charge_rest",
                        bank.charge_rest, Dimension::ratio, false});
    check_order(check, {bank.written, name, "disconnect", bank.disconnect_v, "reconnect",
                        bank.reconnect_v, Dimension::voltage, false});
    check_order(check, {bank.written, name, "float", bank.float_v, "absorption", bank.absorption_v,
                        Dimension::voltage});
    check_order(check, {bank.written, name, "reconnect", bank.reconnect_v, "absorption",
                        bank.absorption_v, Dimension::voltage, false});
    if (bank.reconnect_v && !bank.disconnect_v) {
      check.report("missing-key", fmt::format("{}: \"reconnect\" without \"disconnect\"", name),
                   Check::place(bank.written, "reconnect"), "both, or none",
                   "give the voltage at which loads are cut off");
    }
  }
}

void check_fans(const Check& check) {
  const auto& fans = check.system.fans;
  for (std::size_t i = 0; i < fans.size(); ++i) {
    const auto& fan = fans[i];
    const auto name = label("fan", fans, i);
    const bool steps_read =
        !check.damage.has(fan.written, "step_power") && !check.damage.has(fan.written, "step_flow");
    if (steps_read && fan.step_w.size() != fan.step_flow_m3s.size()) {
      auto& problem = check.report(
          "wrong-count",
          fmt::format("{}: {} powers, {} flows", name, fan.step_w.size(), fan.step_flow_m3s.size()),
          Check::place(fan.written, "step_flow"), "one flow for each power, lowest step first");
      problem.other = Check::place(fan.written, "step_power");
      problem.other_label = "the powers";
    }
    for (std::size_t step = 1; steps_read && step < fan.step_flow_m3s.size(); ++step) {
      if (fan.step_flow_m3s[step] > fan.step_flow_m3s[step - 1]) continue;
      check.report("out-of-order",
                   fmt::format("{}: the air flow must rise from step to step", name),
                   Check::place(fan.written, "step_flow"));
      break;
    }
    if (steps_read && !check.damage.has(fan.written, "lowest_step") &&
        fan.lowest_step > static_cast<int>(fan.step_w.size())) {
      check.report("out-of-range",
                   fmt::format("{}: its lowest step is {}, and it has {}", name, fan.lowest_step,
                               fan.step_w.size()),
                   Check::place(fan.written, "lowest_step"),
                   fmt::format("0 to {}", fan.step_w.size()));
    }
    if (!fan.cools.empty() && fan.cools == fan.inlet) {
      check.report("same-place",
                   fmt::format("{}: it takes its air from the compartment that it cools", name),
                   Check::place(fan.written, "inlet"), "\"outside\", or another compartment");
    }
  }
}

void check_compartments(const Check& check) {
  const auto& list = check.system.compartments;
  for (std::size_t i = 0; i < list.size(); ++i) {
    const auto& one = list[i];
    const auto name = label("compartment", list, i);
    if (!one.neighbour.empty() && one.neighbour == one.name) {
      check.report("same-place", fmt::format("{}: it cannot be its own neighbour", name),
                   Check::place(one.written, "neighbour"));
    }
    const bool wall = one.neighbour_w_per_k > 0.0;
    if (wall && one.neighbour.empty() && !check.damage.has(one.written, "neighbour")) {
      check.report("missing-key",
                   fmt::format("{}: \"neighbour_conductance\" without a neighbour", name),
                   Check::place(one.written, "neighbour_conductance"),
                   "neighbour = the compartment behind that wall");
    }
  }
}

void check_arrays(const Check& check) {
  const auto& list = check.system.arrays;
  for (std::size_t i = 0; i < list.size(); ++i) {
    const auto& one = list[i];
    const auto name = label("array", list, i);
    check_order(check, {one.written, name, "peak_voltage", one.vmp_v, "open_circuit", one.voc_v,
                        Dimension::voltage, false});
    check_order(check, {one.written, name, "peak_current", one.imp_a, "short_circuit", one.isc_a,
                        Dimension::current, false});
  }
}

void check_chargers(const Check& check) {
  const auto& list = check.system.chargers;
  for (std::size_t i = 0; i < list.size(); ++i) {
    const auto& one = list[i];
    const auto name = label("charger", list, i);
    check_order(check, {one.written, name, "start_below", one.start_below, "stop_above",
                        one.stop_above, Dimension::ratio, false});
    if (one.kind == ChargerKind::generator) continue;
    for (const auto& [key, given] : {std::pair{"start_below", one.start_below.has_value()},
                                     {"stop_above", one.stop_above.has_value()}}) {
      if (given) {
        check.report("not-here", fmt::format("{}: \"{}\" is for generators", name, key),
                     Check::place(one.written, key), "",
                     "write kind = \"generator\", or give it a schedule");
      }
    }
  }
}

void check_runs(const Check& check) {
  const auto& list = check.system.runs;
  for (std::size_t i = 0; i < list.size(); ++i) {
    const auto& run = list[i];
    const auto name = label("run", list, i);
    for (const auto& [key, given] :
         {std::pair{"fuse", run.fuse_a.has_value()}, {"fuse_form", !run.fuse_form.empty()}}) {
      if (given && !run.overcurrent) {
        check.report(
            "not-here", fmt::format("{}: \"{}\" on a run without an overcurrent device", name, key),
            Check::place(run.written, key), "", "delete it, or delete overcurrent = false");
      }
    }
    if (run.switch_v && !run.switch_a) {
      check.report("missing-key", fmt::format("{}: \"switch_voltage\" without \"switch\"", name),
                   Check::place(run.written, "switch_voltage"),
                   "switch = the DC current it may carry");
    }
    if (run.return_path == ReturnPath::own && run.return_resistance_ohm) {
      check.report("not-here",
                   fmt::format("{}: \"return_resistance\" is for a chassis return", name),
                   Check::place(run.written, "return_resistance"), "",
                   "write return = \"chassis\", or give return_size");
    }
    if (run.return_path == ReturnPath::chassis && run.return_size) {
      check.report("not-here", fmt::format("{}: a chassis return has no size", name),
                   Check::place(run.written, "return_size"), "", "give return_resistance instead");
    }
  }
}

void check_objective(const Check& check) {
  const auto& rules = check.system.rules;
  if (rules.objective != Objective::cost || !check.system.prices.empty()) return;
  check.report("missing-table", "rules: the objective is cost, and there are no prices",
               Check::place(rules.written, "objective"), "[[price]] with size and per_metre",
               "list prices, or take the objective \"copper\"");
}

}  // namespace nightbus::reader_detail
