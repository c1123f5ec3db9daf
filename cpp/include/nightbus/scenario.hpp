#pragma once
/// The one coupled model: from a description to a plan with its evidence.
///
/// ```cpp
/// Plan plan = make_plan(read_system_file("hut.toml"), Catalogue::builtin());
/// plan.verdict();              // of the whole: never good while a danger stands
/// plan.findings.front();       // worst first
/// plan.wiring.run("feed 3");   // size, device, every reason
/// plan.energy.months[11];      // December
/// std::string text = plan_json(plan);
/// ```
///
/// What depends on what. Air in the compartments follows from the watts lost in them, those from
/// the operating points, these from conductors, fans and bank; conductors from the air. make_plan()
/// goes round until neither sizes nor temperatures change (HeatPlan::rounds says how often):
///
///   wiring ──▶ operating points of all cases ──▶ watts by compartment ──▶ air and fan steps
///     ▲                                                                      │
///     └──────────────────────────────────────────────────────────────────────┘
///   then voltages and sources checked ──▶ day, night and sun ──▶ findings ordered ──▶ verdict
///
/// What-ifs in numbers and what matters most: scenario_batch.hpp.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "nightbus/catalogue.hpp"
#include "nightbus/energy.hpp"
#include "nightbus/finding.hpp"
#include "nightbus/network_system.hpp"
#include "nightbus/protection.hpp"
#include "nightbus/system.hpp"
#include "nightbus/thermal.hpp"
#include "nightbus/wiring.hpp"

namespace nightbus {

// ---- What is asked

struct PlanOptions {
  WiringOptions wiring;  ///< its `conditions` are found by the plan and need not be given
  ProtectionOptions protection;
  bool energy = true;   ///< day, night and sun
  bool margins = true;  ///< multipliers to collapse and to the first device below its window
  /// Offsets of the site's time zone over `year` and a month on either side. Empty: UTC is right,
  /// or the plan takes the whole hour nearest to the sun's time and says so.
  LocalClock clock;
  int year = 2026;               ///< for sun and calendar
  double step_s = 900.0;         ///< of the simulation
  double window_margin = 0.03;   ///< of nominal: nearer than this to a window's edge is a notice
  double collapse_wanted = 1.5;  ///< every load times this must still be carried
  int most_rounds = 12;          ///< of wiring against heat
};

// ---- Heat

/// Watts that end in one compartment, in one case.
struct HeatSources {
  double devices_w = 0.0;     ///< loads and powered devices
  double converters_w = 0.0;  ///< their losses, and chargers and controllers
  double cables_w = 0.0;      ///< conductors, joints, fuses
  double banks_w = 0.0;       ///< in their own resistance
  double fans_w = 0.0;        ///< motors
  double sun_w = 0.0;         ///< on the walls
  double total_w() const { return devices_w + converters_w + cables_w + banks_w + fans_w + sun_w; }
};

/// One compartment in one case.
struct CompartmentCase {
  std::string case_name;
  double outside_c = 20.0;
  HeatSources heat;
  double temp_c = 20.0;         ///< steady, fans by their thermostats
  double fan_step = 0.0;        ///< of its first fan; not whole when two steps alternate
  bool fan_alternates = false;  ///< between two steps
};

struct CompartmentPlan {
  std::string name;
  double limit_c = 45.0;               ///< that its air may reach
  bool held = false;                   ///< conditioned: its temperature does not move
  std::vector<CompartmentCase> cases;  ///< in the order of Plan::cases
  std::size_t hottest = 0;             ///< index into cases
  // In the hottest case:
  std::vector<double> temp_at_step_c;     ///< with its fans held at step 0, 1, 2 …
  std::optional<int> smallest_step;       ///< that keeps the limit
  std::optional<double> needed_flow_m3s;  ///< of air that keeps the limit; none: impossible
  double flow_m3s = 0.0;                  ///< its fans move at their top step, installed
  double fans_off_c = 0.0;                ///< every fan in it standing still
  double margin_k() const { return limit_c - cases[hottest].temp_c; }
};

struct HeatPlan {
  std::vector<CompartmentPlan> compartments;  ///< in the order of System::compartments
  int rounds = 0;                             ///< of wiring against heat until nothing changed
  double last_change_k = 0.0;  ///< largest change of any air temperature in the last round
  bool settled = true;         ///< false: still changing at the last round
};

// ---- Day, night and sun

/// Energy of one consumer or bus over a day (24 h from local noon) and its night, in the month that
/// is hardest on the bank. `at_bank` figures carry their share of cable, converter and standby
/// losses.
struct EnergyShare {
  std::string kind;  ///< "load", "fan", "PoE link", "bus", "converter" (its own standby) …
  std::string name;
  double day_wh = 0.0, night_wh = 0.0;                  ///< at its own terminals
  double day_at_bank_wh = 0.0, night_at_bank_wh = 0.0;  ///< at the bank, losses in
  double day_ah = 0.0, night_ah = 0.0;                  ///< at the bank
};

/// A mean day of one month.
struct MonthPlan {
  int month = 1;            ///< 1 to 12
  double noon_s = 0.0;      ///< UTC of the local noon that the day starts with
  double outside_c = 20.0;  ///< mean of the month
  // The night that follows
  bool polar = false;                                ///< the sun does not set or does not rise
  double sunset_s = 0.0, sunrise_s = 0.0;            ///< UTC
  std::string sunset_local, sunrise_local;           ///< "16:42"
  double night_h = 0.0;                              ///< from sunset to sunrise
  double night_wh = 0.0, night_ah = 0.0;             ///< out of the bank
  double charge_sunset = 1.0, charge_sunrise = 1.0;  ///< state of charge, 0 to 1
  double lowest_v = 0.0;                             ///< between the bank's terminals
  std::optional<double> hours_to_full;               ///< from sunrise
  std::optional<double> days_to_full;                ///< from sunrise
  bool never_full = false;                           ///< within the days that were looked at
  // The whole day
  double load_wh = 0.0;     ///< taken from the bank's bus, all losses in
  double sun_wh = 0.0;      ///< the arrays can give, after their controllers
  double charger_wh = 0.0;  ///< other chargers by their schedule
  /// A vehicle that turns: the same at its worst heading (`sun_wh` is the mean), and which it is.
  std::optional<double> sun_worst_wh, worst_heading_deg;
  double surplus_wh() const { return sun_wh + charger_wh - load_wh; }
  // Without sun and chargers, from the charge at sunset
  std::optional<double> days_to_reserve;  ///< of the bank
  std::optional<double> days_to_dark;     ///< first critical device drops
};

/// The outside air of a year, from the site's design extremes alone.
struct MonthlyAir {
  std::vector<double> mean_c;  ///< of the twelve months, January first
  double swing_k = 0.0;        ///< between night and day
};
MonthlyAir monthly_air(const Site& site);

struct EnergyPlan {
  bool done = false;    ///< false: see why_not
  std::string why_not;  ///< when not done
  std::vector<MonthPlan> months;
  std::size_t hardest = 0;  ///< month whose balance is worst
  std::vector<EnergyShare> loads;
  std::vector<EnergyShare> buses;
  // The hardest month's day, split
  double devices_wh = 0.0, converter_loss_wh = 0.0, cable_loss_wh = 0.0, standby_wh = 0.0;
  EnergyLedger ledger;     ///< of that day
  double usable_wh = 0.0;  ///< bank, aged, down to its reserve
  double usable_ah = 0.0;  ///< the same at nominal volts
};

// ---- Evidence

/// A default that was taken because the file says nothing.
struct Assumption {
  std::string kind;   ///< "load"
  std::string key;    ///< "drop_class"
  std::string value;  ///< as it would be written
  std::string help;   ///< of the field
  std::vector<std::string>
      names;  ///< of all records that left it out; empty for [site] and [rules]
};

/// A rule set or table that had a say.
struct RuleUse {
  std::string name;
  std::string purpose;
  std::string limits;
  std::vector<std::string> citations;  ///< rows that were read
};

enum class PlanVerdict { good, care, danger };

/// Everything, as plain data.
struct Plan {
  System system;  ///< as described
  System wired;   ///< with the sizes and devices of the plan written in

  std::vector<std::string> cautions;  ///< read these first
  std::vector<Assumption> assumptions;
  std::vector<RuleUse> rules;
  std::vector<std::string> not_modelled;  ///< what the tool does not know

  WiringPlan wiring;
  CaseConditions conditions;       ///< air and fan steps that wiring and cases rest on
  std::vector<PointNodes> points;  ///< names and kinds, in the order of CaseResult::points
  std::vector<CaseResult> cases;
  HeatPlan heat;
  EnergyPlan energy;
  std::vector<Finding> findings;  ///< worst first, passed checks last
  double seconds = 0.0;           ///< it took; not part of any comparison

  /// Never `good` while a danger or a warning stands, never better than `danger` while a case has
  /// no solution.
  PlanVerdict verdict() const;
  std::size_t count(Severity severity) const;
};
std::string_view verdict_name(PlanVerdict verdict);      ///< "good", "care", "danger"
std::string_view verdict_sentence(PlanVerdict verdict);  ///< one line for the top of the page

/// Throws InputError when the description itself cannot be used (see check_system() of reader.hpp).
Plan make_plan(const System& system, const Catalogue& catalogue, const PlanOptions& options = {});

/// The plan as JSON, `"format": 1`. Keys and units: see cpp/src/scenario/json_format.md.
std::string plan_json(const Plan& plan, int indent = 1);

// ---- Two plans

enum class ChangeOf { appeared, gone, changed };

struct FindingChange {
  ChangeOf what = ChangeOf::changed;
  std::optional<Finding> before, after;
};
/// A figure that differs between two plans.
struct FigureChange {
  std::string kind;  ///< "run", "load", "compartment", "month", "system"
  std::string name;
  std::string figure;         ///< "size", "lowest volts", "temperature" …
  std::string before, after;  ///< as text; empty: not there
  std::optional<double> before_value, after_value;
  Dimension dimension = Dimension::number;
};
struct Comparison {
  PlanVerdict before = PlanVerdict::good, after = PlanVerdict::good;
  std::vector<FindingChange> findings;  ///< dangers and warnings, worst first
  std::vector<FigureChange> figures;
};
Comparison compare(const Plan& before, const Plan& after);
std::string comparison_json(const Comparison& comparison, int indent = 1);

}  // namespace nightbus
