/// Are converters inside their input window, inside their rating, and worth their standby draw?

#include <fmt/format.h>

#include <algorithm>

#include "scenario/checks.hpp"

namespace nightbus::scenario_detail {

namespace {

bool switched_off(const CaseResult& result, const std::string& name) {
  const auto& off = result.inputs.off;
  return std::find(off.begin(), off.end(), name) != off.end();
}

void check_one(const CheckInput& in, std::size_t k, std::vector<Finding>& findings) {
  const Converter& converter = in.system.converters[k];
  const Span& where = converter.written.where;
  using Must = Question::Must;
  Question low("converter-input-window", "converter", converter.name, Must::reach,
               Dimension::voltage);
  Question high("converter-input-window", "converter", converter.name, Must::stay_below,
                Dimension::voltage);
  Question off("undervoltage-lockout", "converter", converter.name, Must::reach,
               Dimension::voltage);
  Question overload("converter-overload", "converter", converter.name, Must::stay_below,
                    Dimension::power);
  Question dropout("converter-dropout", "converter", converter.name, Must::reach,
                   Dimension::voltage);
  Question light("converter-light-load", "converter", converter.name, Must::stay_below,
                 Dimension::power);
  for (std::size_t c = 0; c < in.results.size(); ++c) {
    const CaseResult& result = in.results[c];
    if (!result.readable() || switched_off(result, converter.name)) {
      continue;
    }
    const ConverterResult& at = result.converters[k];
    if (at.state == ElementState::dark) {
      continue;
    }
    if (converter.window_v) {
      low.look(at.input_v, converter.window_v->low, result.name);
      high.look(at.input_v, converter.window_v->high, result.name);
    }
    if (converter.off_v) {
      const bool locked = at.state == ElementState::locked_out;
      off.look(locked ? std::min(at.input_v, *converter.off_v) : at.input_v,
               *converter.off_v + (locked ? 1e-6 : 0.0), result.name);
    }
    if (converter.power_w > 0.0) {
      overload.look(at.output_w, converter.power_w, result.name);
    }
    if (at.state == ElementState::drop_out) {
      dropout.look(at.input_v, converter.output_v, result.name);
    }
    if (in.cases[c].demand == Demand::typical) {
      light.look(converter.standby_w, at.output_w, result.name);
    }
  }
  const std::string rule = "the device's own data";
  if (!converter.window_v) {
    Finding finding = make_finding("missing-unchecked", "converter", converter.name);
    finding.detail = "The voltage window of its input is not stated.";
    finding.where = where;
    findings.push_back(std::move(finding));
  }
  for (const Question* question : {&low, &high, &off, &overload}) {
    if (question->asked()) {
      findings.push_back(question->answer(where, rule));
    }
  }
  for (const Question* question : {&dropout, &light}) {
    if (question->failed()) {
      findings.push_back(question->answer(where, rule));
    }
  }
}

}  // namespace

void check_converters(const CheckInput& in, std::vector<Finding>& findings) {
  for (std::size_t k = 0; k < in.system.converters.size(); ++k) {
    check_one(in, k, findings);
  }
}

}  // namespace nightbus::scenario_detail
