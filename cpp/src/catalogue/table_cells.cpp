// Cells: numbers with the column's unit, words, sizes, citations.

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>

#include "catalogue/table.hpp"

namespace nightbus::catalogue_detail {

namespace {

/// Temperatures and slopes have a sign; amounts have none.
bool may_be_negative(Dimension dimension) {
  return dimension == Dimension::number || dimension == Dimension::temperature ||
         dimension == Dimension::temperature_difference ||
         dimension == Dimension::ratio_per_kelvin || dimension == Dimension::voltage_per_kelvin;
}

}  // namespace

std::optional<std::size_t> Table::find(std::string_view column) {
  const auto& names = columns();
  const auto at = std::find(names.begin(), names.end(), column);
  if (at == names.end()) return std::nullopt;
  const auto index = static_cast<std::size_t>(at - names.begin());
  asked(index);
  return index;
}

std::optional<std::size_t> Table::need(std::string_view column) {
  const auto index = find(column);
  if (!index) {
    report(*problems_, "wrong-columns",
           fmt::format("{} has no column \"{}\"", options.label(), column),
           options.where("columns"),
           fmt::format("a column \"{}\" in a table that holds \"{}\"", column, holds()),
           fmt::format("{}", fmt::join(columns(), ", ")));
  }
  return index;
}

std::vector<std::size_t> Table::others(const std::vector<std::string>& known) {
  std::vector<std::size_t> out;
  for (std::size_t i = 0; i < columns().size(); ++i) {
    const auto& name = columns()[i];
    if (name == "confidence" || name == "note") continue;
    if (std::find(known.begin(), known.end(), name) != known.end()) continue;
    asked(i);
    out.push_back(i);
  }
  return out;
}

Span Table::where(std::size_t row, std::size_t column) const {
  return cell(row, column).where;
}

bool Table::missing(std::size_t row, std::size_t column) const {
  const auto* text = cell(row, column).text();
  return text && (*text == "-" || text->empty());
}

void Table::wrong(std::size_t row, std::size_t column, std::string what, std::string expected) {
  report(*problems_, "wrong-value",
         fmt::format("{} in column \"{}\" of {}", what, columns()[column], options.label()),
         where(row, column), std::move(expected), describe(cell(row, column)));
}

std::optional<double> Table::number(std::size_t row, std::optional<std::size_t> column,
                                    Dimension dim) {
  if (!column || missing(row, *column)) return std::nullopt;
  const auto& name = unit(*column);
  const bool bare = dim == Dimension::number || dim == Dimension::ratio;
  const auto* written = cell(row, *column).number();
  if (!written) {
    wrong(row, *column, "not a number", "a number, or \"-\" for an empty cell");
    return std::nullopt;
  }
  const auto spelled =
      name.empty() ? fmt::format("{}", *written) : fmt::format("{} {}", *written, name);
  const auto parsed = parse_quantity(spelled, dim);
  if (parsed && !(name.empty() && !bare)) {
    if (*parsed >= 0 || may_be_negative(dim)) return *parsed;
    wrong(row, *column, "a negative value", "zero or more");
    return std::nullopt;
  }
  // A unit that serves for 1 is not to blame: the value is absurd or has the wrong sign.
  if (!name.empty() && parse_quantity("1 " + name, dim)) {
    wrong(row, *column, "a value that cannot be", parsed.problem.expected);
    return std::nullopt;
  }
  if (!unit_reported_[*column]) {
    unit_reported_[*column] = true;
    report(*problems_, "wrong-unit",
           fmt::format("the unit of column \"{}\" of {} cannot be used", columns()[*column],
                       options.label()),
           options.where("units"),
           std::string(dimension_name(dim)) + ", for example \"" + std::string(inside_unit(dim)) +
               "\"",
           fmt::format("\"{}\"", name), parsed.problem.mend);
  }
  return std::nullopt;
}

std::optional<double> Table::number(std::size_t row, std::optional<std::size_t> column,
                                    std::string_view exact_unit) {
  if (!column || missing(row, *column)) return std::nullopt;
  const auto* written = cell(row, *column).number();
  if (!written) {
    wrong(row, *column, "not a number", "a number, or \"-\" for an empty cell");
    return std::nullopt;
  }
  if (unit(*column) != exact_unit) {
    if (!unit_reported_[*column]) {
      unit_reported_[*column] = true;
      report(*problems_, "wrong-unit",
             fmt::format("the unit of column \"{}\" of {} cannot be used", columns()[*column],
                         options.label()),
             options.where("units"), fmt::format("\"{}\"", exact_unit),
             fmt::format("\"{}\"", unit(*column)));
    }
    return std::nullopt;
  }
  if (*written <= 0) {
    wrong(row, *column, "not above zero", "more than zero");
    return std::nullopt;
  }
  return *written;
}

std::optional<double> Table::need_number(std::size_t row, std::optional<std::size_t> column,
                                         Dimension dim) {
  if (column && missing(row, *column)) {
    wrong(row, *column, "an empty cell", "a number");
    return std::nullopt;
  }
  return number(row, column, dim);
}

std::optional<double> Table::positive(std::size_t row, std::optional<std::size_t> column,
                                      Dimension dim) {
  const auto value = number(row, column, dim);
  if (value && *value <= 0) {
    wrong(row, *column, "not above zero", "more than zero");
    return std::nullopt;
  }
  return value;
}

std::string Table::text(std::size_t row, std::optional<std::size_t> column) {
  if (!column) return {};
  if (const auto* text = cell(row, *column).text()) return *text;
  wrong(row, *column, "not a text", "a text in quotes");
  return {};
}

std::optional<bool> Table::yes_no(std::size_t row, std::optional<std::size_t> column) {
  if (!column) return std::nullopt;
  if (const auto* flag = cell(row, *column).flag()) return *flag;
  const auto* text = cell(row, *column).text();
  if (text && *text == "yes") return true;
  if (text && *text == "no") return false;
  wrong(row, *column, "neither yes nor no", "\"yes\" or \"no\"");
  return std::nullopt;
}

std::optional<ConductorSize> Table::size(std::size_t row, std::optional<std::size_t> column) {
  if (!column) return std::nullopt;
  const auto& value = cell(row, *column);
  std::string written;
  if (const auto* text = value.text()) written = *text;
  if (const auto* number = value.number()) written = fmt::format("{}", *number);
  if (unit(*column) != "size") written += " " + unit(*column);
  const auto parsed = parse_size(written);
  if (parsed) return *parsed;
  wrong(row, *column, "not a conductor size",
        "a size such as \"12 AWG\"; the column's unit is \"AWG\", \"SAE\", \"mm²\", \"kcmil\" or "
        "\"size\"");
  return std::nullopt;
}

Citation Table::cite() const {
  return {.pedigree = pedigree_, .row = {}, .note = {}, .confidence = pedigree_->confidence};
}

Citation Table::cite(std::size_t row, std::string label) {
  auto citation = cite();
  citation.row = std::move(label);
  if (const auto column = find("note")) citation.note = text(row, column);
  if (const auto column = find("confidence")) {
    const auto word = text(row, column);
    if (const auto confidence = parse_confidence(word)) {
      citation.confidence = *confidence;
    } else {
      wrong(row, *column, "unknown confidence",
            fmt::format("{}", fmt::join(confidence_words_known(), "; ")));
    }
  }
  return citation;
}

FreeUnit free_unit(std::string_view written) {
  // Ordered by what a spelling most likely means in a table of figures: "h" is a time, "K" a
  // difference, "°C" a temperature.
  static constexpr std::array order{Dimension::ratio,
                                    Dimension::length,
                                    Dimension::area,
                                    Dimension::time,
                                    Dimension::temperature,
                                    Dimension::voltage,
                                    Dimension::current,
                                    Dimension::resistance,
                                    Dimension::capacitance,
                                    Dimension::inductance,
                                    Dimension::power,
                                    Dimension::charge,
                                    Dimension::energy,
                                    Dimension::melting_integral,
                                    Dimension::mass,
                                    Dimension::speed,
                                    Dimension::pressure,
                                    Dimension::air_flow,
                                    Dimension::irradiance,
                                    Dimension::resistance_per_length,
                                    Dimension::voltage_per_kelvin,
                                    Dimension::ratio_per_kelvin,
                                    Dimension::ratio_per_time,
                                    Dimension::heat_transmittance,
                                    Dimension::thermal_conductance,
                                    Dimension::heat_capacity};
  if (written.empty()) return {"", std::nullopt};
  if (written == "K") return {"K", Dimension::temperature_difference};
  for (const auto dimension : order) {
    for (const auto& unit : units()) {
      if (unit.dimension != dimension || unit.spelling != written) continue;
      const auto inside = inside_unit(dimension);
      return {std::string(inside == "1" ? "" : inside), dimension};
    }
  }
  return {std::string(written), std::nullopt};
}

double in_free_unit(double written, std::string_view written_unit, const FreeUnit& unit) {
  if (!unit.dimension) return written;
  const auto parsed = parse_quantity(fmt::format("{} {}", written, written_unit), *unit.dimension);
  return parsed ? *parsed : written;
}

}  // namespace nightbus::catalogue_detail
