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

namespace {

Span first_place(const std::vector<PedigreeRef>& tables) {
  return tables.empty() ? Span{} : tables.front()->where;
}

class NameCheck {
 public:
  explicit NameCheck(Problems& problems) : problems_(problems) {}

  void see(std::string_view kind, const std::string& name, const Span& where) {
    const auto [at, fresh] = seen_.emplace(fmt::format("{} {}", kind, name), where);
    if (fresh) return;
    Problem problem;
    problem.code = "duplicate-name";
    problem.what = fmt::format("two {} are named \"{}\"", kind, name);
    problem.where = where;
    problem.mend = "give one another name (an alias is a name too), or replace the other's table";
    problem.other = at->second;
    problem.other_label = "first named here";
    problems_.push_back(std::move(problem));
  }

  void see(std::string_view kind, const std::string& name, const std::vector<std::string>& aliases,
           const std::vector<PedigreeRef>& tables) {
    see(kind, name, first_place(tables));
    for (const auto& alias : aliases) see(kind, alias, first_place(tables));
  }

  template <class Items>
  void see_all(std::string_view kind, const Items& items) {
    for (const auto& item : items) see(kind, item.name, item.from.pedigree->where);
  }

 private:
  Problems& problems_;
  std::map<std::string, Span> seen_;
};

}  // namespace

void check_names(const Catalogue::Data& data, Problems& problems) {
  NameCheck check(problems);
  for (std::size_t i = 0; i < data.families.size(); ++i) {
    const auto& family = data.families[i];
    check.see("conductor families", family.name, data.family_aliases[i], family.tables);
    if (family.usual) {
      check.see("usual families of one size system",
                fmt::format("system {}", static_cast<int>(family.system)),
                first_place(family.tables));
    }
  }
  for (std::size_t i = 0; i < data.forms.size(); ++i) {
    const auto& form = data.forms[i];
    check.see("overcurrent forms", form.name, data.form_aliases[i], form.tables);
  }
  for (const auto& rules : data.rule_sets) {
    check.see("rule sets", rules.name(), rules.aliases(), rules.tables());
  }
  for (const auto& battery : data.chemistries) {
    check.see("chemistries", battery.name, battery.aliases, battery.tables);
  }
  for (const auto& type : data.poe_types) {
    check.see("PoE types", fmt::format("type {}", type.number), type.from.pedigree->where);
  }
  for (const auto& entry : data.poe_classes) {
    check.see("PoE classes", fmt::format("class {}", entry.number), entry.from.pedigree->where);
  }
  check.see_all("PoE cables", data.poe_cables);
  check.see_all("insulations", data.insulations);
  check.see_all("switch categories", data.switch_categories);
  check.see_all("joints", data.joints);
  check.see_all("figures", data.guides);
  for (const auto& curve : data.curves) {
    check.see("curves", curve.name, curve.curve.from.pedigree->where);
  }
}

}  // namespace nightbus::catalogue_detail
