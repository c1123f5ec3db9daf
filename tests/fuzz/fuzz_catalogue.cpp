// Any text is read as a data file or refused, each refusal with words and a place in the text. A
// file that is read keeps its promises: no table without a citation, no conductor without metal.

#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "catalogue/assemble.hpp"
#include "catalogue/embedded.hpp"

namespace {

using namespace nightbus;
using namespace nightbus::catalogue_detail;

void require(bool holds, const char* claim, std::string_view text) {
  if (holds) return;
  std::fprintf(stderr, "does not hold: %s\nfor the text: %.*s\n", claim,
               static_cast<int>(text.size()), text.data());
  std::abort();
}

/// Conductors and cables need metals; the rest of the catalogue would only cost time.
const RawFile& metals() {
  static const RawFile file = [] {
    Problems problems;
    for (const auto& embedded : embedded_files()) {
      if (embedded.name != "materials/metals.toml") continue;
      auto source = std::make_shared<const SourceText>(std::string(embedded.name),
                                                       std::string(embedded.text));
      return *read_raw(std::move(source), true, problems);
    }
    std::abort();
  }();
  return file;
}

void require_useful(const Problems& problems, std::string_view text) {
  for (const auto& problem : problems) {
    require(!problem.code.empty() && !problem.what.empty(), "a refusal has words", text);
    require(problem.where.known(), "a refusal has a place", text);
    require(!render(problem).empty(), "a refusal can be shown", text);
  }
}

void require_sound(const Catalogue::Data& data, std::string_view text) {
  for (const auto& table : data.tables) {
    require(!table.pedigree->cite().empty(), "a table can be cited", text);
  }
  for (const auto& family : data.families) {
    for (const auto& conductor : family.conductors) {
      require(conductor.area_mm2 > 0 && conductor.resistance_ohm_per_m > 0 &&
                  conductor.mass_kg_per_m > 0,
              "a conductor has metal", text);
    }
  }
  for (const auto& rules : data.rule_sets) {
    for (const auto& size : rules.listed_sizes()) {
      for (const double insulation_c : {60.0, 105.0}) {
        const auto found = rules.ampacity(size, insulation_c);
        if (found) require(found->column_c <= insulation_c, "no hotter column is taken", text);
      }
    }
    for (const double ambient_c : {-40.0, 31.0, 74.0, 300.0}) {
      const auto factor = rules.ambient_factor(ambient_c, 75.0);
      if (factor) require(factor->value <= 1.0, "no credit for cold unasked", text);
    }
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string text(reinterpret_cast<const char*>(data), size);
  Problems problems;
  auto file = read_raw(std::make_shared<const SourceText>("fuzzed.toml", text), false, problems);
  if (!file) {
    require(!problems.empty(), "a refusal has a reason", text);
    require_useful(problems, text);
    return 0;
  }
  std::vector<RawFile> files{metals(), std::move(*file)};
  const auto built = assemble(std::move(files), problems);
  require_useful(problems, text);
  if (problems.empty()) require_sound(*built, text);
  return 0;
}
