#include "nightbus/finding.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>
#include <string>

using namespace nightbus;

namespace {

bool kebab(std::string_view code) {
  return !code.empty() && std::all_of(code.begin(), code.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || c == '-' || (c >= '0' && c <= '9');
  });
}

Finding full(std::string_view code) {
  auto finding = make_finding(code, "run", "router feed");
  finding.value = 18.2;
  finding.limit = 15.0;
  finding.dimension = Dimension::current;
  finding.case_name = "night peak";
  finding.detail = "Of this 3 A come from the neighbours.";
  return finding;
}

}  // namespace

TEST_CASE("every kind has all its words, a code of its own, and templates that fill in") {
  std::set<std::string_view> codes;
  std::set<std::string_view> titles;
  for (const auto& kind : finding_kinds()) {
    CAPTURE(kind.code);
    CHECK(kebab(kind.code));
    CHECK(codes.insert(kind.code).second);
    CHECK(titles.insert(kind.title).second);
    CHECK_FALSE(kind.title.empty());
    CHECK_FALSE(kind.aspect.empty());
    CHECK(kind.title.back() != '.');
    CHECK(kind.help.size() > 40);
    CHECK(kind.help.back() == '.');
    CHECK(kind.mend.back() == '.');
    CHECK(kind.severity != Severity::passed);
    CHECK(kind.sentence.find("{subject}") != std::string_view::npos);
    for (const auto& finding : {full(kind.code), make_finding(kind.code, "run", "router feed"),
                                make_finding(kind.code, "", "")}) {
      const auto said = sentence(finding);
      CAPTURE(said);
      CHECK(said.find('{') == std::string::npos);
      CHECK(said.find("  ") == std::string::npos);
      CHECK(said.find(" .") == std::string::npos);
      CHECK(said.find("..") == std::string::npos);
      CHECK(said.find('\n') == std::string::npos);
      CHECK(said.back() == '.');
      CHECK_FALSE((said.front() >= 'a' && said.front() <= 'z'));
      CHECK_FALSE(advice(finding).empty());
    }
    // What the caller adds must not get lost on the way to the reader.
    CHECK((kind.sentence.find("{detail}") != std::string_view::npos));
  }
}

TEST_CASE("a sentence names subject, value, limit, case and detail") {
  CHECK(
      sentence(full("ampacity")) ==
      "Run \"router feed\" carries 18.2 A in case \"night peak\"; with its surroundings taken into "
      "account it may carry 15 A. Of this 3 A come from the neighbours.");
  auto bare = make_finding("ampacity", "run", "router feed");
  CHECK(sentence(bare) ==
        "Run \"router feed\" carries an unknown amount; with its surroundings taken into account "
        "it may "
        "carry an unknown amount.");
}

TEST_CASE("braces in the user's own names are harmless") {
  auto finding = full("ampacity");
  finding.subject = "{value} {nothing}";
  finding.detail = "{0}";
  const auto said = sentence(finding);
  CHECK(said.find("\"{value} {nothing}\"") != std::string::npos);
  CHECK(said.find("{0}") != std::string::npos);
}

TEST_CASE("advice is the kind's own unless the finding brings better") {
  auto finding = full("ampacity");
  CHECK(advice(finding) == std::string(finding_kind("ampacity").mend));
  finding.mend = "Take 10 AWG.";
  CHECK(advice(finding) == "Take 10 AWG.");
}

TEST_CASE("a passed check says that it holds and gives no advice") {
  auto finding = full("ampacity");
  finding.severity = Severity::passed;
  finding.detail.clear();
  CHECK(sentence(finding) ==
        "Run \"router feed\": ampacity 18.2 A against 15 A in case \"night peak\" holds.");
  CHECK(advice(finding).empty());
}

TEST_CASE("an unknown code is refused with the nearest one") {
  CHECK_THROWS_AS((void)finding_kind("ampacty"), LookupError);
  try {
    (void)make_finding("fuse-above-celing", "run", "x");
    FAIL("no exception");
  } catch (const LookupError& error) {
    CHECK(std::string(error.what()).find("fuse-above-ceiling") != std::string::npos);
  }
  CHECK_THROWS_AS((void)finding_kind(""), LookupError);
}

TEST_CASE("findings are ordered worst first, then by code, subject and case, and stay in order") {
  std::vector<Finding> list;
  const auto add = [&list](std::string_view code, std::string_view subject,
                           std::string_view in_case) {
    auto finding = make_finding(code, "run", subject);
    finding.case_name = in_case;
    finding.detail = std::to_string(list.size());
    list.push_back(finding);
  };
  add("drop", "b", "");         // warning
  add("assumed", "a", "");      // notice
  add("ampacity", "b", "two");  // danger
  add("ampacity", "b", "one");  // danger
  add("ampacity", "a", "two");  // danger
  add("ampacity", "a", "two");  // the same again: keeps its place
  order_findings(list);
  std::string order;
  for (const auto& finding : list) order += finding.detail;
  CHECK(order == "453201");
}

TEST_CASE("the verdict is the worst severity present") {
  CHECK(worst({}) == Severity::passed);
  CHECK(worst({make_finding("assumed", "", "")}) == Severity::notice);
  CHECK(worst({make_finding("assumed", "", ""), make_finding("drop", "", "")}) ==
        Severity::warning);
  CHECK(worst({make_finding("drop", "", ""), make_finding("ampacity", "", "")}) ==
        Severity::danger);
}

TEST_CASE("severities have names") {
  CHECK(severity_name(Severity::danger) == "danger");
  CHECK(severity_name(Severity::warning) == "warning");
  CHECK(severity_name(Severity::notice) == "notice");
  CHECK(severity_name(Severity::passed) == "passed");
}
