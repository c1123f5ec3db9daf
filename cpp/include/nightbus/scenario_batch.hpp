#pragma once
/// Many what-ifs of one system, and which of its figures matter most.
///
/// ```cpp
/// std::vector<WhatIf> asked;
/// for (double watts = 5; watts <= 40; watts += 5)
///   asked.push_back({"router", {{"load.cellular router.typical", watts}}});
/// std::vector<Outcome> answers = what_if(system, Catalogue::builtin(), asked, {});
/// ```
///
/// A path is kind.name.key, as in the file: "load.cellular router.typical", "run.feed 3.length",
/// "bank.house bank.capacity"; [site] and [rules] have no name: "site.temp_hot". Values are in the
/// dimension's inside unit, or texts as an author would write them.
///
/// Row k of an answer depends on what-if k alone: not on threads, not on the others. One that
/// cannot be worked out keeps its own error and spoils no other.

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "nightbus/fields.hpp"
#include "nightbus/scenario.hpp"

namespace nightbus {

// ---- Fields by path

/// Throws LookupError with near misses for a path that is not there.
FieldValue field_at(const System& system, std::string_view path);
/// A number or text as an author writes it, for any kind of field that has one value. Throws
/// LookupError for the path and Error for a value that does not fit.
using NewValue = std::variant<double, std::string, bool>;
void set_field(System& system, std::string_view path, const NewValue& value);
/// Paths of all numbers that were given or are not zero, in the order of the file.
std::vector<std::string> number_paths(const System& system);

// ---- What-ifs

struct FieldChange {
  std::string path;  ///< "load/router/typical" …, as number_paths() gives them
  NewValue value;
};
struct WhatIf {
  std::string name;
  std::vector<FieldChange> changes;
};

/// How much is worked out for each.
enum class Depth {
  cases,  ///< conductors as handed in (or chosen once for the base); cases with their heat:
          ///< milliseconds
  plan,   ///< everything anew: wiring, protection, heat, day and night
};
struct WhatIfOptions {
  Depth depth = Depth::cases;
  PlanOptions plan;                ///< for Depth::plan
  std::vector<RunChoice> choices;  ///< for Depth::cases; empty: those of the base system's plan
  int threads = 0;                 ///< 0: as many as the machine has
};

/// The figures people scan for.
struct Outcome {
  std::string name;
  std::string error;    ///< not empty: could not be worked out, all else is zero
  bool solved = false;  ///< every case has an operating point
  double window_margin_v =
      0.0;  ///< least distance of any device to an end of its window; below 0: out
  std::string window_device, window_case;  ///< that is nearest to its edge, and where
  double highest_drop_ratio = 0.0;         ///< of nominal, at any device
  double bank_a = 0.0;                     ///< largest current out of the first bank
  double typical_w = 0.0;                  ///< drawn from the banks in the mildest typical case
  double loss_w = 0.0;                     ///< of that, lost in cables, converters and bank
  double hottest_margin_k = 0.0;           ///< least distance of any compartment to its limit
  std::string hottest_compartment;
  double hottest_conductor_c = 0.0;  ///< of all runs and cases
  // Depth::plan only
  std::optional<PlanVerdict> verdict;  ///< of a whole plan; else empty
  std::size_t dangers = 0, warnings = 0;
  double metal_kg = 0.0;        ///< of all conductors
  double night_ah = 0.0;        ///< longest night of the year
  double surplus_wh = 0.0;      ///< hardest month
  double charge_sunrise = 0.0;  ///< lowest of all months
};
std::vector<Outcome> what_if(const System& system, const Catalogue& catalogue,
                             const std::vector<WhatIf>& asked, const WhatIfOptions& options = {});
/// The figures of a plan that is at hand.
Outcome outcome_of(const Plan& plan);

/// One field at several values.
std::vector<WhatIf> scan(std::string_view path, const std::vector<double>& values);

// ---- What matters most

enum class Figure {
  window_margin_v,
  highest_drop_ratio,
  bank_a,
  typical_w,
  loss_w,
  hottest_margin_k,
  hottest_conductor_c,
};
std::string_view figure_name(Figure figure);
double figure_of(const Outcome& outcome, Figure figure);

/// How one field moves one figure: the field a step down and a step up, everything else as it is.
struct Influence {
  std::string path;
  double value = 0.0;            ///< of the field now
  double step = 0.0;             ///< inside unit; temperatures 5 K, all else a share of the value
  double low = 0.0, high = 0.0;  ///< figure with the field stepped down, and up
  double swing() const { return high - low; }
  bool breaks = false;  ///< with one of the two no solution exists any more
};
/// Largest swing first. Conductors stay as chosen for the system as it is.
std::vector<Influence> what_matters(const System& system, const Catalogue& catalogue, Figure figure,
                                    const WhatIfOptions& options = {}, double relative_step = 0.1);

}  // namespace nightbus
