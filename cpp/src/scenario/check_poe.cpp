/// Power over Ethernet: class, port, cable and supply.

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "scenario/checks.hpp"

namespace nightbus::scenario_detail {

namespace {

struct Limits {
  std::optional<double> device_w, source_w;
  std::optional<Range> source_v, device_v;
  std::string power_rule, voltage_rule;
};

/// The class speaks for the power, the type for the voltages; passive supply has neither.
Limits limits_of(const CheckInput& in, const PoeLink& link) {
  Limits limits;
  if (link.type == PoeType::passive) {
    return limits;
  }
  const PoeTypeData& type = in.catalogue.poe_type(static_cast<int>(link.type) + 1);
  limits.source_v = type.source_v;
  limits.device_v = type.device_v;
  limits.device_w = type.device_w;
  limits.source_w = type.source_w;
  limits.voltage_rule = type.from.text();
  limits.power_rule = type.from.text();
  if (link.power_class) {
    const PoeClassData& power_class = in.catalogue.poe_class(*link.power_class);
    limits.device_w = std::min(type.device_w, power_class.device_w);
    limits.source_w = std::min(type.source_w, power_class.source_w);
    limits.power_rule = power_class.from.text();
  }
  return limits;
}

void check_link(const CheckInput& in, std::size_t k, std::vector<Finding>& findings) {
  const PoeLink& link = in.system.poe_links[k];
  const Span& where = link.written.where;
  const Limits limits = limits_of(in, link);
  using Must = Question::Must;
  const std::string_view kind = "PoE link";
  Question power("poe-class", kind, link.name, Must::stay_below, Dimension::power);
  Question port("poe-port-power", kind, link.name, Must::stay_below, Dimension::power);
  Question port_low("poe-voltage", kind, link.name, Must::reach, Dimension::voltage);
  Question port_high("poe-voltage", kind, link.name, Must::stay_below, Dimension::voltage);
  Question device_low("poe-device-voltage", kind, link.name, Must::reach, Dimension::voltage);
  Question device_high("overvoltage", kind, link.name, Must::stay_below, Dimension::voltage);
  const std::optional<Range> window = link.window_v ? link.window_v : limits.device_v;
  for (const CaseResult& result : in.results) {
    if (!result.readable() || !result.inputs.poe_links[k].on ||
        result.poe_links[k].device.state == ElementState::dark) {
      continue;
    }
    const PoeResult& at = result.poe_links[k];
    if (limits.device_w) {
      power.look(at.device.power_w, *limits.device_w, result.name);
      port.look(at.port_w, *limits.source_w, result.name);
      port_low.look(at.port_v, limits.source_v->low, result.name);
      port_high.look(at.port_v, limits.source_v->high, result.name);
    }
    if (window) {
      device_low.look(at.device.voltage_v, window->low, result.name);
      device_high.look(at.device.voltage_v, window->high, result.name);
    }
  }
  const auto tell = [&](const Question& question, const std::string& rule) {
    if (question.asked()) {
      findings.push_back(question.answer(where, rule));
    }
  };
  tell(power, limits.power_rule);
  tell(port, limits.power_rule);
  tell(port_low, limits.voltage_rule);
  tell(port_high, limits.voltage_rule);
  tell(device_low, link.window_v ? "the device's own data" : limits.voltage_rule);
  tell(device_high, link.window_v ? "the device's own data" : limits.voltage_rule);
  if (link.type == PoeType::passive) {
    const Converter* supply = nullptr;
    for (const Converter& converter : in.system.converters) {
      if (converter.name == link.from) {
        supply = &converter;
      }
    }
    Finding finding = make_finding("poe-isolation", kind, link.name);
    if (supply) {
      finding.value = supply->output_v;
      finding.dimension = Dimension::voltage;
    }
    finding.where = where;
    findings.push_back(std::move(finding));
    if (!window) {
      Finding missing = make_finding("missing-unchecked", kind, link.name);
      missing.detail = "Passive supply has no standard voltages, and its window is not stated.";
      missing.where = where;
      findings.push_back(std::move(missing));
    }
  }
}

/// What the ports of one supply may ask for by their classes, all at once.
void check_budget(const CheckInput& in, std::vector<Finding>& findings) {
  std::map<std::string, double> wanted_w;
  for (const PoeLink& link : in.system.poe_links) {
    const Limits limits = limits_of(in, link);
    wanted_w[link.from] += limits.source_w.value_or(link.peak_w.value_or(link.typical_w));
  }
  for (const Converter& converter : in.system.converters) {
    const auto found = wanted_w.find(converter.name);
    if (found == wanted_w.end() || converter.power_w <= 0.0) {
      continue;
    }
    Question budget("poe-budget", "converter", converter.name, Question::Must::stay_below,
                    Dimension::power);
    budget.look(found->second, converter.power_w, "");
    Finding finding = budget.answer(converter.written.where, "sum of the classes of its ports");
    if (budget.failed()) {
      // Real draws are checked against the rating as an overload; this is what a port may reserve.
      finding.severity = Severity::notice;
      finding.detail =
          "Reckoned with the full power of each port's class; a switch that reserves "
          "by class may refuse the last port.";
    }
    findings.push_back(std::move(finding));
  }
}

}  // namespace

void check_poe(const CheckInput& in, std::vector<Finding>& findings) {
  for (std::size_t k = 0; k < in.system.poe_links.size(); ++k) {
    check_link(in, k, findings);
  }
  check_budget(in, findings);
}

}  // namespace nightbus::scenario_detail
