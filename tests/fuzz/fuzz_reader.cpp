// Any text is examined without an exception. Every problem says where it is and points into the
// text; what has no problem is written and read back to an equal system.

#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>

#include "nightbus/reader.hpp"

namespace {

void require(bool holds, const char* claim, const std::string& text) {
  if (holds) return;
  std::fprintf(stderr, "does not hold: %s\nfor the text:\n%s\n", claim, text.c_str());
  std::abort();
}

void check_problem(const nightbus::Problem& problem, const std::string& text) {
  require(!problem.code.empty() && !problem.what.empty(), "a problem has code and words", text);
  require(!nightbus::render(problem).empty(), "a problem can be shown", text);
  for (const nightbus::Span* span : {&problem.where, &problem.other}) {
    if (!span->known()) continue;
    require(span->column >= 1, "columns count from 1", text);
    require(span->line <= span->source->line_count(), "a problem points into the text", text);
    require(span->end_line >= span->line, "a span ends after its beginning", text);
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string text(reinterpret_cast<const char*>(data), size);
  const nightbus::Examined examined = nightbus::examine_system(text, "fuzz.toml");
  for (const nightbus::Problem& problem : examined.problems) check_problem(problem, text);
  if (!examined.problems.empty()) return 0;

  const std::string written = nightbus::write_system(examined.system);
  const nightbus::Examined again = nightbus::examine_system(written, "again.toml");
  require(again.problems.empty(), "what is written can be read",
          text + "\n--- written:\n" + written);
  require(again.system == examined.system, "what is written reads back equal",
          text + "\n--- written:\n" + written);
  return 0;
}
