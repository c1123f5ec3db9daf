/// What lies beside the choice of sizes and devices: company in a bundle, conductors in parallel,
/// the way back through a structure, joints, what a switch closes onto, data cables that carry
/// power.
///
///   parallel   one lug loose: n - 1 conductors share what the device lets pass for ever, rating /
///   (n - 1) structure  drop <= 5 mΩ · current bundle     rise of the cores = 7.2 K · (amperes in a
///   pair / 0.6 A)², measured in 100 cables;
///              fewer are cooler, so it is on the safe side for them

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "nightbus/protection_fuse.hpp"
#include "nightbus/wiring_context.hpp"
#include "scenario/checks.hpp"

namespace nightbus::scenario_detail {

namespace {

constexpr std::string_view practice = "common practice, no source";

Finding about(std::string_view code, const Run& run, double value, double limit,
              Dimension dimension) {
  Finding finding = make_finding(code, "run", run.name);
  finding.value = value;
  finding.limit = limit;
  finding.dimension = dimension;
  finding.where = run.written.where;
  return finding;
}

std::string design_case(const RunContext& context) {
  return context.cases.empty() ? std::string{} : context.cases[context.design_case].name;
}

void check_bundle(const RunContext& context, const WiringPlan& wiring,
                  std::vector<Finding>& findings) {
  const Run& run = *context.run;
  if (run.bundle <= 2 || run.spare) return;
  const Conductor& conductor =
      conductor_for(*context.system, *context.catalogue, run, wiring.runs[context.index].size);
  // The strictest rule set that reckons with company at all.
  for (const CorrectedAmpacity& each :
       corrected_ampacities(context.rules, wiring_detail::ampacity_ask(context, conductor))) {
    if (!each.known || each.grouping.value >= 1.0) continue;
    Finding finding = make_finding("bundle-count", "run", run.name);
    finding.value = run.bundle;
    if (each.grouping.value < 2.0 / 3.0) {
      finding = about("bundle-drop-in-ampacity", run, each.corrected_a / each.grouping.value,
                      each.corrected_a, Dimension::current);
      finding.severity = Severity::notice;  // its ampacity is checked apart; this is what it costs
      finding.detail = each.breakdown() + ".";
    }
    finding.rule = each.grouping.from.text();
    finding.where = run.written.where;
    findings.push_back(std::move(finding));
    return;
  }
}

void check_parallel(const RunContext& context, const WiringPlan& wiring,
                    std::vector<Finding>& findings) {
  const Run& run = *context.run;
  const RunPlan& plan = wiring.runs[context.index];
  if (run.parallel < 2 || run.spare) return;
  const double each_may_a = plan.ampacity_a / run.parallel;
  const double lets_a = plan.device ? plan.device->rating_a : plan.current_a;
  Finding finding = about("parallel-conductors", run, lets_a / (run.parallel - 1), each_may_a,
                          Dimension::current);
  finding.rule = practice;
  finding.detail = fmt::format("With one of the {} loose, the others share what the {} lets pass.",
                               run.parallel, plan.device ? "device" : "load");
  if (*finding.value <= each_may_a * (1.0 + 1e-9)) finding.severity = Severity::passed;
  findings.push_back(std::move(finding));
}

/// A return of its own size, or one that others share, against what that conductor may carry.
void check_return(const CheckInput& in, const RunContext& context, std::vector<Finding>& findings) {
  const Run& run = *context.run;
  if (!run.return_size || run.return_path != ReturnPath::own || run.spare) return;
  const Conductor& back = conductor_for(in.system, in.catalogue, run, *run.return_size);
  const auto judged = wiring_detail::judge_conductor(context, back, nullptr);
  Question question("return-shared", "run", run.name, Question::Must::stay_below,
                    Dimension::current);
  for (const CaseResult& result : in.results) {
    if (!result.readable()) continue;
    question.look(std::abs(result.runs[context.index].return_current_a), judged.ampacity_a,
                  result.name);
  }
  if (!question.asked()) return;
  Finding finding = question.answer(run.written.where, judged.ampacity_rule,
                                    "Its return is " + print_size(*run.return_size) + ".");
  if (question.failed()) finding.severity = Severity::danger;
  findings.push_back(std::move(finding));
}

void check_structure(const CheckInput& in, const RunContext& context,
                     std::vector<Finding>& findings) {
  const Run& run = *context.run;
  if (run.return_path != ReturnPath::chassis || run.spare || !run.return_resistance_ohm) return;
  const JointKind& sound = in.catalogue.joint_kind("structure return");
  Finding finding = about("chassis-return", run, context.design_a * *run.return_resistance_ohm,
                          context.design_a * sound.resistance_ohm, Dimension::voltage);
  finding.rule = sound.from.text();
  finding.case_name = design_case(context);
  if (*run.return_resistance_ohm <= sound.resistance_ohm) finding.severity = Severity::passed;
  findings.push_back(std::move(finding));
}

void check_joints(const CheckInput& in, const RunContext& context, std::vector<Finding>& findings) {
  const Run& run = *context.run;
  if (run.joints == 0 || run.spare) return;
  // The worst that is still called a joint.
  const JointKind& worst = in.catalogue.joint_kind("plug contact");
  if (run.joint_ohm <= worst.resistance_ohm) return;
  Finding finding =
      about("joint-resistance", run, run.joint_ohm, worst.resistance_ohm, Dimension::resistance);
  finding.rule = worst.from.text();
  findings.push_back(std::move(finding));
}

/// Closing onto empty input capacitors: the resistance of the way alone limits the current.
void check_closing(const RunContext& context, const WiringPlan& wiring,
                   std::vector<Finding>& findings) {
  const Run& run = *context.run;
  if (!run.switch_a || run.spare || !context.capacitive) return;
  if (context.inrush_f <= 0.0) {
    if (context.inrush_known) return;
    Finding unknown = make_finding("switch-unknown", "run", run.name);
    unknown.severity = Severity::notice;
    unknown.value = context.design_a;
    unknown.dimension = Dimension::current;
    unknown.detail = "What it closes onto has input capacitors that are not stated.";
    unknown.rule = "IEC 60947-3: DC-21 is for resistive loads";
    unknown.where = run.written.where;
    findings.push_back(std::move(unknown));
    return;
  }
  const RunPlan& plan = wiring.runs[context.index];
  const Conductor& conductor = conductor_for(*context.system, *context.catalogue, run, plan.size);
  const double poles = run.return_path == ReturnPath::own ? 2.0 : 1.0;
  const double loop_ohm = context.highest_source_ohm + context.lowest_far_ohm +
                          poles * conductor.resistance_ohm_per_m * run.length_m / run.parallel +
                          (plan.device ? plan.device->resistance_ohm : 0.0);
  if (loop_ohm <= 0.0) return;
  const CapacitorPulse pulse = capacitor_pulse(context.inrush_f, context.highest_v, loop_ohm);
  Finding finding = about("switch", run, pulse.peak_a, *run.switch_a, Dimension::current);
  finding.severity = Severity::warning;
  finding.rule = "IEC 60947-3: DC-21 is for resistive loads; " + std::string(practice);
  finding.detail = fmt::format(
      "It closes onto {:.0f} µF; unless it is rated for capacitive loads its contacts may weld.",
      1e6 * context.inrush_f);
  if (pulse.peak_a <= *run.switch_a) finding.severity = Severity::passed;
  findings.push_back(std::move(finding));
}

void check_data_cable(const CheckInput& in, std::size_t k, std::vector<Finding>& findings) {
  const PoeLink& link = in.system.poe_links[k];
  const std::string_view kind = "PoE link";
  const bool standard = link.type != PoeType::passive;
  Question loop("poe-cable", kind, link.name, Question::Must::stay_below, Dimension::resistance);
  Question rise("poe-bundle", kind, link.name, Question::Must::stay_below,
                Dimension::temperature_difference);
  Question core("poe-bundle", kind, link.name, Question::Must::stay_below, Dimension::current);
  const double loop_limit_ohm =
      standard ? in.catalogue.poe_type(static_cast<int>(link.type) + 1).loop_ohm(link.pairs) : 0.0;
  const Guide& measured = in.catalogue.guide("PoE bundle rise");
  const Guide& limit = in.catalogue.guide("PoE bundle rise limit");
  const Guide& current = in.catalogue.guide("PoE conductor current");
  const Guide& free_w = in.catalogue.guide("PoE power without bundle limit");
  for (const CaseResult& result : in.results) {
    if (!result.readable() || !result.inputs.poe_links[k].on) continue;
    const PoeResult& at = result.poe_links[k];
    if (standard) loop.look(at.loop_ohm, loop_limit_ohm, result.name);
    // Two pairs: one out, one back. Four pairs: two of each.
    const double pair_a = at.port_a / (link.pairs == 4 ? 2.0 : 1.0);
    if (link.bundle > 1) {
      rise.look(measured.value * std::pow(pair_a / 0.6, 2.0), limit.value, result.name);
      if (at.port_w > free_w.value) core.look(0.5 * pair_a, current.value, result.name);
    }
  }
  if (loop.asked()) {
    findings.push_back(loop.answer(
        link.written.where, in.catalogue.poe_type(static_cast<int>(link.type) + 1).from.text()));
  }
  if (core.asked()) findings.push_back(core.answer(link.written.where, current.from.text()));
  if (!rise.asked()) return;
  Finding finding = rise.answer(link.written.where, measured.from.text());
  if (rise.failed())
    finding.severity = Severity::notice;  // the limit is remembered: it gates nothing
  finding.detail += "Measured in 100 cables with every pair loaded; the limit is remembered.";
  if (link.bundle > 100) {
    finding.severity = Severity::notice;
    finding.detail += fmt::format(" {} cables are more than were measured.", link.bundle);
  }
  findings.push_back(std::move(finding));
}

}  // namespace

void check_wiring(const CheckInput& in, const WiringPlan& wiring, std::vector<Finding>& findings) {
  wiring_detail::Solved solved{in.compiled, {}, in.results};
  for (const CaseResult& result : in.results) solved.inputs.push_back(result.inputs);
  for (const RunContext& context : wiring_detail::run_contexts(solved)) {
    check_bundle(context, wiring, findings);
    check_parallel(context, wiring, findings);
    check_return(in, context, findings);
    check_structure(in, context, findings);
    check_joints(in, context, findings);
    check_closing(context, wiring, findings);
  }
  for (std::size_t k = 0; k < in.system.poe_links.size(); ++k) check_data_cable(in, k, findings);
}

}  // namespace nightbus::scenario_detail
