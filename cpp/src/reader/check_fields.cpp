/// Single fields: bounds, time windows, efficiency curves. The reader has refused what it could not
/// read; these rules also hold for what was built in code.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "reader/check.hpp"
#include "reader/each_record.hpp"
#include "reader/field_words.hpp"
#include "reader/windows.hpp"

namespace nightbus::reader_detail {

namespace {

bool within(const Field& field, double value) {
  if (!std::isfinite(value)) return false;
  if (field.low && (field.low_open ? value <= *field.low : value < *field.low)) return false;
  return !field.high || value <= *field.high;
}

void check_number(const Check& check, const Seen& seen, const Field& field, double value) {
  if (within(field, value)) return;
  const auto shown =
      std::isnan(value) ? std::string("not a number") : show_quantity(value, field.dimension, 6);
  auto& problem =
      check.report("out-of-range", fmt::format("{}: \"{}\" is out of range", seen.label, field.key),
                   Check::place(seen.written, field.key), bounds_words(field));
  problem.seen = shown;
}

void check_value(const Check& check, const Seen& seen, const Field& field,
                 const FieldValue& value) {
  if (const auto* number = std::get_if<double>(&value)) {
    check_number(check, seen, field, *number);
  } else if (const auto* count = std::get_if<std::int64_t>(&value)) {
    check_number(check, seen, field, static_cast<double>(*count));
  } else if (const auto* range = std::get_if<Range>(&value)) {
    check_number(check, seen, field, range->low);
    if (range->low <= range->high) {
      check_number(check, seen, field, range->high);
    } else {
      check.report(
          "out-of-order",
          fmt::format("{}: the first end of \"{}\" lies above the second", seen.label, field.key),
          Check::place(seen.written, field.key));
    }
  } else if (const auto* list = std::get_if<std::vector<double>>(&value)) {
    for (const auto entry : *list) check_number(check, seen, field, entry);
    if (field.exactly != 0 && !list->empty() && list->size() != field.exactly) {
      check.report("wrong-count",
                   fmt::format("{}: \"{}\" has {} values", seen.label, field.key, list->size()),
                   Check::place(seen.written, field.key), fmt::format("{} values", field.exactly));
    }
    if (field.required && list->empty()) {
      check.report("missing-key", fmt::format("{}: \"{}\" is empty", seen.label, field.key),
                   Check::place(seen.written, field.key), "", field.help);
    }
  }
}

}  // namespace

void check_bounds(const Check& check) {
  each_record(check.system, [&check](const Seen& seen) {
    for (const auto& field : seen.type.fields) {
      if (check.damage.has(seen.written, field.key)) continue;
      check_value(check, seen, field, field.get(seen.record));
    }
  });
}

void check_schedules(const Check& check) {
  each_record(check.system, [&check](const Seen& seen) {
    for (const auto& field : seen.type.fields) {
      if (field.kind != FieldKind::windows || check.damage.has(seen.written, field.key)) continue;
      const auto value = field.get(seen.record);
      const auto& texts = std::get<std::vector<std::string>>(value);
      const auto where = Check::place(seen.written, field.key);
      std::vector<TimeWindow> windows;
      for (const auto& text : texts) {
        const auto window = parse_window(text);
        if (window.value) {
          windows.push_back(*window.value);
        } else {
          auto& problem = check.report(
              "bad-time", fmt::format("{}: \"{}\" cannot be read", seen.label, field.key), where,
              "local times such as \"06:30-22:00\"", window.mend);
          problem.seen = "\"" + text.substr(0, 60) + "\"";
        }
      }
      if (const auto both = overlapping(windows); both) {
        check.report(
            "overlap", fmt::format("{}: two windows of \"{}\" overlap", seen.label, field.key),
            where, "",
            fmt::format("join \"{}\" and \"{}\"", texts[both->first], texts[both->second]));
      }
    }
  });
}

void check_efficiency_curves(const Check& check) {
  for (std::size_t i = 0; i < check.system.converters.size(); ++i) {
    const auto& converter = check.system.converters[i];
    if (check.damage.has(converter.written, "efficiency")) continue;
    const auto label = label_of(record_type("converter"), &converter, i);
    const auto where = Check::place(converter.written, "efficiency");
    double last = 0.0;
    for (const auto& point : converter.efficiency) {
      if (!(point.efficiency > 0.0 && point.efficiency <= 1.0)) {
        check.report("out-of-range",
                     fmt::format("{}: an efficiency of {} cannot be", label,
                                 show_quantity(point.efficiency, Dimension::ratio)),
                     where, "above 0 and up to 1",
                     "the pairs are [share of rated output, efficiency]");
      }
      if (!(point.share > last && point.share <= 1.5)) {
        check.report(
            "out-of-order",
            fmt::format("{}: the shares of rated output must rise, from above 0 to about 1", label),
            where, "pairs such as [[0.1, 0.82], [1.0, 0.9]]",
            "the pairs are [share of rated output, efficiency]");
        break;
      }
      last = point.share;
    }
  }
}

}  // namespace nightbus::reader_detail
