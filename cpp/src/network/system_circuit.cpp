/// The layout and the conductors chosen become elements.

#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cmath>

#include "network/system_impl.hpp"

namespace nightbus {

ConverterLosses converter_losses(const Converter& converter) {
  // P_in = P0 + (1 + a) P + b P² through the points: least squares in (a, b) of the relative loss
  //   y = 1/efficiency - 1 - P0/P = a + b P,   a, b >= 0.
  ConverterLosses losses;
  losses.standby_w = converter.standby_w;
  if (converter.efficiency.empty() || converter.power_w <= 0.0) {
    losses.loss_fraction = 1.0 / 0.85 - 1.0;
    return losses;
  }
  double n = 0.0, sum_p = 0.0, sum_pp = 0.0, sum_y = 0.0, sum_py = 0.0;
  for (const EfficiencyPoint& point : converter.efficiency) {
    const double p = point.share * converter.power_w;
    if (p <= 0.0 || point.efficiency <= 0.0) {
      continue;
    }
    const double y = 1.0 / point.efficiency - 1.0 - converter.standby_w / p;
    n += 1.0;
    sum_p += p;
    sum_pp += p * p;
    sum_y += y;
    sum_py += p * y;
  }
  if (n == 0.0) {
    losses.loss_fraction = 1.0 / 0.85 - 1.0;
    return losses;
  }
  const double determinant = n * sum_pp - sum_p * sum_p;
  double b = determinant > 1e-12 * n * sum_pp ? (n * sum_py - sum_p * sum_y) / determinant : 0.0;
  double a = (sum_y - b * sum_p) / n;
  if (b < 0.0) {
    b = 0.0;
    a = sum_y / n;
  }
  if (a < 0.0) {
    a = 0.0;
    b = sum_pp > 0.0 ? std::max(0.0, sum_py / sum_pp) : 0.0;
  }
  losses.loss_fraction = std::max(0.0, a);
  losses.loss_per_watt = b;
  return losses;
}

double converter_output_ohm(const Converter& converter) {
  if (converter.output_ohm > 0.0) return converter.output_ohm;
  constexpr double usual_sag = 0.005;  // from nothing to rated load
  return converter.power_w > 0.0
             ? usual_sag * converter.output_v * converter.output_v / converter.power_w
             : 0.01;
}

namespace compile_detail {

double demand_w(Demand demand, double typical_w, const std::optional<double>& peak_w,
                const std::optional<double>& rest_w, double night_extra_w) {
  switch (demand) {
    case Demand::rest:
      return rest_w.value_or(typical_w);
    case Demand::typical:
      return typical_w + night_extra_w;
    case Demand::peak:
      break;
  }
  return std::max(peak_w.value_or(assumed_peak_factor * typical_w), typical_w + night_extra_w);
}

namespace {

/// Restart where a device states only when it stops: 5 % higher.
std::optional<LockOut> lock_out(const std::optional<double>& off_v,
                                const std::optional<double>& on_v) {
  if (!off_v) {
    return std::nullopt;
  }
  return LockOut{*off_v, std::max(*off_v, on_v.value_or(*off_v * 1.05))};
}

class Maker {
 public:
  Maker(const Layout& layout, CompiledSystem::Impl& impl) : layout_(layout), impl_(impl) {
    builder_.add_nodes(layout.node_count);
  }

  void build() {
    for (std::size_t k = 0; k < layout_.system.runs.size(); ++k) {
      add_run(k);
    }
    for (std::size_t k = 0; k < layout_.system.banks.size(); ++k) {
      add_bank(k);
    }
    for (std::size_t k = 0; k < layout_.system.loads.size(); ++k) {
      add_load(k);
    }
    for (std::size_t k = 0; k < layout_.system.fans.size(); ++k) {
      add_fan(k);
    }
    for (std::size_t k = 0; k < layout_.system.converters.size(); ++k) {
      add_converter(k);
    }
    for (std::size_t k = 0; k < layout_.system.poe_links.size(); ++k) {
      add_poe(k);
    }
    add_chargers();
    impl_.circuit = builder_.compile();
  }

 private:
  template <class Id>
  Id named(Id id, const std::string& name) {
    impl_.names.resize(std::max(impl_.names.size(), index(id) + 1));
    impl_.names[index(id)] = name;
    return id;
  }
  void assume(std::string_view kind, std::string_view subject, double value, Dimension dimension,
              std::string detail, const Written& written) {
    impl_.assumptions.push_back(
        assumed(kind, subject, value, dimension, std::move(detail), written.where));
  }

  ElementId conductor(NodeId a, NodeId b, const RunResistance& pole, const Material& material,
                      const std::string& name) {
    ConductorLaw law;
    law.resistance_ohm = pole.conductor_20c_ohm;
    law.temperature_coefficient = 1.0 / (material.zero_resistance_k + 20.0);
    law.ambient_c = pole.assumed_c.value_or(20.0);
    law.kelvin_per_watt = pole.kelvin_per_watt;
    return named(builder_.add_conductor(a, b, law), name);
  }
  /// Conductor, then what is fixed, from `a` to `b`.
  void pole(NodeId a, NodeId b, const RunResistance& numbers, const Material& material,
            const std::string& name, std::optional<ElementId>& wire,
            std::optional<ElementId>& fixed) {
    if (numbers.fixed_ohm() <= 0.0) {
      wire = conductor(a, b, numbers, material, name);
      return;
    }
    const NodeId between = builder_.add_node();
    wire = conductor(a, between, numbers, material, name);
    fixed = named(builder_.add_resistor(between, b, numbers.fixed_ohm()), name);
  }

  void add_run(std::size_t k) {
    const Run& run = layout_.system.runs[k];
    const RunChoice& choice = impl_.choices[k];
    const RunEnds& ends = layout_.ends[k];
    const PointNodes& from = layout_.points[ends.from];
    const PointNodes& to = layout_.points[ends.to];
    RunElements made;
    made.connected = !run.spare;
    made.from = ends.from;
    made.to = ends.to;
    made.return_to = ends.return_to;
    made.domain = from.out_domain;
    made.nominal_v = layout_.nominal_v(from.out_domain);
    made.length_m = run.length_m;
    made.return_length_m = run.return_length_m.value_or(run.length_m);
    made.positive = pole_resistance(layout_, run, choice.size, made.length_m, made.nominal_v);
    if (choice.fuse_a) {
      made.positive.fuse_ohm =
          device_resistance_ohm(layout_.catalogue, choice.fuse_form, *choice.fuse_a);
    }
    made.positive.switch_ohm = run.switch_ohm;
    if (made.positive.assumed_c) {
      assume("run", run.name, *made.positive.assumed_c, Dimension::temperature,
             fmt::format("No rule set has an ampacity for {}: its conductor is taken as hot as its "
                         "insulation allows.",
                         print_size(choice.size)),
             run.written);
    }
    const bool chassis = run.return_path == ReturnPath::chassis;
    if (chassis) {
      if (!run.return_resistance_ohm) {
        const double ohm = assumed_chassis_ohm(made.positive);
        assume("run", run.name, ohm, Dimension::resistance,
               "The chassis path counts as a conductor like its own and two chassis joints.",
               run.written);
        made.negative.conductor_20c_ohm = ohm;
      } else {
        made.negative.conductor_20c_ohm = *run.return_resistance_ohm;
      }
    } else {
      made.negative = pole_resistance(layout_, run, choice.return_size.value_or(choice.size),
                                      made.return_length_m, made.nominal_v);
    }
    if (made.connected) {
      connect(run, ends, from, to, chassis, made);
    }
    impl_.runs.push_back(made);
  }

  void connect(const Run& run, const RunEnds& ends, const PointNodes& from, const PointNodes& to,
               bool chassis, RunElements& made) {
    const Material& material = layout_.catalogue.material(run.material);
    pole(from.out_positive, to.positive, made.positive, material, run.name, made.out,
         made.out_fixed);
    const NodeId home =
        ends.return_to ? layout_.points[*ends.return_to].out_negative : from.out_negative;
    if (home == to.negative) {
      return;
    }
    if (chassis) {
      made.back = named(builder_.add_resistor(to.negative, home, made.negative.conductor_20c_ohm),
                        run.name);
    } else {
      pole(to.negative, home, made.negative, material, run.name, made.back, made.back_fixed);
    }
  }

  void add_bank(std::size_t k) {
    const Bank& bank = layout_.system.banks[k];
    const PointNodes& at = layout_.points[layout_.point_of(PointKind::bank, k)];
    const BatteryChemistry& chemistry = layout_.catalogue.chemistry(bank.chemistry);
    const BankNumbers numbers =
        bank_numbers(bank, chemistry, bank.charge_rest, 25.0, BankUse::rest);
    if (!bank.resistance_ohm && !bank.short_circuit_a) {
      assume("bank", bank.name, numbers.resistance_ohm, Dimension::resistance,
             "The inner resistance follows from chemistry and capacity, all strings, at 25 °C.",
             bank.written);
    }
    const bool charged = !layout_.system.chargers.empty() || !layout_.system.arrays.empty();
    if (!bank.absorption_v && charged) {
      assume("bank", bank.name, bank_absorption_v(bank, chemistry, 25.0), Dimension::voltage,
             "The chargers are taken to hold it at the highest voltage of its chemistry.",
             bank.written);
    }
    BankElements made;
    made.source = named(
        builder_.add_source(at.positive, at.negative, {numbers.emf_v, numbers.resistance_ohm}),
        bank.name);
    if (bank.standby_a > 0.0) {
      LoadLaw law;
      law.current_a = bank.standby_a;
      made.standby = named(builder_.add_load(at.positive, at.negative, law), bank.name);
    }
    impl_.banks.push_back(made);
  }

  ElementId device(const PointNodes& at, const LoadLaw& law) {
    return named(builder_.add_load(at.positive, at.negative, law), at.name);
  }

  void add_load(std::size_t k) {
    const Load& load = layout_.system.loads[k];
    const PointNodes& at = layout_.points[layout_.point_of(PointKind::load, k)];
    const double nominal_v = load.nominal_v.value_or(layout_.nominal_v(at.domain));
    const double watts = load.typical_w * load.count;
    LoadLaw law;
    if (load.behaviour == Behaviour::constant_power || nominal_v <= 0.0) {
      law.power_w = watts;
    } else if (load.behaviour == Behaviour::constant_current) {
      law.current_a = watts / nominal_v;
    } else {
      law.conductance_s = watts / (nominal_v * nominal_v);
    }
    law.lock_out = lock_out(load.off_v, load.on_v);
    if (!load.peak_w && load.typical_w > 0.0) {
      assume("load", load.name, assumed_peak_factor * load.typical_w, Dimension::power,
             fmt::format("Its peak is taken as {} times the typical draw.", assumed_peak_factor),
             load.written);
    }
    impl_.loads.push_back(device(at, law));
  }

  void add_fan(std::size_t k) {
    const Fan& fan = layout_.system.fans[k];
    const PointNodes& at = layout_.points[layout_.point_of(PointKind::fan, k)];
    LoadLaw law;
    law.power_w = (fan.step_w.empty() ? 0.0 : fan.step_w.back()) * fan.count;
    impl_.fans.push_back(device(at, law));
  }

  void add_converter(std::size_t k) {
    const Converter& converter = layout_.system.converters[k];
    const PointNodes& at = layout_.points[layout_.point_of(PointKind::converter, k)];
    const double input_v = layout_.nominal_v(at.domain);
    const ConverterLosses losses = converter_losses(converter);
    ConverterLaw law;
    law.set_point_v = converter.output_v;
    law.output_resistance_ohm = converter_output_ohm(converter);
    law.standby_w = losses.standby_w;
    law.loss_fraction = losses.loss_fraction;
    law.loss_per_watt = losses.loss_per_watt;
    const bool steps_down =
        !converter.isolated && input_v > 0.0 && converter.output_v < 0.75 * input_v;
    law.kind = steps_down ? ConverterTopology::buck : ConverterTopology::buck_boost;
    if (converter.window_v) {
      law.minimum_input_v = converter.window_v->low;
    }
    law.lock_out = lock_out(converter.off_v, converter.on_v);
    if (converter.efficiency.empty()) {
      assume("converter", converter.name, 0.85, Dimension::ratio,
             "The efficiency is the same at every load.", converter.written);
    }
    impl_.converters.push_back(named(
        builder_.add_converter(at.positive, at.negative, at.out_positive, at.out_negative, law),
        converter.name));
  }

  void add_poe(std::size_t k) {
    const PoeLink& link = layout_.system.poe_links[k];
    const PointNodes& at = layout_.points[layout_.point_of(PointKind::poe_link, k)];
    const PointNodes& port = layout_.points[layout_.by_name.find(link.from)->second];
    const double loop =
        link.cable_ohm_per_m
            ? *link.cable_ohm_per_m * link.length_m / (link.pairs == 4 ? 2.0 : 1.0)
            : layout_.catalogue.poe_cable(link.cable).loop_ohm(link.length_m, link.pairs);
    const Material& copper = layout_.catalogue.material("copper");
    RunResistance half;
    half.conductor_20c_ohm = loop / 2.0;
    PoeElements made;
    made.loop_20c_ohm = loop;
    made.out = conductor(port.out_positive, at.positive, half, copper, link.name);
    made.back = conductor(at.negative, port.out_negative, half, copper, link.name);
    LoadLaw law;
    law.power_w = link.typical_w;
    made.device = device(at, law);
    if (!link.peak_w && !link.power_class && link.typical_w > 0.0) {
      assume("PoE link", link.name, assumed_peak_factor * link.typical_w, Dimension::power,
             fmt::format("Neither peak nor class is given: {} times the typical draw.",
                         assumed_peak_factor),
             link.written);
    }
    impl_.poe_links.push_back(made);
  }

  void add_chargers() {
    for (std::size_t k = 0; k < layout_.system.chargers.size(); ++k) {
      const PointNodes& at = layout_.points[layout_.point_of(PointKind::charger, k)];
      ChargerLaw law;
      law.current_limit_a = layout_.system.chargers[k].current_a;
      law.ceiling_v = layout_.nominal_v(at.domain);
      impl_.chargers.push_back(named(builder_.add_charger(at.positive, at.negative, law), at.name));
    }
    for (std::size_t k = 0; k < layout_.system.arrays.size(); ++k) {
      const Array& array = layout_.system.arrays[k];
      const PointNodes& at = layout_.points[layout_.point_of(PointKind::array, k)];
      ChargerLaw law;
      law.ceiling_v = layout_.nominal_v(at.domain);
      law.power_limit_w = array.power_w * array.controller_efficiency;
      if (array.controller_a > 0.0) {
        law.current_limit_a = array.controller_a;
      }
      impl_.arrays.push_back(named(builder_.add_charger(at.positive, at.negative, law), at.name));
      LoadLaw standby;
      standby.power_w = array.controller_standby_w;
      impl_.array_standby.push_back(device(at, standby));
    }
  }

  const Layout& layout_;
  CompiledSystem::Impl& impl_;
  CircuitBuilder builder_;
};

}  // namespace

std::shared_ptr<const CompiledSystem::Impl> make_impl(std::shared_ptr<const Layout> layout,
                                                      std::vector<RunChoice> choices) {
  if (choices.size() != layout->system.runs.size()) {
    throw Error(fmt::format("{} choices were given for {} runs", choices.size(),
                            layout->system.runs.size()));
  }
  auto impl = std::make_shared<CompiledSystem::Impl>();
  impl->layout = std::move(layout);
  impl->choices = std::move(choices);
  impl->assumptions = impl->layout->assumptions;
  Maker(*impl->layout, *impl).build();
  return impl;
}

}  // namespace compile_detail

CompiledSystem compile_system(const System& system, const Catalogue& catalogue,
                              std::vector<RunChoice> choices) {
  return CompiledSystem(compile_detail::make_impl(compile_detail::make_layout(system, catalogue),
                                                  std::move(choices)));
}

CompiledSystem CompiledSystem::with_choices(std::vector<RunChoice> choices) const {
  return CompiledSystem(compile_detail::make_impl(impl_->layout, std::move(choices)));
}

}  // namespace nightbus
