#include "scenario/json.hpp"

namespace nightbus {

using namespace scenario_detail;

std::string comparison_json(const Comparison& comparison, int indent) {
  constexpr const char* words[] = {"appeared", "gone", "changed"};
  Json json;
  json["format"] = 1;
  json["before"] = verdict_name(comparison.before);
  json["after"] = verdict_name(comparison.after);
  json["findings"] = Json::array();
  for (const FindingChange& each : comparison.findings) {
    json["findings"].push_back(
        {{"what", words[static_cast<std::size_t>(each.what)]},
         {"before", each.before ? finding_json(*each.before) : Json(nullptr)},
         {"after", each.after ? finding_json(*each.after) : Json(nullptr)}});
  }
  json["figures"] = Json::array();
  for (const FigureChange& each : comparison.figures) {
    json["figures"].push_back({{"kind", each.kind},
                               {"name", each.name},
                               {"figure", each.figure},
                               {"before", each.before},
                               {"after", each.after},
                               {"before_value", optional_json(each.before_value)},
                               {"after_value", optional_json(each.after_value)},
                               {"unit", inside_unit(each.dimension)}});
  }
  return json.dump(indent, ' ', false, Json::error_handler_t::replace);
}

}  // namespace nightbus
