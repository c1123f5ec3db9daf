/// Choose, solve, choose again.
///
///   1  The network with the thickest wire everywhere. Each feeder, with the stages behind its
///      converters, is chosen exactly, and the sum of the values is a bound.
///   2  The network is solved with what was chosen; what lies outside a feeder's own model
///   (currents
///      while charging) is brought up to date, and each feeder chosen again, unless it asks no less
///      than before and its plan still keeps every limit. Now devices are chosen on these sizes.
///   3  When the choice stays, or costs no more than the bound, the network's solution is held
///      against every limit once more. Should it break one by a hair that the model did not see,
///      limits are tightened by that hair.
///
#include "wiring/choose_exact.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "wiring/section_again.hpp"

namespace nightbus::wiring_detail {

namespace {

constexpr int most_rounds = 10;

bool breaks_a_drop(const std::vector<EndVolts>& ends, const std::vector<EndVolts>& kindest,
                   double share, double& excess) {
  excess = 0.0;
  for (std::size_t k = 0; k < ends.size(); ++k) {
    if (ends[k].limit_ratio <= 0.0) continue;
    const double limit = ends[k].limit_ratio * share;
    if (kindest[k].drop_ratio > limit * (1.0 + 1e-9)) continue;  // told, not chosen for
    excess = std::max(excess, ends[k].drop_ratio / limit);
  }
  return excess > 1.0 + 1e-9;
}

class Chooser {
 public:
  explicit Chooser(const ExactAsk& ask) : ask_(ask) {}

  ExactChoice run() {
    ExactChoice best{solve_all(ask_.start, ask_.cases, ask_.options.conditions),
                     {},
                     size_options(ask_.start),
                     {},
                     false,
                     false,
                     {}};
    sizes_ = &best.sizes;
    const std::vector<EndVolts> kindest = ends_of(best.solved);
    Solved state = best.solved;
    facts_.solves = ask_.cases.size();
    double tighten = 1.0;
    std::vector<RunChoice> before;
    best.contexts = run_contexts(state);
    for (int round = 1; round <= most_rounds; ++round) {
      facts_.rounds = round;
      std::vector<Picked> picked;
      if (!choose_sections(state, best.contexts, tighten, round == 1, picked)) {
        best.facts = facts_;
        return best;  // nothing below the cut-off
      }
      // With the thickest wire everywhere faults are not what they will be: sizes first.
      if (round > 1) {
        choose_devices(section_ask(state, best.contexts, tighten), picked, facts_.labels);
      }
      const std::vector<RunChoice> choices = laid(state.compiled, picked);
      const bool same = choices == before;
      const bool sizes_stay =
          std::equal(choices.begin(), choices.end(), before.begin(), before.end(),
                     [](const RunChoice& a, const RunChoice& b) { return a.size == b.size; });
      before = choices;
      if (!same) {
        state =
            solve_all(state.compiled.with_choices(choices), ask_.cases, ask_.options.conditions);
        facts_.solves += ask_.cases.size();
        best.contexts = run_contexts(state);
        best.solved = state;
      }
      best.picked = picked;
      double excess = 0.0;
      if (round == 1) continue;  // devices are still to be chosen
      const bool drops = breaks_a_drop(ends_of(state), kindest, ask_.share, excess);
      const bool passes = !drops && passes_alone(best);
      best.feasible = passes;
      // Devices alone may go to and fro for ever between two that are as good.
      if (passes && (same || sizes_stay)) break;
      if (passes && proven_ && whole_ && closed(value_of(best), facts_.bound)) break;
      if (same) tighten *= drops ? std::min(1.0 - 1e-6, 1.0 / excess) : 1.0 - 1e-4;
    }
    best.everything = best.feasible && !left_out_ &&
                      std::none_of(best.picked.begin(), best.picked.end(),
                                   [](const Picked& picked_run) { return picked_run.last_resort; });
    facts_.value = value_of(best);
    best.facts = facts_;
    prove(best, tighten);
    return best;
  }

 private:
  SectionAsk section_ask(const Solved& state, const std::vector<RunContext>& contexts,
                         double tighten) const {
    return {state,      contexts, *sizes_, ask_.devices, ask_.weights,
            ask_.share, tighten,  false,   {},           &limits_};
  }

  /// Only the sizes that may be taken now.
  void cut_to_allowed(Section& section) const {
    if (ask_.allowed.empty()) return;
    for (std::size_t e = 0; e < section.runs.size(); ++e) {
      if (section.runs[e] == no_run) continue;
      const auto& allowed = ask_.allowed[section.runs[e]];
      std::erase_if(section.model.edges[e].options, [&](const FeederOption& option) {
        return !allowed[section.meanings[e][option.tag].size];
      });
    }
  }

  bool choose_sections(const Solved& state, const std::vector<RunContext>& contexts, double tighten,
                       bool first_round, std::vector<Picked>& picked) {
    picked.assign(contexts.size(), {});
    double value = 0.0;
    double bound = 0.0;
    proven_ = whole_ = true;
    left_out_ = false;
    std::vector<ChosenSection> chosen;
    for (Section& section : make_sections(section_ask(state, contexts, tighten))) {
      cut_to_allowed(section);
      left_out_ = left_out_ || !section.hopeless.empty();
      FeederSearch search;
      search.most_labels = 400'000;
      search.most_branches = ask_.options.most_branches;
      if (ask_.cut_off < unlimited) search.cut_off = ask_.cut_off - value;
      const std::size_t which = chosen.size();
      FeederChoice choice;
      const Standing standing =
          which < before_.size() ? standing_of(section, before_[which], choice) : Standing::lost;
      if (standing == Standing::holds) {
        search.cut_off = std::min(search.cut_off, choice.value);
        FeederChoice better = choose_feeder(section.model, search);
        if (better.feasible) {
          choice = std::move(better);
        } else if (!better.proven) {
          choice.proven = false;
          choice.bound = std::min(choice.bound, better.bound);
        }
      } else if (standing == Standing::lost) {
        choice = choose_feeder(section.model, search);
        if (!choice.feasible && ask_.cut_off < unlimited) return false;
        if (!choice.feasible) choice = ease(section, search);
      }
      facts_.branches += choice.branches;
      facts_.labels += choice.labels;
      whole_ = whole_ && section.whole;
      proven_ = proven_ && choice.proven;
      value += choice.value;
      for (std::size_t e = 0; e < section.runs.size(); ++e) {
        if (section.runs[e] == no_run) continue;
        const FeederOption& option = section.model.edges[e].options[choice.option[e]];
        const OptionMeaning& meaning = section.meanings[e][option.tag];
        picked[section.runs[e]] = {meaning.size, meaning.device, meaning.last_resort};
      }
      if (first_round) bound += bound_of(section, choice, search);
      chosen.push_back({std::move(section), std::move(choice)});
    }
    before_ = std::move(chosen);
    if (first_round) facts_.bound = bound;
    return true;
  }

  /// No plan is lighter than this on the section. A run that stands alone (a spare, a charger's)
  /// sees the fault level that other runs leave: with the thickest wire everywhere it is no bound
  /// for it.
  static double bound_of(const Section& section, const FeederChoice& choice,
                         const FeederSearch& search) {
    if (!section.whole) return least_value(section);
    if (section.model.cases > 0) return choice.bound;
    FeederModel calm = section.model;
    calm.highest_emf_v = 0.0;
    return std::min(choice.bound, choose_feeder(calm, search).bound);
  }

  /// What the thinnest options cost, where the model is not the whole truth.
  static double least_value(const Section& section) {
    double total = 0.0;
    for (const FeederEdge& edge : section.model.edges) {
      double least = unlimited;
      for (const FeederOption& option : edge.options) least = std::min(least, option.value);
      total += least;
    }
    return total;
  }

  /// No plan keeps everything at once: limits go, the drops first, until one does.
  FeederChoice ease(Section& section, const FeederSearch& search) {
    left_out_ = true;
    FeederModel& model = section.model;
    for (FeederDraw& draw : model.draws) draw.drop_limit_v = unlimited, draw.lowest_v = 0.0;
    FeederChoice choice = choose_feeder(model, search);
    if (choice.feasible) return choice;
    for (FeederEdge& edge : model.edges) {
      for (FeederOption& option : edge.options) {
        option.needs_fault_a = 0.0;
        option.breaks_a = unlimited;
      }
    }
    choice = choose_feeder(model, search);
    if (choice.feasible) return choice;
    // Not even the currents fit: the last option of every edge, the thickest.
    for (FeederEdge& edge : model.edges) {
      edge.options = {edge.options.back()};
      edge.options.front().carries_a = unlimited;
    }
    choice.option.assign(model.edges.size(), 0);
    choice.value = choice.bound = 0.0;
    for (const FeederEdge& edge : model.edges) choice.value += edge.options.front().value;
    return choice;
  }

  std::vector<RunChoice> laid(const CompiledSystem& compiled,
                              const std::vector<Picked>& picked) const {
    std::vector<RunChoice> choices = compiled.choices();
    for (std::size_t i = 0; i < choices.size(); ++i) {
      choices[i].size = (*sizes_)[i][picked[i].size].size;
      choices[i].fuse_form = picked[i].device ? picked[i].device->form : std::string{};
      choices[i].fuse_a.reset();
      if (picked[i].device) choices[i].fuse_a = picked[i].device->rating_a;
    }
    return choices;
  }

  /// The checks of each run on the network's own currents and faults.
  bool passes_alone(const ExactChoice& choice) const {
    for (std::size_t i = 0; i < choice.picked.size(); ++i) {
      const RunContext& context = choice.contexts[i];
      if (choice.picked[i].last_resort || context.run->size) continue;
      const ConductorSize& size = choice.sizes[i][choice.picked[i].size].size;
      const Conductor& conductor =
          conductor_for(*context.system, *context.catalogue, *context.run, size);
      const auto judged = judge_conductor(context, conductor, nullptr);
      if (!judged.fits) return false;
      if (!ask_.devices || !choice.picked[i].device) continue;
      if (!ask_.devices->passes(context, conductor, judged.ampacity_a, *choice.picked[i].device)) {
        return false;
      }
    }
    return true;
  }

  double value_of(const ExactChoice& choice) const {
    double value = 0.0;
    for (std::size_t i = 0; i < choice.picked.size(); ++i) {
      const RunContext& context = choice.contexts[i];
      const ConductorSize& size = choice.sizes[i][choice.picked[i].size].size;
      const Conductor& out = conductor_for(*context.system, *context.catalogue, *context.run, size);
      const Conductor& back = context.run->return_size
                                  ? conductor_for(*context.system, *context.catalogue, *context.run,
                                                  *context.run->return_size)
                                  : out;
      value += ask_.weights.per_kg * metal_kg(*context.run, out, back) +
               ask_.weights.per_money * cost_of(*context.system, *context.run, size,
                                                context.run->return_size.value_or(size));
    }
    return value;
  }

  static bool closed(double value, double bound) {
    return value - bound <= 1e-9 * std::max(1.0, std::abs(value));
  }

  void prove(ExactChoice& choice, double tighten) const {
    Optimality& facts = choice.facts;
    facts.proven = closed(facts.value, facts.bound) && proven_ && whole_ && choice.feasible;
    if (facts.proven) return;
    if (!choice.feasible) {
      facts.note = "no plan keeps every limit; what can be kept is kept";
    } else if (!whole_) {
      facts.bound = std::min(facts.bound, facts.value);
      facts.note =
          "loops, several sources or a converter out of regulation: chosen on one tree of them, "
          "verified on the network";
    } else if (!proven_) {
      facts.note = "the search stopped at its limit of work";
    } else if (tighten < 1.0) {
      facts.note = "limits were tightened a little to hold on the network's own solution";
    } else {
      facts.note = "what flows while charging depends on the plan; the bound is at its least";
    }
  }

  const ExactAsk& ask_;
  const std::vector<std::vector<SizeOption>>* sizes_ = nullptr;
  Optimality facts_;
  mutable KnownLimits limits_;
  std::vector<ChosenSection> before_;  ///< sections of the last round
  bool proven_ = true, whole_ = true, left_out_ = false;
};

}  // namespace

ExactChoice choose_exact(const ExactAsk& ask) {
  return Chooser(ask).run();
}

std::vector<RunChoice> choices_of(const ExactChoice& choice) {
  return choice.solved.compiled.choices();
}

}  // namespace nightbus::wiring_detail
