/// Air in the compartments, and what stands in it.

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "scenario/checks.hpp"
#include "scenario/heat.hpp"

namespace nightbus::scenario_detail {

namespace {

/// Air that burns insulation and boils electrolyte whatever else is said.
constexpr double destructive_c = 75.0;

struct Extremes {
  double hottest_c = -1e9, coldest_c = 1e9;
  std::string hottest_case, coldest_case;
  void look(double temp_c, const std::string& case_name) {
    if (temp_c > hottest_c) {
      hottest_c = temp_c;
      hottest_case = case_name;
    }
    if (temp_c < coldest_c) {
      coldest_c = temp_c;
      coldest_case = case_name;
    }
  }
};

/// Extremes of the air in a compartment, or outside.
Extremes air_of(const CheckInput& in, std::string_view compartment) {
  const int space = space_of(in.system, compartment);
  Extremes extremes;
  for (const CaseResult& result : in.results) {
    const double temp = space < 0 ? result.inputs.outside_c
                                  : result.inputs.compartment_c[static_cast<std::size_t>(space)];
    extremes.look(temp, result.name);
  }
  return extremes;
}

void check_device(const CheckInput& in, std::string_view kind, const std::string& name,
                  const Written& written, const std::optional<Range>& stands,
                  std::string_view compartment, std::vector<Finding>& findings) {
  if (!stands) {
    return;
  }
  const Extremes air = air_of(in, compartment);
  using Must = Question::Must;
  Question hot("device-hot", kind, name, Must::stay_below, Dimension::temperature);
  hot.look(air.hottest_c, stands->high, air.hottest_case);
  findings.push_back(hot.answer(written.where, "the device's own data"));
  Question cold("device-cold", kind, name, Must::reach, Dimension::temperature);
  cold.look(air.coldest_c, stands->low, air.coldest_case);
  findings.push_back(cold.answer(written.where, "the device's own data"));
}

void check_compartment(const CheckInput& in, std::size_t k, const CompartmentPlan& plan,
                       std::vector<Finding>& findings) {
  const Compartment& compartment = in.system.compartments[k];
  const Span& where = compartment.written.where;
  const CompartmentCase& hottest = plan.cases[plan.hottest];
  using Must = Question::Must;
  Question hot("compartment-hot", "compartment", plan.name, Must::stay_below,
               Dimension::temperature);
  hot.look(hottest.temp_c, plan.limit_c, hottest.case_name);
  findings.push_back(
      hot.answer(where, "the compartment's own limit",
                 fmt::format("{} of heat, outside {}.",
                             show_quantity(hottest.heat.total_w(), Dimension::power),
                             show_quantity(hottest.outside_c, Dimension::temperature))));
  const bool has_fan = plan.temp_at_step_c.size() > 1;
  if (plan.held) {
    return;
  }
  if (has_fan) {
    if (plan.needed_flow_m3s) {
      Question flow("fan-small", "compartment", plan.name, Must::reach, Dimension::air_flow);
      flow.look(plan.flow_m3s, *plan.needed_flow_m3s, hottest.case_name);
      findings.push_back(flow.answer(where, "heat balance of the compartment"));
    }
    if (plan.fans_off_c > plan.limit_c) {
      Finding finding = make_finding("fan-off-heat", "compartment", plan.name);
      finding.severity = plan.fans_off_c > destructive_c ? Severity::danger : Severity::notice;
      finding.value = plan.fans_off_c;
      finding.limit = plan.limit_c;
      finding.dimension = Dimension::temperature;
      finding.case_name = hottest.case_name;
      finding.rule = "heat balance of the compartment";
      finding.where = where;
      findings.push_back(std::move(finding));
    }
  }
  if (hottest.temp_c > 30.0 && hottest.heat.total_w() - hottest.heat.sun_w > 0.0) {
    Finding finding = make_finding("heat-derates", "compartment", plan.name);
    finding.value = hottest.temp_c;
    finding.dimension = Dimension::temperature;
    finding.case_name = hottest.case_name;
    finding.where = where;
    findings.push_back(std::move(finding));
  }
}

void check_inlets(const CheckInput& in, const HeatPlan& heat, std::vector<Finding>& findings) {
  constexpr double room_k = 5.0;
  for (const Fan& fan : in.system.fans) {
    const int space = space_of(in.system, fan.cools);
    if (space < 0) {
      continue;
    }
    const Extremes inlet = air_of(in, fan.inlet);
    const CompartmentPlan& plan = heat.compartments[static_cast<std::size_t>(space)];
    if (inlet.hottest_c > plan.limit_c - room_k) {
      Finding finding = make_finding("inlet-hot", "fan", fan.name);
      finding.value = inlet.hottest_c;
      finding.limit = plan.limit_c;
      finding.dimension = Dimension::temperature;
      finding.case_name = inlet.hottest_case;
      finding.where = fan.written.where;
      findings.push_back(std::move(finding));
    }
  }
}

void check_banks(const CheckInput& in, std::vector<Finding>& findings) {
  using Must = Question::Must;
  const bool fills = !in.system.chargers.empty() || !in.system.arrays.empty();
  for (const Bank& bank : in.system.banks) {
    const BatteryChemistry& chemistry = in.catalogue.chemistry(bank.chemistry);
    const Extremes air = air_of(in, bank.compartment);
    const auto ask = [&](std::string_view code, std::string_view guide, Must must, double value,
                         const std::string& case_name) {
      if (const Guide* limit = chemistry.guide(guide)) {
        Question question(code, "bank", bank.name, must, Dimension::temperature);
        question.look(value, limit->value, case_name);
        findings.push_back(question.answer(bank.written.where, limit->from.text()));
      }
    };
    ask("bank-hot", "charge highest temperature", Must::stay_below, air.hottest_c,
        air.hottest_case);
    ask("bank-cold-discharge", "discharge lowest temperature", Must::reach, air.coldest_c,
        air.coldest_case);
    if (fills) {
      ask("cold-charge", "charge lowest temperature", Must::reach, air.coldest_c, air.coldest_case);
    }
  }
}

}  // namespace

void check_heat(const CheckInput& in, const HeatPlan& heat, std::vector<Finding>& findings) {
  for (std::size_t k = 0; k < heat.compartments.size(); ++k) {
    check_compartment(in, k, heat.compartments[k], findings);
  }
  check_inlets(in, heat, findings);
  for (const Load& load : in.system.loads) {
    check_device(in, "load", load.name, load.written, load.temp_c, load.compartment, findings);
  }
  for (const Converter& converter : in.system.converters) {
    check_device(in, "converter", converter.name, converter.written, converter.temp_c,
                 converter.compartment, findings);
  }
  for (const PoeLink& link : in.system.poe_links) {
    check_device(in, "PoE link", link.name, link.written, link.temp_c, link.compartment, findings);
  }
  check_banks(in, findings);
}

}  // namespace nightbus::scenario_detail
