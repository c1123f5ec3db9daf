#include <doctest/doctest.h>

#include <cstdint>
#include <random>
#include <string>

#include "catalogue/assemble.hpp"
#include "catalogue/embedded.hpp"
#include "nightbus/catalogue.hpp"

using namespace nightbus;
using namespace nightbus::catalogue_detail;

namespace {

/// One change of the kind a hand makes: a character lost, doubled, swapped or replaced, a line
/// lost.
std::string damaged(std::string text, std::mt19937& random) {
  const auto at = random() % text.size();
  switch (random() % 5) {
    case 0:
      text.erase(at, 1);
      break;
    case 1:
      text.insert(at, 1, text[at]);
      break;
    case 2:
      if (at + 1 < text.size()) std::swap(text[at], text[at + 1]);
      break;
    case 3: {
      constexpr char characters[] = "0-.\"[],=#x\n";
      text[at] = characters[random() % (sizeof characters - 1)];
      break;
    }
    default: {
      const auto begin = text.rfind('\n', at);
      const auto end = text.find('\n', at);
      if (begin != std::string::npos && end != std::string::npos) text.erase(begin, end - begin);
    }
  }
  return text;
}

}  // namespace

TEST_SUITE("damage") {
  TEST_CASE("a damaged data file is read or refused with a place, never worse") {
    std::mt19937 random(20260131);
    int refused = 0;
    int read = 0;
    for (int round = 0; round < 5; ++round) {
      for (const auto& embedded : embedded_files()) {
        const auto text = damaged(std::string(embedded.text), random);
        Problems problems;
        auto source = std::make_shared<const SourceText>(std::string(embedded.name), text);
        std::vector<RawFile> files;
        // Conductors and cables need metals.
        for (const auto& other : embedded_files()) {
          if (other.name != "materials/metals.toml" || other.name == embedded.name) continue;
          files.push_back(*read_raw(
              std::make_shared<const SourceText>(std::string(other.name), std::string(other.text)),
              true, problems));
        }
        if (auto file = read_raw(source, false, problems)) {
          files.push_back(std::move(*file));
          assemble(std::move(files), problems);
        }
        (problems.empty() ? read : refused) += 1;
        for (const auto& problem : problems) {
          CHECK(!problem.what.empty());
          CHECK_MESSAGE(problem.where.known(), problem.what);
          CHECK(!render(problem).empty());
        }
      }
    }
    // Most slips land in words or comments, where they do no harm.
    CHECK(refused > 40);
    CHECK(read > 40);
  }
}
