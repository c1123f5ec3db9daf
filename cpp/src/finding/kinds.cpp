#include "finding/kinds.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <map>

namespace nightbus {

std::string_view severity_name(Severity severity) {
  switch (severity) {
    case Severity::danger:
      return "danger";
    case Severity::warning:
      return "warning";
    case Severity::notice:
      return "notice";
    case Severity::passed:
      return "passed";
  }
  return "";
}

const std::vector<FindingKind>& finding_kinds() {
  static const std::vector<FindingKind> all = [] {
    using namespace finding_detail;
    std::vector<FindingKind> list;
    for (const auto rows : {input_kinds(), network_kinds(), wiring_kinds(), protection_kinds(),
                            energy_kinds(), thermal_kinds()}) {
      list.insert(list.end(), rows.begin(), rows.end());
    }
    return list;
  }();
  return all;
}

const FindingKind& finding_kind(std::string_view code) {
  static const std::map<std::string_view, const FindingKind*> by_code = [] {
    std::map<std::string_view, const FindingKind*> map;
    for (const auto& kind : finding_kinds()) map.emplace(kind.code, &kind);
    return map;
  }();
  if (const auto found = by_code.find(code); found != by_code.end()) return *found->second;
  std::vector<std::string> codes;
  for (const auto& kind : finding_kinds()) codes.emplace_back(kind.code);
  const auto near = near_misses(code, codes);
  throw LookupError(near.empty() ? fmt::format("there is no finding \"{}\"", code)
                                 : fmt::format("there is no finding \"{}\"; did you mean \"{}\"?",
                                               code, fmt::join(near, "\" or \"")));
}

}  // namespace nightbus
