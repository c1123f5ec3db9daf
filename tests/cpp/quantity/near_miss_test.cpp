#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "nightbus/quantity.hpp"

using namespace nightbus;

using Names = std::vector<std::string>;

TEST_CASE("one slip of any kind is found") {
  const Names keys{"length", "size", "from", "to", "insulation", "return"};
  CHECK(near_misses("lenght", keys, 1) == Names{"length"});          // swapped
  CHECK(near_misses("lengt", keys, 1) == Names{"length"});           // left out
  CHECK(near_misses("lengthh", keys, 1) == Names{"length"});         // doubled
  CHECK(near_misses("leng7h", keys, 1) == Names{"length"});          // replaced
  CHECK(near_misses("Insulation", keys, 1) == Names{"insulation"});  // case
  CHECK(near_misses("frm", keys, 1) == Names{"from"});
}

TEST_CASE("a dash, a space and an underscore are the same slip") {
  CHECK(near_misses("router-feed", {"router_feed"}) == Names{"router_feed"});
  CHECK(near_misses("router feed", {"router-feed"}) == Names{"router-feed"});
}

TEST_CASE("what is nothing like any candidate stays without advice") {
  CHECK(near_misses("banana", {"length", "size", "from"}).empty());
  CHECK(near_misses("", {"length"}).empty());
  CHECK(near_misses("x", {"y", "z"}).empty());
  CHECK(near_misses("length", {}).empty());
  CHECK(near_misses("length", {""}).empty());
}

TEST_CASE("the best comes first and no name twice") {
  const auto near =
      near_misses("camera north", {"camera south", "camera north 2", "camera north"}, 3);
  REQUIRE(near.size() == 3);
  CHECK(near[0] == "camera north");
  CHECK(near[1] == "camera south");  // as far as the third, but of equal length
  CHECK(near_misses("ab c", {"ab_c", "ab_c", "ab-c"}).size() == 2);
  CHECK(near_misses("aaaa", {"aaab", "aaac", "aaad", "aaae"}, 2).size() == 2);
}

TEST_CASE("very long words are left alone") {
  CHECK(near_misses(std::string(100000, 'a'), {std::string(100000, 'a')}).empty());
}
