#pragma once
/// Private: the compiled system. Layout (names, nodes, sides) does not depend on conductors and is
/// shared by every set of choices.

#include <map>
#include <memory>
#include <string>
#include <vector>

#include "nightbus/network_system.hpp"

namespace nightbus {

namespace compile_detail {

/// Which runs join what, before any element exists.
struct RunEnds {
  std::size_t from = 0, to = 0;
  std::optional<std::size_t> return_to;
};

struct Layout {
  System system;
  Catalogue catalogue;
  std::vector<PointNodes> points;
  std::map<std::string, std::size_t, std::less<>> by_name;
  std::vector<std::vector<std::size_t>> of_kind;  ///< [PointKind][index] -> point
  std::vector<RunEnds> ends;
  std::vector<Domain> domains;
  std::vector<Finding> assumptions;
  std::size_t node_count = 0;

  Layout(System description, Catalogue tables)
      : system(std::move(description)), catalogue(std::move(tables)) {}
  std::size_t point_of(PointKind kind, std::size_t at) const {
    return of_kind[static_cast<std::size_t>(kind)][at];
  }
  double nominal_v(int domain) const {
    return domain < 0 ? 0.0 : domains[static_cast<std::size_t>(domain)].nominal_v;
  }
};

/// Names, nodes, ends of runs and domains. Throws InputError when a name is not a point.
std::shared_ptr<const Layout> make_layout(const System& system, const Catalogue& catalogue);
void find_domains(Layout& layout);

/// One pole of a run, or its chassis path.
RunResistance pole_resistance(const Layout& layout, const Run& run, const ConductorSize& size,
                              double length_m, double nominal_v);
/// What stands in for a chassis path whose resistance nobody measured.
double assumed_chassis_ohm(const RunResistance& positive);

/// A notice about a figure that is missing and what stands in for it.
Finding assumed(std::string_view kind, std::string_view subject, double value, Dimension dimension,
                std::string detail, const Span& where);

/// Input window of a powered device: its own, else its type's.
std::optional<Range> device_window(const Layout& layout, const PoeLink& link);

// Draws of one record, all of `count`, in watts at nominal voltage.
double demand_w(Demand demand, double typical_w, const std::optional<double>& peak_w,
                const std::optional<double>& rest_w, double night_extra_w);
/// Where no peak is stated: typical times this.
inline constexpr double assumed_peak_factor = 1.5;

/// The numbers of a bank at a charge and temperature.
struct BankNumbers {
  double emf_v = 0.0, resistance_ohm = 0.0;
  std::string basis;
};
enum class BankUse { discharge, charge, rest };
BankNumbers bank_numbers(const Bank& bank, const BatteryChemistry& chemistry, double charge,
                         double temp_c, BankUse use);
/// Current the bank still takes at the end of absorption.
double tail_a(const Bank& bank, const BatteryChemistry& chemistry);

}  // namespace compile_detail

struct CompiledSystem::Impl {
  std::shared_ptr<const compile_detail::Layout> layout;
  std::vector<RunChoice> choices;
  std::optional<Circuit> circuit;
  std::vector<RunElements> runs;
  std::vector<BankElements> banks;
  std::vector<ElementId> loads, fans, converters, chargers, arrays, array_standby;
  std::vector<PoeElements> poe_links;
  std::vector<std::string> names;  ///< by element
  std::vector<Finding> assumptions;
};

}  // namespace nightbus
