// Tables that any kind of file may hold: single figures, curves, evidence.

#include <fmt/format.h>

#include <algorithm>

#include "catalogue/owner.hpp"

namespace nightbus::catalogue_detail {

void read_guides(Table& table, Owner& owner, std::vector<Guide>& guides) {
  const auto name = table.need("name");
  const auto value = table.need("value");
  const auto unit = table.need("unit");
  const auto low = table.find("low");
  const auto high = table.find("high");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    Guide guide;
    guide.name = table.text(row, name);
    const auto written = table.need_number(row, value, Dimension::number);
    if (guide.name.empty() || !written || !unit) continue;
    if (!owner.claim("guide " + guide.name, fmt::format("\"{}\"", guide.name),
                     table.where(row, *name))) {
      continue;
    }
    const auto written_unit = table.text(row, unit);
    const auto inside = free_unit(written_unit);
    const auto convert = [&](double x) { return in_free_unit(x, written_unit, inside); };
    guide.unit = inside.unit;
    guide.value = convert(*written);
    guide.low = convert(table.number(row, low, Dimension::number).value_or(*written));
    guide.high = convert(table.number(row, high, Dimension::number).value_or(*written));
    if (guide.low > guide.value || guide.high < guide.value) {
      table.wrong(row, *value, "a value outside its own spread", "low ≤ value ≤ high");
    }
    guide.from = table.cite(row, guide.name);
    guides.push_back(std::move(guide));
  }
}

Curve read_points(Table& table, std::size_t x, Dimension x_dimension, std::size_t y,
                  Dimension y_dimension, double y_scale) {
  Curve curve;
  curve.from = table.cite();
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const auto at = table.need_number(row, x, x_dimension);
    const auto value = table.number(row, y, y_dimension);
    if (!at || !value) continue;
    if (!curve.points.empty() && *at == curve.points.back().x) {
      table.wrong(row, x, "the same place twice", "each place once");
    }
    curve.points.push_back({*at, *value * y_scale});
    curve.from.confidence = weaker(curve.from.confidence, table.cite(row, {}).confidence);
  }
  std::sort(curve.points.begin(), curve.points.end(),
            [](const CurvePoint& a, const CurvePoint& b) { return a.x < b.x; });
  return curve;
}

void read_curve(Table& table, Owner& owner, std::vector<NamedCurve>& curves) {
  const auto axes = table.others({});
  if (axes.size() != 2) {
    report(*owner.problems, "wrong-columns",
           fmt::format("{} holds a curve and needs two columns", table.options.label()),
           table.options.where("columns"), "the place and the value",
           fmt::format("{} columns", axes.size()));
    return;
  }
  if (!owner.claim("curve " + table.local_id(), fmt::format("curve \"{}\"", table.local_id()),
                   table)) {
    return;
  }
  const auto x = free_unit(table.unit(axes[0]));
  const auto y = free_unit(table.unit(axes[1]));
  NamedCurve curve;
  curve.name = table.local_id();
  curve.x_unit = x.unit;
  curve.y_unit = y.unit;
  curve.curve = read_points(table, axes[0], x.dimension.value_or(Dimension::number), axes[1],
                            y.dimension.value_or(Dimension::number), 1.0);
  curves.push_back(std::move(curve));
}

void read_evidence(Table& table) {
  table.others({});
}

std::vector<Installation> read_installations(Table& table, std::string_view key) {
  std::vector<Installation> out;
  const auto words = table.options.texts(key);
  if (!words) return out;
  for (const auto& word : *words) {
    if (const auto installation = parse_installation(word)) {
      out.push_back(*installation);
    } else {
      table.options.wrong(key, fmt::format("unknown way of installing \"{}\"", word),
                          suggestion(word, installation_names()));
    }
  }
  return out;
}

}  // namespace nightbus::catalogue_detail
