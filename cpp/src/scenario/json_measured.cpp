#include "nightbus/scenario_measured.hpp"
#include "scenario/json.hpp"

namespace nightbus {

using namespace scenario_detail;

namespace {

Json explanation_json(const Explanation& each) {
  Json json;
  json["suspects"] = Json::array();
  for (const Suspect& suspect : each.suspects) {
    json["suspects"].push_back({{"kind", suspect_kind_name(suspect.kind)},
                                {"subject", suspect.subject},
                                {"estimate", suspect.estimate},
                                {"low", suspect.low},
                                {"high", suspect.high},
                                {"unit", suspect.kind == SuspectKind::joint ? "Ω" : ""}});
  }
  json["chi_square"] = each.chi_square;
  json["drop"] = each.drop;
  json["probability"] = each.probability;
  json["predicted"] = each.predicted;
  return json;
}

}  // namespace

std::string measured_json(const Measured& measured, const std::vector<Reading>& readings,
                          int indent) {
  Json json;
  json["format"] = 1;
  json["status"] = status_name(measured.status);
  json["healthy"] = measured.healthy;
  json["chi_square"] = measured.chi_square;
  json["probability"] = measured.probability;
  json["readings"] = Json::array();
  for (std::size_t k = 0; k < readings.size(); ++k) {
    const Reading& reading = readings[k];
    json["readings"].push_back(
        {{"kind", reading_kind_name(reading.kind)},
         {"at", reading.at},
         {"value", reading.value},
         {"sigma", reading.sigma},
         {"planned", k < measured.planned.size() ? Json(measured.planned[k]) : Json(nullptr)},
         {"unit", reading.kind == ReadingKind::amps ? "A" : "V"}});
  }
  json["explanations"] = Json::array();
  for (const Explanation& each : measured.explanations) {
    json["explanations"].push_back(explanation_json(each));
  }
  json["alike"] = measured.alike;
  json["explained"] = measured.explained;
  json["unseen"] = measured.unseen;
  json["next"] = nullptr;
  if (measured.next) {
    json["next"] = {{"kind", reading_kind_name(measured.next->kind)},
                    {"at", measured.next->at},
                    {"first", measured.next->first},
                    {"second", measured.next->second},
                    {"sigma", measured.next->sigma},
                    {"unit", measured.next->kind == ReadingKind::amps ? "A" : "V"}};
  }
  json["assumed"] = {{"level", measured.assumed.level},
                     {"bank_sigma_v", measured.assumed.bank_sigma_v},
                     {"load_spread", measured.assumed.load_spread},
                     {"run_spread", measured.assumed.run_spread}};
  json["assumptions"] = measured.assumptions;
  json["sentences"] = measured.sentences;
  json["findings"] = Json::array();
  for (const Finding& finding : measured.findings) {
    json["findings"].push_back(finding_json(finding));
  }
  return json.dump(indent, ' ', false, Json::error_handler_t::replace);
}

}  // namespace nightbus
