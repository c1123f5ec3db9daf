#include "catalogue/owner.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>

namespace nightbus {

namespace {

constexpr std::array<std::string_view, 5> installation_words{"free air", "tray", "clipped",
                                                             "conduit", "insulation"};
constexpr std::array<std::string_view, 5> load_kind_words{"resistive", "inductive", "capacitive",
                                                          "lamp", "motor"};

}  // namespace

std::string_view installation_name(Installation installation) {
  return installation_words[static_cast<std::size_t>(installation)];
}

Installation installation_of(bool enclosed, int conductors_together) {
  if (enclosed) return Installation::conduit;
  return conductors_together > 1 ? Installation::clipped : Installation::free_air;
}

std::string_view load_kind_name(LoadKind kind) {
  return load_kind_words[static_cast<std::size_t>(kind)];
}

namespace catalogue_detail {

bool Owner::claim(const std::string& key, std::string_view what, const Span& where) {
  const auto [at, fresh] = claimed_.emplace(key, where);
  if (fresh) return true;
  Problem problem;
  problem.code = "duplicate-entry";
  problem.what = fmt::format("{} of \"{}\" is given twice", what, head.name);
  problem.where = where;
  problem.mend =
      "remove one; to change a built-in table, write the whole table again and name the old one "
      "with replaces = \"…\"";
  problem.other = at->second;
  problem.other_label = "first written here";
  problems->push_back(std::move(problem));
  return false;
}

bool Owner::claim(const std::string& key, std::string_view what, Table& table) {
  const bool fresh = claim(key, what, table.where());
  if (!fresh) table.refuse();
  return fresh;
}

std::vector<PedigreeRef> Owner::pedigrees() const {
  std::vector<PedigreeRef> out;
  out.reserve(tables.size());
  for (const auto& table : tables) out.push_back(table.pedigree());
  return out;
}

void unknown_holds(const Table& table, const std::vector<std::string>& known, Problems& problems) {
  report(problems, "unknown-holds",
         fmt::format("a table that holds \"{}\" has no place here", table.holds()),
         table.options.where("holds"), fmt::format("{}", fmt::join(known, ", ")),
         fmt::format("\"{}\"", table.holds()), suggestion(table.holds(), known));
}

std::optional<double> formula_area_mm2(const ConductorSize& size) {
  if (size.system == SizeSystem::sae) return std::nullopt;
  return nominal_area_mm2(size);
}

std::optional<Installation> parse_installation(std::string_view word) {
  const auto at = std::find(installation_words.begin(), installation_words.end(), word);
  if (at == installation_words.end()) return std::nullopt;
  return static_cast<Installation>(at - installation_words.begin());
}

std::vector<std::string> installation_names() {
  return {installation_words.begin(), installation_words.end()};
}

}  // namespace catalogue_detail

}  // namespace nightbus
