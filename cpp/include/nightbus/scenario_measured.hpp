#pragma once
/// As measured: meter readings against the plan, and what differs if something does.
///
/// ```cpp
/// std::vector<Reading> readings = read_readings("readings.csv");
/// Measured answer = as_measured(plan, Catalogue::builtin(), "bank at rest", readings);
/// answer.healthy;              // the plan explains the readings
/// answer.suspects.front();     // else: what explains them best, with its interval
/// for (const std::string& line : answer.sentences) ...
/// ```

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "nightbus/network_system.hpp"
#include "nightbus/scenario.hpp"

namespace nightbus {

enum class ReadingKind {
  volts,  ///< between the two terminals of a point
  drop,   ///< lost along a run, out and back: + to + and - to - added
  amps,   ///< through a run (from → to), load, fan or bank (out of it)
};
std::string_view reading_kind_name(ReadingKind kind);  ///< "volts", "drop", "amps"

struct Reading {
  ReadingKind kind = ReadingKind::volts;
  std::string at;      ///< point, run or device
  double value = 0.0;  ///< V or A
  double sigma = 0.0;  ///< standard deviation of the meter, > 0, same unit
  Span where;          ///< its line in the file
};

/// Standard deviation of "0.5 % + 2 digits" as the trade states a meter: `ratio` of the reading
/// plus `digits` steps of its last place.
double meter_sigma(double value, double ratio, double digits, double step);

/// A table with the header `kind,at,value,accuracy`:
///
///   volts,router,12.31 V,0.5 % + 2 digits      drop,router feed,84.2 mV,1 mV
///
/// The digit is the last place the value is written with. Lines that start with # are skipped.
/// Throws InputError with every problem of the table.
std::vector<Reading> parse_readings(const SourceText& text);
std::vector<Reading> read_readings(const std::string& path);

enum class SuspectKind {
  joint,  ///< ohms in a run beyond the plan, as a bad crimp adds
  run,    ///< conductor longer or thinner (or shorter, thicker): share of its resistance to add
  load,   ///< draws more or less: share of its planned draw to add
};
std::string_view suspect_kind_name(SuspectKind kind);  ///< "joint", "run", "load"

struct Suspect {
  SuspectKind kind = SuspectKind::joint;
  std::string subject;           ///< run, load or fan
  double estimate = 0.0;         ///< Ω for a joint; a share (0.3: 30 % more) else
  double low = 0.0, high = 0.0;  ///< 95 % interval
};

/// One explanation: one suspect, or two at once.
struct Explanation {
  std::vector<Suspect> suspects;
  double chi_square = 0.0;   ///< left when it is granted
  double drop = 0.0;         ///< what it takes away from the plan's
  double probability = 0.0;  ///< of a chi-square at least this large if the explanation is right
  std::vector<double> predicted;  ///< the readings it foretells
};

struct NextReading {
  ReadingKind kind = ReadingKind::volts;
  std::string at;                    ///< point or run
  double first = 0.0, second = 0.0;  ///< foretold by the best explanation and by its best rival
  double sigma = 0.0;                ///< of an ordinary meter there
  double parting() const;            ///< |first − second| / sigma
};

/// What an ordinary healthy system may differ by, as standard deviations. The three spreads have no
/// source: they are ours, told with every answer, and to be replaced by whoever knows better.
struct MeasuredOptions {
  double level = 0.01;         ///< of the test: chance to accuse a healthy system
  double bank_sigma_v = 0.2;   ///< EMF against the case's: nobody knows the charge exactly
  double load_spread = 0.05;   ///< of each draw against the plan, relative
  double run_spread = 0.02;    ///< of each conductor's resistance, relative (warmth, length)
  double meter_ratio = 0.005;  ///< ordinary meter, for the next reading
  double meter_digits = 2.0;
};

struct Measured {
  SolveStatus status = SolveStatus::not_converged;  ///< of the plan in this case
  bool healthy = false;                             ///< readings and plan agree
  std::vector<double> planned;                      ///< what the plan foretells for each reading
  double chi_square = 0.0;                          ///< of the plan as drawn
  std::size_t readings = 0;                         ///< degrees of freedom
  double probability = 0.0;  ///< of a chi-square at least this large in a healthy system
  std::vector<Explanation> explanations;  ///< best first; none when healthy
  std::size_t alike = 0;            ///< the first so many cannot be told apart by these readings
  bool explained = false;           ///< the best one passes the same test
  std::vector<std::string> unseen;  ///< "run", "load" … these readings say nothing about
  std::optional<NextReading> next;  ///< what to measure; empty: nothing would tell more
  MeasuredOptions assumed;          ///< the spreads that were granted
  std::vector<std::string> assumptions;  ///< the same in words
  std::vector<std::string> sentences;    ///< the answer in words
  std::vector<Finding> findings;
};

/// Against one case of a plan, in its air and with its fan steps. Throws LookupError when the plan
/// has no such case, InputError as below.
Measured as_measured(const Plan& plan, const Catalogue& catalogue, std::string_view case_name,
                     const std::vector<Reading>& readings, const MeasuredOptions& options = {});

/// Throws InputError when a reading names nothing that can be measured so, or has no accuracy.
Measured as_measured(const CompiledSystem& compiled, const CaseInputs& inputs,
                     const std::vector<Reading>& readings, const MeasuredOptions& options = {});

/// `"format": 1`; keys are the names of the members, units are SI.
std::string measured_json(const Measured& measured, const std::vector<Reading>& readings,
                          int indent = 1);

/// Chance that a chi-square of so many degrees of freedom is at least `value`.
double chi_square_beyond(double value, std::size_t freedom);

}  // namespace nightbus
