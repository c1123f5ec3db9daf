#include "reader/labels.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace nightbus::reader_detail {

std::string kind_words(const RecordType& type) {
  if (type.key == "poe_link") return "PoE link";
  return type.key;
}

std::string name_of(const RecordType& type, const void* record) {
  const auto* field = type.find("name");
  if (field == nullptr) return {};
  const auto value = field->get(record);
  const auto* name = std::get_if<std::string>(&value);
  return name == nullptr ? std::string() : *name;
}

std::string label_of(const RecordType& type, const void* record, std::size_t index) {
  if (!type.many) return kind_words(type);
  const auto name = name_of(type, record);
  if (name.empty()) return fmt::format("{} {}", kind_words(type), index + 1);
  return fmt::format("{} \"{}\"", kind_words(type), name);
}

std::string any_of(const std::vector<std::string>& names, std::size_t most) {
  std::string text;
  const auto shown = std::min(names.size(), most);
  for (std::size_t i = 0; i < shown; ++i) {
    const bool last = i + 1 == names.size();
    if (i > 0) text += last ? " or " : ", ";
    text += "\"" + names[i] + "\"";
  }
  if (shown < names.size()) text += ", …";
  return text;
}

std::string advice_for(const std::string& word, const std::vector<std::string>& known) {
  const auto near = near_misses(word, known, 2);
  if (!near.empty()) return fmt::format("did you mean {}?", any_of(near));
  // "SF 51" for "strip SF 51": part of a name, when it is not a mere scrap.
  std::vector<std::string> longer;
  for (const auto& name : known) {
    if (word.size() >= 3 && name.find(word) != std::string::npos) longer.push_back(name);
  }
  if (!longer.empty() && longer.size() <= 3) return fmt::format("did you mean {}?", any_of(longer));
  return {};
}

}  // namespace nightbus::reader_detail
