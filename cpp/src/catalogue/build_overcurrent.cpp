// Files of kind "overcurrent": one form of fuse or breaker each.

#include <fmt/format.h>

#include <algorithm>

#include "catalogue/owner.hpp"

namespace nightbus::catalogue_detail {

namespace {

void read_ratings(Table& table, Owner& owner, OvercurrentForm& form) {
  if (!owner.claim("ratings", "the list of ratings", table)) return;
  const auto rating = table.need("rating");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const auto value = table.positive(row, rating, Dimension::current);
    if (value) form.ratings_a.push_back(*value);
  }
  std::sort(form.ratings_a.begin(), form.ratings_a.end());
  form.ratings_from = table.cite();
}

void read_interrupts(Table& table, Owner& owner, OvercurrentForm& form) {
  const auto voltage = table.need("voltage");
  const auto current = table.need("current");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const auto volts = table.need_number(row, voltage, Dimension::voltage);
    const auto amps = table.need_number(row, current, Dimension::current);
    if (!volts || !amps) continue;
    const auto name = fmt::format("the interrupt rating at {} V", *volts);
    if (!owner.claim(name, name, table.where(row, *voltage))) continue;
    form.interrupts.push_back({*volts, *amps, table.cite(row, fmt::format("{} V", *volts))});
  }
  std::sort(
      form.interrupts.begin(), form.interrupts.end(),
      [](const InterruptRating& a, const InterruptRating& b) { return a.voltage_v < b.voltage_v; });
}

void read_opening(Table& table, OvercurrentForm& form) {
  OpeningBand band;
  if (const auto low = table.options.quantity("from_rating", Dimension::current)) band.low_a = *low;
  if (const auto high = table.options.quantity("to_rating", Dimension::current)) {
    band.high_a = *high;
  }
  for (const auto& other : form.opening) {
    if (band.low_a <= other.high_a && other.low_a <= band.high_a) {
      table.options.wrong("from_rating", "two opening tables for the same ratings",
                          "from_rating and to_rating must not overlap another table's");
      table.refuse();
      return;
    }
  }
  const auto current = table.need("current");
  const auto least = table.need("least");
  const auto most = table.need("most");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    OpeningPoint point;
    const auto ratio = table.positive(row, current, Dimension::ratio);
    point.least_s = table.positive(row, least, Dimension::time);
    point.most_s = table.positive(row, most, Dimension::time);
    if (!ratio || !(point.least_s || point.most_s)) continue;
    if (point.least_s && point.most_s && *point.least_s > *point.most_s) {
      table.wrong(row, *least, "a least time above the most", "least ≤ most");
      continue;
    }
    point.ratio = *ratio;
    point.from = table.cite(row, fmt::format("{:.0f} %", *ratio * 100.0));
    band.points.push_back(std::move(point));
  }
  std::sort(band.points.begin(), band.points.end(),
            [](const OpeningPoint& a, const OpeningPoint& b) { return a.ratio < b.ratio; });
  form.opening.push_back(std::move(band));
}

void read_rerating(Table& table, Owner& owner, OvercurrentForm& form) {
  if (!owner.claim("rerating", "the re-rating", table)) return;
  const auto temperature = table.need("temperature");
  const auto share = table.need("share");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const auto temp_c = table.need_number(row, temperature, Dimension::temperature);
    const auto factor = table.need_number(row, share, Dimension::ratio);
    if (!temp_c || !factor) continue;
    form.rerating.push_back({*temp_c, *factor, table.cite(row, fmt::format("{} °C", *temp_c))});
  }
  std::sort(
      form.rerating.begin(), form.rerating.end(),
      [](const TemperaturePoint& a, const TemperaturePoint& b) { return a.temp_c < b.temp_c; });
}

void read_by_rating(Table& table, Owner& owner, std::string_view column, Dimension dimension,
                    std::vector<RatingValue>& out) {
  const auto rating = table.need("rating");
  const auto wanted = table.need(column);
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const auto amps = table.need_number(row, rating, Dimension::current);
    const auto value = table.need_number(row, wanted, dimension);
    if (!amps || !value) continue;
    const auto name = fmt::format("the {} at {} A", column, *amps);
    if (!owner.claim(name, name, table.where(row, *rating))) continue;
    out.push_back({*amps, *value, table.cite(row, fmt::format("{} A", *amps))});
  }
  std::sort(out.begin(), out.end(),
            [](const RatingValue& a, const RatingValue& b) { return a.rating_a < b.rating_a; });
}

void read_form_table(Table& table, Owner& owner, OvercurrentForm& form) {
  const auto& holds = table.holds();
  if (holds == "ratings") {
    read_ratings(table, owner, form);
  } else if (holds == "interrupt ratings") {
    read_interrupts(table, owner, form);
  } else if (holds == "opening") {
    read_opening(table, form);
  } else if (holds == "rerating") {
    read_rerating(table, owner, form);
  } else if (holds == "melting") {
    read_by_rating(table, owner, "melting", Dimension::melting_integral, form.melting_a2s);
  } else if (holds == "cold resistance") {
    read_by_rating(table, owner, "resistance", Dimension::resistance, form.cold_ohm);
  } else if (holds == "drop at rating") {
    read_by_rating(table, owner, "drop", Dimension::voltage, form.drop_v);
  } else if (holds == "guides") {
    read_guides(table, owner, form.guides);
  } else if (holds == "evidence") {
    read_evidence(table);
  } else {
    unknown_holds(table,
                  {"ratings", "interrupt ratings", "opening", "rerating", "melting",
                   "cold resistance", "drop at rating", "guides", "evidence"},
                  *owner.problems);
    return;
  }
  table.finish();
}

}  // namespace

void build_overcurrent(Owner& owner, Catalogue::Data& data) {
  OvercurrentForm form;
  auto& record = owner.head.record;
  form.name = owner.head.name;
  form.purpose = owner.head.purpose;
  form.letter = record.text("letter").value_or("");
  form.fits = record.text("fits").value_or("");
  const auto device = record.need_text("device");
  if (device == "breaker") {
    form.kind = DeviceKind::breaker;
  } else if (device != "fuse" && !device.empty()) {
    record.wrong("device", "says neither", "\"fuse\" or \"breaker\"");
  }
  auto aliases = record.texts("aliases").value_or(std::vector<std::string>{});
  form.tables = owner.pedigrees();
  for (auto& table : owner.tables) read_form_table(table, owner, form);
  if (form.ratings_a.empty() || form.interrupts.empty()) {
    report(*owner.problems, "missing-key",
           fmt::format("overcurrent form \"{}\" lacks {}", form.name,
                       form.ratings_a.empty() ? "ratings" : "an interrupt rating"),
           record.where(),
           "a table that holds \"ratings\" and one that holds \"interrupt ratings\"");
  }
  data.forms.push_back(std::move(form));
  data.form_aliases.push_back(std::move(aliases));
}

}  // namespace nightbus::catalogue_detail
