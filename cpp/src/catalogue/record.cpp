#include "catalogue/record.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

namespace nightbus::catalogue_detail {

void report(Problems& problems, std::string code, std::string what, const Span& where,
            std::string expected, std::string seen, std::string mend) {
  Problem problem;
  problem.code = std::move(code);
  problem.what = std::move(what);
  problem.where = where;
  problem.expected = std::move(expected);
  problem.seen = std::move(seen);
  problem.mend = std::move(mend);
  problems.push_back(std::move(problem));
}

std::string suggestion(std::string_view word, const std::vector<std::string>& known) {
  const auto near = near_misses(word, known, 1);
  if (!near.empty()) return fmt::format("did you mean \"{}\"?", near.front());
  if (known.empty() || known.size() > 16) return {};
  return fmt::format("one of: {}", fmt::join(known, ", "));
}

Record::Record(const RawRecord& raw, std::string label, Problems& problems)
    : raw_(raw), label_(std::move(label)), problems_(&problems) {}

Span Record::where(std::string_view key) const {
  for (const auto& entry : raw_.keys) {
    if (entry.key == key) return entry.value.where;
  }
  return raw_.where;
}

bool Record::has(std::string_view key) const {
  return std::any_of(raw_.keys.begin(), raw_.keys.end(),
                     [&](const RawKey& entry) { return entry.key == key; });
}

const RawValue* Record::take(std::string_view key) {
  if (std::find(asked_.begin(), asked_.end(), key) == asked_.end()) asked_.emplace_back(key);
  for (const auto& entry : raw_.keys) {
    if (entry.key == key) return &entry.value;
  }
  return nullptr;
}

void Record::wrong_type(std::string_view key, const RawValue& value, std::string expected) {
  report(*problems_, "wrong-type", fmt::format("\"{}\" of {} is of the wrong kind", key, label_),
         value.where, std::move(expected), describe(value));
}

std::optional<std::string> Record::text(std::string_view key) {
  const auto* value = take(key);
  if (!value) return std::nullopt;
  if (const auto* text = value->text()) return *text;
  wrong_type(key, *value, "a text in quotes");
  return std::nullopt;
}

std::optional<double> Record::number(std::string_view key) {
  const auto* value = take(key);
  if (!value) return std::nullopt;
  if (const auto* number = value->number()) return *number;
  wrong_type(key, *value, "a number");
  return std::nullopt;
}

std::optional<bool> Record::flag(std::string_view key) {
  const auto* value = take(key);
  if (!value) return std::nullopt;
  if (const auto* flag = value->flag()) return *flag;
  wrong_type(key, *value, "true or false");
  return std::nullopt;
}

const std::vector<RawValue>* Record::array(std::string_view key) {
  const auto* value = take(key);
  if (!value) return nullptr;
  if (const auto* items = value->array()) return items;
  wrong_type(key, *value, "a list in brackets");
  return nullptr;
}

std::optional<std::vector<std::string>> Record::texts(std::string_view key) {
  const auto* items = array(key);
  if (!items) return std::nullopt;
  std::vector<std::string> out;
  for (const auto& item : *items) {
    if (const auto* text = item.text()) {
      out.push_back(*text);
    } else {
      wrong_type(key, item, "texts in quotes");
    }
  }
  return out;
}

std::optional<double> Record::quantity(std::string_view key, Dimension dimension) {
  const auto written = text(key);
  if (!written) return std::nullopt;
  const auto parsed = parse_quantity(*written, dimension);
  if (parsed) return *parsed;
  report(*problems_, "wrong-value", fmt::format("\"{}\" of {} cannot be read", key, label_),
         where(key), parsed.problem.expected, parsed.problem.seen, parsed.problem.mend);
  return std::nullopt;
}

std::string Record::need_text(std::string_view key) {
  auto value = text(key);
  if (value && !value->empty()) return *value;
  if (!has(key)) {
    report(*problems_, "missing-key", fmt::format("{} has no \"{}\"", label_, key), where(),
           fmt::format("{} = \"…\"", key), {}, "add it; a table without its pedigree is not taken");
  } else if (value) {
    report(*problems_, "missing-key", fmt::format("\"{}\" of {} is empty", key, label_), where(key),
           "some words");
  }
  return {};
}

void Record::wrong(std::string_view key, std::string what, std::string mend) {
  report(*problems_, "wrong-value", fmt::format("\"{}\" of {}: {}", key, label_, what), where(key),
         {}, {}, std::move(mend));
}

void Record::finish() {
  for (const auto& entry : raw_.keys) {
    if (std::find(asked_.begin(), asked_.end(), entry.key) != asked_.end()) continue;
    report(*problems_, "unknown-key", fmt::format("unknown key \"{}\" in {}", entry.key, label_),
           entry.where, {}, {}, suggestion(entry.key, asked_));
  }
}

}  // namespace nightbus::catalogue_detail
