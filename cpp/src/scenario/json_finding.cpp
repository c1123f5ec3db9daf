#include "scenario/json.hpp"

namespace nightbus::scenario_detail {

Json finding_json(const Finding& finding) {
  const FindingKind& kind = finding_kind(finding.code);
  Json json;
  json["code"] = finding.code;
  json["severity"] = severity_name(finding.severity);
  json["title"] = kind.title;
  json["subject_kind"] = finding.subject_kind;
  json["subject"] = finding.subject;
  json["sentence"] = sentence(finding);
  json["advice"] = advice(finding);
  json["value"] = optional_json(finding.value);
  json["limit"] = optional_json(finding.limit);
  json["unit"] = inside_unit(finding.dimension);
  json["case"] = finding.case_name;
  json["rule"] = finding.rule;
  json["detail"] = finding.detail;
  if (finding.where.known()) {
    json["where"] = {{"file", finding.where.source->name()},
                     {"line", finding.where.line},
                     {"column", finding.where.column}};
  } else {
    json["where"] = nullptr;
  }
  return json;
}

}  // namespace nightbus::scenario_detail
