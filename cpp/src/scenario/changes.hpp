#pragma once
/// Private: one thing that may be altered, and what is still wrong with a plan.

#include <functional>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "nightbus/scenario_changes.hpp"

namespace nightbus::changes_detail {

/// A change of a description that has one amount.
struct Attempt {
  ChangeKind kind = ChangeKind::shorten;
  std::string subject;  ///< run or bank
  double from = 0.0;    ///< amount as described
  Dimension dimension = Dimension::number;
  std::vector<double> amounts;    ///< to be tried, the mildest first
  std::optional<double> extreme;  ///< instead: anything from `from` to this
  double grain = 0.0;             ///< of such an amount
  std::function<void(System&, double)> make;
  /// `after` is the plan with the change made, `amount` may be replaced by what it chose.
  std::function<std::string(double& amount, const WiringPlan& after)> words;

  double share(double amount) const;  ///< how large a change it is, 0 to 1
};

using Subject = std::pair<std::string, std::string>;  ///< kind and name: run, mast feeder
/// Checks that are failed, by their codes.
using Failures = std::map<Subject, std::set<std::string>>;
Failures failures_of(const WiringPlan& plan);
std::size_t count(const Failures& failures);

/// Runs between each failing subject and its source, nearest the subject first.
std::map<Subject, std::vector<std::size_t>> ways_of(const System& system,
                                                    const Catalogue& catalogue,
                                                    const WiringPlan& plan,
                                                    const Failures& failures);

/// Everything that could help against these failures.
std::vector<Attempt> attempts_for(const System& system, const Catalogue& catalogue,
                                  const WiringPlan& plan, const Failures& failures);

// What the file gives for a run: leaving it to the plan, and how the plan then differs.
bool has_given(const Run& run);
void free_given(Run& run);
std::optional<Change> chosen_anew(const Run& given, const RunPlan& after);

// By kind; each adds what applies to the run.
void add_device(const System& system, const Catalogue& catalogue, std::size_t run,
                const WiringPlan& plan, std::vector<Attempt>& all);
void add_route(const System& system, std::size_t run, std::vector<Attempt>& all);
void add_surroundings(const System& system, std::size_t run, const WiringPlan& plan,
                      std::vector<Attempt>& all);
void add_copper(const System& system, const Catalogue& catalogue, std::size_t run,
                std::vector<Attempt>& all);
void add_load(const System& system, std::size_t run, std::vector<Attempt>& all);
void add_voltage(const System& system, std::vector<Attempt>& all);

}  // namespace nightbus::changes_detail
