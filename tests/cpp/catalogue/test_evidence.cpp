#include <doctest/doctest.h>

#include <set>
#include <string>

#include "nightbus/catalogue.hpp"

using namespace nightbus;

TEST_SUITE("evidence") {
  TEST_CASE("the built-in tables load without a problem") {
    CHECK_NOTHROW(Catalogue::builtin());
    CHECK(Catalogue::builtin().tables().size() > 80);
  }
}
