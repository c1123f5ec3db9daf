// Ampacity tables and what corrects them: ambient, grouping, terminals.

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <limits>

#include "catalogue/rule_readers.hpp"

namespace nightbus::catalogue_detail {

namespace {

constexpr double unbounded = std::numeric_limits<double>::infinity();

/// The temperature in a column title, "75 °C".
std::optional<double> column_temp(Table& table, std::size_t column, Problems& problems) {
  const auto& title = table.columns()[column];
  const auto parsed = parse_quantity(title, Dimension::temperature);
  if (parsed) return *parsed;
  report(problems, "wrong-columns",
         fmt::format("column \"{}\" of {} is not an insulation temperature", title,
                     table.options.label()),
         table.options.where("columns"), "a title such as \"75 °C\"");
  return std::nullopt;
}

double base_ambient(Table& table) {
  const auto base = table.options.quantity("base_ambient", Dimension::temperature);
  if (!base && !table.options.has("base_ambient")) {
    table.options.wrong("base_ambient", "missing", "base_ambient = \"30 °C\"");
  }
  return base.value_or(30.0);
}

/// Rows of one table; `columns` are the cell columns with the insulation each stands for.
void fill_rows(Table& table, Owner& owner, AmpacityTable& out,
               const std::vector<std::pair<std::size_t, double>>& columns) {
  const auto size_column = table.need("size");
  const auto area_column = table.find("area");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const auto size = table.size(row, size_column);
    if (!size) continue;
    AmpacityRow entry;
    entry.size = *size;
    auto area = table.positive(row, area_column, Dimension::area);
    if (!area) area = formula_area_mm2(*size);
    if (!area) {
      table.wrong(row, *size_column, "a SAE number", "a column \"area\" beside SAE numbers");
      continue;
    }
    entry.area_mm2 = *area;
    entry.from = table.cite(row, print_size(*size));
    for (const auto& [column, temp_c] : columns) {
      const auto value = table.positive(row, column, Dimension::current);
      if (!value) continue;
      for (const auto method : out.serves) {
        const auto key = fmt::format("ampacity {} {} {} {} {}", installation_name(method),
                                     out.material, out.solar, temp_c, print_size(*size));
        owner.claim(key,
                    fmt::format("ampacity of {} at {} °C, {},", print_size(*size), temp_c,
                                installation_name(method)),
                    table.where(row, column));
      }
      entry.cells.push_back({temp_c, *value});
    }
    out.rows.push_back(std::move(entry));
  }
  std::stable_sort(
      out.rows.begin(), out.rows.end(),
      [](const AmpacityRow& a, const AmpacityRow& b) { return a.area_mm2 < b.area_mm2; });
}

}  // namespace

void read_ampacity(Table& table, Owner& owner, RuleSet::Data& rules) {
  AmpacityTable out;
  out.material = table.options.text("material").value_or("copper");
  out.base_ambient_c = base_ambient(table);
  out.solar = table.options.flag("solar").value_or(false);
  out.caution = table.options.text("caution").value_or("");
  out.caution_for = read_installations(table, "caution_for");
  const auto columns = table.others({"size", "area"});

  // With one insulation for the whole table the columns are ways of installing.
  if (const auto insulation_c = table.options.quantity("insulation", Dimension::temperature)) {
    for (const auto column : columns) {
      const auto installation = parse_installation(table.columns()[column]);
      if (!installation) {
        table.options.wrong("columns",
                            fmt::format("\"{}\" is no way of installing", table.columns()[column]),
                            suggestion(table.columns()[column], installation_names()));
        continue;
      }
      auto one = out;
      one.serves = {*installation};
      fill_rows(table, owner, one, {{column, *insulation_c}});
      rules.ampacities.push_back(std::move(one));
    }
    return;
  }
  out.serves = read_installations(table, "installations");
  if (out.serves.empty()) table.options.wrong("installations", "no way of installing is named");
  std::vector<std::pair<std::size_t, double>> titled;
  for (const auto column : columns) {
    if (const auto temp_c = column_temp(table, column, *owner.problems)) {
      titled.emplace_back(column, *temp_c);
    }
  }
  fill_rows(table, owner, out, titled);
  rules.ampacities.push_back(std::move(out));
}

void read_ambient(Table& table, Owner& owner, RuleSet::Data& rules) {
  AmbientTable out;
  out.base_c = base_ambient(table);
  const auto between = table.options.need_text("between");
  if (between != "next row" && between != "formula") {
    table.options.wrong("between", "says neither", "\"next row\" or \"formula\"");
  }
  out.next_row = between == "next row";
  out.formula = table.options.flag("formula").value_or(false);
  out.cold_credit = table.options.flag("cold_credit").value_or(false);
  out.from = table.cite();
  const auto ambient = table.need("ambient");
  std::vector<std::size_t> columns;
  for (const auto column : table.others({"ambient"})) {
    const auto temp_c = column_temp(table, column, *owner.problems);
    if (!temp_c) continue;
    owner.claim(fmt::format("ambient {}", *temp_c),
                fmt::format("the ambient factor at {} °C", *temp_c),
                table.options.where("columns"));
    out.columns_c.push_back(*temp_c);
    columns.push_back(column);
  }
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const auto ambient_c = table.need_number(row, ambient, Dimension::temperature);
    if (!ambient_c) continue;
    AmbientRow entry;
    entry.ambient_c = *ambient_c;
    for (const auto column : columns) {
      entry.factors.push_back(table.number(row, column, Dimension::ratio));
    }
    entry.from = table.cite(row, fmt::format("{} °C", *ambient_c));
    out.rows.push_back(std::move(entry));
  }
  std::stable_sort(out.rows.begin(), out.rows.end(), [](const AmbientRow& a, const AmbientRow& b) {
    return a.ambient_c < b.ambient_c;
  });
  rules.ambients.push_back(std::move(out));
}

void read_ambient_formula(Table& table, Owner& owner, RuleSet::Data& rules) {
  const auto column = table.need("base ambient");
  if (table.rows() != 1) {
    if (table.rows() > 1) table.options.wrong("rows", "one base ambient is enough");
    return;
  }
  const auto base = table.need_number(0, column, Dimension::temperature);
  if (!owner.claim("ambient formula", "the ambient formula", table)) return;
  rules.ambient_formula = AmbientFormula{base.value_or(30.0), table.cite()};
}

void read_grouping(Table& table, Owner& owner, RuleSet::Data& rules) {
  GroupingTable out;
  const auto counts = table.options.need_text("counts");
  if (counts != "conductors" && counts != "circuits") {
    table.options.wrong("counts", "says neither", "\"conductors\" or \"circuits\"");
  }
  out.counts_circuits = counts == "circuits";
  out.single_layer = table.options.flag("single_layer").value_or(false);
  out.only_for = read_installations(table, "installations");
  out.from_voltage_v = table.options.quantity("from_voltage", Dimension::voltage);
  out.below_note = table.options.text("below_note").value_or("");
  out.from_length_m = table.options.quantity("from_length", Dimension::length);
  out.clear_diameters = table.options.number("clear_diameters");
  for (const auto* key : {"from_size", "up_to_size"}) {
    const auto written = table.options.text(key);
    if (!written) continue;
    const auto size = parse_size(*written);
    if (!size || !formula_area_mm2(*size)) {
      table.options.wrong(key, "not a size", "a size such as \"10 AWG\"");
      continue;
    }
    (key == std::string_view("from_size") ? out.from_area_mm2 : out.to_area_mm2) =
        formula_area_mm2(*size);
  }
  out.from = table.cite();
  const auto up_to = table.need("up to");
  const auto factor = table.need("factor");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const auto count = table.number(row, up_to, Dimension::number).value_or(unbounded);
    const auto value = table.need_number(row, factor, Dimension::ratio);
    if (!value) continue;
    const auto label = count == unbounded ? fmt::format("more {}", counts)
                                          : fmt::format("up to {} {}", count, counts);
    out.rows.push_back({count, *value, table.cite(row, label)});
  }
  std::stable_sort(out.rows.begin(), out.rows.end(),
                   [](const GroupingRow& a, const GroupingRow& b) { return a.up_to < b.up_to; });
  std::vector<std::string> methods;
  for (const auto method : out.only_for) methods.emplace_back(installation_name(method));
  owner.claim(fmt::format("grouping {} {} {} {}", out.single_layer, fmt::join(methods, "+"),
                          out.from_area_mm2.value_or(0), out.to_area_mm2.value_or(0)),
              "the grouping factor", table);
  rules.groupings.push_back(std::move(out));
}

void read_terminals(Table& table, Owner& owner, RuleSet::Data& rules) {
  if (!owner.claim("terminals", "the terminal rule", table)) return;
  TerminalRule out;
  const auto word = table.options.need_text("installation");
  if (const auto installation = parse_installation(word)) {
    out.installation = *installation;
  } else {
    table.options.wrong("installation", "unknown way of installing",
                        suggestion(word, installation_names()));
  }
  const auto up_to = table.need("up to circuit");
  const auto column = table.need("column");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const auto limit = table.number(row, up_to, Dimension::current).value_or(unbounded);
    const auto temp_c = table.need_number(row, column, Dimension::temperature);
    if (!temp_c) continue;
    const auto label =
        limit == unbounded ? std::string("larger circuits") : fmt::format("up to {} A", limit);
    out.rows.push_back({limit, *temp_c, table.cite(row, label)});
  }
  std::stable_sort(
      out.rows.begin(), out.rows.end(),
      [](const TerminalRow& a, const TerminalRow& b) { return a.up_to_a < b.up_to_a; });
  rules.terminals = std::move(out);
}

}  // namespace nightbus::catalogue_detail
