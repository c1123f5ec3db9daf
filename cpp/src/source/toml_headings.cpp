#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "nightbus/quantity.hpp"
#include "source/toml_parser.hpp"

namespace nightbus::toml {

namespace {

std::string written(const Heading& heading) {
  return heading.many ? "[[" + heading.key + "]]" : "[" + heading.key + "]";
}

std::string joined(const std::vector<std::string>& names) {
  return fmt::format("{}", fmt::join(names, "."));
}

}  // namespace

void Parser::heading() {
  const auto begin = at_;
  const bool many = starts("[[");
  at_ += many ? 2 : 1;
  const auto path = heading_path(many);
  if (!path) {
    const auto* guess = guess_of(line_at(begin));
    document_.lost_names = true;
    open_guess(guess, to_line_end(begin));
    at_ = begin;
    refuse_heading(begin, guess);
  }
  const auto where = span(begin, at_);
  if (many) {
    open_list_item(*path, where);
  } else {
    open_table(*path, where);
  }
}

/// The names between the brackets; nullopt when they or a bracket cannot be read.
std::optional<Parser::KeyPath> Parser::heading_path(bool many) {
  try {
    skip_blanks();
    auto path = key_path();
    skip_blanks();
    if (!starts(many ? "]]" : "]")) return {};
    at_ += many ? 2 : 1;
    return path;
  } catch (const Refusal&) {
    return {};
  }
}

/// The table in which the last name of a heading belongs; the last item where it is a list.
Value* Parser::parent_of(const KeyPath& path, const Span& where) {
  Value* table = &document_.root;
  for (std::size_t i = 0; i + 1 < path.size(); ++i) {
    auto* found = find_entry(*table, path[i].name);
    if (found == nullptr) {
      table->entries.push_back({path[i].name, span(path[i].begin, path[i].end),
                                new_table(Value::Origin::implied, where)});
      found = &table->entries.back();
    }
    auto& value = found->value;
    if (value.kind == Value::Kind::table && value.origin != Value::Origin::braces) {
      table = &value;
    } else if (value.kind == Value::Kind::list && value.headed()) {
      table = &value.items.back();
    } else {
      clash(path, false, where, found->where);
    }
  }
  return table;
}

void Parser::open_table(const KeyPath& path, const Span& where) {
  auto* parent = parent_of(path, where);
  auto* found = find_entry(*parent, path.back().name);
  if (found == nullptr) {
    const auto key_place = span(path.back().begin, path.back().end);
    parent->entries.push_back(
        {path.back().name, key_place, new_table(Value::Origin::heading, where)});
    table_ = &parent->entries.back().value;
    return;
  }
  auto& value = found->value;
  if (value.kind != Value::Kind::table || value.origin != Value::Origin::implied) {
    clash(path, false, where,
          value.headed()
              ? (value.kind == Value::Kind::list ? value.items.front().where : value.where)
              : found->where);
  }
  value.origin = Value::Origin::heading;
  value.where = where;
  table_ = &value;
}

void Parser::open_list_item(const KeyPath& path, const Span& where) {
  auto* parent = parent_of(path, where);
  auto* found = find_entry(*parent, path.back().name);
  if (found == nullptr) {
    Value items;
    items.kind = Value::Kind::list;
    items.origin = Value::Origin::heading;
    items.where = where;
    parent->entries.push_back(
        {path.back().name, span(path.back().begin, path.back().end), std::move(items)});
    found = &parent->entries.back();
  } else if (found->value.kind != Value::Kind::list || !found->value.headed()) {
    clash(path, true, where, found->value.headed() ? found->value.where : found->where);
  }
  found->value.items.push_back(new_table(Value::Origin::heading, where));
  table_ = &found->value.items.back();
}

/// Keys below a broken heading go to the table it most likely means, else nowhere.
void Parser::open_guess(const Heading* guess, const Span& where) {
  open_nothing();
  if (guess == nullptr) return;
  auto* found = find_entry(document_.root, guess->key);
  if (guess->many &&
      (found == nullptr || (found->value.kind == Value::Kind::list && found->value.headed()))) {
    if (found == nullptr) {
      Value items;
      items.kind = Value::Kind::list;
      items.origin = Value::Origin::heading;
      items.where = where;
      document_.root.entries.push_back({guess->key, where, std::move(items)});
      found = &document_.root.entries.back();
    }
    found->value.items.push_back(new_table(Value::Origin::heading, where));
    table_ = &found->value.items.back();
  } else if (!guess->many && found == nullptr) {
    document_.root.entries.push_back({guess->key, where, new_table(Value::Origin::heading, where)});
    table_ = &document_.root.entries.back().value;
  }
}

void Parser::open_nothing() {
  discarded_ = new_table(Value::Origin::heading, {});
  table_ = &discarded_;
}

const Heading* Parser::guess_of(std::string_view line) const {
  std::vector<std::string> keys;
  for (const auto& heading : headings_) keys.push_back(heading.key);
  const auto near = near_misses(heading_name(line), keys, 1);
  if (near.empty()) return nullptr;
  const auto found =
      std::find_if(headings_.begin(), headings_.end(),
                   [&near](const Heading& heading) { return heading.key == near.front(); });
  return &*found;
}

void Parser::clash(const KeyPath& path, bool many, Span where, Span first) {
  std::vector<std::string> names;
  for (const auto& part : path) names.push_back(part.name);
  const auto name = joined(names);
  const auto known = std::find_if(headings_.begin(), headings_.end(),
                                  [&name](const Heading& heading) { return heading.key == name; });
  std::string mend = fmt::format("keep one [{}] and put all its keys there", name);
  // Its keys must not fall to the table before it.
  open_nothing();
  if (known != headings_.end() && known->many) {
    mend = fmt::format("write {} each time", written(*known));
    open_guess(&*known, where);
  } else if (known != headings_.end() && many) {
    mend = fmt::format("there is one of it: write {}", written(*known));
  }
  document_.lost_names = true;
  throw Refusal{{"duplicate-table", fmt::format("the heading \"{}\" is written twice", cut(name)),
                 where, "", "", mend, first, "first written here"}};
}

void Parser::refuse_heading(std::size_t begin, const Heading* guess) {
  std::string expected = "a name in brackets, such as [site] or [[load]]";
  const auto many =
      std::find_if(headings_.begin(), headings_.end(), [](const Heading& one) { return one.many; });
  const auto single = std::find_if(headings_.begin(), headings_.end(),
                                   [](const Heading& one) { return !one.many; });
  if (many != headings_.end() && single != headings_.end()) {
    expected = fmt::format("{}, or {} for things of which there are many", written(*single),
                           written(*many));
  }
  const auto line = line_at(begin);
  const auto end = line_begin(begin) + trimmed(line.substr(0, line.find('#'))).size() +
                   (begin - line_begin(begin));
  refuse("broken-heading", "this heading cannot be read",
         span(begin, std::min(std::max(end, begin + 1), line_end(begin))), expected,
         guess == nullptr ? "" : "write " + written(*guess));
}

}  // namespace nightbus::toml
