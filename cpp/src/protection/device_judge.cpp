/// The checks of one overcurrent device that look at its load and at what its conductor may carry.
///
///   rating · k(air at the device) / continuous factor  >=  design current
///   rating                                             <=  ceiling of each rule set

#include "protection/device_judge.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace nightbus::protection_detail {

namespace {

constexpr double reference_air_c = 25.0;
/// Where a form has no curve: half a per cent a kelvin above 25 °C (the steepest of the slopes that
/// the trade quotes; common practice, no source).
constexpr double safe_slope_per_k = 0.005;
constexpr double least_factor = 0.3;

Rerating rerating_of(const OvercurrentForm& form, double ambient_c, bool words) {
  if (const auto published = form.rerating_factor(ambient_c)) {
    return {std::max(published->value, least_factor), true,
            words ? published->from.text() : std::string()};
  }
  const double factor = 1.0 - safe_slope_per_k * std::max(0.0, ambient_c - reference_air_c);
  return {std::max(factor, least_factor), false,
          words ? "no curve for this form: 0.5 % a kelvin above 25 °C, common practice, no source"
                : ""};
}

}  // namespace

ConductorFacts conductor_facts(const RunContext& context, const Conductor& conductor,
                               double ampacity_a, bool words) {
  ConductorFacts facts(context, conductor, ampacity_a, words);
  facts.continuous_factor = context.system->rules.continuous_factor;
  const double area_mm2 = conductor.area_mm2 * context.parallel;
  const auto limit = context.catalogue->short_time_limit(context.insulation_c, conductor.area_mm2);
  if (limit && conductor.material == "copper") {
    facts.withstand_a2s = withstand_a2s(limit->k, area_mm2);
    if (words) facts.withstand_rule = limit->from.text();
  } else {
    // No published end temperature: 45 K above the rating, the step the trade takes for wire whose
    // insulation softens soon after.
    const Material& material = context.catalogue->material(conductor.material);
    const double k = adiabatic_k(material, context.insulation_c, context.insulation_c + 45.0);
    facts.withstand_a2s = withstand_a2s(k, area_mm2);
    if (words) {
      facts.withstand_rule =
          "adiabatic heating, IEC 60949, to 45 K above the insulation's rating (own limit)";
    }
  }
  const Material& material = context.catalogue->material(conductor.material);
  const double one_way_ohm =
      conductor.resistance_ohm_per_m * context.run->length_m / context.parallel;
  const double back_m = context.run->return_length_m.value_or(context.run->length_m);
  const double back_ohm = context.run->return_path == ReturnPath::chassis
                              ? context.run->return_resistance_ohm.value_or(0.0)
                              : conductor.resistance_ohm_per_m * back_m / context.parallel;
  facts.cold_loop_ohm = one_way_ohm + back_ohm;
  facts.hot_loop_ohm = facts.cold_loop_ohm * material.resistance_ratio(context.insulation_c);
  facts.prospective_a =
      context.fault == FaultSource::limited
          ? context.limited_a
          : (context.highest_source_ohm > 0.0
                 ? short_circuit_a(context.highest_emf_v, context.highest_source_ohm)
                 : 0.0);
  return facts;
}

bool Judge::keep(Verdict verdict) {
  const bool rejected = !verdict.passed && verdict.rejects;
  if (verdict.passed && fits_) ++passed_;
  if (!verdict.passed && !verdict.rejects && verdict.severity != Severity::notice) ++warned_;
  if (rejected) fits_ = false;
  if (verdicts_) verdicts_->push_back(std::move(verdict));
  return !rejected || words();
}

bool Judge::device(const OvercurrentForm& form, const Device& device) {
  // Cheapest first; with no list to fill, the first rejection ends it.
  const bool done = continuous(form, device) && ceiling(form, device) && interrupt(form) &&
                    clears_far_fault(form, device) && lets_through(form, device) &&
                    rides_inrush(form, device) && holder(form, device);
  return done && fits_;
}

bool Judge::continuous(const OvercurrentForm& form, const Device& device) {
  const Rerating& rerating = facts_.of(form).rerating;
  Verdict verdict;
  verdict.code = "fuse-below-load";
  verdict.severity = Severity::warning;
  verdict.dimension = Dimension::current;
  verdict.value = context_.design_a;
  verdict.limit = usable_current_a(device.rating_a, rerating.factor, facts_.continuous_factor);
  verdict.passed = *verdict.value <= *verdict.limit * (1.0 + 1e-9);
  if (words()) {
    verdict.rule = fmt::format("continuous load factor {:g}, common practice, no source",
                               facts_.continuous_factor);
    verdict.detail =
        fmt::format("{:g} A × {:.2f} at {:.0f} °C / {:g} ({})", device.rating_a, rerating.factor,
                    context_.fuse_ambient_c, facts_.continuous_factor, rerating.rule);
    if (!context_.cases.empty()) {
      verdict.case_name = context_.cases[context_.design_case].name;
    }
  }
  return keep(std::move(verdict));
}

const ConductorFacts::OfForm& ConductorFacts::of(const OvercurrentForm& form) const {
  if (known_.form == &form) return known_;
  known_.form = &form;
  known_.rerating = rerating_of(form, context.fuse_ambient_c, words_);
  CeilingQuery query;
  query.size = conductor.size;
  query.area_mm2 = conductor.area_mm2;
  query.material = conductor.material;
  query.ampacity_a = ampacity_a;
  query.bus_voltage_v = context.nominal_v;
  query.breaker = form.kind == DeviceKind::breaker;
  query.ratings_a = form.ratings_a;
  known_.ceilings.clear();
  for (const RuleSet* rules : context.rules) known_.ceilings.push_back(rules->ceiling(query));
  return known_;
}

bool Judge::ceiling(const OvercurrentForm& form, const Device& device) {
  bool any = false;
  for (const std::optional<Ceiling>& limit : facts_.of(form).ceilings) {
    if (!limit) continue;
    any = true;
    Verdict verdict;
    verdict.code = "fuse-above-ceiling";
    verdict.dimension = Dimension::current;
    verdict.value = device.rating_a;
    verdict.limit = limit->value;
    verdict.passed = device.rating_a <= limit->value * (1.0 + 1e-9);
    if (words()) {
      verdict.rule = limit->from.text();
      verdict.detail = fmt::format("the conductor carries {:.1f} A{}", facts_.ampacity_a,
                                   limit->next_size_used ? "; next standard size used" : "");
    }
    if (!keep(std::move(verdict))) return false;
  }
  if (any) return true;
  // No rule set speaks: the device protects the conductor only when it is no larger.
  Verdict verdict;
  verdict.code = "fuse-above-ceiling";
  verdict.dimension = Dimension::current;
  verdict.value = device.rating_a;
  verdict.limit = facts_.ampacity_a;
  verdict.passed = device.rating_a <= facts_.ampacity_a * (1.0 + 1e-9);
  if (words()) {
    verdict.rule = "ISO 13297:2020 13.1.5: rating not above the conductor's capacity";
    verdict.detail = "no chosen rule set has a ceiling for this conductor";
  }
  return keep(std::move(verdict));
}

std::optional<double> Judge::holder_limit_a(const OvercurrentForm& form) const {
  if (context_.run->holder_a) return std::nullopt;  // told, but no size or device mends it
  const Guide* guide = form.guide("holder continuous current");
  if (!guide || !gates(guide->from.confidence)) return std::nullopt;
  return guide->value;
}

bool Judge::holder(const OvercurrentForm& form, const Device& device) {
  Verdict verdict;
  verdict.code = "holder";
  verdict.dimension = Dimension::current;
  if (context_.run->holder_a) {
    verdict.value = context_.design_a;
    verdict.limit = context_.run->holder_a;
    verdict.rejects = false;
    verdict.passed = *verdict.value <= *verdict.limit;
    if (words()) {
      verdict.rule = "rating of the holder in the system file";
      verdict.detail = fmt::format("holds a {:g} A device", device.rating_a);
    }
    return keep(std::move(verdict));
  }
  const Guide* guide = form.guide("holder continuous current");
  if (!guide) return true;
  verdict.value = context_.design_a;
  verdict.limit = guide->value;
  verdict.severity = Severity::warning;
  verdict.rejects = gates(guide->from.confidence);  // one maker's figure warns, it does not refuse
  verdict.passed = *verdict.value <= *verdict.limit;
  if (words()) {
    verdict.rule = guide->from.text();
    verdict.detail = "usual holder of this form; none is named in the system file";
  }
  return keep(std::move(verdict));
}

bool Judge::surroundings(const Device* device) {
  if (context_.needs_device && !device) {
    Verdict verdict;
    verdict.code = "no-protection";
    verdict.passed = false;
    if (words()) verdict.detail = "a short would be fed until the wire or the bank gives way";
    if (!keep(std::move(verdict))) return false;
  }
  const Run& run = *context_.run;
  if (device) {
    for (const RuleSet* rules : context_.rules) {
      const auto limit = rules->placement(context_.source, run.sheathed);
      if (!limit) continue;
      Verdict verdict;
      verdict.code = "placement-distance";
      verdict.rejects = false;  // no size or device mends a distance
      verdict.dimension = Dimension::length;
      verdict.value = run.fuse_distance_m;
      verdict.limit = limit->value;
      verdict.passed = run.fuse_distance_m <= limit->value * (1.0 + 1e-9);
      if (words()) {
        verdict.rule = limit->from.text();
        verdict.detail = run.sheathed ? "sheathed all the way" : "not sheathed";
      }
      if (!keep(std::move(verdict))) return false;
    }
  }
  if (run.switch_a) {
    Verdict verdict;
    verdict.code = "switch";
    verdict.rejects = false;
    verdict.dimension = Dimension::current;
    verdict.value = context_.design_a;
    verdict.limit = run.switch_a;
    verdict.passed = context_.design_a <= *run.switch_a;
    if (words()) verdict.rule = "DC rating of the switch in the system file";
    if (!keep(std::move(verdict))) return false;
    Verdict volts;
    volts.rejects = false;
    volts.dimension = Dimension::voltage;
    volts.value = context_.highest_v;
    if (run.switch_v) {
      volts.code = "switch";
      volts.limit = run.switch_v;
      volts.passed = context_.highest_v <= *run.switch_v;
    } else {
      volts.code = "switch-unknown";
      volts.severity = Severity::warning;
      volts.passed = false;
      if (words()) volts.detail = "an AC rating says nothing about breaking direct current";
    }
    if (words()) volts.rule = "a DC arc has no zero crossing; rating at the bus voltage is needed";
    if (!keep(std::move(volts))) return false;
  }
  return fits_;
}

}  // namespace nightbus::protection_detail
