#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <vector>

#include "reader/builder.hpp"
#include "reader/labels.hpp"

namespace nightbus::reader_detail {

void Builder::read_feed(const Feed& feed) {
  const auto& type = record_type("run");
  const auto owner = label_of(*feed.type, feed.type->at(system_, feed.index), feed.index);
  const auto label = "feed of " + owner;
  const auto& value = feed.entry->value;
  if (value.kind != Value::Kind::table) {
    problems_.push_back({"wrong-type",
                         label + " has the wrong type",
                         value.where,
                         "feed = { from = \"…\", length = \"2 m\" }",
                         toml::describe(value),
                         "",
                         {},
                         ""});
    losses_.push_back({feed.type, feed.index, "feed"});
    return;
  }
  const auto index = append(type);
  auto& run = system_.runs[index];
  run.written.where = feed.entry->where;
  run.name = name_of(*feed.type, feed.type->at(system_, feed.index));
  const auto own_name = run.name;
  if (own_name.empty()) losses_.push_back({&type, index, "name"});
  for (const auto& entry : value.entries) read_field(type, index, label, entry, *feed.type);
  set_ends(feed, index, own_name, label);
  for (const auto& field : type.fields) {
    const bool by_owner = field.key == "name" || field.key == "from" || field.key == "to";
    if (!field.required || by_owner || holds(&value, field.key)) continue;
    losses_.push_back({&type, index, field.key});
    if (misspelt(type, value, field)) continue;
    report("missing-key", fmt::format("{}: \"{}\" is missing", label, field.key), feed.entry->where,
           example_of(field), "add it. " + field.help);
  }
}

/// A feed names one end; the record it stands in is the other.
void Builder::set_ends(const Feed& feed, std::size_t index, const std::string& own_name,
                       const std::string& label) {
  const auto& value = feed.entry->value;
  auto& run = system_.runs[index];
  const bool from = holds(&value, "from");
  const bool to = holds(&value, "to");
  const bool gives = feed.type->key == "charger" || feed.type->key == "array";
  const bool takes = feed.type->key == "load" || feed.type->key == "fan";
  if (from == to) {
    report("feed-ends", from ? label + " names both ends" : label + " names no end",
           feed.entry->where,
           gives ? "to = the point it gives its power to" : "from = the point it is fed from",
           from ? "leave out the end that is this record itself" : "");
    losses_.push_back({feed.type, feed.index, "feed"});
  } else if ((gives && from) || (takes && to)) {
    report("feed-ends",
           fmt::format("{}: a {} {}", label, kind_words(*feed.type),
                       gives ? "gives power, it is not fed" : "takes power and gives none"),
           feed.entry->where, "", gives ? "write to = …" : "write from = …");
    losses_.push_back({feed.type, feed.index, "feed"});
  }
  if (!from) run.from = own_name;
  if (!to) run.to = own_name;
}

}  // namespace nightbus::reader_detail
