#include "nightbus/finding.hpp"

#include <fmt/args.h>
#include <fmt/format.h>

#include <algorithm>
#include <tuple>

namespace nightbus {

namespace {

std::string subject_words(const Finding& finding) {
  if (finding.subject.empty()) {
    return finding.subject_kind.empty() ? "the system" : "the " + finding.subject_kind;
  }
  if (finding.subject_kind.empty()) return fmt::format("\"{}\"", finding.subject);
  return fmt::format("{} \"{}\"", finding.subject_kind, finding.subject);
}

std::string amount(const std::optional<double>& value, Dimension dimension) {
  return value ? show_quantity(*value, dimension) : "an unknown amount";
}

std::string with_space(const std::string& text) {
  return text.empty() ? "" : " " + text;
}

bool is_small(char letter) {
  return letter >= 'a' && letter <= 'z';
}

std::string fill(std::string_view words, const Finding& finding) {
  const auto in_case =
      finding.case_name.empty() ? "" : fmt::format(" in case \"{}\"", finding.case_name);
  return as_sentence(fmt::format(fmt::runtime(words), fmt::arg("subject", subject_words(finding)),
                                 fmt::arg("value", amount(finding.value, finding.dimension)),
                                 fmt::arg("limit", amount(finding.limit, finding.dimension)),
                                 fmt::arg("case", in_case),
                                 fmt::arg("detail", with_space(finding.detail))));
}

}  // namespace

std::string as_sentence(std::string text) {
  const std::size_t begin = text.find_first_not_of(' ');
  if (begin == std::string::npos) return {};
  text = text.substr(begin, text.find_last_not_of(' ') + 1 - begin);
  // A sign such as k²S² stays as it is.
  if (is_small(text[0]) && (text.size() == 1 || text[1] == ' ' || is_small(text[1]))) {
    text[0] = static_cast<char>(text[0] - 'a' + 'A');
  }
  const char last = text.back();
  if (last != '.' && last != '!' && last != '?') text += '.';
  return text;
}

Finding make_finding(std::string_view code, std::string_view subject_kind,
                     std::string_view subject) {
  Finding finding;
  finding.code = code;
  finding.severity = finding_kind(code).severity;
  finding.subject_kind = subject_kind;
  finding.subject = subject;
  return finding;
}

std::string sentence(const Finding& finding) {
  const auto& kind = finding_kind(finding.code);
  if (finding.severity == Severity::passed) {
    auto words = fmt::format("{}: {}", subject_words(finding), kind.aspect);
    if (finding.value && finding.limit) {
      words += fmt::format(" {} against {}", amount(finding.value, finding.dimension),
                           amount(finding.limit, finding.dimension));
    }
    if (!finding.case_name.empty()) words += fmt::format(" in case \"{}\"", finding.case_name);
    return as_sentence(words + " holds." + with_space(finding.detail));
  }
  return fill(kind.sentence, finding);
}

std::string advice(const Finding& finding) {
  if (finding.severity == Severity::passed) return finding.mend;
  return finding.mend.empty() ? fill(finding_kind(finding.code).mend, finding) : finding.mend;
}

void order_findings(std::vector<Finding>& findings) {
  std::stable_sort(findings.begin(), findings.end(), [](const Finding& a, const Finding& b) {
    return std::tie(a.severity, a.code, a.subject, a.case_name) <
           std::tie(b.severity, b.code, b.subject, b.case_name);
  });
}

Severity worst(const std::vector<Finding>& findings) {
  auto found = Severity::passed;
  for (const auto& finding : findings) found = std::min(found, finding.severity);
  return found;
}

}  // namespace nightbus
