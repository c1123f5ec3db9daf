/// A System -> TOML. Runs are read back as explicit [[run]]s first and then the feeds, in the order
/// of the records that carry them; so the longest tail of the list of runs that has this order may
/// be written as feeds, and the rest stands as [[run]]s.

#include <fmt/format.h>

#include <fstream>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "nightbus/fields.hpp"
#include "nightbus/reader.hpp"
#include "reader/each_record.hpp"
#include "reader/toml_text.hpp"

namespace nightbus {

using namespace reader_detail;

namespace {

using RecordKey = std::pair<const RecordType*, std::size_t>;

bool given(const Written& written, std::size_t row) {
  return row < 64 && ((written.given >> row) & 1U) != 0;
}

bool is_written(const RecordType& type, std::size_t row, const void* record,
                const Written& written) {
  const auto& field = type.fields[row];
  const auto value = field.get(record);
  if (std::holds_alternative<std::monostate>(value)) return false;
  if (field.required) return true;
  const bool differs = value != type.default_of(field);
  if (differs) return true;
  // What the author wrote stays, also when it is the default; but an empty text says nothing.
  const auto* text = std::get_if<std::string>(&value);
  return given(written, row) && (text == nullptr || !text->empty());
}

/// Which runs stand inside the records they feed.
class Feeds {
 public:
  explicit Feeds(const System& system) {
    std::vector<std::pair<RecordKey, std::string>> carriers;
    each_record(system, [&carriers](const Seen& seen) {
      if (seen.type.feedable)
        carriers.emplace_back(RecordKey{&seen.type, seen.index}, name_of(seen.type, seen.record));
    });
    auto carrier = carriers.size();
    first_ = system.runs.size();
    while (first_ > 0) {
      const auto& run = system.runs[first_ - 1];
      while (carrier > 0 &&
             !feeds(*carriers[carrier - 1].first.first, carriers[carrier - 1].second, run))
        --carrier;
      if (carrier == 0) break;
      --carrier;
      --first_;
      by_record_[carriers[carrier].first] = first_;
    }
  }

  std::size_t explicit_runs() const { return first_; }

  const std::size_t* of(const RecordType& type, std::size_t index) const {
    const auto found = by_record_.find({&type, index});
    return found == by_record_.end() ? nullptr : &found->second;
  }

 private:
  static bool feeds(const RecordType& type, const std::string& name, const Run& run) {
    if (name.empty() || run.from == run.to || run.name != name) return false;
    const bool gives = type.key == "charger" || type.key == "array";
    return gives ? run.from == name : run.to == name;
  }

  std::size_t first_ = 0;
  std::map<RecordKey, std::size_t> by_record_;
};

class SystemWriter {
 public:
  explicit SystemWriter(const System& system) : system_(system), feeds_(system) {}

  std::string text() {
    out_ = fmt::format("nightbus = {}\n", system_.format);
    if (!system_.title.empty()) out_ += fmt::format("title = {}\n", toml_quoted(system_.title));
    if (!system_.note.empty()) out_ += fmt::format("note = {}\n", toml_quoted(system_.note));
    each_record(system_, [this](const Seen& seen) { add(seen); });
    return std::move(out_);
  }

 private:
  void add(const Seen& seen) {
    if (seen.type.key == "run" && seen.index >= feeds_.explicit_runs()) return;
    std::string body;
    for (std::size_t row = 0; row < seen.type.fields.size(); ++row) {
      if (!is_written(seen.type, row, seen.record, seen.written)) continue;
      const auto& field = seen.type.fields[row];
      body += fmt::format("{} = {}\n", field.key, toml_value(field, field.get(seen.record)));
    }
    if (const auto* run = feeds_.of(seen.type, seen.index)) {
      body += fmt::format("feed = {}\n", feed_text(seen, system_.runs[*run]));
    }
    if (body.empty() && !seen.type.many) return;
    out_ += seen.type.many ? fmt::format("\n[[{}]]\n", seen.type.key)
                           : fmt::format("\n[{}]\n", seen.type.key);
    out_ += body;
  }

  static std::string feed_text(const Seen& owner, const Run& run) {
    const auto& type = record_type("run");
    const bool gives = owner.type.key == "charger" || owner.type.key == "array";
    std::string text = "{ ";
    for (std::size_t row = 0; row < type.fields.size(); ++row) {
      const auto& field = type.fields[row];
      if (field.key == "name" || field.key == (gives ? "from" : "to")) continue;
      if (!is_written(type, row, &run, run.written)) continue;
      if (text.size() > 2) text += ", ";
      text += fmt::format("{} = {}", field.key, toml_value(field, field.get(&run)));
    }
    return text + " }";
  }

  const System& system_;
  Feeds feeds_;
  std::string out_;
};

}  // namespace

std::string write_system(const System& system) {
  return SystemWriter(system).text();
}

void write_system_file(const System& system, const std::filesystem::path& path) {
  const auto text = write_system(system);
  auto draft = path;
  draft += ".part";
  std::error_code error;
  {
    std::ofstream file(draft, std::ios::binary | std::ios::trunc);
    file << text;
    file.flush();
    if (!file) {
      file.close();
      std::filesystem::remove(draft, error);
      throw Error(fmt::format("cannot write the system file \"{}\"", path.string()));
    }
  }
  std::filesystem::rename(draft, path, error);
  if (error) {
    std::error_code ignored;
    std::filesystem::remove(draft, ignored);
    throw Error(
        fmt::format("cannot write the system file \"{}\": {}", path.string(), error.message()));
  }
}

}  // namespace nightbus
