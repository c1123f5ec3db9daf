#include "reader/build.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <optional>
#include <string>

#include "nightbus/fields.hpp"
#include "reader/labels.hpp"
#include "reader/values.hpp"

namespace nightbus::reader_detail {

namespace {

constexpr std::array<std::string_view, 3> head_keys{"nightbus", "title", "note"};

/// A field that was lost, by record: addresses are only final when every record is in its list.
struct Loss {
  const RecordType* type;
  std::size_t index;
  std::string key;
};

struct Feed {
  const RecordType* type;
  std::size_t index;
  const toml::Entry* entry;
};

class Builder {
 public:
  Builder(const toml::Document& document, System& system, std::vector<Problem>& problems)
      : document_(document), system_(system), problems_(problems) {}

  void build(Damage& damage) {
    read_head();
    for (const auto& entry : document_.root.entries) check_known(entry);
    for (const auto& type : record_types()) read_type(type);
    for (const auto& feed : feeds_) read_feed(feed);
    for (const auto& loss : losses_) {
      damage.add(loss.type->written(loss.type->at(system_, loss.index)), loss.key);
      note_structure(damage, loss);
    }
    damage.names = damage.names || document_.lost_names;
    damage.structure = damage.structure || damage.names || !document_.problems.empty();
  }

 private:
  static void note_structure(Damage& damage, const Loss& loss) {
    const auto& key = loss.key;
    if (key == "name") damage.names = true;
    if (key == "name" || key == "from" || key == "to" || key == "feed") damage.structure = true;
    const bool source = loss.type->key == "bank" || loss.type->key == "converter";
    if (source && (key == "voltage" || key == "output")) damage.voltages = true;
  }

  void report(std::string code, std::string what, Span where, std::string expected = {},
              std::string mend = {}) {
    problems_.push_back({std::move(code),
                         std::move(what),
                         std::move(where),
                         std::move(expected),
                         "",
                         std::move(mend),
                         {},
                         ""});
  }

  const toml::Entry* root_entry(std::string_view key) const {
    for (const auto& entry : document_.root.entries) {
      if (entry.key == key) return &entry;
    }
    return nullptr;
  }

  Span top_of_file() const { return {document_.root.where.source, 1, 1, 1, 1}; }

  // ---- The head ---------------------------------------------------------------------------------

  void read_head() {
    const Span top = top_of_file();
    const auto* format = root_entry("nightbus");
    const auto expected = fmt::format("nightbus = {}", system_format);
    if (format == nullptr) {
      if (!document_.root.damaged) {
        report("no-format", "the file does not say which format it is written in", top, expected,
               fmt::format("write \"{}\" on the first line", expected));
      }
    } else if (format->value.kind != Value::Kind::integer) {
      report("wrong-type", "the format must be a whole number", format->value.where, expected);
    } else if (format->value.integer != system_format) {
      const bool newer = format->value.integer > system_format;
      report("unknown-format",
             newer ? "the file is written in a newer format than this program reads"
                   : "there is no such format",
             format->value.where, expected);
    }
    read_head_text("title", system_.title);
    read_head_text("note", system_.note);
  }

  void read_head_text(std::string_view key, std::string& target) {
    const auto* entry = root_entry(key);
    if (entry == nullptr) return;
    if (entry->value.kind == Value::Kind::text) {
      target = entry->value.text;
    } else {
      problems_.push_back({"wrong-type",
                           fmt::format("{} has the wrong type", key),
                           entry->value.where,
                           "a text in quotes",
                           toml::describe(entry->value),
                           "",
                           {},
                           ""});
    }
  }

  void check_known(const toml::Entry& entry) {
    std::vector<std::string> known(head_keys.begin(), head_keys.end());
    for (const auto& type : record_types()) known.push_back(type.key);
    if (std::find(known.begin(), known.end(), entry.key) != known.end()) return;
    const bool heading = entry.value.headed();
    const auto near = near_misses(entry.key, known, 1);
    std::string mend;
    if (!near.empty()) {
      mend = fmt::format("did you mean \"{}\"?", near.front());
    } else if (!heading) {
      mend = misplaced_key(entry.key);
    }
    report(heading ? "unknown-table" : "unknown-key",
           fmt::format("unknown {} \"{}\"", heading ? "heading" : "key", entry.key),
           heading ? entry.value.where : entry.where, "one of " + any_of(known, 20), mend);
  }

  /// A key that belongs under a heading, written above the first one.
  static std::string misplaced_key(const std::string& key) {
    for (const auto& type : record_types()) {
      if (type.find(key) == nullptr) continue;
      return fmt::format(type.many ? fmt::runtime("it belongs under a heading such as [[{}]]")
                                   : fmt::runtime("it belongs under the heading [{}]"),
                         type.key);
    }
    return {};
  }

  // ---- Records ----------------------------------------------------------------------------------

  void read_type(const RecordType& type) {
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

  void missing_table(const RecordType& type, const std::string& heading) {
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

  std::size_t append(const RecordType& type) {
    const auto index = type.many ? type.count(system_) : 0;
    type.append(system_);
    return index;
  }

  void read_record(const RecordType& type, const Value& table) {
    const auto index = append(type);
    auto& written = type.written(type.at(system_, index));
    written.where = table.where;
    for (const auto& entry : table.entries) {
      if (entry.key == "name" && entry.value.kind == Value::Kind::text) {
        written.where = entry.value.where;
        type.find("name")->set(type.at(system_, index), entry.value.text);
      }
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

  void read_field(const RecordType& type, std::size_t index, const std::string& label,
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

  void unknown_field(const RecordType& type, const std::string& label, const toml::Entry& entry,
                     const RecordType& owner) {
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

  void missing_fields(const RecordType& type, std::size_t index, const Span& where,
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
  static bool misspelt(const RecordType& type, const Value& table, const Field& field) {
    std::vector<std::string> keys;
    for (const auto& one : type.fields) keys.push_back(one.key);
    return std::any_of(table.entries.begin(), table.entries.end(), [&](const toml::Entry& entry) {
      if (type.find(entry.key) != nullptr) return false;
      const auto near = near_misses(entry.key, keys, 1);
      return !near.empty() && near.front() == field.key;
    });
  }

  static bool holds(const Value* table, const std::string& key) {
    return table != nullptr &&
           std::any_of(table->entries.begin(), table->entries.end(),
                       [&](const toml::Entry& entry) { return entry.key == key; });
  }

  static std::string example_of(const Field& field) {
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

  // ---- Feeds
  // --------------------------------------------------------------------------------------

  void read_feed(const Feed& feed) {
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
      report("missing-key", fmt::format("{}: \"{}\" is missing", label, field.key),
             feed.entry->where, example_of(field), "add it. " + field.help);
    }
  }

  /// A feed names one end; the record it stands in is the other.
  void set_ends(const Feed& feed, std::size_t index, const std::string& own_name,
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

  const toml::Document& document_;
  System& system_;
  std::vector<Problem>& problems_;
  std::vector<Loss> losses_;
  std::vector<Feed> feeds_;
};

}  // namespace

void build_system(const toml::Document& document, System& system, Damage& damage,
                  std::vector<Problem>& problems) {
  Builder(document, system, problems).build(damage);
}

}  // namespace nightbus::reader_detail
