/// From the solved system to feeders. The root of a feeder is where its runs start: a bank, or a
/// bus that something outside the tree feeds. A bank is modelled with its EMF and resistance, every
/// other root by the volts it has in the solved state. What hangs behind a converter is a stage of
/// the feeder before it, unless the converter does not regulate in the solved state. Cases in which
/// something charges have no drop limit; their currents stand as what an edge must carry.

#include "wiring/sections.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "wiring/section_parts.hpp"

namespace nightbus::wiring_detail {

namespace {

bool from_charger(const CompiledSystem& compiled, const RunElements& run) {
  const PointKind kind = compiled.points()[run.from].kind;
  return kind == PointKind::charger || kind == PointKind::array;
}

class Maker {
 public:
  explicit Maker(const SectionAsk& ask)
      : ask_(ask), compiled_(ask.solved.compiled), parents_(parents_of(compiled_)) {
    for (std::size_t c = 0; c < ask.solved.results.size(); ++c) {
      const CaseResult& result = ask.solved.results[c];
      if (!result.readable()) continue;
      (result.inputs.charging ? charging_ : cases_).push_back(c);
    }
    const std::size_t converters = compiled_.system().converters.size();
    for (std::size_t k = 0; k < converters; ++k) {
      for (std::size_t point = 0; point < compiled_.points().size(); ++point) {
        const PointNodes& at = compiled_.points()[point];
        if (at.kind == PointKind::converter && at.index == k) point_of_.push_back(point);
      }
    }
  }

  std::vector<Section> make() {
    // Runs by the point their tree starts at; a run that hangs on nothing stands alone.
    std::vector<std::size_t> alone;
    resistive_.assign(parents_.size(), 0);
    for (std::size_t i = 0; i < parents_.size(); ++i) {
      const RunElements& run = compiled_.runs()[i];
      if (!run.connected || from_charger(compiled_, run)) {
        alone.push_back(i);
      } else {
        trees_[root_of(i)].push_back(i);
      }
    }
    std::vector<Section> sections;
    for (const std::size_t i : alone) sections.push_back(single(i));
    find_resistive();
    // A converter's feeder before the one the converter hangs on.
    std::vector<std::size_t> roots;
    for (const auto& [root, runs] : trees_) {
      if (!begins_stage(root)) roots.push_back(root);
    }
    std::stable_sort(roots.begin(), roots.end(),
                     [&](std::size_t a, std::size_t b) { return depth_of(a) > depth_of(b); });
    for (const std::size_t root : roots) sections.push_back(tree(root, trees_[root]));
    // A converter that two ways lead to may have been passed over.
    std::set<std::size_t> there;
    for (const Section& section : sections) there.insert(section.runs.begin(), section.runs.end());
    for (const auto& [root, runs] : trees_) {
      if (!there.count(runs.front())) sections.push_back(tree(root, runs));
    }
    return sections;
  }

 private:
  /// The run that leads to a point and is part of a tree; none: no_run.
  std::size_t run_to(std::size_t point) const {
    for (std::size_t i = 0; i < parents_.size(); ++i) {
      const RunElements& run = compiled_.runs()[i];
      if (run.connected && run.to == point && !from_charger(compiled_, run)) return i;
    }
    return no_run;
  }
  /// Marks the ways to every resistance: what loses more before one may serve others better.
  void find_resistive() {
    const System& system = compiled_.system();
    for (std::size_t point = 0; point < compiled_.points().size(); ++point) {
      const PointNodes& at = compiled_.points()[point];
      if (at.kind != PointKind::load || system.loads[at.index].behaviour != Behaviour::resistance) {
        continue;
      }
      std::size_t run = run_to(point);
      while (run != no_run && !resistive_[run]) {
        resistive_[run] = 1;
        if (parents_[run] >= 0) {
          run = static_cast<std::size_t>(parents_[run]);
        } else {
          run = run_to(compiled_.runs()[run].from);
        }
      }
    }
  }
  /// A converter with runs behind it that regulates, on a way that ends at a root.
  bool begins_stage(std::size_t point) const {
    const PointNodes& at = compiled_.points()[point];
    if (at.kind != PointKind::converter || !trees_.count(point)) return false;
    std::set<std::size_t> seen;
    for (std::size_t up = point; compiled_.points()[up].kind == PointKind::converter;) {
      if (!seen.insert(up).second) return false;  // it feeds itself
      if (!stands_alone(ask_, compiled_.points()[up].index, cases_)) return up != point;
      const std::size_t run = run_to(up);
      if (run == no_run) return up != point;
      up = root_of(run);
    }
    return true;
  }
  /// A bank that is the only one of its domain.
  bool alone(std::size_t root) const {
    const PointNodes& where = compiled_.points()[root];
    return where.kind == PointKind::bank && where.domain >= 0 &&
           compiled_.domains()[static_cast<std::size_t>(where.domain)].banks.size() == 1;
  }
  std::size_t root_of(std::size_t run) const {
    while (parents_[run] >= 0) run = static_cast<std::size_t>(parents_[run]);
    return compiled_.runs()[run].from;
  }
  /// Converters between a point and the bank.
  int depth_of(std::size_t point) const {
    int depth = 0;
    std::set<std::size_t> seen;
    while (compiled_.points()[point].kind == PointKind::converter && seen.insert(point).second) {
      ++depth;
      std::size_t next = point;
      for (std::size_t i = 0; i < parents_.size(); ++i) {
        if (compiled_.runs()[i].connected && compiled_.runs()[i].to == point) next = root_of(i);
      }
      if (next == point) break;
      point = next;
    }
    return depth;
  }

  /// Current a run carries whatever is chosen: what flows while charging, or its charger's limit.
  double fixed_a(std::size_t run, bool all_cases) const {
    const RunContext& context = ask_.contexts[run];
    double most = 0.0;
    for (const std::size_t c : charging_) {
      most = std::max({most, context.cases[c].current_a, context.cases[c].return_current_a});
    }
    return all_cases ? std::max(most, context.design_a) : most;
  }

  void add_edge(Section& section, std::size_t run, int parent, int home, int stage,
                double carried_a) const {
    FeederEdge edge;
    edge.stage = stage;
    edge.parent = parent;
    edge.home = home;
    edge.fixed_a = carried_a;
    for (const std::size_t c : cases_) {
      edge.ambient_c.push_back(ask_.contexts[run].cases[c].ambient_c);
    }
    std::vector<OptionMeaning> meanings;
    add_run_options(ask_, run, ask_.all_devices || resistive_[run], edge, meanings);
    std::erase_if(edge.options,
                  [&](const FeederOption& option) { return above(carried_a, option.carries_a); });
    if (edge.options.empty()) add_last_resort(ask_, run, edge, meanings);
    section.model.edges.push_back(std::move(edge));
    section.meanings.push_back(std::move(meanings));
    section.runs.push_back(run);
  }

  void set_faults(Section& section, std::size_t run) const {
    const RunContext& context = ask_.contexts[run];
    if (context.fault != FaultSource::battery) return;
    section.model.highest_emf_v = context.highest_emf_v;
    section.model.highest_ohm = context.highest_source_ohm;
    section.model.lowest_emf_v = context.lowest_emf_v;
    section.model.lowest_ohm = context.lowest_source_ohm;
  }

  Section single(std::size_t run) const {
    Section section;
    section.model.alpha_per_k = alpha_per_k();
    add_edge(section, run, -1, -1, -1, fixed_a(run, true));
    set_faults(section, run);
    return section;
  }

  double alpha_per_k() const {
    return 1.0 / (compiled_.catalogue().material("copper").zero_resistance_k + 20.0);
  }

  Section tree(std::size_t root, std::vector<std::size_t> runs) const {
    Section section;
    section.model.alpha_per_k = alpha_per_k();
    section.model.cases = cases_.size();
    set_root(section, root);
    set_faults(section, runs.front());
    std::vector<std::size_t> converters;  // of the stages
    add_tree(section, root, std::move(runs), -1, converters);
    if (alone(root)) add_controllers(root, -1, section.model);
    for (std::size_t stage = 0; stage < converters.size(); ++stage) {
      const std::size_t point = point_of_[converters[stage]];
      add_tree(section, point, trees_.at(point), static_cast<int>(stage), converters);
      const std::size_t from = section.model.edges.size();
      add_links(ask_, converters[stage], static_cast<int>(stage), cases_, section.model);
      section.runs.resize(section.model.edges.size(), no_run);
      section.meanings.resize(section.model.edges.size());
      for (std::size_t e = from; e < section.runs.size(); ++e) section.meanings[e] = {{}};
    }
    drop_hopeless(section);
    return section;
  }

  /// The runs of one tree with what hangs on them; converters that begin a stage are listed.
  void add_tree(Section& section, std::size_t root, std::vector<std::size_t> runs, int stage,
                std::vector<std::size_t>& converters) const {
    FeederModel& model = section.model;
    order(runs);
    std::map<std::size_t, int> edge_of_run, edge_at_point;
    for (const std::size_t run : runs) {
      const RunElements& elements = compiled_.runs()[run];
      const int parent =
          parents_[run] < 0 ? -1 : edge_of_run[static_cast<std::size_t>(parents_[run])];
      int home = parent;
      if (elements.return_to && *elements.return_to != elements.from) {
        const auto found = edge_at_point.find(*elements.return_to);
        if (*elements.return_to == root) {
          home = -1;
        } else if (found != edge_at_point.end()) {
          home = found->second;
        } else {
          section.whole = false;  // it lands outside this tree
        }
      }
      const int edge = static_cast<int>(section.runs.size());
      // A second way to a point is a loop: the tree leaves it out, its current is as solved.
      const bool first_way = edge_at_point.emplace(elements.to, edge).second;
      edge_of_run[run] = edge;
      add_edge(section, run, parent, home, stage, fixed_a(run, !first_way));
      if (!first_way) {
        section.whole = false;
        continue;
      }
      add_draws(ask_, elements.to, edge, stage, cases_, model);
      const PointNodes& to = compiled_.points()[elements.to];
      if (to.kind == PointKind::converter && begins_stage(elements.to) &&
          run_to(elements.to) == run) {
        add_stage(ask_, to.index, cases_, model);
        converters.push_back(to.index);
      }
      if (stage < 0 && alone(root)) add_controllers(elements.to, edge, model);
    }
  }

  void order(std::vector<std::size_t>& runs) const {
    const auto depth = [&](std::size_t run) {
      int steps = 0;
      while (parents_[run] >= 0) {
        run = static_cast<std::size_t>(parents_[run]);
        ++steps;
      }
      return steps;
    };
    std::stable_sort(runs.begin(), runs.end(),
                     [&](std::size_t a, std::size_t b) { return depth(a) < depth(b); });
  }

  void set_root(Section& section, std::size_t root) const {
    FeederModel& model = section.model;
    const PointNodes& where = compiled_.points()[root];
    section.whole = alone(root);
    for (const std::size_t c : cases_) {
      if (section.whole) {
        const BankInputs& bank = ask_.solved.inputs[c].banks[where.index];
        model.emf_v.push_back(bank.emf_v);
        model.source_ohm.push_back(bank.resistance_ohm);
      } else {
        const PointVolts& volts = ask_.solved.results[c].points[root];
        model.emf_v.push_back(where.kind == PointKind::converter ? volts.out_voltage_v
                                                                 : volts.voltage_v);
        model.source_ohm.push_back(0.0);
      }
    }
    if (!section.whole) return;
    // What the bank feeds at its own terminals.
    FeederDraw standby;
    standby.power_w.assign(model.cases, 0.0);
    standby.conductance_s.assign(model.cases, 0.0);
    standby.current_a.assign(model.cases, compiled_.system().banks[where.index].standby_a);
    model.draws.push_back(std::move(standby));
  }

  /// Array controllers draw a little at the point their own run ends at.
  void add_controllers(std::size_t point, int edge, FeederModel& model) const {
    for (const RunElements& run : compiled_.runs()) {
      const PointNodes& from = compiled_.points()[run.from];
      if (!run.connected || from.kind != PointKind::array || run.to != point) continue;
      FeederDraw controller;
      controller.edge = edge;
      controller.power_w.assign(model.cases,
                                compiled_.system().arrays[from.index].controller_standby_w);
      controller.current_a.assign(model.cases, 0.0);
      controller.conductance_s.assign(model.cases, 0.0);
      model.draws.push_back(std::move(controller));
    }
  }

  /// Limits that the best wire everywhere cannot meet would spoil the choice for all others: they
  /// are left out and told.
  static void drop_hopeless(Section& section) {
    section.hopeless = hopeless_draws(section.model);
    for (const std::size_t k : section.hopeless) {
      section.model.draws[k].drop_limit_v = unlimited;
      section.model.draws[k].lowest_v = 0.0;
    }
  }

  const SectionAsk& ask_;
  const CompiledSystem& compiled_;
  const std::vector<int> parents_;
  std::vector<std::size_t> cases_, charging_;
  std::vector<char> resistive_;        ///< [run] a resistance somewhere behind it
  std::vector<std::size_t> point_of_;  ///< of each converter
  std::map<std::size_t, std::vector<std::size_t>> trees_{};  ///< runs by the point they start at
};

}  // namespace

std::vector<Section> make_sections(const SectionAsk& ask) {
  return Maker(ask).make();
}

}  // namespace nightbus::wiring_detail
