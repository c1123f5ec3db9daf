/// Must a feeder be searched again? Its plan of the round before is as good now when it keeps every
/// limit and the feeder asks no less than it did (to a part in ten thousand): what was cheaper
/// failed when the limits were no harder to keep.

#include <algorithm>

#include "wiring/section_again.hpp"

namespace nightbus::wiring_detail {

namespace {

bool asks_no_less(const FeederModel& now, const FeederModel& before) {
  constexpr double nearly = 1.0 - 1e-4;
  // The same bank through another network: figures that differ by rounding are equal.
  const auto less = [](double a, double b) { return a < b * (1.0 - 1e-9); };
  const auto no_less = [](const std::vector<double>& a, const std::vector<double>& b,
                          double share) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                      [share](double x, double y) { return x >= y * share; });
  };
  if (now.draws.size() != before.draws.size() || less(before.lowest_emf_v, now.lowest_emf_v) ||
      less(now.lowest_ohm, before.lowest_ohm) || less(now.highest_emf_v, before.highest_emf_v) ||
      less(before.highest_ohm, now.highest_ohm) || !no_less(before.emf_v, now.emf_v, nearly) ||
      !no_less(now.source_ohm, before.source_ohm, 1.0) || now.stages != before.stages) {
    return false;
  }
  for (std::size_t k = 0; k < now.draws.size(); ++k) {
    const FeederDraw& a = now.draws[k];
    const FeederDraw& b = before.draws[k];
    if (a.drop_limit_v > b.drop_limit_v || a.lowest_v < b.lowest_v ||
        !no_less(a.power_w, b.power_w, nearly) || !no_less(a.current_a, b.current_a, nearly) ||
        a.conductance_s != b.conductance_s) {
      return false;
    }
  }
  // A fixed current only matters by the options that it rules out.
  for (std::size_t e = 0; e < now.edges.size(); ++e) {
    const FeederEdge& a = now.edges[e];
    const FeederEdge& b = before.edges[e];
    const bool fewer = a.options.size() < b.options.size() && !less(a.fixed_a, b.fixed_a);
    if ((a.options.size() != b.options.size() && !fewer) || a.ambient_c != b.ambient_c) {
      return false;
    }
  }
  return true;
}

}  // namespace

Standing standing_of(const Section& section, const ChosenSection& before, FeederChoice& choice) {
  if (section.runs != before.section.runs || !before.choice.proven) return Standing::lost;
  choice.option.clear();
  for (std::size_t e = 0; e < section.runs.size(); ++e) {
    const auto& options = section.model.edges[e].options;
    const FeederOption& old = before.section.model.edges[e].options[before.choice.option[e]];
    const OptionMeaning& wanted = before.section.meanings[e][old.tag];
    const auto same = std::find_if(options.begin(), options.end(), [&](const auto& option) {
      const OptionMeaning& meaning = section.meanings[e][option.tag];
      return meaning.size == wanted.size && meaning.device == wanted.device &&
             option.breaks_a == old.breaks_a && option.needs_fault_a == old.needs_fault_a;
    });
    if (same == options.end() || same->value != old.value) return Standing::lost;
    choice.option.push_back(static_cast<std::uint32_t>(same - options.begin()));
  }
  choice.state = solve_feeder(section.model, choice.option);
  if (check_feeder(section.model, choice.option, choice.state).limit != FeederLimit::none) {
    return Standing::lost;
  }
  choice.feasible = choice.proven = true;
  choice.value = choice.bound = before.choice.value;
  return asks_no_less(section.model, before.section.model) ? Standing::best : Standing::holds;
}

}  // namespace nightbus::wiring_detail
