/// Every file of the gallery is wrong in a way that people get things wrong. Its last lines say
/// what must be reported: "# expect: line:column code fragment-of-the-first-line", in the order of
/// the file, and nothing else may be.

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <sstream>
#include <string>
#include <vector>

#include "nightbus/reader.hpp"

using namespace nightbus;

namespace {

struct Expected {
  std::string place;
  std::string code;
  std::string fragment;
};

std::string slurp(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

std::vector<Expected> expectations(const std::string& text) {
  std::vector<Expected> list;
  std::istringstream lines(text);
  constexpr std::string_view mark = "# expect: ";
  for (std::string line; std::getline(lines, line);) {
    if (!line.starts_with(mark)) continue;
    std::istringstream words(line.substr(mark.size()));
    Expected one;
    words >> one.place >> one.code >> std::ws;
    std::getline(words, one.fragment);
    list.push_back(one);
  }
  return list;
}

std::vector<std::filesystem::path> gallery() {
  std::vector<std::filesystem::path> files;
  const auto folder = std::filesystem::path(NIGHTBUS_SOURCE_DIR) / "tests/cpp/reader/gallery";
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    if (entry.path().extension() == ".toml") files.push_back(entry.path());
  }
  std::sort(files.begin(), files.end());
  return files;
}

}  // namespace

TEST_CASE("every bad file gets exactly its problems, each at its line and column") {
  const auto files = gallery();
  CHECK(files.size() >= 120);
  for (const auto& path : files) {
    CAPTURE(path.filename().string());
    const auto text = slurp(path);
    const auto expected = expectations(text);
    CHECK_FALSE(expected.empty());
    const auto examined = examine_system(text, path.filename().string());
    const auto rendered = render(examined.problems);
    CAPTURE(rendered);
    CHECK(examined.problems.size() == expected.size());
    for (std::size_t i = 0; i < std::min(expected.size(), examined.problems.size()); ++i) {
      const auto& problem = examined.problems[i];
      CHECK(fmt::format("{}:{}", problem.where.line, problem.where.column) == expected[i].place);
      CHECK(problem.code == expected[i].code);
      CHECK_MESSAGE(problem.what.find(expected[i].fragment) != std::string::npos, problem.what,
                    " | ", expected[i].fragment);
    }
    CHECK_THROWS_AS((void)read_system(text, "bad.toml"), InputError);
  }
}

TEST_CASE("every problem helps: it expects something, found something or says how to mend it") {
  for (const auto& path : gallery()) {
    CAPTURE(path.filename().string());
    for (const auto& problem : examine_system(slurp(path), "bad.toml").problems) {
      CAPTURE(problem.what);
      CHECK_FALSE(problem.code.empty());
      CHECK((!problem.expected.empty() || !problem.mend.empty() || !problem.seen.empty() ||
             problem.other.known() || problem.code == "bad-name"));
      CHECK(problem.what.find('\n') == std::string::npos);
      CHECK(problem.what.find("toml") == std::string::npos);
    }
  }
}

TEST_CASE("cutting any gallery file anywhere, or doubling a piece of it, never harms the reader") {
  std::uint32_t state = 5;
  const auto next = [&state](std::size_t below) {
    state = state * 1664525U + 1013904223U;
    return below == 0 ? 0 : (state >> 8) % below;
  };
  const auto files = gallery();
  for (std::size_t i = 0; i < files.size(); i += 3) {
    const auto text = slurp(files[i]);
    CAPTURE(files[i].filename().string());
    for (int n = 0; n < 4; ++n) {
      const auto cut = next(text.size());
      const auto begin = next(text.size());
      const auto piece = text.substr(begin, next(40));
      const auto twisted =
          n % 2 == 0 ? text.substr(0, cut) : text.substr(0, cut) + piece + text.substr(cut);
      const auto examined = examine_system(twisted, "twisted.toml");
      CHECK(render(examined.problems).size() > 5);
    }
  }
}
