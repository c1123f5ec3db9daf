#pragma once
/// One [[table]] with its pedigree, read by column name; numbers come out in inside units.

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "catalogue/record.hpp"
#include "nightbus/catalogue.hpp"

namespace nightbus::catalogue_detail {

std::optional<Confidence> parse_confidence(std::string_view word);
std::vector<std::string> confidence_words_known();

/// The unit a figure of unknown dimension is written in, as the inside unit; the unit itself and no
/// change when quantity.hpp does not know it.
struct FreeUnit {
  std::string unit;
  std::optional<Dimension> dimension;
};
FreeUnit free_unit(std::string_view written);
double in_free_unit(double written, std::string_view written_unit, const FreeUnit& unit);

/// What a file says about itself at its top.
struct Head {
  std::string kind;
  std::string name;
  std::string purpose;
  std::string fallback;
  std::string limits;
  std::string date;
  bool built_in = true;
  Record record;
};

class Table {
 public:
  /// Empty when the table's frame is so wrong that its rows cannot be read.
  static std::optional<Table> read(const RawRecord& raw, const Head& head, Problems& problems);

  const PedigreeRef& pedigree() const { return pedigree_; }
  const std::string& id() const { return pedigree_->id; }
  std::string local_id() const { return local_id_; }
  const std::string& holds() const { return pedigree_->holds; }
  const std::string& replaces() const { return replaces_; }
  Span where() const { return options.where(); }

  /// The table's further keys; finish() complains about those nobody asked for.
  Record options;

  std::size_t rows() const { return rows_.size(); }
  const std::vector<std::string>& columns() const { return pedigree_->columns; }
  const std::string& unit(std::size_t column) const { return pedigree_->units[column]; }

  /// The column of that name; reported when it is not there (need) or simply empty (find).
  std::optional<std::size_t> need(std::string_view column);
  std::optional<std::size_t> find(std::string_view column);
  /// Columns that are not in the list: the ones whose titles carry meaning of their own.
  std::vector<std::size_t> others(const std::vector<std::string>& known);

  /// Empty where the cell is "-" or wrong (which is reported).
  std::optional<double> number(std::size_t row, std::optional<std::size_t> column, Dimension dim);
  /// A number above zero in a unit that quantity.hpp does not know, which must be written exactly
  /// so.
  std::optional<double> number(std::size_t row, std::optional<std::size_t> column,
                               std::string_view unit);
  /// As above, but the cell must be there.
  std::optional<double> need_number(std::size_t row, std::optional<std::size_t> column,
                                    Dimension dim);
  /// A number above zero; empty where the cell is "-" or wrong.
  std::optional<double> positive(std::size_t row, std::optional<std::size_t> column, Dimension dim);
  std::string text(std::size_t row, std::optional<std::size_t> column);
  std::optional<bool> yes_no(std::size_t row, std::optional<std::size_t> column);
  std::optional<ConductorSize> size(std::size_t row, std::optional<std::size_t> column);
  Span where(std::size_t row, std::size_t column) const;

  /// Names this row; takes the optional columns "confidence" and "note".
  Citation cite(std::size_t row, std::string label);
  Citation cite() const;  ///< the table as a whole

  TableText as_text() const;

  /// Reports columns and keys that nobody asked for.
  void finish();
  /// The table was refused as a whole: finish() has nothing to add.
  void refuse() { refused_ = true; }

  void wrong(std::size_t row, std::size_t column, std::string what, std::string expected);

 private:
  Table(const RawRecord& raw, std::string label, Problems& problems)
      : options(raw, std::move(label), problems), problems_(&problems) {}

  bool read_pedigree(const Head& head);
  bool read_columns(Pedigree& pedigree);
  void read_rows();
  const RawValue& cell(std::size_t row, std::size_t column) const { return rows_[row][column]; }
  bool missing(std::size_t row, std::size_t column) const;
  void asked(std::size_t column) { used_[column] = true; }

  Problems* problems_;
  PedigreeRef pedigree_;
  std::string local_id_;
  std::string replaces_;
  std::vector<std::vector<RawValue>> rows_;
  std::vector<bool> used_;
  std::vector<bool> unit_reported_;
  bool refused_ = false;
};

}  // namespace nightbus::catalogue_detail
