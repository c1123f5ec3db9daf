#include <algorithm>
#include <string>
#include <tuple>
#include <vector>

#include "nightbus/quantity.hpp"
#include "quantity/text.hpp"

namespace nightbus {

namespace {

/// Letters in lower case, and '-', '_' and ' ' alike: such slips count as nothing.
std::string folded(std::string_view word) {
  auto text = quantity_detail::lower(word);
  std::replace(text.begin(), text.end(), '-', '_');
  std::replace(text.begin(), text.end(), ' ', '_');
  return text;
}

/// Fewest insertions, deletions, replacements and swaps of neighbours (each letter edited once).
std::size_t distance(const std::string& a, const std::string& b) {
  std::vector<std::size_t> before(b.size() + 1), last(b.size() + 1), row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) last[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t differ = a[i - 1] == b[j - 1] ? 0 : 1;
      row[j] = std::min({last[j] + 1, row[j - 1] + 1, last[j - 1] + differ});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
        row[j] = std::min(row[j], before[j - 2] + 1);
      }
    }
    before.swap(last);
    last.swap(row);
  }
  return last[b.size()];
}

}  // namespace

std::vector<std::string> near_misses(std::string_view word,
                                     const std::vector<std::string>& candidates, std::size_t most) {
  constexpr std::size_t longest = 80;  // nobody misspells more, and hostile input stays cheap
  if (word.size() > longest) return {};
  const auto wanted = folded(word);
  struct Near {
    std::size_t distance;
    bool other_start;
    std::size_t length_gap;
    std::size_t index;
  };
  std::vector<Near> found;
  for (std::size_t index = 0; index < candidates.size(); ++index) {
    const auto& candidate = candidates[index];
    if (candidate.size() > longest || candidate.empty()) continue;
    const auto other = folded(candidate);
    const auto gap = std::max(wanted.size(), other.size()) - std::min(wanted.size(), other.size());
    const auto allowed = (std::max(wanted.size(), other.size()) + 1) / 3;
    if (gap > allowed) continue;
    const auto wrong = distance(wanted, other);
    if (wrong <= allowed)
      found.push_back({wrong, wanted.substr(0, 1) != other.substr(0, 1), gap, index});
  }
  std::stable_sort(found.begin(), found.end(), [](const Near& a, const Near& b) {
    return std::tie(a.distance, a.other_start, a.length_gap) <
           std::tie(b.distance, b.other_start, b.length_gap);
  });
  std::vector<std::string> names;
  for (const auto& near : found) {
    if (names.size() == most) break;
    if (std::find(names.begin(), names.end(), candidates[near.index]) == names.end()) {
      names.push_back(candidates[near.index]);
    }
  }
  return names;
}

}  // namespace nightbus
