#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <memory>
#include <tuple>

#include "nightbus/fields.hpp"
#include "nightbus/reader.hpp"
#include "nightbus/source_toml.hpp"
#include "reader/build.hpp"
#include "reader/check.hpp"

namespace nightbus {

namespace {

constexpr std::size_t most_bytes = std::size_t{16} << 20;

/// A bad file can have more problems than anybody reads.
constexpr std::size_t most_problems = 200;

std::vector<toml::Heading> headings() {
  std::vector<toml::Heading> list;
  for (const auto& type : record_types()) list.push_back({type.key, type.many});
  return list;
}

void order(std::vector<Problem>& problems) {
  std::stable_sort(problems.begin(), problems.end(), [](const Problem& a, const Problem& b) {
    return std::tie(a.where.line, a.where.column) < std::tie(b.where.line, b.where.column);
  });
}

}  // namespace

Examined examine_system(std::string text, std::string name, const Catalogue& catalogue) {
  Examined examined;
  if (text.size() > most_bytes) {
    examined.problems.push_back({"too-large",
                                 fmt::format("{} holds more than 16 MiB", name),
                                 {},
                                 "a system file",
                                 "",
                                 "",
                                 {},
                                 ""});
    return examined;
  }
  if (text.starts_with("\xEF\xBB\xBF")) text.erase(0, 3);
  auto source = std::make_shared<const SourceText>(std::move(name), std::move(text));
  const auto document = toml::parse(source, headings());
  examined.problems = document.problems;
  reader_detail::Damage damage;
  reader_detail::build_system(document, examined.system, damage, examined.problems);
  reader_detail::check_all({examined.system, catalogue, damage, examined.problems});
  order(examined.problems);
  if (const auto count = examined.problems.size(); count > most_problems) {
    examined.problems.resize(most_problems);
    examined.problems.push_back(
        {"more",
         fmt::format("{} more problems are not shown", count - most_problems),
         {},
         "",
         "",
         "mend what is above and read the file again",
         {},
         ""});
  }
  return examined;
}

System read_system(std::string text, std::string name, const Catalogue& catalogue) {
  auto examined = examine_system(std::move(text), std::move(name), catalogue);
  if (!examined.problems.empty()) throw InputError(std::move(examined.problems));
  return std::move(examined.system);
}

System read_system_file(const std::filesystem::path& path, const Catalogue& catalogue) {
  std::ifstream file(path, std::ios::binary);
  std::error_code error;
  if (!file || std::filesystem::is_directory(path, error)) {
    throw Error(fmt::format("cannot open the system file \"{}\"", path.string()));
  }
  std::string text{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
  return read_system(std::move(text), path.filename().string(), catalogue);
}

}  // namespace nightbus
