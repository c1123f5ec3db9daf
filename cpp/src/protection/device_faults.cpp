/// The checks of one overcurrent device that look at short circuits and switching on.
///
///   highest EMF / least loop   right behind the device  <=  what it may break at the bus voltage
///   lowest EMF / largest loop  at the far end           >=  what opens it soon enough, slow side
///   I²t let through                                     <=  k²S² of the conductor
///   C·V²/2R of the capacitors behind it / share         <=  melting I²t

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "protection/device_judge.hpp"

namespace nightbus::protection_detail {

bool Judge::interrupt(const OvercurrentForm& form) {
  if (context_.fault == FaultSource::none) return true;
  Verdict verdict;
  const InterruptRating* rating = form.interrupt_at(context_.highest_v);
  if (!rating) {
    verdict.code = form.interrupts.empty() ? "interrupt-unknown" : "interrupt-voltage";
    verdict.dimension = Dimension::voltage;
    verdict.passed = false;
    verdict.value = context_.highest_v;
    if (!form.interrupts.empty()) verdict.limit = form.interrupts.back().voltage_v;
    if (words()) {
      verdict.rule =
          form.interrupts.empty() ? form.ratings_from.text() : form.interrupts.back().from.text();
      verdict.detail = "highest charging voltage that can stand on the bus";
    }
    return keep(std::move(verdict));
  }
  verdict.code = "interrupt-rating";
  verdict.dimension = Dimension::current;
  verdict.value = facts_.prospective_a;
  verdict.limit = rating->current_a;
  verdict.passed = facts_.prospective_a <= rating->current_a;
  if (words()) {
    verdict.rule = rating->from.text();
    verdict.detail = context_.fault == FaultSource::limited
                         ? std::string("fed by sources that limit by themselves")
                         : fmt::format("at {:g} V DC; {}", rating->voltage_v, context_.fault_basis);
  }
  if (!keep(std::move(verdict))) return false;
  if (context_.fault != FaultSource::battery || !context_.cold_cranking_a) return true;
  return std::all_of(context_.rules.begin(), context_.rules.end(),
                     [&](const RuleSet* rules) { return interrupt_tier(*rules, form); });
}

bool Judge::interrupt_tier(const RuleSet& rules, const OvercurrentForm& form) {
  const bool main_device = context_.source == SourceKind::battery;
  const auto least = rules.interrupt_minimum(*context_.cold_cranking_a, main_device);
  if (!least) return true;
  const InterruptRating* rating = form.interrupt_at(context_.highest_v);
  Verdict verdict;
  verdict.code = "interrupt-rating";
  verdict.dimension = Dimension::current;
  verdict.at_least = true;
  verdict.value = rating ? rating->current_a : 0.0;
  verdict.limit = least->value;
  verdict.passed = *verdict.value >= *verdict.limit;
  if (words()) {
    verdict.rule = least->from.text();
    verdict.detail = fmt::format("cold cranking current {:.0f} A, {} device",
                                 *context_.cold_cranking_a, main_device ? "main" : "branch");
  }
  return keep(std::move(verdict));
}

double Judge::far_fault_a(const Device& device) const {
  const double loop_ohm = context_.lowest_source_ohm + facts_.hot_loop_ohm +
                          context_.lowest_far_ohm + device.resistance_ohm;
  if (context_.fault == FaultSource::limited) return context_.limited_a;
  return loop_ohm > 0.0 ? context_.lowest_emf_v / loop_ohm : 0.0;
}

double Judge::current_to_clear_a(const OvercurrentForm& form, const Device& device) const {
  const OpeningBand* band = form.opening_of(device.rating_a);
  const auto needed =
      band ? current_to_open_a(*band, device.rating_a, options_.clear_within_s) : std::nullopt;
  if (needed) return *needed;
  return context_.catalogue->guide("fault current multiple").value * device.rating_a;
}

bool Judge::clears_far_fault(const OvercurrentForm& form, const Device& device) {
  if (context_.fault == FaultSource::none) return true;
  const double fault_a = far_fault_a(device);
  Verdict verdict;
  verdict.code = "fault-current-low";
  verdict.dimension = Dimension::current;
  verdict.at_least = true;
  verdict.value = fault_a;
  if (context_.fault == FaultSource::limited) {
    // A source that limits by itself cannot blow a fuse, and need not where the wire bears all of
    // it.
    verdict.at_least = false;
    verdict.limit = facts_.ampacity_a;
    verdict.passed = fault_a <= facts_.ampacity_a * (1.0 + 1e-9);
    if (verdict.passed) {
      if (words()) {
        verdict.rule = "a source that limits its own current";
        verdict.detail = "the conductor bears all that the source can give";
      }
      return keep(std::move(verdict));
    }
    verdict.at_least = true;
  }
  const OpeningBand* band = form.opening_of(device.rating_a);
  verdict.limit = current_to_clear_a(form, device);
  if (band && current_to_open_a(*band, device.rating_a, options_.clear_within_s)) {
    if (words()) {
      verdict.rule = fmt::format("slow side of the time-current band, {:g} s; {}",
                                 options_.clear_within_s, band->points.front().from.text());
      verdict.detail = "weak bank, hot wire, far end";
    }
  } else {
    const Guide& multiple = context_.catalogue->guide("fault current multiple");
    if (words()) {
      verdict.rule = multiple.from.text();
      verdict.detail = "weak bank, hot wire, far end; no opening times are published for this form";
    }
  }
  verdict.passed = *verdict.value >= *verdict.limit * (1.0 - 1e-9);
  return keep(std::move(verdict));
}

bool Judge::lets_through(const OvercurrentForm& form, const Device& device) {
  if (context_.fault != FaultSource::battery || facts_.withstand_a2s <= 0.0) return true;
  const double least_a = far_fault_a(device);
  const double most_a = std::max(facts_.prospective_a, least_a);
  const double clearing = context_.catalogue->guide("clearing over melting").value;
  const auto through = let_through_a2s(form, device.rating_a, least_a, most_a, clearing);
  Verdict verdict;
  verdict.code = "let-through";
  verdict.dimension = Dimension::melting_integral;
  verdict.limit = facts_.withstand_a2s;
  if (through) {
    verdict.value = through;
    verdict.passed = *through <= facts_.withstand_a2s;
    if (words()) {
      verdict.rule = facts_.withstand_rule;
      verdict.detail = fmt::format(
          "faults of {:.0f} A to {:.0f} A, slow side; k²S² of the conductor", least_a, most_a);
    }
    return keep(std::move(verdict));
  }
  verdict.code = "let-through-unknown";
  verdict.severity = Severity::notice;
  verdict.rejects = false;
  verdict.passed = false;
  if (words()) {
    verdict.rule = facts_.withstand_rule;
    verdict.detail =
        fmt::format("A {:g} A {} must clear below the conductor's {}.", device.rating_a, form.name,
                    show_quantity(facts_.withstand_a2s, Dimension::melting_integral));
  }
  return keep(std::move(verdict));
}

bool Judge::rides_inrush(const OvercurrentForm& form, const Device& device) {
  if (context_.inrush_f <= 0.0) return true;
  const double loop_ohm = context_.highest_source_ohm + facts_.cold_loop_ohm +
                          device.resistance_ohm + context_.lowest_far_ohm;
  if (loop_ohm <= 0.0) return true;
  const CapacitorPulse pulse = capacitor_pulse(context_.inrush_f, context_.highest_v, loop_ohm);
  const auto melting = melting_figure(form, device.rating_a);
  Verdict verdict;
  verdict.code = "inrush";
  verdict.severity = Severity::warning;
  verdict.rejects = false;  // melting figures are typical values, too weak to refuse a device
  verdict.dimension = Dimension::melting_integral;
  const Curve& shares = context_.catalogue->curve("melting share by pulses").curve;
  verdict.value = needed_melting_a2s(pulse.i2t_a2s, pulse_share(shares, options_.inrush_pulses));
  if (!melting) {
    verdict.code = "inrush-unknown";
    verdict.severity = Severity::notice;
    verdict.passed = false;
    if (words()) {
      verdict.rule = "melting I²t of this rating is not published";
      verdict.detail = fmt::format("Switching on needs a melting I²t of {}.",
                                   show_quantity(*verdict.value, Dimension::melting_integral));
    }
    return keep(std::move(verdict));
  }
  verdict.limit = melting->value_a2s;
  verdict.passed = *verdict.value <= *verdict.limit;
  if (words()) {
    verdict.rule = melting->from.text();
    verdict.detail =
        fmt::format("{:.0f} µF at {:.1f} V: {:.0f} A peak; {:.0f} pulses", context_.inrush_f * 1e6,
                    context_.highest_v, pulse.peak_a, options_.inrush_pulses);
  }
  return keep(std::move(verdict));
}

}  // namespace nightbus::protection_detail
