/// Arrays against their controllers: cold volts, hot volts, current.
///
///   cold  Voc · (1 + k (T_cold - 25))          no sun has warmed the cells yet
///   hot   Vmp · (1 + k (T_hot + 30 - 25))      cells 30 K above the air in full sun

#include <fmt/format.h>

#include <algorithm>

#include "scenario/checks.hpp"

namespace nightbus::scenario_detail {

namespace {

constexpr double cell_rise_k = 30.0;      // common practice, no source
constexpr double mppt_head_room_v = 1.0;  // least the tracker needs above the bank

void check_cold_volts(const CheckInput& in, const Array& array, std::vector<Finding>& findings) {
  if (!array.controller_v) {
    return;
  }
  if (!array.voc_v) {
    Finding finding = make_finding("missing-unchecked", "array", array.name);
    finding.detail = "Its open-circuit voltage is not stated, so the cold morning is not checked.";
    finding.where = array.written.where;
    findings.push_back(std::move(finding));
    return;
  }
  Question question("array-voltage", "array", array.name, Question::Must::stay_below,
                    Dimension::voltage);
  question.look(*array.voc_v * (1.0 + array.voc_per_k * (in.system.site.temp_cold_c - 25.0)),
                *array.controller_v, "");
  findings.push_back(question.answer(
      array.written.where, "the module's temperature coefficient",
      fmt::format("Cells at the site's cold, {:.0f} °C.", in.system.site.temp_cold_c)));
}

void check_hot_volts(const CheckInput& in, const Array& array, double bus_v,
                     std::vector<Finding>& findings) {
  if (!array.vmp_v || array.tracking != Tracking::mppt || bus_v <= 0.0) {
    return;
  }
  const double cell_c = in.system.site.temp_hot_c + cell_rise_k;
  Question question("array-voltage-low", "array", array.name, Question::Must::reach,
                    Dimension::voltage);
  question.look(*array.vmp_v * (1.0 + array.voc_per_k * (cell_c - 25.0)), bus_v + mppt_head_room_v,
                "");
  findings.push_back(question.answer(array.written.where, "the module's temperature coefficient",
                                     fmt::format("Cells at {:.0f} °C.", cell_c)));
}

void check_current(const Array& array, double bus_v, std::vector<Finding>& findings) {
  if (array.controller_a <= 0.0 || bus_v <= 0.0) {
    return;
  }
  const double watts = array.power_w * (1.0 - array.losses) * array.controller_efficiency;
  Question question("array-current", "array", array.name, Question::Must::stay_below,
                    Dimension::current);
  question.look(watts / bus_v, array.controller_a, "");
  findings.push_back(question.answer(array.written.where, "power over the bus's nominal voltage",
                                     "Rated power less losses."));
}

}  // namespace

void check_arrays(const CheckInput& in, std::vector<Finding>& findings) {
  for (std::size_t k = 0; k < in.system.arrays.size(); ++k) {
    const Array& array = in.system.arrays[k];
    const int domain = in.compiled.point_of(PointKind::array, k).domain;
    const Domain& at = in.compiled.domains()[static_cast<std::size_t>(domain)];
    double highest_v = at.nominal_v;
    for (const CaseResult& result : in.results) {
      if (result.ok() && result.inputs.charging) {
        highest_v = std::max(highest_v, result.arrays[k].voltage_v);
      }
    }
    check_cold_volts(in, array, findings);
    check_hot_volts(in, array, highest_v, findings);
    check_current(array, at.nominal_v, findings);
  }
}

}  // namespace nightbus::scenario_detail
