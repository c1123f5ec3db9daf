#include "reader/build.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string>
#include <vector>

#include "reader/builder.hpp"
#include "reader/labels.hpp"

namespace nightbus::reader_detail {

namespace {

constexpr std::array<std::string_view, 3> head_keys{"nightbus", "title", "note"};

}  // namespace

void Builder::build(Damage& damage) {
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

void Builder::note_structure(Damage& damage, const Loss& loss) {
  const auto& key = loss.key;
  if (key == "name") damage.names = true;
  if (key == "name" || key == "from" || key == "to" || key == "feed") damage.structure = true;
  const bool source = loss.type->key == "bank" || loss.type->key == "converter";
  if (source && (key == "voltage" || key == "output")) damage.voltages = true;
}

void Builder::report(std::string code, std::string what, Span where, std::string expected,
                     std::string mend) {
  problems_.push_back({std::move(code),
                       std::move(what),
                       std::move(where),
                       std::move(expected),
                       "",
                       std::move(mend),
                       {},
                       ""});
}

const toml::Entry* Builder::root_entry(std::string_view key) const {
  for (const auto& entry : document_.root.entries) {
    if (entry.key == key) return &entry;
  }
  return nullptr;
}

void Builder::read_head() {
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

void Builder::read_head_text(std::string_view key, std::string& target) {
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

void Builder::check_known(const toml::Entry& entry) {
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
std::string Builder::misplaced_key(const std::string& key) {
  for (const auto& type : record_types()) {
    if (type.find(key) == nullptr) continue;
    return fmt::format(type.many ? fmt::runtime("it belongs under a heading such as [[{}]]")
                                 : fmt::runtime("it belongs under the heading [{}]"),
                       type.key);
  }
  return {};
}

void build_system(const toml::Document& document, System& system, Damage& damage,
                  std::vector<Problem>& problems) {
  Builder(document, system, problems).build(damage);
}

}  // namespace nightbus::reader_detail
