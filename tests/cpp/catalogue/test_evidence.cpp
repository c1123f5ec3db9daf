#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>
#include <string>
#include <thread>
#include <vector>

#include "catalogue/embedded.hpp"
#include "nightbus/catalogue.hpp"

using namespace nightbus;

namespace {

const Catalogue& book() {
  return Catalogue::builtin();
}

std::string slurp(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream out;
  out << in.rdbuf();
  return out.str();
}

}  // namespace

TEST_SUITE("evidence") {
  TEST_CASE("every data file is embedded byte for byte") {
    const std::filesystem::path root = std::filesystem::path(NIGHTBUS_SOURCE_DIR) / "cpp/data";
    std::size_t files = 0;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(root)) {
      if (entry.path().extension() != ".toml") continue;
      ++files;
      const auto name = std::filesystem::relative(entry.path(), root).generic_string();
      bool found = false;
      for (const auto& embedded : catalogue_detail::embedded_files()) {
        if (embedded.name != name) continue;
        found = true;
        CHECK_MESSAGE(embedded.text == slurp(entry.path()), name);
      }
      CHECK_MESSAGE(found, name);
    }
    CHECK(files == catalogue_detail::embedded_files().size());
  }

  TEST_CASE("every data file introduces itself in a comment before its first key") {
    for (const auto& embedded : catalogue_detail::embedded_files()) {
      CHECK_MESSAGE(embedded.text.substr(0, 2) == "# ", embedded.name);
    }
  }

  TEST_CASE("every table says what it is, whence it comes and what it is not good for") {
    std::set<std::string> ids;
    for (const auto& table : book().tables()) {
      const auto& pedigree = *table.pedigree;
      INFO(pedigree.id);
      CHECK(ids.insert(pedigree.id).second);
      CHECK(!pedigree.owner.empty());
      CHECK(!pedigree.purpose.empty());
      CHECK(!pedigree.standard.empty());
      CHECK(!pedigree.source.empty());
      CHECK(!pedigree.fallback.empty());
      CHECK(!pedigree.limits.empty());
      CHECK(pedigree.date.size() == 10);
      CHECK(pedigree.columns.size() == pedigree.units.size());
      CHECK(pedigree.built_in);
      CHECK(pedigree.where.known());
      CHECK(!table.rows.empty());
      for (const auto& row : table.rows) CHECK(row.size() == pedigree.columns.size());
      CHECK(!pedigree.cite().empty());
    }
    CHECK(ids.size() > 100);
  }

  TEST_CASE("rule sets say that they are not a permit") {
    for (const auto& rules : book().rule_sets()) {
      INFO(rules.name());
      CHECK(rules.limits().find("Not a permit") != std::string::npos);
      CHECK(!rules.purpose().empty());
      CHECK(!rules.tables().empty());
    }
  }

  TEST_CASE("a source that was not seen never claims to have been") {
    // "common practice, no source" goes with practice or memory; "Remembered" with memory.
    for (const auto& table : book().tables()) {
      const auto& pedigree = *table.pedigree;
      INFO(pedigree.id);
      if (pedigree.standard == "common practice, no source") CHECK(!gates(pedigree.confidence));
      if (pedigree.source == "Remembered") CHECK(pedigree.confidence == Confidence::memory);
    }
  }

  TEST_CASE("no ceiling, placement, tier, ampacity or factor in use rests on memory or habit") {
    for (const auto& rules : book().rule_sets()) {
      for (const auto& table : rules.tables()) {
        const auto& holds = table->holds;
        if (holds == "evidence" || holds == "guides") continue;
        INFO(table->id);
        const bool tray = table->id == "BS 7671/PVC 70 °C on tray";  // lower than later issues
        CHECK((gates(table->confidence) || tray));
      }
    }
  }

  TEST_CASE("words for confidence") {
    CHECK(confidence_name(Confidence::read_copy) == "read, copy");
    CHECK(confidence_words(Confidence::practice) == "common practice, no source");
    CHECK(gates(Confidence::computed));
    CHECK(!gates(Confidence::weak));
    CHECK(weaker(Confidence::read, Confidence::memory) == Confidence::memory);
    CHECK(weaker(Confidence::weak, Confidence::computed) == Confidence::weak);
    const auto& guide = book().guide("selectivity ratio, American");
    CHECK(guide.from.text().find("remembered, not verified") != std::string::npos);
  }

  TEST_CASE("figures come in inside units, with their spread") {
    const auto& block = *book().rule_set("ISO 10133").guide("support spacing");
    CHECK(block.value == doctest::Approx(0.45));
    CHECK(block.unit == "m");
    const auto& time = book().guide("PoE inrush time");
    CHECK(time.value == doctest::Approx(0.050));
    CHECK(time.high == doctest::Approx(0.075));
    CHECK(time.unit == "s");
    CHECK(book().guide("PoE bundle rise").unit == "K");
    CHECK(book().guide("PoE device capacitance").value == doctest::Approx(180e-6));
    CHECK(book().guide("air specific heat").unit == "J/(kg·K)");
    CHECK(book().guide("continuous load factor").value == 1.25);
    CHECK(book().guide("fault current multiple").value == 3.0);
    const auto& share = book().curve("melting share by pulses");
    CHECK(share.curve.at(1000) == doctest::Approx(0.38));
    CHECK(share.curve.points.size() == 4);
  }

  TEST_CASE("first use from several threads gives one catalogue") {
    std::vector<const std::vector<TableText>*> seen(8, nullptr);
    std::vector<std::thread> threads;
    threads.reserve(seen.size());
    for (auto& slot : seen) {
      threads.emplace_back([&slot] { slot = &Catalogue::builtin().tables(); });
    }
    for (auto& thread : threads) thread.join();
    for (const auto* tables : seen) CHECK(tables == seen.front());
  }
}
