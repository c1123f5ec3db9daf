#include "scenario/json.hpp"

namespace nightbus {

using namespace scenario_detail;

std::string plan_json(const Plan& plan, int indent) {
  Json json;
  json["format"] = 1;
  json["title"] = plan.system.title;
  json["note"] = plan.system.note;
  json["verdict"] = verdict_name(plan.verdict());
  json["verdict_sentence"] = verdict_sentence(plan.verdict());
  json["counts"] = Json::object();
  for (const Severity severity :
       {Severity::danger, Severity::warning, Severity::notice, Severity::passed}) {
    json["counts"][std::string(severity_name(severity))] = plan.count(severity);
  }
  json["cautions"] = plan.cautions;
  json["assumptions"] = Json::array();
  for (const Assumption& each : plan.assumptions) {
    json["assumptions"].push_back({{"kind", each.kind},
                                   {"key", each.key},
                                   {"value", each.value},
                                   {"help", each.help},
                                   {"names", each.names}});
  }
  json["not_modelled"] = plan.not_modelled;
  json["rules"] = Json::array();
  for (const RuleUse& rule : plan.rules) {
    json["rules"].push_back({{"name", rule.name},
                             {"purpose", rule.purpose},
                             {"limits", rule.limits},
                             {"citations", rule.citations}});
  }
  json["findings"] = Json::array();
  for (const Finding& finding : plan.findings) {
    json["findings"].push_back(finding_json(finding));
  }
  json["wiring"] = wiring_json(plan.wiring);
  json["cases"] = Json::array();
  for (const CaseResult& result : plan.cases) {
    json["cases"].push_back(case_json(plan, result));
  }
  json["heat"] = heat_json(plan.heat);
  json["energy"] = energy_json(plan.energy);
  return json.dump(indent, ' ', false, Json::error_handler_t::replace);
}

}  // namespace nightbus
