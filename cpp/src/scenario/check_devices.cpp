/// Does every load and fan get the volts it is made for, in every case?

#include <algorithm>

#include <fmt/format.h>

#include "scenario/checks.hpp"

namespace nightbus::scenario_detail {

namespace {

struct Device {
  std::string_view kind;
  const std::string& name;
  const Written& written;
  std::optional<Range> window;
  std::optional<double> off_v;
  double nominal_v = 0.0;
};

void note_margin(const Question& question, const Device& device, double wanted,
                 std::vector<Finding>& findings) {
  const double room = wanted * device.nominal_v;
  if (!question.failed() && question.room() < room) {
    Finding finding = make_finding("window-margin", device.kind, device.name);
    finding.value = question.value();
    finding.limit = question.limit();
    finding.dimension = Dimension::voltage;
    finding.case_name = question.case_name();
    finding.where = device.written.where;
    findings.push_back(std::move(finding));
  }
}

/// `result_of` gives the LoadResult of a case, `on` whether it should run there.
template <class ResultOf, class On>
void check_device(const CheckInput& in, const Device& device, ResultOf result_of, On on,
                  std::vector<Finding>& findings) {
  const Span& where = device.written.where;
  if (!device.window) {
    Finding finding = make_finding("missing-unchecked", device.kind, device.name);
    finding.detail = "The voltage window of its input is not stated.";
    finding.where = where;
    findings.push_back(std::move(finding));
  }
  using Must = Question::Must;
  Question low("undervoltage", device.kind, device.name, Must::reach, Dimension::voltage);
  Question high("overvoltage", device.kind, device.name, Must::stay_below, Dimension::voltage);
  Question off("undervoltage-lockout", device.kind, device.name, Must::reach, Dimension::voltage);
  for (const CaseResult& result : in.results) {
    const bool readable = result.readable();
    if (!readable || !on(result)) {
      continue;
    }
    const LoadResult& at = result_of(result);
    if (at.state == ElementState::dark) {
      continue;
    }
    if (device.off_v && at.state == ElementState::locked_out) {
      off.look(std::min(at.voltage_v, *device.off_v), *device.off_v + 1e-6, result.name);
    } else if (device.off_v) {
      off.look(at.voltage_v, *device.off_v, result.name);
    }
    if (device.window) {
      low.look(at.voltage_v, device.window->low, result.name);
      high.look(at.voltage_v, device.window->high, result.name);
    }
  }
  const std::string rule = "the device's own data";
  for (const Question* question : {&low, &high}) {
    if (question->asked()) {
      findings.push_back(question->answer(where, rule));
      note_margin(*question, device, in.options.window_margin, findings);
    }
  }
  if (off.asked()) {
    findings.push_back(off.answer(where, rule));
  }
}

}  // namespace

void check_devices(const CheckInput& in, std::vector<Finding>& findings) {
  const auto& domains = in.compiled.domains();
  const auto nominal = [&](PointKind kind, std::size_t k) {
    const int domain = in.compiled.point_of(kind, k).domain;
    return domain < 0 ? 0.0 : domains[static_cast<std::size_t>(domain)].nominal_v;
  };
  for (std::size_t k = 0; k < in.system.loads.size(); ++k) {
    const Load& load = in.system.loads[k];
    const Device device{"load",        load.name,  load.written,
                        load.window_v, load.off_v, nominal(PointKind::load, k)};
    check_device(
        in, device, [k](const CaseResult& result) -> const LoadResult& { return result.loads[k]; },
        [k](const CaseResult& result) { return result.inputs.loads[k].on; }, findings);
  }
  for (std::size_t k = 0; k < in.system.fans.size(); ++k) {
    const Fan& fan = in.system.fans[k];
    const Device device{"fan",        fan.name,     fan.written,
                        fan.window_v, std::nullopt, nominal(PointKind::fan, k)};
    check_device(
        in, device, [k](const CaseResult& result) -> const LoadResult& { return result.fans[k]; },
        [k](const CaseResult& result) { return result.inputs.fans[k].on; }, findings);
  }
}

}  // namespace nightbus::scenario_detail
