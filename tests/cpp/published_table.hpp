#pragma once
/// Reads the check values of tests/published: comma-separated, '#' starts a comment line, the first
/// other line names the columns. A cell may be quoted. Each row carries its source.

#include <doctest/doctest.h>

#include <cmath>
#include <cstdlib>
#include <fstream>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

namespace published {

struct Row {
  const std::vector<std::string>* names = nullptr;
  std::vector<std::string> cells;

  bool has(const std::string& name) const { return !text(name).empty(); }
  std::string text(const std::string& name) const {
    for (std::size_t k = 0; k < names->size(); ++k) {
      if ((*names)[k] == name) return k < cells.size() ? cells[k] : std::string{};
    }
    throw std::runtime_error("no column " + name);
  }
  double number(const std::string& name) const {
    const std::string cell = text(name);
    char* end = nullptr;
    const double value = std::strtod(cell.c_str(), &end);
    if (end == cell.c_str() || *end != '\0') {
      throw std::runtime_error("column " + name + ": not a number: '" + cell + "'");
    }
    return value;
  }
  /// The `tolerance` cell, or half a unit in the last printed digit of `name`.
  double tolerance(const std::string& name) const {
    if (has("tolerance")) return number("tolerance");
    return half_last_digit(text(name));
  }
  static double half_last_digit(const std::string& printed) {
    std::string mantissa = printed;
    int exponent = 0;
    if (const auto e = mantissa.find_first_of("eE"); e != std::string::npos) {
      exponent = std::atoi(mantissa.c_str() + e + 1);
      mantissa.resize(e);
    }
    const auto point = mantissa.find('.');
    const int decimals =
        point == std::string::npos ? 0 : static_cast<int>(mantissa.size() - point - 1);
    // A hair above one half: the printed value was itself rounded from a binary number.
    return 0.5001 * std::pow(10.0, exponent - decimals);
  }
};

struct Table {
  std::vector<std::string> names;
  std::vector<Row> rows;
};

inline std::vector<std::string> split(const std::string& line) {
  std::vector<std::string> cells(1);
  bool quoted = false;
  for (const char c : line) {
    if (c == '"') {
      quoted = !quoted;
    } else if (c == ',' && !quoted) {
      cells.emplace_back();
    } else {
      cells.back() += c;
    }
  }
  for (std::string& cell : cells) {
    const auto first = cell.find_first_not_of(" \t\r");
    const auto last = cell.find_last_not_of(" \t\r");
    cell = first == std::string::npos ? "" : cell.substr(first, last - first + 1);
  }
  return cells;
}

/// Every row must carry a source; a table without rows is an error.
inline const Table& read(Table& table, const std::string& file) {
  const std::string path = std::string(NIGHTBUS_SOURCE_DIR) + "/tests/published/" + file;
  std::ifstream in(path);
  if (!in) throw std::runtime_error("cannot open " + path);
  std::string line;
  while (std::getline(in, line)) {
    if (line.empty() || line.front() == '#') continue;
    if (table.names.empty()) {
      table.names = split(line);
      continue;
    }
    Row row;
    row.cells = split(line);
    if (row.cells.size() != table.names.size()) {
      throw std::runtime_error(file + ": wrong number of cells: " + line);
    }
    table.rows.push_back(std::move(row));
  }
  for (Row& row : table.rows) {
    row.names = &table.names;
    if (!row.has("source")) throw std::runtime_error(file + ": a row without a source");
  }
  if (table.rows.empty()) throw std::runtime_error(file + ": no rows");
  return table;
}

/// |got - expected| within the row's tolerance, with the row printed on failure.
inline void check(const Row& row, const std::string& column, double got) {
  const double expected = row.number(column);
  const double tolerance = row.tolerance(column);
  std::ostringstream all;
  for (const std::string& cell : row.cells) all << cell << " | ";
  INFO(all.str());
  INFO(column, " expected ", expected, " got ", got, " tolerance ", tolerance);
  CHECK(std::abs(got - expected) <= tolerance);
}

}  // namespace published
