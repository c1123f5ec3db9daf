#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "reader/check.hpp"
#include "reader/each_record.hpp"
#include "reader/points.hpp"

namespace nightbus::reader_detail {

namespace {

/// Points share one name space; runs, compartments and cases have one each.
std::string name_space(const RecordType& type) {
  return type.is_point ? "point" : type.key;
}

bool has_odd_characters(const std::string& name) {
  return std::any_of(name.begin(), name.end(), [](char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte < 0x20 || byte == 0x7F;
  });
}

}  // namespace

void check_names(const Check& check) {
  each_record(check.system, [&check](const Seen& seen) {
    const auto* field = seen.type.find("name");
    if (field == nullptr || !field->required || check.damage.has(seen.written, "name")) return;
    const auto name = name_of(seen.type, seen.record);
    const auto where = Check::place(seen.written, "name");
    if (name.empty()) {
      check.report("missing-name", fmt::format("{}: the name is empty", seen.label), where,
                   "name = \"…\"");
    } else if (name.front() == ' ' || name.back() == ' ') {
      check.report("bad-name", fmt::format("{}: the name begins or ends with a space", seen.label),
                   where);
    } else if (has_odd_characters(name)) {
      check.report("bad-name",
                   fmt::format("{}: the name holds a line break or control character", seen.label),
                   where);
    } else if (seen.type.key == "compartment" && name == "outside") {
      check.report("bad-name", "a compartment cannot be called \"outside\"", where, "",
                   "that word stands for the air outside");
    }
  });
}

void check_duplicates(const Check& check) {
  struct First {
    Span where;
    std::string label;
    bool lent;
  };
  std::map<std::pair<std::string, std::string>, First> first;
  each_record(check.system, [&](const Seen& seen) {
    const auto name = name_of(seen.type, seen.record);
    const auto* field = seen.type.find("name");
    if (name.empty() || field == nullptr || !field->required) return;
    const auto where = Check::place(seen.written, "name");
    // A feed without a name has its record's; that two records share one is reported with them.
    const bool lent =
        seen.type.key == "run" && where.known() && seen.written.places.count("name") == 0;
    const auto [found, added] =
        first.emplace(std::pair{name_space(seen.type), name}, First{where, seen.label, lent});
    if (added || (lent && found->second.lent)) return;
    const auto& taken_by = found->second.label;
    auto& problem = check.report(
        "duplicate-name",
        taken_by == seen.label ? fmt::format("the name of {} is taken", seen.label)
                               : fmt::format("the name of {} is taken by {}", seen.label, taken_by),
        where, seen.type.is_point ? "one name for each point that a run may join" : "",
        "give one of the two another name");
    problem.other = found->second.where;
    problem.other_label = "first used here";
  });
}

void check_references(const Check& check) {
  const Points points(check.system);
  std::vector<std::string> compartments;
  for (const auto& compartment : check.system.compartments)
    compartments.push_back(compartment.name);
  each_record(check.system, [&](const Seen& seen) {
    for (const auto& field : seen.type.fields) {
      const bool one = field.kind == FieldKind::reference;
      if ((!one && field.kind != FieldKind::references) ||
          check.damage.has(seen.written, field.key))
        continue;
      const auto value = field.get(seen.record);
      std::vector<std::string> names;
      if (one) {
        if (const auto& name = std::get<std::string>(value); !name.empty() || field.required)
          names.push_back(name);
      } else {
        names = std::get<std::vector<std::string>>(value);
      }
      for (const auto& name : names) {
        std::vector<std::string> known;
        std::string expected;
        const auto* point = points.find(name);
        if (field.refers_to == "point") {
          known = points.names();
          expected = "the name of a bank, bus, load, fan, converter, charger or array";
          if (point != nullptr) continue;
        } else if (field.refers_to == "converter") {
          for (const auto& converter : check.system.converters) known.push_back(converter.name);
          expected = "the name of a converter";
          if (point != nullptr && point->kind == PointKind::converter) continue;
        } else if (field.refers_to == "compartment" || field.refers_to == "inlet") {
          known = compartments;
          if (field.refers_to == "inlet") known.emplace_back("outside");
          expected = field.refers_to == "inlet" ? "\"outside\" or the name of a compartment"
                                                : "the name of a compartment";
          if (std::find(known.begin(), known.end(), name) != known.end()) continue;
        } else {
          continue;  // the catalogue's business
        }
        auto mend = advice_for(name, known);
        if (point != nullptr)
          mend = fmt::format("\"{}\" is a {}", name, point_kind_name(point->kind));
        if (mend.empty() && !known.empty() && known.size() <= 12)
          mend = "known: " + any_of(known, 12);
        check.report(
            "unknown-name",
            fmt::format("{}: \"{}\" names \"{}\", which there is not", seen.label, field.key, name),
            Check::place(seen.written, field.key), expected, mend);
      }
    }
  });
}

}  // namespace nightbus::reader_detail
