// Any text either reads, and then what is printed reads back to the same double, or is refused with
// a problem that points into the text. The first byte chooses the dimension.

#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <string_view>

#include "nightbus/quantity.hpp"

namespace {

using nightbus::Dimension;

void require(bool holds, const char* claim, std::string_view text) {
  if (holds) return;
  std::fprintf(stderr, "does not hold: %s\nfor the text: %.*s\n", claim,
               static_cast<int>(text.size()), text.data());
  std::abort();
}

void require_useful(const nightbus::QuantityProblem& problem, std::string_view text) {
  require(!problem.expected.empty(), "a refusal says what was expected", text);
  require(!problem.seen.empty(), "a refusal says what was seen", text);
  require(problem.offset <= text.size() && problem.length <= text.size() - problem.offset,
          "a refusal points into the text", text);
}

void read_quantity(std::string_view text, Dimension dimension) {
  const auto parsed = nightbus::parse_quantity(text, dimension);
  if (!parsed) return require_useful(parsed.problem, text);
  require(std::isfinite(*parsed), "what is read is finite", text);
  const std::string printed = nightbus::print_quantity(*parsed, dimension);
  const auto again = nightbus::parse_quantity(printed, dimension);
  require(again && *again == *parsed, "what is printed reads back to the same double", text);
  require(!nightbus::show_quantity(*parsed, dimension).empty(), "a value can be shown", text);
}

void read_range(std::string_view text, Dimension dimension) {
  const auto parsed = nightbus::parse_range(text, dimension);
  if (!parsed) return require_useful(parsed.problem, text);
  require(parsed->low <= parsed->high, "a range is in order", text);
  const auto again = nightbus::parse_range(nightbus::print_range(*parsed, dimension), dimension);
  require(again && *again == *parsed, "a printed range reads back", text);
}

void read_size(std::string_view text) {
  const auto parsed = nightbus::parse_size(text);
  if (!parsed) return require_useful(parsed.problem, text);
  const auto again = nightbus::parse_size(nightbus::print_size(*parsed));
  require(again && *again == *parsed, "a printed size reads back", text);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size == 0) return 0;
  const auto dimensions = static_cast<int>(Dimension::insolation) + 1;
  const auto dimension = static_cast<Dimension>(data[0] % dimensions);
  // A copy that ends where the text ends, so that reading beyond it is seen.
  const std::string text(reinterpret_cast<const char*>(data) + 1, size - 1);
  read_quantity(text, dimension);
  read_range(text, dimension);
  read_size(text);
  return 0;
}
