/// Every number a step down and a step up: which of them moves a figure most?

#include <algorithm>
#include <cmath>

#include "nightbus/scenario_batch.hpp"

namespace nightbus {

std::string_view figure_name(Figure figure) {
  switch (figure) {
    case Figure::window_margin_v:
      return "window margin";
    case Figure::highest_drop_ratio:
      return "highest drop";
    case Figure::bank_a:
      return "bank current";
    case Figure::typical_w:
      return "typical draw";
    case Figure::loss_w:
      return "losses";
    case Figure::hottest_margin_k:
      return "margin of the hottest compartment";
    case Figure::hottest_conductor_c:
      return "hottest conductor";
  }
  return "";
}

double figure_of(const Outcome& outcome, Figure figure) {
  switch (figure) {
    case Figure::window_margin_v:
      return outcome.window_margin_v;
    case Figure::highest_drop_ratio:
      return outcome.highest_drop_ratio;
    case Figure::bank_a:
      return outcome.bank_a;
    case Figure::typical_w:
      return outcome.typical_w;
    case Figure::loss_w:
      return outcome.loss_w;
    case Figure::hottest_margin_k:
      return outcome.hottest_margin_k;
    case Figure::hottest_conductor_c:
      return outcome.hottest_conductor_c;
  }
  return 0.0;
}

namespace {

constexpr double temperature_step_k = 5.0;

/// The field's own bounds; a step that leaves them is cut short.
struct Bounds {
  std::optional<double> low, high;
  bool temperature = false;
};
Bounds bounds_of(std::string_view path) {
  const RecordType& type = record_type(path.substr(0, path.find('.')));
  const Field* field = type.find(path.substr(path.rfind('.') + 1));
  if (!field) {
    return {};
  }
  return {field->low, field->high, field->dimension == Dimension::temperature};
}

}  // namespace

std::vector<Influence> what_matters(const System& system, const Catalogue& catalogue, Figure figure,
                                    const WhatIfOptions& options, double relative_step) {
  WhatIfOptions shallow = options;
  shallow.depth = Depth::cases;
  std::vector<Influence> influences;
  std::vector<WhatIf> asked;
  for (const std::string& path : number_paths(system)) {
    const FieldValue now = field_at(system, path);
    const Bounds bounds = bounds_of(path);
    Influence influence;
    influence.path = path;
    influence.value = std::get<double>(now);
    influence.step =
        bounds.temperature ? temperature_step_k : relative_step * std::abs(influence.value);
    double below = influence.value - influence.step, above = influence.value + influence.step;
    below = bounds.low ? std::max(below, *bounds.low) : below;
    above = bounds.high ? std::min(above, *bounds.high) : above;
    asked.push_back({path, {{path, below}}});
    asked.push_back({path, {{path, above}}});
    influences.push_back(std::move(influence));
  }
  const std::vector<Outcome> answers = what_if(system, catalogue, asked, shallow);
  std::vector<Influence> told;
  for (std::size_t k = 0; k < influences.size(); ++k) {
    const Outcome &below = answers[2 * k], &above = answers[2 * k + 1];
    if (!below.error.empty() || !above.error.empty()) {
      continue;  // the step itself is not possible
    }
    influences[k].low = figure_of(below, figure);
    influences[k].high = figure_of(above, figure);
    influences[k].breaks = !below.solved || !above.solved;
    told.push_back(std::move(influences[k]));
  }
  std::stable_sort(told.begin(), told.end(), [](const Influence& a, const Influence& b) {
    return std::pair(b.breaks, std::abs(b.swing())) < std::pair(a.breaks, std::abs(a.swing()));
  });
  return told;
}

}  // namespace nightbus
