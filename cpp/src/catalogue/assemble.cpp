// From raw files to a catalogue: heads, owners, replaced and doubled tables, then one builder per
// kind.

#include "catalogue/assemble.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <deque>
#include <map>

#include "catalogue/owner.hpp"

namespace nightbus::catalogue_detail {

namespace {

struct Kind {
  std::string_view name;
  void (*build)(Owner&, Catalogue::Data&);
};

// Order matters: conductors and cables need metals.
constexpr std::array kinds{
    Kind{"materials", build_materials},
    Kind{"conductors", build_conductors},
    Kind{"rules", build_rules},
    Kind{"overcurrent", build_overcurrent},
    Kind{"poe", build_poe},
    Kind{"battery", build_battery},
    Kind{"guides", build_guides},
};

constexpr double data_format = 1;

std::vector<std::string> kind_names() {
  std::vector<std::string> out;
  for (const auto& kind : kinds) out.emplace_back(kind.name);
  return out;
}

std::optional<Head> read_head(const RawFile& file, Problems& problems) {
  Head head{.kind = {},
            .name = {},
            .purpose = {},
            .fallback = {},
            .limits = {},
            .date = {},
            .built_in = file.built_in,
            .record = Record(file.head, "the file", problems)};
  auto& record = head.record;
  head.name = record.need_text("name");
  if (!head.name.empty()) record.set_label(fmt::format("the file of \"{}\"", head.name));
  const auto format = record.number("format");
  if (!format || *format != data_format) {
    record.wrong("format", "this program reads format 1", "format = 1");
  }
  head.kind = record.need_text("kind");
  head.purpose = record.need_text("purpose");
  head.fallback = record.need_text("fallback");
  head.limits = record.need_text("limits");
  head.date = record.need_text("date");
  const auto known = kind_names();
  if (std::find(known.begin(), known.end(), head.kind) == known.end()) {
    if (!head.kind.empty()) {
      record.wrong("kind", fmt::format("unknown kind \"{}\"", head.kind),
                   suggestion(head.kind, known));
    }
    return std::nullopt;
  }
  if (head.name.empty()) return std::nullopt;
  return head;
}

class Assembly {
 public:
  explicit Assembly(Problems& problems) : problems_(problems) {}

  void add(const RawFile& file) {
    auto head = read_head(file, problems_);
    if (!head) return;
    auto* owner = find(head->kind, head->name);
    if (!owner) {
      owners_.emplace_back(*head, problems_);
      owner = &owners_.back();
    } else {
      // A file that adds to a name cannot change what the first one said about it.
      head->record.finish();
    }
    for (const auto& raw : file.families) {
      owner->families.emplace_back(raw, "a family", problems_);
    }
    for (const auto& raw : file.tables) {
      if (auto table = Table::read(raw, *head, problems_)) place(*owner, std::move(*table));
    }
  }

  void build(Catalogue::Data& data) {
    for (const auto& kind : kinds) {
      for (auto& owner : owners_) {
        if (owner.head.kind != kind.name) continue;
        kind.build(owner, data);
        owner.head.record.finish();
        for (const auto& table : owner.tables) data.tables.push_back(table.as_text());
      }
    }
  }

 private:
  Owner* find(const std::string& kind, const std::string& name) {
    for (auto& owner : owners_) {
      if (owner.head.kind == kind && owner.head.name == name) return &owner;
    }
    return nullptr;
  }

  void place(Owner& owner, Table table) {
    auto& tables = owner.tables;
    const auto with_id = [&](const std::string& id) {
      return std::find_if(tables.begin(), tables.end(),
                          [&](const Table& other) { return other.id() == id; });
    };
    const auto& replaced = table.replaces();
    if (!replaced.empty()) {
      const auto old = with_id(replaced);
      if (old == tables.end()) {
        std::vector<std::string> known;
        for (const auto& other : tables) known.push_back(other.id());
        table.options.wrong("replaces",
                            fmt::format("\"{}\" has no table \"{}\"", owner.head.name, replaced),
                            suggestion(replaced, known));
        return;
      }
      tables.erase(old);
    }
    const auto same = with_id(table.id());
    if (same != tables.end()) {
      Problem problem;
      problem.code = "duplicate-table";
      problem.what = fmt::format("a table \"{}\" exists already", table.id());
      problem.where = table.where();
      problem.mend = fmt::format("give it another id, or say replaces = \"{}\"", table.id());
      problem.other = same->where();
      problem.other_label = "first written here";
      problems_.push_back(std::move(problem));
      return;
    }
    tables.push_back(std::move(table));
  }

  Problems& problems_;
  std::deque<Owner> owners_;
};

}  // namespace

std::shared_ptr<const Catalogue::Data> assemble(std::vector<RawFile> files, Problems& problems) {
  auto data = std::make_shared<Catalogue::Data>();
  Assembly assembly(problems);
  for (const auto& file : files) assembly.add(file);
  assembly.build(*data);
  check_names(*data, problems);
  data->files = std::move(files);
  return data;
}

void check_names(const Catalogue::Data& data, Problems& problems) {
  std::map<std::string, int> seen;
  const auto see = [&](std::string_view kind, const std::string& name) {
    if (++seen[fmt::format("{} {}", kind, name)] == 2) {
      report(problems, "duplicate-name", fmt::format("two {} are named \"{}\"", kind, name), Span{},
             {}, {}, "give one another name; an alias is a name too");
    }
  };
  for (std::size_t i = 0; i < data.families.size(); ++i) {
    see("conductor families", data.families[i].name);
    for (const auto& alias : data.family_aliases[i]) see("conductor families", alias);
  }
  for (std::size_t i = 0; i < data.forms.size(); ++i) {
    see("overcurrent forms", data.forms[i].name);
    for (const auto& alias : data.form_aliases[i]) see("overcurrent forms", alias);
  }
  for (const auto& rules : data.rule_sets) {
    see("rule sets", rules.name());
    for (const auto& alias : rules.aliases()) see("rule sets", alias);
  }
  for (const auto& battery : data.chemistries) {
    see("chemistries", battery.name);
    for (const auto& alias : battery.aliases) see("chemistries", alias);
  }
  for (const auto& guide : data.guides) see("figures", guide.name);
  for (const auto& cable : data.poe_cables) see("PoE cables", cable.name);
}

}  // namespace nightbus::catalogue_detail
