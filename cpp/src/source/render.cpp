#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "nightbus/source.hpp"
#include "source/characters.hpp"
#include "source/excerpt.hpp"

namespace nightbus {

using source_detail::printable;

namespace {

void add_excerpt(std::string& out, const Span& span) {
  const auto shown = source_detail::excerpt(span);
  fmt::format_to(std::back_inserter(out), "{:>5} | {}\n      | {}\n", span.line, shown.line,
                 shown.caret);
}

void add_line(std::string& out, std::string_view label, const std::string& text) {
  if (!text.empty())
    fmt::format_to(std::back_inserter(out), "  {:<9} {}\n", label, printable(text));
}

}  // namespace

std::string render(const Problem& problem) {
  std::string out;
  if (problem.where.known()) out += problem.where.place() + ": ";
  out += printable(problem.what) + "\n";
  if (problem.where.known()) add_excerpt(out, problem.where);
  add_line(out, "expected:", problem.expected);
  add_line(out, "found:", problem.seen);
  add_line(out, "to mend:", problem.mend);
  if (problem.other.known()) {
    const auto label = problem.other_label.empty() ? std::string("see also") : problem.other_label;
    out += fmt::format("  {}, at {}\n", printable(label), problem.other.place());
    add_excerpt(out, problem.other);
  }
  return out;
}

std::string render(const std::vector<Problem>& problems) {
  std::string out;
  for (const auto& problem : problems) {
    out += render(problem);
    out += "\n";
  }
  out += problems.size() == 1 ? "1 problem.\n" : fmt::format("{} problems.\n", problems.size());
  return out;
}

InputError::InputError(std::vector<Problem> problems)
    : Error(render(problems)), problems_(std::move(problems)) {}

}  // namespace nightbus
