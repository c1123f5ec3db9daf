#include "scenario/json.hpp"

namespace nightbus::scenario_detail {

namespace {

Json device_json(const std::optional<Device>& device) {
  if (!device) {
    return nullptr;
  }
  Json json;
  json["form"] = device->form;
  json["kind"] = device->kind == DeviceKind::breaker ? "breaker" : "fuse";
  json["rating_a"] = device->rating_a;
  json["resistance_ohm"] = device->resistance_ohm;
  json["given"] = device->given;
  return json;
}

Json verdict_json(const Verdict& verdict) {
  Json json;
  json["code"] = verdict.code;
  json["passed"] = verdict.passed;
  json["rejects"] = verdict.rejects;
  json["value"] = optional_json(verdict.value);
  json["limit"] = optional_json(verdict.limit);
  json["unit"] = inside_unit(verdict.dimension);
  json["rule"] = verdict.rule;
  json["case"] = verdict.case_name;
  json["detail"] = verdict.detail;
  return json;
}

Json need_json(const DeviceNeed& need) {
  Json json;
  json["interrupt_a"] = need.interrupt_a;
  json["interrupt_v"] = need.interrupt_v;
  json["prospective_a"] = need.prospective_a;
  json["least_fault_a"] = need.least_fault_a;
  json["opens_in_s"] = optional_json(need.opens_in_s);
  json["within_m"] = optional_json(need.within_m);
  json["holder_a"] = need.holder_a;
  json["switch_v"] = need.switch_v;
  json["at_far_end"] = need.at_far_end;
  return json;
}

/// Rejected sizes keep the first check that failed; the chosen one keeps all.
Json candidates_json(const RunPlan& run) {
  Json list = Json::array();
  for (std::size_t k = 0; k < run.candidates.size(); ++k) {
    const Candidate& candidate = run.candidates[k];
    Json json;
    json["size"] = print_size(candidate.size);
    json["metal_kg"] = candidate.metal_kg;
    json["device"] = device_json(candidate.device);
    json["feasible"] = candidate.feasible();
    json["chosen"] = k == run.chosen;
    const Verdict* failure = candidate.first_failure();
    json["failed"] = failure ? verdict_json(*failure) : Json(nullptr);
    if (k == run.chosen) {
      json["checks"] = Json::array();
      for (const Verdict& check : candidate.checks) {
        json["checks"].push_back(verdict_json(check));
      }
    }
    list.push_back(std::move(json));
  }
  return list;
}

Json run_json(const RunPlan& run) {
  Json json;
  json["name"] = run.run;
  json["size"] = print_size(run.size);
  json["return_size"] = run.return_size ? Json(print_size(*run.return_size)) : Json(nullptr);
  json["size_given"] = run.size_given;
  json["family"] = run.family;
  json["area_mm2"] = run.area_mm2;
  json["conductors"] = run.conductors;
  json["length_m"] = run.length_m;
  json["return_length_m"] = run.return_length_m;
  json["metal_kg"] = run.metal_kg;
  json["cost"] = run.cost;
  json["spare"] = run.spare;
  json["feasible"] = run.feasible;
  json["current_a"] = run.current_a;
  json["current_case"] = run.current_case;
  json["ampacity_a"] = run.ampacity_a;
  json["ampacity_rule"] = run.ampacity_rule;
  json["conductor_c"] = run.conductor_c;
  json["drop_v"] = run.drop_v;
  json["loss_w"] = run.loss_w;
  json["device"] = device_json(run.device);
  json["need"] = need_json(run.need);
  json["governing"] = {
      {"code", run.governing_code}, {"case", run.governing_case}, {"rule", run.governing_rule}};
  json["candidates"] = candidates_json(run);
  return json;
}

Json end_json(const EndVolts& end) {
  Json json;
  json["kind"] = end.kind;
  json["name"] = end.name;
  json["drop_class"] = end.drop_class == DropClass::critical ? "critical" : "general";
  json["nominal_v"] = end.nominal_v;
  json["drop_v"] = end.drop_v;
  json["drop_ratio"] = end.drop_ratio;
  json["limit_ratio"] = end.limit_ratio;
  json["drop_case"] = end.drop_case;
  json["lowest_v"] = end.lowest_v;
  json["lowest_case"] = end.lowest_case;
  json["window_low_v"] = optional_json(end.window_low_v);
  json["passed"] = end.passed;
  return json;
}

Json changes_json(const std::vector<Change>& changes) {
  Json json = Json::array();
  for (const Change& change : changes) {
    json.push_back({{"kind", change_kind_name(change.kind)},
                    {"run", change.run},
                    {"from", change.from},
                    {"amount", change.amount},
                    {"unit", inside_unit(change.dimension)},
                    {"words", change.words}});
  }
  return json;
}

}  // namespace

Json wiring_json(const WiringPlan& plan) {
  Json json;
  json["rule_sets"] = plan.rule_sets;
  json["feasible"] = plan.feasible;
  json["metal_kg"] = plan.metal_kg;
  json["cost"] = plan.cost;
  json["distinct_sizes"] = plan.distinct_sizes;
  const Optimality& best = plan.optimality;
  json["optimality"] = {{"proven", best.proven}, {"value", best.value},   {"bound", best.bound},
                        {"rounds", best.rounds}, {"solves", best.solves}, {"note", best.note}};
  json["runs"] = Json::array();
  for (const RunPlan& run : plan.runs) {
    json["runs"].push_back(run_json(run));
  }
  json["ends"] = Json::array();
  for (const EndVolts& end : plan.ends) {
    json["ends"].push_back(end_json(end));
  }
  json["size_ups"] = Json::array();
  for (const SizeUp& up : plan.size_ups) {
    json["size_ups"].push_back({{"run", up.run},
                                {"from", print_size(up.from)},
                                {"to", print_size(up.to)},
                                {"more_kg", up.more_kg},
                                {"more_cost", up.more_cost},
                                {"saved_w", up.saved_w},
                                {"drop_gain_v", up.drop_gain_v},
                                {"device", up.device}});
  }
  json["changes"] = changes_json(plan.changes);
  json["ways"] = Json::array();
  for (const ChangeSet& way : plan.ways) {
    json["ways"].push_back(
        {{"changes", changes_json(way.changes)}, {"mends", way.mends}, {"metal_kg", way.metal_kg}});
  }
  return json;
}

}  // namespace nightbus::scenario_detail
