/// The options of one edge: sizes that may be laid, each with the devices it may have.

#include <algorithm>

#include "wiring/section_parts.hpp"

namespace nightbus::wiring_detail {

namespace {

FeederOption::Pole pole_of(const RunResistance& resistance, double device_ohm, double hot_ratio,
                           double cold_ratio) {
  FeederOption::Pole pole;
  pole.wire_ohm = resistance.conductor_20c_ohm;
  pole.kelvin_per_watt = resistance.kelvin_per_watt;
  pole.fixed_ohm = resistance.joints_ohm + resistance.switch_ohm + device_ohm;
  pole.hot_ohm = resistance.conductor_20c_ohm * hot_ratio + pole.fixed_ohm;
  pole.cold_ohm = resistance.conductor_20c_ohm * cold_ratio + pole.fixed_ohm;
  return pole;
}

/// a is at least as good as b in everything a plan may ask.
bool covers(const FeederOption& a, const FeederOption& b) {
  return a.value <= b.value && a.out.fixed_ohm <= b.out.fixed_ohm && a.carries_a >= b.carries_a &&
         a.needs_fault_a <= b.needs_fault_a && a.breaks_a >= b.breaks_a;
}

}  // namespace

const std::vector<DeviceRules::Limits>& KnownLimits::of(const DeviceRules& devices,
                                                        const RunContext& context,
                                                        const Conductor& conductor,
                                                        double ampacity_a) {
  const Run& run = *context.run;
  Key key{&conductor,
          ampacity_a,
          context.fuse_ambient_c,
          context.nominal_v,
          context.highest_v,
          context.fault == FaultSource::limited ? context.limited_a : 0.0,
          context.insulation_c,
          context.cold_cranking_a.value_or(-1.0),
          run.fuse_form,
          {static_cast<int>(context.source), static_cast<int>(context.fault), context.parallel,
           run.holder_a ? 1 : 0}};
  // A rating that the file gives is a matter of that run alone.
  if (run.fuse_a) std::get<std::string>(key) += "#" + std::to_string(context.index);
  const auto [entry, is_new] = entries_.try_emplace(std::move(key));
  if (is_new) entry->second = devices.limits(context, conductor, ampacity_a);
  return entry->second;
}

void add_run_options(const SectionAsk& ask, std::size_t run_index, bool every_device,
                     FeederEdge& edge, std::vector<OptionMeaning>& meanings) {
  const RunContext& context = ask.contexts[run_index];
  const Run& run = *context.run;
  const System& system = *context.system;
  const Catalogue& catalogue = *context.catalogue;
  const Material& metal = catalogue.material(run.material);
  const double hot_ratio = metal.resistance_ratio(context.insulation_c);
  const double cold_ratio = metal.resistance_ratio(std::min(20.0, system.site.temp_cold_c));
  const bool chassis = run.return_path == ReturnPath::chassis;
  const auto& sizes = ask.sizes[run_index];
  for (std::size_t s = 0; s < sizes.size(); ++s) {
    if (!ask.only_size.empty() && ask.only_size[run_index] != s) continue;
    const Conductor& conductor = conductor_for(system, catalogue, run, sizes[s].size);
    const Conductor& back =
        run.return_size ? conductor_for(system, catalogue, run, *run.return_size) : conductor;
    const ConductorJudgement judged = judge_conductor(context, conductor, nullptr);
    if (!judged.allowed || above(edge.fixed_a, judged.carries_a)) continue;
    const std::size_t first = edge.options.size();
    FeederOption bare;
    bare.value = ask.weights.per_kg * metal_kg(run, conductor, back) +
                 ask.weights.per_money *
                     cost_of(system, run, sizes[s].size, run.return_size.value_or(sizes[s].size));
    bare.out = pole_of(sizes[s].positive, 0.0, hot_ratio, cold_ratio);
    bare.back = chassis ? pole_of(sizes[s].negative, 0.0, 1.0, 1.0)
                        : pole_of(sizes[s].negative, 0.0, hot_ratio, cold_ratio);
    bare.carries_a = judged.carries_a;
    const auto add = [&](const DeviceRules::Limits* limits) {
      FeederOption option = bare;
      if (limits) {
        option.out =
            pole_of(sizes[s].positive, limits->device.resistance_ohm, hot_ratio, cold_ratio);
        option.carries_a = std::min(option.carries_a, limits->carries_a);
        if (context.fault == FaultSource::battery) {
          option.needs_fault_a = limits->needs_fault_a;
          option.breaks_a = limits->breaks_a;
        }
      }
      // Of devices on one size only those stay that are better at something.
      for (std::size_t k = first; k < edge.options.size() && !every_device; ++k) {
        if (covers(edge.options[k], option)) return;
      }
      option.tag = static_cast<std::uint32_t>(meanings.size());
      meanings.push_back({s, limits ? std::optional(limits->device) : std::nullopt, false});
      edge.options.push_back(option);
    };
    if (!ask.devices || (!context.needs_device && !run.fuse_a)) {
      add(nullptr);
      continue;
    }
    for (const auto& limits : ask.known->of(*ask.devices, context, conductor, judged.ampacity_a)) {
      if (!above(edge.fixed_a, limits.carries_a)) add(&limits);
    }
  }
}

void add_last_resort(const SectionAsk& ask, std::size_t run_index, FeederEdge& edge,
                     std::vector<OptionMeaning>& meanings) {
  const RunContext& context = ask.contexts[run_index];
  const Run& run = *context.run;
  const auto& sizes = ask.sizes[run_index];
  const Conductor& conductor =
      conductor_for(*context.system, *context.catalogue, run, sizes.back().size);
  std::optional<Device> device;
  if (ask.devices && (context.needs_device || run.fuse_a)) {
    const ConductorJudgement judged = judge_conductor(context, conductor, nullptr);
    device = ask.devices->nearest(context, conductor, judged.ampacity_a);
  }
  FeederOption option;
  option.value = ask.weights.per_kg * metal_kg(run, conductor, conductor);
  option.out = pole_of(sizes.back().positive, device ? device->resistance_ohm : 0.0, 1.0, 1.0);
  option.back = pole_of(sizes.back().negative, 0.0, 1.0, 1.0);
  option.tag = static_cast<std::uint32_t>(meanings.size());
  meanings.push_back({sizes.size() - 1, device, true});
  edge.options.push_back(option);
}

}  // namespace nightbus::wiring_detail
