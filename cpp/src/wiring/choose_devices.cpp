/// Devices on sizes that are held: of those that keep every limit the ones that stand first with
/// the device rules, and selective ones if there are.

#include <algorithm>

#include "wiring/choose_exact.hpp"

namespace nightbus::wiring_detail {

namespace {

/// On each edge the option that stands first: where these go together nothing is better.
std::vector<std::uint32_t> first_ranked(const FeederModel& model) {
  std::vector<std::uint32_t> option;
  for (const FeederEdge& edge : model.edges) {
    const auto first =
        std::min_element(edge.options.begin(), edge.options.end(),
                         [](const auto& a, const auto& b) { return a.value < b.value; });
    option.push_back(static_cast<std::uint32_t>(first - edge.options.begin()));
  }
  return option;
}

double rank_of(const std::vector<Device>& ranked, const std::optional<Device>& device) {
  if (!device) return 0.0;
  for (std::size_t k = 0; k < ranked.size(); ++k) {
    if (ranked[k].form == device->form && ranked[k].rating_a == device->rating_a) {
      return static_cast<double>(k);
    }
  }
  return 1000.0;  // not as things stand now; allowed if nothing else is
}

/// From the leaves up: where a lower device cannot clear before the upper one opens, an upper
/// device is looked for that stays shut for all of them and keeps every limit.
void make_selective(const SectionAsk& ask, const Section& section,
                    std::vector<std::uint32_t>& option) {
  const auto device_of = [&](std::size_t e, std::uint32_t k) -> const std::optional<Device>& {
    return section.meanings[e][section.model.edges[e].options[k].tag].device;
  };
  for (std::size_t e = section.runs.size(); e-- > 0;) {
    const auto upper_fits = [&](const Device& upper) {
      int open_together = 0;
      for (std::size_t below = e + 1; below < section.runs.size(); ++below) {
        if (section.model.edges[below].parent != static_cast<int>(e)) continue;
        const auto& lower = device_of(below, option[below]);
        const RunContext& context = ask.contexts[section.runs[below]];
        if (!lower || context.highest_source_ohm <= 0.0) continue;
        const double fault_a = context.highest_emf_v / context.highest_source_ohm;
        if (!ask.devices->selective(upper, *lower, fault_a)) ++open_together;
      }
      return open_together;
    };
    const auto& now = device_of(e, option[e]);
    if (!now || now->given) continue;
    int fewest = upper_fits(*now);
    std::vector<std::uint32_t> better = option;
    for (std::uint32_t k = 0; k < section.model.edges[e].options.size() && fewest > 0; ++k) {
      const auto& other = device_of(e, k);
      if (!other || section.model.edges[e].options[k].value >= 1000.0) continue;
      const int open_together = upper_fits(*other);
      if (open_together >= fewest) continue;
      std::vector<std::uint32_t> tried = option;
      tried[e] = k;
      const FeederState state = solve_feeder(section.model, tried);
      if (check_feeder(section.model, tried, state).limit != FeederLimit::none) continue;
      fewest = open_together;
      better = std::move(tried);
    }
    option = std::move(better);
  }
}

}  // namespace

void choose_devices(SectionAsk ask, std::vector<Picked>& picked, std::size_t& labels) {
  if (!ask.devices) return;
  ask.all_devices = true;
  for (const Picked& run : picked) ask.only_size.push_back(run.size);
  for (Section& section : make_sections(ask)) {
    bool possible = true;
    for (std::size_t e = 0; e < section.runs.size() && possible; ++e) {
      const std::size_t run = section.runs[e];
      if (run == no_run) continue;
      const RunContext& context = ask.contexts[run];
      const ConductorSize& size = ask.sizes[run][picked[run].size].size;
      const Conductor& conductor =
          conductor_for(*context.system, *context.catalogue, *context.run, size);
      const auto judged = judge_conductor(context, conductor, nullptr);
      const auto ranked = ask.devices->options(context, conductor, judged.ampacity_a);
      auto& options = section.model.edges[e].options;
      std::erase_if(options, [&](const FeederOption& option) {
        return section.meanings[e][option.tag].size != picked[run].size;
      });
      for (FeederOption& option : options) {
        option.value = rank_of(ranked.fitting, section.meanings[e][option.tag].device);
      }
      possible = !options.empty();
    }
    if (!possible) continue;
    std::vector<std::uint32_t> option = first_ranked(section.model);
    const FeederState now = solve_feeder(section.model, option);
    if (check_feeder(section.model, option, now).limit != FeederLimit::none) {
      FeederSearch search;
      search.most_branches = 8;  // a matter of order: good is good enough
      FeederChoice choice = choose_feeder(section.model, search);
      labels += choice.labels;
      if (!choice.feasible) continue;
      option = std::move(choice.option);
    }
    make_selective(ask, section, option);
    for (std::size_t e = 0; e < section.runs.size(); ++e) {
      if (section.runs[e] == no_run) continue;
      const FeederOption& taken = section.model.edges[e].options[option[e]];
      picked[section.runs[e]].device = section.meanings[e][taken.tag].device;
    }
  }
}

}  // namespace nightbus::wiring_detail
