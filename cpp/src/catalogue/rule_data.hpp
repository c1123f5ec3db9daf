#pragma once
/// What a rule set holds, as the functions of RuleSet search it.

#include <optional>
#include <string>
#include <vector>

#include "nightbus/catalogue.hpp"

namespace nightbus {

namespace catalogue_detail {

struct AmpacityCell {
  double column_c = 0;
  double value_a = 0;
};

struct AmpacityRow {
  ConductorSize size;
  double area_mm2 = 0;
  std::vector<AmpacityCell> cells;
  Citation from;
};

struct AmpacityTable {
  std::vector<Installation> serves;
  std::string material;
  double base_ambient_c = 30;
  bool solar = false;
  std::string caution;
  std::vector<Installation> caution_for;
  std::vector<AmpacityRow> rows;  ///< thinnest first

  bool serves_method(Installation installation) const;
};

struct AmbientRow {
  double ambient_c = 0;
  std::vector<std::optional<double>> factors;
  Citation from;
};

struct AmbientTable {
  double base_c = 30;
  bool next_row = true;  ///< else points with the formula between them
  bool formula = false;  ///< may continue where a cell is empty
  bool cold_credit = false;
  std::vector<double> columns_c;
  std::vector<AmbientRow> rows;  ///< ascending
  Citation from;
};

struct AmbientFormula {
  double base_c = 30;
  Citation from;
};

struct GroupingRow {
  double up_to = 0;
  double factor = 1;
  Citation from;
};

struct GroupingTable {
  bool counts_circuits = false;
  bool single_layer = false;
  std::vector<Installation> only_for;  ///< empty: any
  std::optional<double> from_voltage_v;
  std::string below_note;
  std::optional<double> from_length_m;
  std::optional<double> clear_diameters;
  std::optional<double> from_area_mm2;
  std::optional<double> to_area_mm2;
  std::vector<GroupingRow> rows;  ///< ascending
  Citation from;
};

struct TerminalRow {
  double up_to_a = 0;
  double column_c = 60;
  Citation from;
};

struct TerminalRule {
  Installation installation = Installation::conduit;
  std::vector<TerminalRow> rows;
};

struct CeilingRow {
  double from_v = 0;
  double below_v = 0;
  double share = 1;
  bool next_size = false;
  std::optional<double> next_share;
  std::optional<double> next_up_to_a;
  Citation from;
};

struct CeilingBySize {
  ConductorSize size;
  std::optional<double> fuse_a;
  std::optional<double> breaker_a;
  Citation from;
};

struct SmallConductor {
  std::string material;
  ConductorSize size;
  double device_a = 0;
  std::optional<double> continuous_a;
  Citation from;
};

}  // namespace catalogue_detail

struct RuleSet::Data {
  std::string name;
  std::string purpose;
  std::string limits;
  std::vector<std::string> aliases;
  std::vector<PedigreeRef> tables;

  std::vector<catalogue_detail::AmpacityTable> ampacities;
  std::vector<catalogue_detail::AmbientTable> ambients;
  std::optional<catalogue_detail::AmbientFormula> ambient_formula;
  std::vector<catalogue_detail::GroupingTable> groupings;
  std::optional<catalogue_detail::TerminalRule> terminals;

  std::vector<catalogue_detail::CeilingRow> ceilings;
  std::vector<catalogue_detail::CeilingBySize> ceilings_by_size;
  std::vector<catalogue_detail::SmallConductor> small_conductors;
  std::vector<double> standard_ratings_a;
  Citation standard_ratings_from;
  std::vector<PlacementLimit> placements;
  std::vector<InterruptTier> interrupt_tiers;

  std::vector<DropLimit> drop_limits;
  std::vector<MinimumSize> minimum_sizes;
  std::vector<Guide> guides;

  /// The rules' own name for a conductor: its size when an ampacity table lists it (and the stated
  /// area, if any, has no less metal), else the largest listed size of no more metal; empty when it
  /// is thinner than all.
  std::optional<ConductorSize> listed_as(const ConductorSize& size,
                                         std::optional<double> stated_area_mm2) const;
};

}  // namespace nightbus
