#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <string>
#include <vector>

#include "reader/builder.hpp"
#include "reader/labels.hpp"
#include "reader/values.hpp"

namespace nightbus::reader_detail {

void Builder::read_type(const RecordType& type) {
  const auto* entry = root_entry(type.key);
  const auto heading =
      fmt::format(type.many ? fmt::runtime("[[{}]]") : fmt::runtime("[{}]"), type.key);
  if (entry == nullptr) {
    if (!type.many) missing_table(type, heading);
    return;
  }
  const auto& value = entry->value;
  const bool list_of_tables =
      value.kind == Value::Kind::list && !value.items.empty() &&
      std::all_of(value.items.begin(), value.items.end(),
                  [](const Value& item) { return item.kind == Value::Kind::table; });
  if (value.kind == Value::Kind::table) {
    if (type.many) {
      report("wrong-heading", fmt::format("there can be several of \"{}\"", type.key),
             value.headed() ? value.where : entry->where, "", fmt::format("write {}", heading));
    }
    read_record(type, value);
  } else if (list_of_tables) {
    if (!type.many) {
      report("wrong-heading", fmt::format("there is only one \"{}\"", type.key),
             value.items.front().where, "", fmt::format("write {}", heading));
      read_record(type, value.items.front());
    } else {
      for (const auto& item : value.items) read_record(type, item);
    }
  } else {
    report("wrong-type", fmt::format("\"{}\" must be a heading", type.key), entry->where, heading,
           "put its keys below a heading of its own");
  }
}

void Builder::missing_table(const RecordType& type, const std::string& heading) {
  type.written(type.at(system_, 0)).where = top_of_file();
  std::vector<std::string> needed;
  for (const auto& field : type.fields) {
    if (!field.required) continue;
    needed.push_back(field.key);
    losses_.push_back({&type, 0, field.key});
  }
  if (needed.empty() || document_.lost_names) return;
  report("missing-table", fmt::format("there is no {}", heading), top_of_file(),
         fmt::format("{} with {}", heading, fmt::join(needed, " and ")), "add it. " + type.help);
}

std::size_t Builder::append(const RecordType& type) {
  const auto index = type.many ? type.count(system_) : 0;
  type.append(system_);
  return index;
}

void Builder::read_record(const RecordType& type, const Value& table) {
  const auto index = append(type);
  auto& written = type.written(type.at(system_, index));
  written.where = table.where;
  // The name first: every message of this record says it.
  const auto* name = type.find("name");
  const auto* given = table.find("name");
  if (name != nullptr && given != nullptr && given->value.kind == Value::Kind::text) {
    written.where = given->value.where;
    name->set(type.at(system_, index), given->value.text);
  }
  const auto label = label_of(type, type.at(system_, index), index);
  for (const auto& entry : table.entries) {
    if (entry.key == "feed" && type.feedable) {
      feeds_.push_back({&type, index, &entry});
    } else {
      read_field(type, index, label, entry, type);
    }
  }
  missing_fields(type, index, table.where, &table);
}

void Builder::read_field(const RecordType& type, std::size_t index, const std::string& label,
                         const toml::Entry& entry, const RecordType& owner) {
  const auto* field = type.find(entry.key);
  if (field == nullptr) {
    unknown_field(type, label, entry, owner);
    return;
  }
  void* record = type.at(system_, index);
  auto& written = type.written(record);
  written.places[field->key] = entry.value.where;
  const auto value = ValueReader(label, problems_).read(*field, entry.value);
  if (!value) {
    losses_.push_back({&type, index, field->key});
    return;
  }
  field->set(record, *value);
  const auto row = static_cast<std::size_t>(field - type.fields.data());
  if (row < 64) written.given |= std::uint64_t{1} << row;
}

void Builder::unknown_field(const RecordType& type, const std::string& label,
                            const toml::Entry& entry, const RecordType& owner) {
  std::vector<std::string> keys;
  for (const auto& field : type.fields) keys.push_back(field.key);
  if (owner.feedable && &owner == &type) keys.emplace_back("feed");
  auto mend = advice_for(entry.key, keys);
  if (mend.empty()) {
    // A C++ or Python name: length_m for length.
    for (const auto& field : type.fields) {
      if (field.member == entry.key) mend = fmt::format("write \"{}\"", field.key);
    }
  }
  if (mend.empty() && entry.key == "feed") {
    mend = fmt::format("write a [[run]] of its own; a {} takes no feed", kind_words(type));
  }
  report("unknown-key", fmt::format("{}: unknown key \"{}\"", label, entry.key), entry.where,
         "one of " + any_of(keys, 100), mend);
}

void Builder::missing_fields(const RecordType& type, std::size_t index, const Span& where,
                             const Value* table) {
  for (const auto& field : type.fields) {
    if (!field.required || holds(table, field.key)) continue;
    losses_.push_back({&type, index, field.key});
    if (table->damaged || misspelt(type, *table, field)) continue;
    const auto label = label_of(type, type.at(system_, index), index);
    report("missing-key", fmt::format("{}: \"{}\" is missing", label, field.key), where,
           example_of(field), "add it. " + field.help);
  }
}

/// True when an unknown key was most likely meant to be this one: that is said once.
bool Builder::misspelt(const RecordType& type, const Value& table, const Field& field) {
  std::vector<std::string> keys;
  for (const auto& one : type.fields) keys.push_back(one.key);
  return std::any_of(table.entries.begin(), table.entries.end(), [&](const toml::Entry& entry) {
    if (type.find(entry.key) != nullptr) return false;
    const auto near = near_misses(entry.key, keys, 1);
    return !near.empty() && near.front() == field.key;
  });
}

bool Builder::holds(const Value* table, const std::string& key) {
  return table != nullptr &&
         std::any_of(table->entries.begin(), table->entries.end(),
                     [&](const toml::Entry& entry) { return entry.key == key; });
}

std::string Builder::example_of(const Field& field) {
  switch (field.kind) {
    case FieldKind::quantity:
      return fmt::format("{} = {}", field.key,
                         dimension_examples(field.dimension)
                             .substr(0, dimension_examples(field.dimension).find(" or ")));
    case FieldKind::quantities:
      return fmt::format("{} = [ … ]", field.key);
    case FieldKind::size:
      return fmt::format("{} = \"12 AWG\"", field.key);
    default:
      return fmt::format("{} = \"…\"", field.key);
  }
}

}  // namespace nightbus::reader_detail
