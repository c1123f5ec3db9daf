/// Our own reader of TOML, against the examples of the standard (toml.io, TOML v1.0.0) and against
/// toml++ on generated files.

#include "nightbus/source_toml.hpp"

#include <doctest/doctest.h>

// A heading such as "[=" breaks an assertion of toml++ 3.3, after which its own error follows.
#define TOML_ASSERT(condition) static_assert(true)
#include <toml++/toml.h>

#include <cmath>
#include <limits>
#include <map>
#include <memory>
#include <random>
#include <string>
#include <string_view>

using nightbus::SourceText;
namespace ours = nightbus::toml;

namespace {

ours::Document read(std::string text, const std::vector<ours::Heading>& headings = {}) {
  return ours::parse(std::make_shared<const SourceText>("t.toml", std::move(text)), headings);
}

const ours::Value* at(const ours::Value& root, std::initializer_list<std::string_view> path) {
  const auto* value = &root;
  for (const auto key : path) {
    const auto* entry = value->find(key);
    if (entry == nullptr) return nullptr;
    value = &entry->value;
    if (value->kind == ours::Value::Kind::list && value->headed()) value = &value->items.back();
  }
  return value;
}

std::string all_problems(const ours::Document& document) {
  std::string text;
  for (const auto& problem : document.problems) {
    text += std::to_string(problem.where.line) + ":" + std::to_string(problem.where.column) + " " +
            problem.code + "\n";
  }
  return text;
}

/// One text for either tree, with keys in order, so that two parsers can be compared.
std::string canon(const ours::Value& value) {
  using Kind = ours::Value::Kind;
  switch (value.kind) {
    case Kind::text:
      return "\"" + value.text + "\"";
    case Kind::integer:
      return std::to_string(value.integer);
    case Kind::real:
      return std::isnan(value.real) ? "nan" : "r" + std::to_string(value.real);
    case Kind::flag:
      return value.flag ? "true" : "false";
    case Kind::date:
      return "date";
    case Kind::list: {
      std::string out = "[";
      for (const auto& item : value.items) out += canon(item) + ",";
      return out + "]";
    }
    case Kind::table: {
      std::map<std::string, std::string> sorted;
      for (const auto& entry : value.entries) sorted[entry.key] = canon(entry.value);
      std::string out = "{";
      for (const auto& [key, text] : sorted) out += key + "=" + text + ",";
      return out + "}";
    }
  }
  return {};
}

std::string canon(const ::toml::node& node) {
  if (const auto* text = node.as_string()) return "\"" + text->get() + "\"";
  if (const auto* integer = node.as_integer()) return std::to_string(integer->get());
  if (const auto* real = node.as_floating_point()) {
    return std::isnan(real->get()) ? "nan" : "r" + std::to_string(real->get());
  }
  if (const auto* flag = node.as_boolean()) return flag->get() ? "true" : "false";
  if (const auto* list = node.as_array()) {
    std::string out = "[";
    for (const auto& item : *list) out += canon(item) + ",";
    return out + "]";
  }
  if (const auto* table = node.as_table()) {
    std::string out = "{";
    for (const auto& [key, item] : *table) out += std::string(key.str()) + "=" + canon(item) + ",";
    return out + "}";
  }
  return "date";
}

}  // namespace

TEST_CASE("every kind of value is read") {
  const auto document = read(R"(
basic = "a \"b\" \\ \t \u00B5 \U0001F600"
literal = 'C:\plans'
long = """
two \
   joined
lines"""
long_literal = '''
no \ escapes'''
quotes = """"one" ""two"" """""
dec = +1_000
neg = -17
hex = 0xDEAD_beef
oct = 0o755
bin = 0b1101
float = 6.626e-34
exp = 5e+22
point = 1_000.5
infinite = -inf
not_a_number = nan
yes = true
no = false
day = 1979-05-27
moment = 1979-05-27T00:32:00.999-07:00
spaced = 1979-05-27 07:32:00Z
clock = 07:32:00
list = [1, 2.5, "x", [true], { a = 1 }, ] # trailing comma
spread = [
  1, # one

  2
]
inline = { a.b = 1, "c d" = [1, 2], e = {} }
"quoted key" = 1
'literal.key' = 2
a.b.c = 3
a . d = 4
)");
  CAPTURE(all_problems(document));
  REQUIRE(document.problems.empty());
  const auto& root = document.root;
  CHECK(at(root, {"basic"})->text == "a \"b\" \\ \t µ 😀");
  CHECK(at(root, {"literal"})->text == "C:\\plans");
  CHECK(at(root, {"long"})->text == "two joined\nlines");
  CHECK(at(root, {"long_literal"})->text == "no \\ escapes");
  CHECK(at(root, {"quotes"})->text == "\"one\" \"\"two\"\" \"\"");
  CHECK(at(root, {"dec"})->integer == 1000);
  CHECK(at(root, {"neg"})->integer == -17);
  CHECK(at(root, {"hex"})->integer == 0xDEADBEEF);
  CHECK(at(root, {"oct"})->integer == 0755);
  CHECK(at(root, {"bin"})->integer == 13);
  CHECK(at(root, {"float"})->real == 6.626e-34);
  CHECK(at(root, {"exp"})->real == 5e22);
  CHECK(at(root, {"point"})->real == 1000.5);
  CHECK(at(root, {"infinite"})->real == -std::numeric_limits<double>::infinity());
  CHECK(std::isnan(at(root, {"not_a_number"})->real));
  CHECK(at(root, {"yes"})->flag);
  CHECK_FALSE(at(root, {"no"})->flag);
  for (const auto* key : {"day", "moment", "spaced", "clock"})
    CHECK(at(root, {key})->kind == ours::Value::Kind::date);
  CHECK(at(root, {"list"})->items.size() == 5);
  CHECK(at(root, {"spread"})->items.size() == 2);
  CHECK(at(root, {"inline", "a", "b"})->integer == 1);
  CHECK(at(root, {"inline", "c d"})->items.size() == 2);
  CHECK(at(root, {"inline", "e"})->entries.empty());
  CHECK(at(root, {"quoted key"})->integer == 1);
  CHECK(at(root, {"literal.key"})->integer == 2);
  CHECK(at(root, {"a", "b", "c"})->integer == 3);
  CHECK(at(root, {"a", "d"})->integer == 4);
}

TEST_CASE("headings, dotted headings and lists of tables build the tree") {
  const auto document = read(
      "[site]\nlatitude = 1\n[a.b]\nx = 1\n[a]\ny = 2\n[[run]]\nname = 'one'\n[run.size]\nmm = "
      "2\n[[run]]\nname = 'two'\n"
      "[ \"odd name\" . z ]\nw = 3\n");
  CAPTURE(all_problems(document));
  REQUIRE(document.problems.empty());
  CHECK(at(document.root, {"site", "latitude"})->integer == 1);
  CHECK(at(document.root, {"a", "b", "x"})->integer == 1);
  CHECK(at(document.root, {"a", "y"})->integer == 2);
  const auto& runs = document.root.find("run")->value;
  REQUIRE(runs.items.size() == 2);
  CHECK(at(runs.items[0], {"size", "mm"})->integer == 2);
  CHECK(runs.items[1].find("name")->value.text == "two");
  CHECK(at(document.root, {"odd name", "z", "w"})->integer == 3);
}

TEST_CASE("places count characters from one") {
  const auto document = read("µ1 = 1\n[x]\n\tkey = \"湖\" # c\r\nlast = [1,\n 22]");
  const auto& entry = *at(document.root, {"x"});
  CHECK(entry.where.line == 2);
  const auto* key = entry.find("key");
  CHECK(key->where.column == 2);
  CHECK(key->value.where.column == 8);
  CHECK(key->value.where.end_column == 11);
  const auto* last = entry.find("last");
  CHECK(last->value.where.line == 4);
  CHECK(last->value.where.end_line == 5);
  CHECK(last->value.items[1].where.place() == "t.toml:5:2");
}

TEST_CASE("what the standard forbids is refused, and the line after it is still read") {
  for (const std::string_view bad : {"a = 012",
                                     "a = 1__0",
                                     "a = _1",
                                     "a = 1_",
                                     "a = .5",
                                     "a = 5.",
                                     "a = 1.e3",
                                     "a = 0x",
                                     "a = 0b2",
                                     "a = +0x1",
                                     "a = tru",
                                     "a = nan1",
                                     "a = 1e",
                                     "a = 99999999999999999999",
                                     "a = 1e999",
                                     "a = --1",
                                     "a = 1.2.3",
                                     "a = \"x",
                                     "a = 'x",
                                     "a = \"\\q\"",
                                     "a = \"\\u12\"",
                                     "a = \"\\uD800\"",
                                     "a = \"\\U00110000\"",
                                     "a = 1 2",
                                     "a = \"x\" y",
                                     "a",
                                     "a =",
                                     "= 1",
                                     "a b = 1",
                                     "a: 1",
                                     "[a",
                                     "[a]]",
                                     "[[a]",
                                     "[]",
                                     "[[]]",
                                     "[a.]",
                                     "[.a]",
                                     "[a b]",
                                     "[=",
                                     "[ [a]]",
                                     "a = [1 2]",
                                     "a = [1,, 2]",
                                     "a = [,]",
                                     "a = {b = 1,}",
                                     "a = {b = 1",
                                     "a = {b}",
                                     "a = {b = 1 c = 2}",
                                     "a = {b = 1, b = 2}",
                                     "a = “x”",
                                     "a = 1979-13",
                                     "a = 1979-05-27T",
                                     "a.b = 1 # x\na.b.c = 2",
                                     "a = 1\na = 2",
                                     "a = 1\na.b = 2",
                                     "a = {b = 1}\na.c = 2",
                                     "[x]\n[x]",
                                     "[[x]]\n[x]",
                                     "[x]\n[[x]]",
                                     "x = 1\n[x]",
                                     "x = [1]\n[[x]]",
                                     "x = {a = 1}\n[x.b]",
                                     "a.b = 1\n[a]",
                                     "a = \x01",
                                     "a = \"\x7f\"",
                                     "a = 1 # \x02",
                                     "\xff = 1",
                                     "a = \"\xc3\"",
                                     "\"\"\"a\"\"\" = 1",
                                     "a = 'x\ny'"}) {
    CAPTURE(bad);
    const auto document = read("first = 1\n" + std::string(bad) + "\n[z]\nlast = 1\n");
    CHECK_FALSE(document.problems.empty());
    CHECK(document.problems.size() <= 2);
    CHECK(at(document.root, {"first"}) != nullptr);
    CHECK(at(document.root, {"z", "last"}) != nullptr);
  }
}

TEST_CASE("one problem for one mistake, and reading goes on at the next statement") {
  const auto document = read(
      "a = [1,\n  2 3,\n  4]\n"           // one problem, at 1:5
      "b = [1, 2\nc = 3\n"                // one problem, at 4:5; c is read
      "d = { x = 1,\n  y = 2 }\ne = 5\n"  // one problem, at 6:5; e is read
      "f = [bad,\n 7]\ng = 8\n");         // one problem, at 9:6
  CHECK(all_problems(document) ==
        "1:5 open-list\n4:5 open-list\n6:5 open-braces\n9:6 unquoted-text\n");
  CHECK(at(document.root, {"c"})->integer == 3);
  CHECK(at(document.root, {"e"})->integer == 5);
  CHECK(at(document.root, {"g"})->integer == 8);
  CHECK(at(document.root, {"a"}) == nullptr);
}

TEST_CASE("keys below a broken heading do not fall to the table before it") {
  const std::vector<ours::Heading> known{{"site", false}, {"load", true}};
  const auto guessed = read("[site]\nx = 1\n[[load]\nname = 'a'\n", known);
  CHECK(at(guessed.root, {"load", "name"})->text == "a");
  CHECK(guessed.problems.size() == 1);
  CHECK(guessed.lost_names);
  const auto lost = read("[site]\nx = 1\n[?]\nx = 2\n", known);
  CHECK(all_problems(lost) == "3:1 broken-heading\n");
  CHECK(at(lost.root, {"site", "x"})->integer == 1);
  const auto twice = read("[site]\nx = 1\n[site]\nx = 2\n[load]\n[[load]]\n", known);
  CHECK(all_problems(twice) == "3:1 duplicate-table\n6:1 duplicate-table\n");
}

TEST_CASE("too many problems, too deep and too many keys end the reading") {
  std::string many;
  for (int i = 0; i < 100; ++i) many += "k" + std::to_string(i) + " = bad word\n";
  CHECK(read(many).problems.size() == 21);
  CHECK(read("a = " + std::string(100'000, '[')).problems.size() == 1);
  std::string braces = "a = ";
  for (int i = 0; i < 5000; ++i) braces += "{a=";
  CHECK(read(braces).problems.size() == 1);
  std::string keys;
  for (int i = 0; i < 10'100; ++i) keys += "k" + std::to_string(i) + " = 1\n";
  CHECK(all_problems(read(keys)).find("too-large") != std::string::npos);
}

namespace {

/// Well-formed TOML in ASCII, or nearly so.
class Writer {
 public:
  explicit Writer(std::uint64_t seed) : random_(seed) {}

  std::string file() {
    std::string out;
    for (int i = 0; i < pick(4); ++i) out += key() + std::to_string(i) + " = " + value(0) + end();
    for (int i = 0; i < pick(5); ++i) {
      const bool list = pick(2) == 0;
      const auto name =
          (list ? "l" : "t" + std::to_string(i)) + std::string(pick(3) == 0 ? ".sub" : "");
      out += list ? "[[" + name + "]]" + end() : "[" + name + "]" + end();
      for (int j = 0; j < pick(4); ++j) out += key() + std::to_string(j) + " = " + value(0) + end();
    }
    return out;
  }

  /// The same with one byte changed: it may be TOML or not.
  std::string damaged() {
    auto text = file();
    if (text.empty()) return text;
    const auto where = static_cast<std::size_t>(pick(static_cast<int>(text.size())));
    constexpr std::string_view bytes = "[]{}=,.\"'#\\\n -_0aeE+:";
    text[where] = bytes[static_cast<std::size_t>(pick(static_cast<int>(bytes.size())))];
    return text;
  }

 private:
  int pick(int below) { return static_cast<int>(random_() % static_cast<std::uint64_t>(below)); }
  std::string one_of(std::initializer_list<const char*> list) {
    return *(list.begin() + pick(static_cast<int>(list.size())));
  }
  std::string end() { return one_of({"\n", "  # note\n", "\r\n", "\n\n"}); }
  std::string key() {
    return one_of({"a", "b-c", "\"q k\"", "'l'.x", "d.e", "A_1"})
        .append(pick(2) != 0 ? ".k" : ".m");
  }

  std::string value(int depth) {
    switch (pick(depth > 2 ? 6 : 8)) {
      case 0:
        return one_of({"0", "-1", "+7", "1_000", "0x1F", "0o17", "0b11", "9223372036854775807"});
      case 1:
        return one_of({"0.5", "-1e3", "1.5E-2", "inf", "nan", "-0.0", "1_0.2_5", "6e+2"});
      case 2:
        return one_of({"true", "false"});
      case 3:
        return one_of({"\"x\"", "\"\"", "\"a\\tb\\\"\"", "\"\\u0041\"", "'lit # = '", "''"});
      case 4:
        return one_of({"\"\"\"one\ntwo\"\"\"", "'''l\n  l'''", "\"\"\"a \\\n   b\"\"\"",
                       "\"\"\"q\"\"q\"\"\"\""});
      case 5:
        return one_of({"1979-05-27", "1979-05-27T07:32:00Z", "07:32:00"});
      case 6: {
        std::string out = "[";
        const int count = pick(4);
        for (int i = 0; i < count; ++i)
          out += (i > 0 ? one_of({",", ", ", ",\n  ", " , # c\n"}) : "") + value(depth + 1);
        return out + one_of({"]", " ]", "\n]"});
      }
      default: {
        std::string out = "{";
        const int count = pick(3);
        for (int i = 0; i < count; ++i)
          out += (i > 0 ? ", " : " ") + key() + std::to_string(i) + " = " + value(3);
        return out + " }";
      }
    }
  }

  std::mt19937_64 random_;
};

}  // namespace

TEST_CASE("on generated files both readers build the same tree, or both refuse") {
  int same = 0;
  int refused = 0;
  for (std::uint64_t seed = 1; seed <= 4000; ++seed) {
    Writer writer(seed);
    const auto text = seed % 2 == 0 ? writer.file() : writer.damaged();
    CAPTURE(text);
    const auto document = read(text);
    std::string theirs;
    bool accepted = true;
    try {
      theirs = canon(::toml::parse(text));
    } catch (const ::toml::parse_error& error) {
      accepted = false;
      theirs = std::string(error.description());
    }
    CAPTURE(theirs);
    CAPTURE(all_problems(document));
    REQUIRE(document.problems.empty() == accepted);
    if (accepted) {
      REQUIRE(canon(document.root) == theirs);
      ++same;
    } else {
      ++refused;
    }
  }
  CHECK(same > 1500);
  CHECK(refused > 500);
}
