#include <fmt/format.h>

#include <array>

#include "catalogue/table.hpp"
#include "nightbus/catalogue.hpp"

namespace nightbus {

namespace {

struct ConfidenceWords {
  Confidence confidence;
  std::string_view name;
  std::string_view words;
};

constexpr std::array confidence_table{
    ConfidenceWords{Confidence::read, "read", "seen in the document named"},
    ConfidenceWords{Confidence::read_copy, "read, copy", "seen in a copy of the document named"},
    ConfidenceWords{Confidence::computed, "computed", "computed from a stated formula"},
    ConfidenceWords{Confidence::weak, "weak", "one maker's figure or an unverified extract"},
    ConfidenceWords{Confidence::practice, "practice", "common practice, no source"},
    ConfidenceWords{Confidence::memory, "memory", "remembered, not verified"},
};

const ConfidenceWords& entry(Confidence confidence) {
  return confidence_table[static_cast<std::size_t>(confidence)];
}

}  // namespace

std::string_view confidence_name(Confidence confidence) {
  return entry(confidence).name;
}
std::string_view confidence_words(Confidence confidence) {
  return entry(confidence).words;
}
bool gates(Confidence confidence) {
  return confidence <= Confidence::computed;
}
Confidence weaker(Confidence a, Confidence b) {
  return a < b ? b : a;
}

std::string Pedigree::cite() const {
  auto out = standard;
  if (!edition.empty()) out += fmt::format(" ({})", edition);
  if (!table.empty()) out += " " + table;
  return out;
}

std::string Citation::text() const {
  if (!pedigree) return {};
  auto out = pedigree->cite();
  if (!row.empty()) out += ", " + row;
  // "common practice, no source" stands in for a standard and need not be said twice.
  const auto words = confidence_words(confidence);
  if (!gates(confidence) && out.find(words) == std::string::npos) {
    out += fmt::format(" ({})", words);
  }
  return out;
}

namespace catalogue_detail {

std::optional<Confidence> parse_confidence(std::string_view word) {
  for (const auto& known : confidence_table) {
    if (known.name == word) return known.confidence;
  }
  return std::nullopt;
}

std::vector<std::string> confidence_words_known() {
  std::vector<std::string> out;
  for (const auto& known : confidence_table) out.emplace_back(known.name);
  return out;
}

}  // namespace catalogue_detail

}  // namespace nightbus
