/// The smallest set of changes, by planning again.
///
///   F(s)  checks that the plan of system s fails       wanted: c with F(c(s)) = {}
///
/// A change c helps when it fails nothing new and |F(c(s))| < |F(s)|. Of a change with an amount
/// the least that does is found by bisection. If no single change ends it, the mildest that helps
/// is made, as far as it helps, and the search goes on from there.
///
/// While searching, runs off the ways of what fails keep the size and device of the plan: then few
/// runs are chosen at a time. A plan of the whole with more freedom can only be easier to make, and
/// each set that is handed out was planned so, with the air that its own heat makes.

#include "scenario/changes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "nightbus/protection.hpp"

namespace nightbus {

using namespace changes_detail;

namespace {

constexpr std::size_t most_plans = 300;  // of parts, while searching
constexpr std::size_t most_ways = 8;
constexpr std::size_t most_changes = 6;  // in one set

class Search {
 public:
  Search(const Catalogue& catalogue, const PlanOptions& options)
      : catalogue_(catalogue), options_(options) {
    quick_ = options.wiring;
    quick_.size_ups = false;
    quick_.trade_off_points = 0;
    quick_.explain = true;
  }

  std::vector<ChangeSet> sets(const System& system) {
    const WiringPlan plan = planned(system);  // with every check told
    const Failures failures = failures_of(plan);
    std::vector<ChangeSet> found;
    if (failures.empty()) return found;
    const auto keep = [&](std::optional<ChangeSet> set) {
      if (!set || set->changes.empty()) return;
      for (const auto& [subject, codes] : failures) {
        set->mends.push_back(subject.first + " " + subject.second);
      }
      found.push_back(std::move(*set));
    };
    keep(anew(system, failures));
    if (found.empty() || found.front().changes.size() == 1) {
      for (const Step& step : singles(system, plan, failures)) {
        if (found.size() < most_ways) keep(settled(system, step));
      }
    }
    if (found.empty()) keep(finish(system, {}, std::nullopt));
    std::stable_sort(found.begin(), found.end(), [](const ChangeSet& a, const ChangeSet& b) {
      return a.changes.size() < b.changes.size();
    });
    return found;
  }

 private:
  struct Step {
    Attempt attempt;
    double amount = 0.0;
    std::size_t left = 0;  // failures after it
    WiringPlan after;
    double effort() const { return static_cast<double>(attempt.kind) + attempt.share(amount); }
  };

  static System held(const System& system, const WiringPlan& plan,
                     const std::set<std::size_t>& open) {
    const System wired = wired_system(system, plan);
    System part = system;
    for (std::size_t k = 0; k < part.runs.size(); ++k) {
      if (!open.contains(k)) part.runs[k] = wired.runs[k];
    }
    return part;
  }

  WiringPlan planned(const System& part) {
    ++plans_;
    return plan_wiring(part, catalogue_, quick_, options_.protection);
  }

  // Fails nothing new, and fewer in sum.
  static bool helps(const Failures& before, const Failures& after) {
    for (const auto& [subject, codes] : after) {
      const auto found = before.find(subject);
      if (found == before.end() || codes.size() > found->second.size()) return false;
    }
    return count(after) < count(before);
  }

  static bool within(const Failures& after, const Failures& allowed) {
    return std::all_of(after.begin(), after.end(), [&](const auto& each) {
      const auto found = allowed.find(each.first);
      return found != allowed.end() && std::includes(found->second.begin(), found->second.end(),
                                                     each.second.begin(), each.second.end());
    });
  }

  std::optional<Step> tried(const System& part, const Failures& before, const Attempt& attempt,
                            double amount) {
    if (plans_ >= most_plans) return std::nullopt;
    System changed = part;
    attempt.make(changed, amount);
    WiringPlan after = planned(changed);
    const Failures left = failures_of(after);
    if (!helps(before, left)) return std::nullopt;
    return Step{attempt, amount, count(left), std::move(after)};
  }

  /// The least amount that leaves no more than `goal`; nothing when none does.
  std::optional<Step> least(const System& part, const Failures& before, const Attempt& attempt,
                            std::size_t goal) {
    const auto enough = [&](double amount) {
      std::optional<Step> step = tried(part, before, attempt, amount);
      if (step && step->left > goal) step.reset();
      return step;
    };
    // Whole grains from `from` towards the extreme, or places in the list: `bad` of them are too
    // few, `good` are enough. More helps more.
    const double sign = attempt.extreme.value_or(0.0) > attempt.from ? 1.0 : -1.0;
    const double span = std::abs(attempt.extreme.value_or(attempt.from) - attempt.from);
    const auto amount_of = [&](double grains) {
      return attempt.extreme ? attempt.from + sign * grains * attempt.grain
                             : attempt.amounts[static_cast<std::size_t>(grains) - 1];
    };
    double bad = 0.0;
    double good = attempt.extreme ? std::floor(span / attempt.grain)
                                  : static_cast<double>(attempt.amounts.size());
    std::optional<Step> best = enough(amount_of(good));
    while (best && good - bad > 1.0) {
      const double middle = std::floor(0.5 * (good + bad));
      if (std::optional<Step> step = enough(amount_of(middle))) {
        best = std::move(step);
        good = middle;
      } else {
        bad = middle;
      }
    }
    return best;
  }

  /// What is altered at the ways of what fails, with everything else held, and the attempts, the
  /// mildest kinds first.
  struct Scene {
    System part;
    Failures before;
    std::vector<Attempt> attempts;
  };
  Scene scene(const System& system, const WiringPlan& plan, const Failures& failures) {
    std::set<std::size_t> open;
    for (const auto& [subject, way] : ways_of(system, catalogue_, plan, failures)) {
      open.insert(way.begin(), way.end());
    }
    Scene made{held(system, plan, open), {}, {}};
    made.before = failures_of(planned(made.part));
    made.attempts = attempts_for(system, catalogue_, plan, made.before);
    std::stable_sort(made.attempts.begin(), made.attempts.end(),
                     [](const Attempt& a, const Attempt& b) { return a.kind < b.kind; });
    return made;
  }

  /// Every change that ends it alone, the smallest first.
  std::vector<Step> singles(const System& system, const WiringPlan& plan,
                            const Failures& failures) {
    const Scene at = scene(system, plan, failures);
    std::vector<Step> steps;
    for (const Attempt& attempt : at.attempts) {
      if (std::optional<Step> step = least(at.part, at.before, attempt, 0)) {
        steps.push_back(std::move(*step));
      }
    }
    std::stable_sort(steps.begin(), steps.end(),
                     [](const Step& a, const Step& b) { return a.effort() < b.effort(); });
    return steps;
  }

  /// The mildest change that helps at all, as far as it helps.
  std::optional<Step> mildest(const System& system, const WiringPlan& plan,
                              const Failures& failures) {
    const Scene at = scene(system, plan, failures);
    for (const Attempt& attempt : at.attempts) {
      const double most =
          attempt.extreme.value_or(attempt.amounts.empty() ? 0.0 : attempt.amounts.back());
      const std::optional<Step> step = tried(at.part, at.before, attempt, most);
      if (step) return least(at.part, at.before, attempt, step->left);
    }
    return std::nullopt;
  }

  /// What the file gives left to the plan, all of it at first; then each given thing that may stay
  /// as it is put back.
  std::optional<ChangeSet> anew(const System& system, const Failures& failures) {
    std::set<std::size_t> open;
    for (std::size_t run = 0; run < system.runs.size(); ++run) {
      if (has_given(system.runs[run])) open.insert(run);
    }
    if (open.empty()) return std::nullopt;
    System freed = system;
    for (const std::size_t run : open) free_given(freed.runs[run]);
    const std::optional<WiringPlan> whole_freed = whole(freed);
    if (!whole_freed) return std::nullopt;
    const WiringPlan& after = *whole_freed;
    const Failures left = failures_of(after);
    if (count(left) >= count(failures)) return std::nullopt;
    System fixed = wired_system(freed, after);  // nothing left to choose: quick to check
    for (const std::size_t run : open) freed.runs[run] = fixed.runs[run];
    Failures allowed = failures_of(planned(fixed));
    for (const auto& [subject, codes] : left) allowed[subject].insert(codes.begin(), codes.end());
    const auto put_back = [&](std::size_t run, bool size, bool device) {
      Run tried = fixed.runs[run];
      if (size) tried.size = system.runs[run].size;
      if (size) tried.return_size = system.runs[run].return_size;
      if (device) tried.fuse_a = system.runs[run].fuse_a;
      if (device) tried.fuse_form = system.runs[run].fuse_form;
      std::swap(fixed.runs[run], tried);
      if (within(failures_of(planned(fixed)), allowed)) {
        freed.runs[run] = fixed.runs[run];
        return true;
      }
      std::swap(fixed.runs[run], tried);
      return false;
    };
    for (const std::size_t run : open) {
      const Run& given = system.runs[run];
      if (plans_ >= most_plans || put_back(run, true, true)) continue;
      if (given.size && (given.fuse_a || !given.fuse_form.empty()) && !put_back(run, false, true)) {
        put_back(run, true, false);
      }
    }
    return finish(system, open, std::nullopt, freed);
  }

  /// One change alone, planned as a whole. The air that its own plan makes may ask for some grains
  /// more than the search found with the air of the plan that failed.
  std::optional<ChangeSet> settled(const System& system, Step step) {
    const double towards = step.attempt.extreme.value_or(step.amount);
    const double sign = towards > step.attempt.from ? 1.0 : -1.0;
    for (const double grains : {0.0, 1.0, 2.0, 5.0}) {
      step.amount += sign * grains * step.attempt.grain;
      if (sign * (towards - step.amount) < 0.0) break;
      std::optional<ChangeSet> set = finish(system, {}, step, std::nullopt, 1);
      if (set || !step.attempt.extreme) return set;
    }
    return std::nullopt;
  }

  /// Makes the first step, if there is one, and goes on until nothing fails; nothing when that
  /// cannot be had. `freed`: the system with what its file gives for the runs of `open` taken back.
  std::optional<ChangeSet> finish(const System& system, const std::set<std::size_t>& open,
                                  const std::optional<Step>& first,
                                  const std::optional<System>& freed = {},
                                  std::size_t most = most_changes) {
    System changed = freed ? *freed : system;
    ChangeSet set;
    const auto take = [&](const Step& step) {
      double amount = step.amount;
      Change change;
      change.words = step.attempt.words(amount, step.after);
      change.kind = step.attempt.kind;
      change.run = step.attempt.subject;
      change.from = step.attempt.from;
      change.amount = amount;
      change.dimension = step.attempt.dimension;
      step.attempt.make(changed, step.amount);
      set.changes.push_back(std::move(change));
    };
    if (first) take(*first);
    while (true) {
      const std::optional<WiringPlan> plan = whole(changed);
      if (!plan) return std::nullopt;
      const Failures left = failures_of(*plan);
      if (left.empty() && plan->feasible) {
        tell_given(system, open, *plan, set);
        set.metal_kg = plan->metal_kg;
        return set;
      }
      if (set.changes.size() >= most || plans_ >= most_plans) return std::nullopt;
      const std::optional<Step> step = mildest(changed, *plan, left);
      if (!step) return std::nullopt;
      take(*step);
    }
  }

  /// As warm as a plan reckons with: rounded up to half a kelvin.
  static CaseConditions rounded_up(CaseConditions conditions) {
    for (auto& [name, air] : conditions.by_case) {
      for (double& temp_c : air.compartment_c) temp_c = 0.5 * std::ceil(2.0 * temp_c);
    }
    return conditions;
  }

  /// The plan of the whole with the air that it makes, which the search reckons with from then on;
  /// nothing when a change describes what the
  /// reader's own checks refuse.
  std::optional<WiringPlan> whole(const System& changed) {
    PlanOptions options = options_;
    options.energy = false;
    options.margins = false;
    options.wiring.changes = false;
    options.wiring.size_ups = false;
    options.wiring.trade_off_points = 0;
    options.wiring.explain = true;
    try {
      Plan plan = make_plan(changed, catalogue_, options);
      quick_.conditions = rounded_up(std::move(plan.conditions));
      return std::move(plan.wiring);
    } catch (const InputError&) {
      return std::nullopt;
    }
  }

  /// What was given and is another thing now stands before all else.
  void tell_given(const System& system, const std::set<std::size_t>& open, const WiringPlan& plan,
                  ChangeSet& set) const {
    std::vector<Change> anew;
    for (const std::size_t run : open) {
      const Run& given = system.runs[run];
      std::optional<Change> change = chosen_anew(given, plan.runs[run]);
      if (!change) continue;
      if (change->dimension == Dimension::area) {
        change->from = conductor_for(system, catalogue_, given, *given.size).area_mm2;
      }
      anew.push_back(std::move(*change));
    }
    set.changes.insert(set.changes.begin(), anew.begin(), anew.end());
  }

  const Catalogue& catalogue_;
  const PlanOptions& options_;
  WiringOptions quick_;
  std::size_t plans_ = 0;
};

}  // namespace

std::vector<ChangeSet> find_changes(const System& system, const Catalogue& catalogue,
                                    const WiringPlan& plan, const PlanOptions& options) {
  if (plan.feasible && failures_of(plan).empty()) return {};
  return Search(catalogue, options).sets(system);
}

void tell_changes(Plan& plan) {
  WiringPlan& wiring = plan.wiring;
  if (wiring.ways.empty()) return;
  const ChangeSet& least = wiring.ways.front();
  wiring.changes = least.changes;
  const std::size_t all = least.changes.size();
  // Two changes are told in full; of more, those of the run itself.
  const auto words_for = [&](const Finding& finding) {
    std::string words;
    for (const Change& change : least.changes) {
      if (all > 2 && (finding.subject_kind != "run" || change.run != finding.subject)) continue;
      words += (words.empty() ? "" : "; and ") + change.words;
    }
    if (all == 1) return "The smallest change that mends the plan: " + words + ".";
    if (words.empty())
      return fmt::format("{} changes together mend the plan, see their list.", all);
    return fmt::format("Of the {} changes that together mend the plan: {}.", all, words);
  };
  for (Finding& finding : plan.findings) {
    const bool failed =
        finding.severity == Severity::danger || finding.severity == Severity::warning;
    const std::string subject = finding.subject_kind + " " + finding.subject;
    if (failed && std::find(least.mends.begin(), least.mends.end(), subject) != least.mends.end()) {
      finding.mend = advice(finding) + " " + words_for(finding);
    }
  }
}

}  // namespace nightbus
