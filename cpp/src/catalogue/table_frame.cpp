// A table's frame: pedigree, columns and rows, before anybody reads a cell.

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cctype>

#include "catalogue/table.hpp"

namespace nightbus::catalogue_detail {

namespace {

bool looks_like_date(std::string_view text) {
  if (text.size() != 10) return false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool dash = i == 4 || i == 7;
    if (dash ? text[i] != '-' : std::isdigit(static_cast<unsigned char>(text[i])) == 0) {
      return false;
    }
  }
  return true;
}

}  // namespace

std::optional<Table> Table::read(const RawRecord& raw, const Head& head, Problems& problems) {
  Table table(raw, "a table", problems);
  const auto name = table.options.text("id");
  table.options.set_label(name ? fmt::format("table \"{}\"", *name) : "a table");
  if (!table.read_pedigree(head)) return std::nullopt;
  table.read_rows();
  return table;
}

bool Table::read_pedigree(const Head& head) {
  auto pedigree = std::make_shared<Pedigree>();
  pedigree->owner = head.name;
  local_id_ = options.need_text("id");
  pedigree->id = head.name + "/" + local_id_;
  pedigree->holds = options.need_text("holds");
  pedigree->purpose = options.need_text("purpose");
  pedigree->standard = options.need_text("standard");
  pedigree->edition = options.text("edition").value_or("");
  pedigree->table = options.text("table").value_or("");
  pedigree->source = options.need_text("source");
  pedigree->fallback = options.text("fallback").value_or(head.fallback);
  pedigree->limits = options.text("limits").value_or(head.limits);
  pedigree->date = options.text("date").value_or(head.date);
  pedigree->built_in = head.built_in;
  pedigree->where = options.where();
  replaces_ = options.text("replaces").value_or("");

  if (!pedigree->date.empty() && !looks_like_date(pedigree->date)) {
    report(*problems_, "wrong-value", fmt::format("date of {} cannot be read", options.label()),
           options.where("date"), "a date such as \"2026-11-25\"", pedigree->date);
  }
  const auto word = options.need_text("confidence");
  if (const auto confidence = parse_confidence(word)) {
    pedigree->confidence = *confidence;
  } else if (!word.empty()) {
    report(*problems_, "wrong-value", fmt::format("unknown confidence in {}", options.label()),
           options.where("confidence"), {}, fmt::format("\"{}\"", word),
           suggestion(word, confidence_words_known()));
  }
  const bool sound = read_columns(*pedigree);
  pedigree_ = std::move(pedigree);
  return sound && !local_id_.empty() && !pedigree_->holds.empty();
}

bool Table::read_columns(Pedigree& pedigree) {
  for (const auto* key : {"columns", "units", "rows"}) {
    if (options.has(key)) continue;
    report(*problems_, "missing-key", fmt::format("{} has no \"{}\"", options.label(), key),
           options.where(), fmt::format("{} = [ … ]", key));
  }
  const auto columns = options.texts("columns");
  const auto units = options.texts("units");
  if (!columns || !units || columns->empty()) return false;
  if (columns->size() != units->size()) {
    report(*problems_, "wrong-columns",
           fmt::format("{} names {} columns but {} units", options.label(), columns->size(),
                       units->size()),
           options.where("units"), fmt::format("{} units, \"\" for words", columns->size()),
           fmt::format("{}", units->size()), "give each column its unit");
    return false;
  }
  for (std::size_t i = 0; i < columns->size(); ++i) {
    if (std::find(columns->begin(), columns->begin() + static_cast<std::ptrdiff_t>(i),
                  (*columns)[i]) == columns->begin() + static_cast<std::ptrdiff_t>(i)) {
      continue;
    }
    report(*problems_, "wrong-columns",
           fmt::format("{} has two columns named \"{}\"", options.label(), (*columns)[i]),
           options.where("columns"), "each name once");
    return false;
  }
  pedigree.columns = *columns;
  pedigree.units = *units;
  used_.assign(columns->size(), false);
  unit_reported_.assign(columns->size(), false);
  return true;
}

void Table::read_rows() {
  const auto* rows = options.array("rows");
  if (!rows) return;
  const auto width = columns().size();
  if (rows->empty()) {
    report(*problems_, "wrong-columns", fmt::format("{} has no rows", options.label()),
           options.where("rows"), "at least one row");
  }
  for (const auto& row : *rows) {
    const auto* cells = row.array();
    // A table of one column may list its cells without brackets of their own.
    if (!cells && width == 1) {
      rows_.push_back({row});
      continue;
    }
    if (!cells || cells->size() != width) {
      report(*problems_, "wrong-columns",
             fmt::format("a row of {} has the wrong length", options.label()), row.where,
             fmt::format("{} cells: {}", width, fmt::join(columns(), ", ")),
             cells ? fmt::format("{} cells", cells->size()) : describe(row),
             "write \"-\" for a cell that is empty");
      continue;
    }
    rows_.push_back(*cells);
  }
}

TableText Table::as_text() const {
  TableText out;
  out.pedigree = pedigree_;
  for (const auto& row : rows_) {
    std::vector<std::string> cells;
    for (const auto& value : row) {
      if (const auto* text = value.text()) {
        cells.push_back(*text);
      } else if (const auto* number = value.number()) {
        cells.push_back(fmt::format("{}", *number));
      } else {
        cells.emplace_back();
      }
    }
    out.rows.push_back(std::move(cells));
  }
  return out;
}

void Table::finish() {
  if (refused_) return;
  for (std::size_t i = 0; i < used_.size(); ++i) {
    if (used_[i]) continue;
    report(*problems_, "wrong-columns",
           fmt::format("column \"{}\" of {} means nothing in a table that holds \"{}\"",
                       columns()[i], options.label(), holds()),
           options.where("columns"), {}, {}, "rename or remove it");
  }
  options.finish();
}

}  // namespace nightbus::catalogue_detail
