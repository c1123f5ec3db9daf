/// Banks and chargers: what they may give, what they may take, and at which voltage.

#include <fmt/format.h>

#include <algorithm>

#include "scenario/checks.hpp"

namespace nightbus::scenario_detail {

namespace {

void check_bank(const CheckInput& in, std::size_t k, std::vector<Finding>& findings) {
  const Bank& bank = in.system.banks[k];
  const Span& where = bank.written.where;
  const int strings = std::max(bank.strings, 1);
  using Must = Question::Must;
  Question give("source-overload", "bank", bank.name, Must::stay_below, Dimension::current);
  Question take("charge-current", "bank", bank.name, Must::stay_below, Dimension::current);
  Question early("voltage-disconnect-early", "bank", bank.name, Must::reach, Dimension::voltage);
  for (const CaseResult& result : in.results) {
    if (!result.readable()) {
      continue;
    }
    const BankResult& at = result.banks[k];
    if (bank.max_discharge_a) {
      give.look(at.current_a, *bank.max_discharge_a * strings, result.name);
    }
    if (bank.max_charge_a) {
      take.look(-at.current_a, *bank.max_charge_a * strings, result.name);
    }
    if (bank.disconnect_v && !result.inputs.charging &&
        result.inputs.banks[k].charge >= bank.reserve) {
      early.look(at.voltage_v, *bank.disconnect_v, result.name);
    }
  }
  for (const Question* question : {&give, &take}) {
    if (question->asked()) {
      findings.push_back(question->answer(where, "the bank's own data"));
    }
  }
  if (early.asked()) {
    Finding finding = early.answer(where, "the bank's own data");
    for (const CaseResult& result : in.results) {
      if (early.failed() && result.name == early.case_name()) {
        finding.detail =
            fmt::format("It holds {:.0f} % there.", 100.0 * result.inputs.banks[k].charge);
      }
    }
    findings.push_back(std::move(finding));
  }
}

void check_charging_voltage(const CheckInput& in, std::vector<Finding>& findings) {
  for (std::size_t k = 0; k < in.system.chargers.size(); ++k) {
    const Charger& charger = in.system.chargers[k];
    const int domain = in.compiled.point_of(PointKind::charger, k).domain;
    for (const std::size_t b : in.compiled.domains()[static_cast<std::size_t>(domain)].banks) {
      const Bank& bank = in.system.banks[b];
      const BatteryChemistry& chemistry = in.catalogue.chemistry(bank.chemistry);
      const Guide* highest = chemistry.guide("highest voltage");
      if (!charger.voltage_v || !highest) {
        continue;
      }
      Question question("charge-voltage", "bank", bank.name, Question::Must::stay_below,
                        Dimension::voltage);
      question.look(*charger.voltage_v, highest->value * chemistry.cells_for(bank.nominal_v), "");
      findings.push_back(question.answer(charger.written.where, highest->from.text(),
                                         fmt::format("By charger \"{}\".", charger.name)));
    }
  }
  for (const Bank& bank : in.system.banks) {
    const BatteryChemistry& chemistry = in.catalogue.chemistry(bank.chemistry);
    const Guide* highest = chemistry.guide("highest voltage");
    if (bank.absorption_v && highest) {
      Question question("charge-voltage", "bank", bank.name, Question::Must::stay_below,
                        Dimension::voltage);
      question.look(*bank.absorption_v, highest->value * chemistry.cells_for(bank.nominal_v), "");
      findings.push_back(question.answer(bank.written.where, highest->from.text(),
                                         "By its own absorption voltage."));
    }
  }
}

void check_limits(const CheckInput& in, std::vector<Finding>& findings) {
  for (std::size_t k = 0; k < in.system.chargers.size(); ++k) {
    const Charger& charger = in.system.chargers[k];
    for (std::size_t c = 0; c < in.results.size(); ++c) {
      const CaseResult& result = in.results[c];
      // In bulk charging the limit is the normal place to be.
      if (!result.ok() || in.cases[c].charge ||
          result.chargers[k].state != ElementState::constant_current) {
        continue;
      }
      Finding finding = make_finding("charger-limit", "charger", charger.name);
      finding.value = result.chargers[k].current_a;
      finding.limit = charger.current_a;
      finding.dimension = Dimension::current;
      finding.case_name = result.name;
      finding.where = charger.written.where;
      findings.push_back(std::move(finding));
      break;
    }
  }
  if (in.system.chargers.empty() && in.system.arrays.empty()) {
    for (const Bank& bank : in.system.banks) {
      Finding finding = make_finding("charger-missing", "bank", bank.name);
      finding.where = bank.written.where;
      findings.push_back(std::move(finding));
    }
  }
}

}  // namespace

void check_sources(const CheckInput& in, std::vector<Finding>& findings) {
  for (std::size_t k = 0; k < in.system.banks.size(); ++k) {
    check_bank(in, k, findings);
  }
  check_charging_voltage(in, findings);
  check_limits(in, findings);
}

}  // namespace nightbus::scenario_detail
