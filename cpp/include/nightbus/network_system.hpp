#pragma once
/// From names to numbers and back: a System, a Catalogue and the conductors chosen become a
/// Circuit; a Case becomes its parameters; the solution is handed back by name.
///
/// ```cpp
/// CompiledSystem wired = compile_system(system, catalogue, starting_choices(system, catalogue));
/// CaseResult night = solve_case(wired, cases_of(system).front());
/// night.loads[0].voltage_v;   // volts at the first load of the file
/// night.runs[3].drop_v;       // out and back, joints, fuse and switch included
/// ```
///
/// Every vector of a result has the order of the vector of the same name in System. The model:
///
///   bank    EMF behind its resistance                     run    from + ──out──▶ to +
///   charger, array controller: voltage ceiling and limit         from - ◀─back── to -
///   load, fan  by its law × count, at its own two points  each pole: conductor at its own
///   converter  in where runs lead to it, out where they          temperature, then joints, fuse
///              start from it; common negative unless isolated    and switch (in the positive)
///   PoE link   pair loop, then constant power, on its converter's output
///
/// A shared return is a real resistance: two runs into the same bus share that bus's way back. A
/// spare run joins nothing.

#include <cstddef>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "nightbus/catalogue.hpp"
#include "nightbus/finding.hpp"
#include "nightbus/network.hpp"
#include "nightbus/network_study.hpp"
#include "nightbus/system.hpp"

namespace nightbus {

// ---- What is laid

/// Conductor and device of one run; one for each System::runs, in order.
struct RunChoice {
  ConductorSize size;
  std::optional<ConductorSize> return_size;  ///< own return; empty: as `size`
  std::string fuse_form;                     ///< empty: no device, or not yet known
  std::optional<double> fuse_a;              ///< empty: no device
  friend bool operator==(const RunChoice&, const RunChoice&) = default;
};

/// Sizes and devices as given; where none is given the thickest size that may be chosen and no
/// device, so that what cannot work at all shows first.
std::vector<RunChoice> starting_choices(const System& system, const Catalogue& catalogue);
/// Sizes that may be chosen for a run, thinnest first: its family or the rules', cut to the stock.
std::vector<ConductorSize> sizes_for(const System& system, const Catalogue& catalogue,
                                     const Run& run);
/// The conductor of `size` in the run's family, else in the usual family of the size's system.
const Conductor& conductor_for(const System& system, const Catalogue& catalogue, const Run& run,
                               const ConductorSize& size);
/// Warm resistance of an overcurrent device at its rated current: its form's table, else 0.1 V over
/// the rating (common practice, no source).
double device_resistance_ohm(const Catalogue& catalogue, std::string_view form, double rating_a);
/// The cases that are examined: the file's own, or default_cases(); where something charges and no
/// case has it at its limit, one of bulk charging is added.
std::vector<Case> cases_of(const System& system);

// ---- Where things are in the circuit

/// A point: two nodes on the side where runs lead to it, two where they start from it (the same but
/// for converters).
struct PointNodes {
  std::string name;
  PointKind kind = PointKind::bus;
  std::size_t index = 0;                  ///< in System's vector of that kind
  NodeId positive{}, negative{};          ///< where runs lead to it
  NodeId out_positive{}, out_negative{};  ///< where runs start from it
  int domain = -1;                        ///< of the input side
  int out_domain = -1;                    ///< of the output side
};

/// Points joined by runs, fed by the same sources.
struct Domain {
  double nominal_v = 0.0;               ///< of its bank, or the output voltage of its converter
  std::vector<std::size_t> banks;       ///< that feed it
  std::vector<std::size_t> converters;  ///< whose output feeds it
  bool fed() const { return !banks.empty() || !converters.empty(); }
};

/// Electrical facts of one pole or path of a run.
struct RunResistance {
  double conductor_20c_ohm = 0.0;  ///< conductors in parallel counted
  double joints_ohm = 0.0;         ///< of both ends
  double fuse_ohm = 0.0;           ///< warm, at rated current
  double switch_ohm = 0.0;
  double kelvin_per_watt = 0.0;  ///< rise of the conductor over its air per watt lost in the pole
  std::optional<double> assumed_c;  ///< no rule set knows the size: taken at its insulation's limit
  double fixed_ohm() const { return joints_ohm + fuse_ohm + switch_ohm; }
};

struct RunElements {
  bool connected = true;                 ///< false: spare
  std::size_t from = 0, to = 0;          ///< points
  std::optional<std::size_t> return_to;  ///< point whose negative takes the return, when not `from`
  std::optional<ElementId> out, out_fixed;    ///< conductor; joints, fuse and switch
  std::optional<ElementId> back, back_fixed;  ///< own return, or the chassis path in `back`
  RunResistance positive, negative;
  double length_m = 0.0, return_length_m = 0.0;
  int domain = -1;         ///< index of its part of the system
  double nominal_v = 0.0;  ///< of that part
};

struct BankElements {
  ElementId source{};
  std::optional<ElementId> standby;  ///< what its own electronics draw
};
struct PoeElements {
  ElementId out{}, back{}, device{};  ///< the pairs there and back, and the powered device
  double loop_20c_ohm = 0.0;          ///< there and back
};

// ---- The compiled system

/// Immutable and cheap to copy. Holds its own copy of the description.
class CompiledSystem {
 public:
  const System& system() const;
  const Catalogue& catalogue() const;
  const Circuit& circuit() const;
  const std::vector<RunChoice>& choices() const;

  const std::vector<PointNodes>& points() const;
  const PointNodes& point(std::string_view name) const;  ///< throws LookupError
  std::optional<std::size_t> find_point(std::string_view name) const;
  const PointNodes& point_of(PointKind kind, std::size_t index) const;
  const std::vector<Domain>& domains() const;

  // Elements, in the order of System's vectors.
  const std::vector<RunElements>& runs() const;
  const std::vector<BankElements>& banks() const;
  const std::vector<ElementId>& loads() const;
  const std::vector<ElementId>& fans() const;
  const std::vector<ElementId>& converters() const;
  const std::vector<PoeElements>& poe_links() const;
  const std::vector<ElementId>& chargers() const;
  const std::vector<ElementId>& arrays() const;
  const std::vector<ElementId>& array_standby() const;  ///< controllers' own draw

  /// The same layout with other conductors and devices; names and nodes stay as they are. Cheap:
  /// the choice of wiring calls it many times.
  CompiledSystem with_choices(std::vector<RunChoice> choices) const;

  /// Name of the thing an element belongs to ("router", "feed 3"), for messages.
  std::string element_name(ElementId element) const;

  /// What had to be assumed because a figure is missing (notices, each once).
  const std::vector<Finding>& assumptions() const;

  struct Impl;  // private: cpp/src/network/system_impl.hpp
  explicit CompiledSystem(std::shared_ptr<const Impl> impl) : impl_(std::move(impl)) {}
  const Impl& impl() const { return *impl_; }

 private:
  std::shared_ptr<const Impl> impl_;
};

/// Throws InputError when a name is not a point, LookupError when the catalogue lacks a table that
/// is named. `choices` must have one entry for each run.
CompiledSystem compile_system(const System& system, const Catalogue& catalogue,
                              std::vector<RunChoice> choices);

// ---- A bank and a converter as elements

/// Inner resistance of the whole bank at a charge and temperature, from what is stated and the
/// chemistry's tables. `least`: the lowest these allow where nothing is stated, for fault currents.
double bank_resistance_ohm(const Bank& bank, const BatteryChemistry& chemistry, double charge,
                           double temp_c, bool least = false);
/// Voltage at which chargers hold the bank at the end of the bulk charge, compensated for
/// temperature; where the bank does not state it, the highest its chemistry is charged at.
double bank_absorption_v(const Bank& bank, const BatteryChemistry& chemistry, double temp_c);
/// Loss law of a converter from its efficiency points: P_in = P0 + (1 + a) P + b P².
struct ConverterLosses {
  double standby_w = 0.0, loss_fraction = 0.0, loss_per_watt = 0.0;
};
ConverterLosses converter_losses(const Converter& converter);
/// Its output resistance; where none is stated, that of half a per cent sag at rated load.
double converter_output_ohm(const Converter& converter);

// ---- A case

/// Air and fans of one case.
struct CaseAir {
  /// Air in each compartment, °C. Empty: held temperature; else outside, and in the hot case the
  /// compartment's limit, on the safe side.
  std::vector<double> compartment_c;
  /// Step of each fan. Empty: the highest when hot or at peak demand, else its lowest.
  std::vector<int> fan_step;
};

/// What a case leaves open. Everything may stay empty.
struct CaseConditions : CaseAir {
  /// By the case's name, where cases differ: taken instead of the two above.
  std::map<std::string, CaseAir, std::less<>> by_case;
  double load_factor = 1.0;   ///< on every load, for margins and what-ifs
  bool wiring_margin = true;  ///< add Rules::load_margin to every load

  const CaseAir& air_of(std::string_view case_name) const {
    const auto found = by_case.find(case_name);
    return found == by_case.end() ? *this : found->second;
  }
};

struct BankInputs {
  double charge = 0.0;  ///< state of charge, 0 to 1
  double temp_c = 25.0;
  double emf_v = 0.0;            ///< behind its resistance
  double resistance_ohm = 0.0;   ///< whole bank
  std::optional<double> held_v;  ///< charging: the voltage chargers hold it at
  std::string basis;             ///< "discharge curve of LFP at 20 %", "absorption, −10 °C" …
};
struct DrawInputs {
  double power_w = 0.0;  ///< all of `count`, margin included; at nominal voltage for other laws
  bool on = true;        ///< its schedule lets it run
};

/// The numbers a case stands for.
struct CaseInputs {
  std::string name;
  bool charging = false;  ///< chargers are at work
  double outside_c = 20.0;
  std::vector<double> compartment_c;  ///< by compartment
  std::vector<double> run_ambient_c;  ///< by run
  std::vector<BankInputs> banks;
  std::vector<DrawInputs> loads, fans, poe_links;
  std::vector<int> fan_step;     ///< by fan
  std::vector<std::string> off;  ///< names of what is switched off
};
CaseInputs case_inputs(const CompiledSystem& compiled, const Case& which,
                       const CaseConditions& conditions = {});
Parameters case_parameters(const CompiledSystem& compiled, const CaseInputs& inputs);

// ---- What comes back

struct PointVolts {
  double positive_v = 0.0;     ///< against the negative of the domain's source
  double negative_v = 0.0;     ///< against the same
  double voltage_v = 0.0;      ///< between its two terminals
  double out_voltage_v = 0.0;  ///< of a converter's output; else the same
};
struct RunResult {
  double current_a = 0.0;         ///< in the positive pole, from → to
  double return_current_a = 0.0;  ///< in its own return, to → from
  double drop_v = 0.0;            ///< both poles (or chassis), conductor, joints, fuse, switch
  double drop_ratio = 0.0;        ///< of the domain's nominal voltage
  double positive_drop_v = 0.0, negative_drop_v = 0.0;  ///< in each pole alone
  double loss_w = 0.0;                                  ///< all of it
  double conductor_loss_w = 0.0;                        ///< without joints, fuse and switch
  double conductor_c = 0.0;                             ///< hotter of the two poles
  double ambient_c = 0.0;                               ///< air around it
};
/// A load, a fan or a PoE device.
struct LoadResult {
  ElementState state = ElementState::normal;
  double voltage_v = 0.0;  ///< at its terminals
  double current_a = 0.0;  ///< all of `count`
  double power_w = 0.0;
  double drop_v = 0.0;                 ///< from the source of its domain
  double drop_ratio = 0.0;             ///< of the nominal voltage
  std::optional<double> above_low_v;   ///< volts above the lower end of its window
  std::optional<double> below_high_v;  ///< volts below the upper end
  bool running() const;
};
struct ConverterResult {
  ElementState state = ElementState::normal;
  double input_v = 0.0, input_a = 0.0, input_w = 0.0;     ///< at its input
  double output_v = 0.0, output_a = 0.0, output_w = 0.0;  ///< at its output
  double loss_w = 0.0;                                    ///< standby included
  double load_ratio = 0.0;                                ///< output over rated
  double drop_v = 0.0, drop_ratio = 0.0;                  ///< on the way to its input; of nominal
  std::optional<double> above_low_v, below_high_v;        ///< of its input window
};
struct PoeResult {
  LoadResult device;                                ///< the powered device
  double port_v = 0.0, port_a = 0.0, port_w = 0.0;  ///< at the port, cable loss included
  double cable_loss_w = 0.0;
  double loop_ohm = 0.0;  ///< there and back
};
struct BankResult {
  double voltage_v = 0.0;  ///< at its terminals
  double current_a = 0.0;  ///< out of it; negative: charging
  double loss_w = 0.0;     ///< in its resistance
  double emf_v = 0.0;      ///< behind its resistance
};
struct ChargerResult {
  ElementState state = ElementState::normal;
  double voltage_v = 0.0, current_a = 0.0, power_w = 0.0;  ///< at its terminals
};

/// The balance that every solved case must close.
struct Balance {
  double supplied_w = 0.0;  ///< EMF × current of banks, and chargers
  double load_w = 0.0;
  double loss_w = 0.0;           ///< cables, joints, converters, bank resistance
  double gap_w = 0.0;            ///< supplied - load - loss
  double node_residual_a = 0.0;  ///< largest sum at a node: rounding
};

/// How far from the edge: every load multiplied alike.
struct CaseMargins {
  std::optional<double> collapse_multiplier;      ///< empty: beyond 100
  std::string collapse_device;                    ///< whose way gives in first
  std::optional<double> first_window_multiplier;  ///< below 1: already out
  std::string first_window_device;
  double first_window_v = 0.0;  ///< that it sees then
};

struct CaseResult {
  std::string name;
  SolveStatus status = SolveStatus::not_converged;
  double collapse_multiplier = 0.0;  ///< collapsed: this share of the loads can be carried
  /// Collapsed: the figures below are those of loads that give way below their window, for
  /// orientation only.
  bool softened = false;
  int iterations = 0;  ///< of Newton's method
  CaseInputs inputs;
  std::vector<PointVolts> points;  ///< in the order of CompiledSystem::points()
  std::vector<RunResult> runs;
  std::vector<LoadResult> loads, fans;
  std::vector<ConverterResult> converters;
  std::vector<PoeResult> poe_links;
  std::vector<BankResult> banks;
  std::vector<ChargerResult> chargers, arrays;
  Balance balance;
  std::optional<CaseMargins> margins;  ///< empty: not asked for
  std::vector<std::string> loop;       ///< no consistent state: who switches, in order
  bool ok() const { return status == SolveStatus::solved; }
  /// The figures mean something: a solution, or where things stand while they give way or chatter.
  bool readable() const {
    return ok() || softened || (status == SolveStatus::no_consistent_state && !points.empty());
  }
};

/// Reads a raw solution back by name.
CaseResult read_case(const CompiledSystem& compiled, const CaseInputs& inputs,
                     const OperatingPoint& point);
CaseResult solve_case(const CompiledSystem& compiled, const Case& which,
                      const CaseConditions& conditions = {}, bool with_margins = false);
CaseResult solve_inputs(const CompiledSystem& compiled, const CaseInputs& inputs,
                        Workspace& workspace);
CaseMargins case_margins(const CompiledSystem& compiled, const CaseInputs& inputs,
                         Workspace& workspace);

// ---- Faults

/// Which extreme a fault current is wanted at: `highest` full, warm bank and cold wire; `lowest`
/// bank low and cold, wire at its insulation's limit.
enum class FaultExtreme { highest, lowest };
Parameters fault_parameters(const CompiledSystem& compiled, FaultExtreme extreme);

/// Bolted fault currents of each run. A converter limits: behind it nothing but its own limit
/// flows, and 0 is given.
struct RunFault {
  double near_a = 0.0;  ///< highest, at its source end: what the device must break
  double far_a = 0.0;   ///< lowest, at its far end, through the run: what must open the device
  double far_highest_a = 0.0;  ///< highest, at its far end
  double loop_ohm = 0.0;       ///< seen from the far end, lowest case
};
std::vector<RunFault> run_faults(const CompiledSystem& compiled);

}  // namespace nightbus
