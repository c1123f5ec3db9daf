#pragma once
/// Standards as data: every table the program knows, each value with its pedigree.
///
///   const auto& nec = Catalogue::builtin().rule_set("NEC");
///   const auto limit = nec.ampacity(*parse_size("12 AWG"), 90.0, Installation::conduit);
///   limit->value             -> 30 (A)
///   limit->from.text()       -> "NFPA 70 (2023) Table 310.16, 12 AWG"
///
/// Nothing here decides anything: wiring, protection and energy do, and cite what they used. A
/// value that the chosen table does not hold is an empty optional, never a guess. No code knows a
/// rule set by name.

#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "nightbus/quantity.hpp"
#include "nightbus/source.hpp"

namespace nightbus {

// ---- Where a number comes from ----------------------------------------------------------------

/// How sure we are, best first. Only the first three may serve as an outside check.
enum class Confidence {
  read,       ///< seen in the document named
  read_copy,  ///< seen in a copy of it
  computed,   ///< arithmetic from a stated formula
  weak,       ///< one maker's figure, or an unverified extract
  practice,   ///< common practice, no source
  memory,     ///< remembered, not verified
};
std::string_view confidence_name(Confidence confidence);  ///< "read, copy"
/// In words for a reader: "common practice, no source".
std::string_view confidence_words(Confidence confidence);
/// True for read, read_copy and computed: good enough to check others against.
bool gates(Confidence confidence);
Confidence weaker(Confidence a, Confidence b);

/// What one table is, and what it is not good for.
struct Pedigree {
  std::string id;        ///< unique: "33 CFR 183/allowable amperage"
  std::string owner;     ///< name of the rule set, form, family … it belongs to
  std::string holds;     ///< what the program does with it: "ampacity", "ambient", "ratings" …
  std::string purpose;   ///< what it is for, in words
  std::string standard;  ///< "33 CFR 183.425"; "common practice, no source" when there is none
  std::string edition;   ///< year or issue; may be empty
  std::string table;     ///< "Table 5"; may be empty
  std::string source;    ///< how the numbers came here, in words
  std::string fallback;  ///< what is done where the table is silent
  std::string limits;    ///< "not a permit" and the like
  std::string date;      ///< when they were typed, ISO 8601
  Confidence confidence = Confidence::memory;  ///< of the whole table; a row may be weaker
  std::vector<std::string> columns;            ///< headings
  std::vector<std::string> units;  ///< as written in the file, one per column; "" for words
  bool built_in = true;            ///< false for a table of the user's own
  Span where;                      ///< of the table in its file

  std::string cite() const;  ///< "33 CFR 183.425 Table 5"; "NFPA 70 (2023) Table 310.16"
};
using PedigreeRef = std::shared_ptr<const Pedigree>;

/// One row of one table.
struct Citation {
  PedigreeRef pedigree;  ///< never null in what the catalogue hands out
  std::string row;       ///< "12 AWG"; may be empty
  std::string note;  ///< how the row was chosen when it is not the plain match; a row's own remark
  Confidence confidence = Confidence::memory;  ///< of this row

  std::string text() const;  ///< cite() and row; a confidence below `computed` is named
};

struct TableValue {
  double value = 0.0;  ///< in the unit of what was asked
  Citation from;
};

/// A table as it was written, for printing.
struct TableText {
  PedigreeRef pedigree;
  std::vector<std::vector<std::string>> rows;  ///< as written, one text for each column
};

/// A single named figure: "continuous load factor", "fault current multiple". `low` and `high` are
/// the spread the source gives; equal to `value` when it gives none.
struct Guide {
  std::string name;
  std::string unit;  ///< the inside unit where quantity.hpp knows one, else as written in the file
  double value = 0.0;
  double low = 0.0;   ///< of the spread
  double high = 0.0;  ///< of the spread
  Citation from;
};

// ---- Materials and insulation -----------------------------------------------------------------

struct Material {
  std::string name;                      ///< "copper"
  double resistivity_ohm_mm2_per_m = 0;  ///< at 20 °C
  double coefficient_per_k = 0;          ///< of resistance, at 20 °C
  double zero_resistance_k = 0;          ///< 234.5 for copper: R(T) = R20 (z + T) / (z + 20)
  double density_kg_per_m3 = 0;
  double adiabatic_k = 0;       ///< A·√s/mm²: I²t = K²S² ln((Tf + beta)/(Ti + beta))
  double adiabatic_beta_k = 0;  ///< reciprocal of the coefficient at 0 °C, in that formula
  Citation from;                ///< weakest of its rows
  Citation adiabatic_from;

  /// Resistance at `temp_c` over resistance at 20 °C.
  double resistance_ratio(double temp_c) const {
    return (zero_resistance_k + temp_c) / (zero_resistance_k + 20.0);
  }
};

/// Short-time limit of an insulation: what the conductor may reach during a fault of at most 5 s.
struct Insulation {
  std::string name;      ///< "PVC 70 °C"
  double rated_c = 0;    ///< continuous
  double final_c = 0;    ///< end of a short circuit
  double k = 0;          ///< A·√s/mm², copper, as published or computed
  double above_mm2 = 0;  ///< for conductors above this area
  double up_to_mm2 = std::numeric_limits<double>::infinity();  ///< and up to this one
  Citation from;
};

// ---- Conductors -------------------------------------------------------------------------------

struct Conductor {
  ConductorSize size;   ///< its label
  double area_mm2 = 0;  ///< of metal; for metric sizes the nominal label
  double resistance_ohm_per_m =
      0;                     ///< one conductor, DC, 20 °C; a maximum where the standard sets one
  double mass_kg_per_m = 0;  ///< of metal
  int strands = 0;           ///< 0: not stated
  std::string material;      ///< name of a Material
  Citation from;
};

/// One way of naming and making conductors: "AWG", "metric class 5", "SAE" …
struct ConductorFamily {
  std::string name;
  SizeSystem system = SizeSystem::metric;
  std::string material;
  std::string construction;           ///< "stranded", "class 5, plain" …
  bool usual = false;                 ///< taken for a size of its system when no family is named
  std::vector<Conductor> conductors;  ///< thinnest first
  std::vector<PedigreeRef> tables;    ///< that it was read from

  const Conductor* find(const ConductorSize& size) const;  ///< null when it has no such size
  /// The thinnest with at least this area; null when none.
  const Conductor* at_least(double area_mm2) const;
};

// ---- Rule sets --------------------------------------------------------------------------------

/// How a conductor loses its heat, coolest first. A table that does not serve a method is replaced
/// by one that serves a hotter method, never the other way.
enum class Installation {
  free_air,    ///< single conductor, spaced, air all round
  tray,        ///< cable touching, on a perforated tray
  clipped,     ///< cable or bundle along a surface
  conduit,     ///< in conduit, loom, duct or another closed way
  insulation,  ///< the same inside thermal insulation
};
std::string_view installation_name(Installation installation);
/// From what a run says of itself: closed way or not, and how many conductors lie together.
/// Free-air tables are for a single conductor with air all round; out and back side by side are not
/// that.
Installation installation_of(bool enclosed, int conductors_together);

struct AmpacityQuery {
  ConductorSize size;
  double insulation_c = 0;  ///< rated temperature of the insulation
  Installation installation = Installation::conduit;
  std::string_view material = "copper";
  /// Metal area; needed for a size the rules do not list (a SAE or metric size under AWG rules),
  /// which then takes the largest listed size of no more metal. Empty: nominal_area_mm2(size).
  std::optional<double> area_mm2;
  bool solar = false;  ///< circuit of a solar array: tables for these only may be used too
};

struct Ampacity {
  double value = 0;     ///< A, before corrections
  double column_c = 0;  ///< insulation column used, at most the query's: correct with this one
  double base_ambient_c = 0;                          ///< air that the table stands for
  Installation installation = Installation::conduit;  ///< what the table stands for
  std::string caution;  ///< where the rules allow the table but it is known to be generous
  Citation from;
};

/// What lies together. A DC circuit is two current-carrying conductors.
struct Bundle {
  int conductors = 2;           ///< that carry current and lie together
  std::optional<int> circuits;  ///< empty: half the conductors, rounded up
  double bus_voltage_v = 12.0;  ///< some tables are for low voltages only
  bool single_layer = false;    ///< side by side on a surface or tray rather than bunched
  Installation installation = Installation::conduit;
  std::optional<double> length_m;         ///< over which they lie together; empty: long
  std::optional<double> diameters_apart;  ///< clear gap in cable diameters; empty: touching
  std::optional<ConductorSize> size;      ///< of the run in question; some tables differ by size
};

struct CeilingQuery {
  ConductorSize size;
  std::optional<double> area_mm2;  ///< as in AmpacityQuery
  std::string_view material = "copper";
  double ampacity_a = 0;     ///< after all corrections
  double bus_voltage_v = 0;  ///< highest, while charging
  bool breaker = false;      ///< else a fuse
  /// Ratings that are made in the form in question, ascending; used for "next standard size" where
  /// the rules have no list of their own.
  std::vector<double> ratings_a;
};

/// Largest overcurrent device the rules allow on a conductor.
struct Ceiling {
  double value = 0;                    ///< A
  bool next_size_used = false;         ///< above the ampacity, by the next-standard-size allowance
  Citation from;                       ///< the rule that governs
  std::vector<TableValue> considered;  ///< every limit looked at, the governing one first
};

enum class SourceKind {
  battery,
  other
};  ///< what feeds the run: battery terminals, or bus, switch …

struct PlacementLimit {
  double distance_m = 0;             ///< along the conductor, from the source to the device
  bool sheathed = false;             ///< only if in a sheath or enclosure all the way
  std::optional<SourceKind> source;  ///< empty: any
  Citation from;
};

struct DropLimit {
  std::string load_class;  ///< "critical", "general", "branch", "feeder", "total" …
  double ratio = 0;        ///< of nominal voltage
  bool binding = false;    ///< false: advice
  std::string applies_to;  ///< in words
  Citation from;
};

struct MinimumSize {
  std::string situation;  ///< "alone", "in sheath", "any", "chassis bond" …
  ConductorSize size;
  double area_mm2 = 0;     ///< of that size
  std::string applies_to;  ///< in words
  Citation from;
};

/// Least current a device must be able to break, by size of the bank.
struct InterruptTier {
  double up_to_cranking_a = std::numeric_limits<double>::infinity();  ///< of the bank
  double main_a = 0;    ///< least for the device at the bank
  double branch_a = 0;  ///< least for the devices behind it
  Citation from;
};

/// A published body of ampacity, correction, drop and protection rules. All of it is read from
/// data; a function that the data does not answer returns empty, and the caller says so in a
/// finding.
class RuleSet {
 public:
  const std::string& name() const;  ///< "33 CFR 183"
  const std::string& purpose() const;
  const std::string& limits() const;  ///< what it does not cover; "not a permit"
  const std::vector<std::string>& aliases() const;
  const std::vector<PedigreeRef>& tables() const;

  // Ampacity and its corrections. result = ampacity × ambient_factor × grouping_factor.
  std::optional<Ampacity> ampacity(const AmpacityQuery& query) const;
  std::optional<Ampacity> ampacity(const ConductorSize& size, double insulation_c,
                                   Installation installation = Installation::conduit) const;
  /// All sizes a table lists for the material, thinnest first.
  std::vector<ConductorSize> listed_sizes(std::string_view material = "copper") const;
  /// `column_c` is Ampacity::column_c. The published table wins over the square-root formula; the
  /// formula serves where the table is silent and says so. 0 at and above the column's temperature.
  /// Never above 1 unless the rules give credit for cold and `cold_credit` asks for it.
  std::optional<TableValue> ambient_factor(double ambient_c, double column_c,
                                           bool cold_credit = false) const;
  bool gives_cold_credit() const;
  /// Empty when there are more than the table covers, or the rules say nothing about bundles.
  std::optional<TableValue> grouping_factor(const Bundle& bundle) const;
  /// What the terminals leave of it, A: empty when the rules set no such limit. `listed_c` is a
  /// terminal rating the user has read on the equipment; `circuit_a` is the circuit's rating.
  std::optional<TableValue> terminal_ampacity(const AmpacityQuery& query, double circuit_a,
                                              std::optional<double> listed_c = {}) const;

  // Overcurrent devices.
  std::optional<Ceiling> ceiling(const CeilingQuery& query) const;
  /// The rules' own list of standard ratings, ascending; may be empty.
  const std::vector<double>& standard_ratings_a() const;
  std::optional<TableValue> next_standard_rating(double current_a) const;
  /// Largest device, and largest continuous load, that a small conductor may have whatever its
  /// ampacity.
  std::optional<TableValue> small_conductor_limit(const CeilingQuery& query) const;
  std::optional<TableValue> small_conductor_continuous(const CeilingQuery& query) const;
  const std::vector<PlacementLimit>& placement_limits() const;
  /// The longest distance allowed for this case; empty when the rules set none.
  std::optional<TableValue> placement(SourceKind source, bool sheathed) const;
  const std::vector<InterruptTier>& interrupt_tiers() const;
  /// Least interrupt rating; empty when the rules have no tier for it (then use the bank's own
  /// short-circuit current).
  std::optional<TableValue> interrupt_minimum(double cranking_a, bool main_device) const;

  // Drop and mechanical rules.
  const std::vector<DropLimit>& drop_limits() const;
  std::optional<DropLimit> drop_limit(std::string_view load_class) const;
  const std::vector<MinimumSize>& minimum_sizes() const;
  /// The rule for "alone" or "in sheath"; rules for "any" situation count for both; largest wins.
  std::optional<MinimumSize> minimum_size(std::string_view situation) const;

  /// Other single figures: "continuous load factor", "supports every" …
  const std::vector<Guide>& guides() const;
  const Guide* guide(std::string_view name) const;  ///< null when the rules have none

  struct Data;  // private: cpp/src/catalogue/rule_data.hpp
  explicit RuleSet(std::shared_ptr<const Data> data) : data_(std::move(data)) {}

 private:
  std::shared_ptr<const Data> data_;
};

// ---- Overcurrent devices ----------------------------------------------------------------------

/// A device may break `current_a` DC on a bus whose highest (charging) voltage is at most
/// `voltage_v`.
struct InterruptRating {
  double voltage_v = 0;  ///< highest on the bus, at most this
  double current_a = 0;  ///< DC that it breaks there
  Citation from;
};

/// Opening time at a share of the rating. Missing side: no limit is published.
struct OpeningPoint {
  double ratio = 0;               ///< current over rating
  std::optional<double> least_s;  ///< carries at least so long
  std::optional<double> most_s;   ///< has opened by then
  Citation from;
};

/// Opening times of the ratings from `low_a` to `high_a`. Interpolate log-log, never outside the
/// table: the most_s side for protection, the least_s side for nuisance and selectivity.
struct OpeningBand {
  double low_a = 0;                                         ///< ratings that the band is for: from
  double high_a = std::numeric_limits<double>::infinity();  ///< up to
  std::vector<OpeningPoint> points;                         ///< ascending ratio
};

struct RatingValue {
  double rating_a = 0;  ///< of the device
  double value = 0;     ///< in the unit of the list it stands in
  Citation from;
};

struct TemperaturePoint {
  double temp_c = 0;  ///< air around the device
  double factor = 1;  ///< on its rating there
  Citation from;
};

enum class DeviceKind { fuse, breaker };

/// One form of fuse or breaker: "mini blade", "class T" …
struct OvercurrentForm {
  std::string name;
  std::string letter;   ///< "F", "C", "E", "SF 30"; may be empty
  std::string purpose;  ///< what it is, in words
  DeviceKind kind = DeviceKind::fuse;
  std::string fits;               ///< what it mounts on, in words
  std::vector<double> ratings_a;  ///< ascending
  Citation ratings_from;
  std::vector<InterruptRating> interrupts;  ///< ascending voltage
  std::vector<OpeningBand> opening;         ///< may be empty
  std::vector<TemperaturePoint> rerating;   ///< ascending; 1 at its reference temperature
  std::vector<RatingValue> melting_a2s;     ///< typical average melting I²t, not a guarantee
  std::vector<RatingValue> cold_ohm;        ///< resistance when cold, by rating
  std::vector<RatingValue> drop_v;          ///< hot, at rated current
  std::vector<Guide> guides;                ///< "holder continuous current", "hot over cold" …
  std::vector<PedigreeRef> tables;          ///< that it was read from

  /// Smallest rating made of at least `current_a`.
  std::optional<double> at_least(double current_a) const;
  std::optional<double> at_most(double current_a) const;
  /// Break rating on a bus of that highest voltage: the best pair whose voltage covers it; empty
  /// when none does. A pair for a lower voltage never serves.
  const InterruptRating* interrupt_at(double highest_bus_v) const;
  const OpeningBand* opening_of(double rating_a) const;
  /// Share of the rating usable in air of `temp_c`: linear between points, flat below the first;
  /// beyond the last the last slope goes on. Empty when the form has no data.
  std::optional<TableValue> rerating_factor(double temp_c) const;
  std::optional<TableValue> melting_at(double rating_a) const;  ///< exact rating only
  std::optional<TableValue> cold_resistance_at(double rating_a) const;
  const Guide* guide(std::string_view name) const;
};

// ---- PoE --------------------------------------------------------------------------------------

struct PoeTypeData {
  int number = 0;                ///< 1 … 4; passive supply has no standard and no row
  std::string name;              ///< "Type 2"
  double source_w = 0;           ///< least at the port
  double device_w = 0;           ///< least that reaches the device
  Range source_v;                ///< at the port
  Range device_v;                ///< at the device
  double pair_set_a = 0;         ///< most in one pair set
  int pairs_low = 2;             ///< pairs that carry current: least
  int pairs_high = 2;            ///< most
  double pair_set_loop_ohm = 0;  ///< highest; four pairs halve it
  Citation from;

  double loop_ohm(int pairs) const {
    return pairs == 4 ? pair_set_loop_ohm / 2 : pair_set_loop_ohm;
  }
};

struct PoeClassData {
  int number = 0;       ///< as the device announces it
  double source_w = 0;  ///< the port must be able to give
  double device_w = 0;  ///< the device may take
  int type = 1;         ///< lowest type that can power it
  int pairs = 2;        ///< least powered pairs
  Citation from;
};

struct PoeCable {
  std::string name;     ///< "24 AWG"
  double area_mm2 = 0;  ///< one conductor
  double resistance_ohm_per_m =
      0;                       ///< one conductor, 20 °C, the higher of pure copper and the limit
  double ideal_ohm_per_m = 0;  ///< pure copper of that area
  Citation from;

  /// Out and back over `length_m` of cable: two conductors in parallel each way make one pair set.
  double loop_ohm(double length_m, int pairs) const {
    const double pair_set = resistance_ohm_per_m * length_m;
    return pairs == 4 ? pair_set / 2 : pair_set;
  }
};

// ---- Batteries --------------------------------------------------------------------------------

struct CurvePoint {
  double x = 0;  ///< in the curve's own units
  double y = 0;
};

/// A curve that knows where it came from; linear between points, ends held.
struct Curve {
  std::vector<CurvePoint> points;  ///< ascending x
  Citation from;
  bool empty() const { return points.empty(); }
  double at(double x) const;
};

/// A battery chemistry. Voltages are per cell, at 25 °C.
struct BatteryChemistry {
  std::string name;                  ///< "LFP", "flooded", "AGM", "gel"
  std::vector<std::string> aliases;  ///< other spellings that are read
  std::string purpose;               ///< what it stands for, in words
  double nominal_cell_v = 0;         ///< 2.0 or 3.2
  int cells_per_12v = 0;             ///< in series
  Curve ocv_mean;                    ///< state of charge -> V
  Curve ocv_discharge;               ///< branch; empty when not known
  Curve ocv_charge;                  ///< branch; empty when not known
  Curve capacity_ratio;              ///< °C -> share of the 25 °C capacity, slow discharge
  Curve resistance_ratio;            ///< °C -> over the 25 °C resistance
  Curve charge_efficiency;  ///< state of charge -> coulombic efficiency; empty: one figure for all
  std::vector<Guide> guides;  ///< see cpp/data/README.md for the names
  std::vector<PedigreeRef> tables;

  const Guide* guide(std::string_view quantity) const;  ///< null when unknown
  double value(std::string_view quantity) const;        ///< throws LookupError
  /// Cells in series for a nominal bank voltage (12, 24, 48 V).
  int cells_for(double nominal_v) const;
};

/// A figure of the trade that depends on another: "melting share by pulses".
struct NamedCurve {
  std::string name;
  std::string x_unit;  ///< inside units where quantity.hpp knows them
  std::string y_unit;  ///< as written in the file
  Curve curve;
};

// ---- Switching and joints ---------------------------------------------------------------------

enum class LoadKind { resistive, inductive, capacitive, lamp, motor };
std::string_view load_kind_name(LoadKind kind);

/// Utilisation category of DC switchgear.
struct SwitchCategory {
  std::string name;                       ///< "DC-21"
  std::string duty;                       ///< in words
  std::vector<LoadKind> serves;           ///< kinds of load it may switch
  std::optional<double> time_constant_s;  ///< L/R of the test
  Citation from;
};

/// A kind of joint and the resistance a sound one may have.
struct JointKind {
  std::string name;               ///< "stud #10"
  double resistance_ohm = 0;      ///< upper limit of a sound one
  std::optional<double> rated_a;  ///< empty: none is published
  std::optional<double> drop_v;   ///< at rated current
  Citation from;
};

// ---- The catalogue ----------------------------------------------------------------------------

/// Immutable; copies are cheap and share everything.
class Catalogue {
 public:
  /// The tables that were built in. Read once, on first use; safe from several threads.
  static const Catalogue& builtin();

  /// This catalogue and the tables of a user's TOML text, in the format of cpp/data. A table with
  /// the name of one that exists is refused, with both places, unless it says `replaces = "<that
  /// id>"`. Throws InputError with every problem found.
  Catalogue with(std::string toml_text, std::string name = "tables.toml") const;

  // Evidence.
  const std::vector<TableText>& tables() const;
  const TableText& table(std::string_view id) const;

  // Lookups by name take aliases too, and throw LookupError with near misses.
  const std::vector<Material>& materials() const;
  const Material& material(std::string_view name) const;
  const std::vector<Insulation>& insulations() const;
  /// Short-time limit for a conductor of this insulation rating and area: the lowest final
  /// temperature among the rows of the highest rated temperature not above it; empty when that is
  /// no help.
  std::optional<Insulation> short_time_limit(double insulation_c, double area_mm2) const;

  const std::vector<ConductorFamily>& conductor_families() const;
  const ConductorFamily& conductor_family(std::string_view name) const;
  const ConductorFamily& usual_family(SizeSystem system) const;
  /// From the family named, else from the usual one of the size's system.
  const Conductor& conductor(const ConductorSize& size, std::string_view family = {}) const;

  const std::vector<RuleSet>& rule_sets() const;
  const RuleSet& rule_set(std::string_view name) const;

  const std::vector<OvercurrentForm>& overcurrent_forms() const;
  const OvercurrentForm& overcurrent_form(std::string_view name) const;

  const std::vector<PoeTypeData>& poe_types() const;
  const PoeTypeData& poe_type(int number) const;
  const std::vector<PoeClassData>& poe_classes() const;
  const PoeClassData& poe_class(int number) const;
  const std::vector<PoeCable>& poe_cables() const;
  const PoeCable& poe_cable(std::string_view name) const;

  const std::vector<BatteryChemistry>& chemistries() const;
  const BatteryChemistry& chemistry(std::string_view name) const;

  const std::vector<SwitchCategory>& switch_categories() const;
  const std::vector<JointKind>& joint_kinds() const;
  const JointKind& joint_kind(std::string_view name) const;

  /// Figures of the trade that belong to no rule set: "continuous load factor", "fault current
  /// multiple".
  const std::vector<Guide>& guides() const;
  const Guide& guide(std::string_view name) const;
  const std::vector<NamedCurve>& curves() const;
  const NamedCurve& curve(std::string_view name) const;

  struct Data;  // private: cpp/src/catalogue/catalogue_data.hpp

 private:
  explicit Catalogue(std::shared_ptr<const Data> data) : data_(std::move(data)) {}
  std::shared_ptr<const Data> data_;
};

}  // namespace nightbus
