#pragma once
/// All files and tables of one name and kind, ready to be turned into the structs of the catalogue.

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "catalogue/catalogue_data.hpp"
#include "catalogue/table.hpp"

namespace nightbus::catalogue_detail {

/// One [[family]] of a file of conductors.
using Family = Record;

struct Owner {
  Owner(Head first, Problems& found) : head(std::move(first)), problems(&found) {}

  Head head;  ///< of the first file that names it
  std::vector<Table> tables;
  std::vector<Family> families;
  Problems* problems;

  /// True when nothing has been written under this key before; else reports both places.
  bool claim(const std::string& key, std::string_view what, const Span& where);

  /// The same for a table as a whole, which is refused when it comes second.
  bool claim(const std::string& key, std::string_view what, Table& table);

  std::vector<PedigreeRef> pedigrees() const;

 private:
  std::map<std::string, Span> claimed_;
};

/// Reports a table whose `holds` the kind does not know.
void unknown_holds(const Table& table, const std::vector<std::string>& known, Problems& problems);

/// Takes "guides" tables: name, value, unit, and optional low and high.
void read_guides(Table& table, Owner& owner, std::vector<Guide>& guides);
/// Takes a "curve" table: two columns, x ascending.
void read_curve(Table& table, Owner& owner, std::vector<NamedCurve>& curves);
/// Takes an "evidence" table, which is kept for citation only.
void read_evidence(Table& table);

/// Two columns as a curve, sorted by x; empty cells are left out.
Curve read_points(Table& table, std::size_t x, Dimension x_dimension, std::size_t y,
                  Dimension y_dimension, double y_scale);

/// Area that follows from the size's name alone; empty for SAE numbers, which follow no formula.
std::optional<double> formula_area_mm2(const ConductorSize& size);

std::optional<Installation> parse_installation(std::string_view word);
std::vector<std::string> installation_names();
std::vector<Installation> read_installations(Table& table, std::string_view key);

void build_materials(Owner& owner, Catalogue::Data& data);
void build_conductors(Owner& owner, Catalogue::Data& data);
void build_rules(Owner& owner, Catalogue::Data& data);
void build_overcurrent(Owner& owner, Catalogue::Data& data);
void build_poe(Owner& owner, Catalogue::Data& data);
void build_battery(Owner& owner, Catalogue::Data& data);
void build_guides(Owner& owner, Catalogue::Data& data);

}  // namespace nightbus::catalogue_detail
