#include <doctest/doctest.h>

#include <string>

#include "nightbus/source.hpp"

using nightbus::mask_for_toml;

TEST_SUITE("masking text for a TOML parser") {
  TEST_CASE("quoted text and comments are left alone") {
    for (const std::string text :
         {"a = \"20 °C\" # höher\n", "a = '2,5 mm²'\n", "a = \"\"\"Ω\n\"Ω\"\n\"\"\"\nb = 1\n",
          "a = '''Ω''Ω'''\n", "a = \"x \\\" Ω\"\n", "a = 1\n", "\xEF\xBB\xBF# Ω\n", ""}) {
      CHECK(mask_for_toml(text) == text);
    }
  }

  TEST_CASE("outside them each character becomes one question mark") {
    CHECK(mask_for_toml("temp = 20 °C\n") == "temp = 20 ?C\n");
    CHECK(mask_for_toml("höhe = 3\n") == "h?he = 3\n");
    CHECK(mask_for_toml("a = 1 \xE2\x80\x8B# Ω\n") == "a = 1 ?# Ω\n");
    CHECK(mask_for_toml("[[größe]]\n") == "[[gr??e]]\n");
  }

  TEST_CASE("an open quote ends with its line, as TOML has it") {
    CHECK(mask_for_toml("a = \"Ω\nb = Ω\n") == "a = \"Ω\nb = ?\n");
    CHECK(mask_for_toml("a = \"x\\\nb = Ω\n") == "a = \"x\\\nb = ?\n");
    CHECK(mask_for_toml("a = 'Ω\nb = Ω\n") == "a = 'Ω\nb = ?\n");
  }

  TEST_CASE("an escape of a non-ASCII character stays wrong") {
    CHECK(mask_for_toml("a = \"\\Ω\"\n") == "a = \"\\?\"\n");
  }

  TEST_CASE("bytes that are not UTF-8 do not stop it") {
    CHECK(mask_for_toml("a = \xFF\x80 1") == "a = ? 1");
    CHECK(mask_for_toml("a = \"\\") == "a = \"\\");
  }
}
