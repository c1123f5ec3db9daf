#include "nightbus/source.hpp"

#include <doctest/doctest.h>

#include <memory>
#include <string>
#include <vector>

using namespace nightbus;

namespace {

std::shared_ptr<const SourceText> text_of(std::string text, std::string name = "hut.toml") {
  return std::make_shared<SourceText>(std::move(name), std::move(text));
}

Span span_at(std::string text, std::uint32_t line, std::uint32_t column, std::uint32_t end) {
  return {text_of(std::move(text)), line, column, line, end};
}

/// The two lines of the excerpt: the text line and the caret line, without their margins.
std::pair<std::string, std::string> shown(const Span& where) {
  const auto text = render(Problem{"x", "x", where, "", "", "", {}, ""});
  const auto first = text.find(" | ") + 3;
  const auto end = text.find('\n', first);
  const auto caret = text.find("| ", end) + 2;
  return {text.substr(first, end - first), text.substr(caret, text.find('\n', caret) - caret)};
}

}  // namespace

TEST_CASE("lines are found whatever their ends") {
  const SourceText unix("a", "one\ntwo\n\nfour");
  CHECK(unix.line_count() == 4);
  CHECK(unix.line(1) == "one");
  CHECK(unix.line(3) == "");
  CHECK(unix.line(4) == "four");
  CHECK(unix.line(0) == "");
  CHECK(unix.line(5) == "");
  const SourceText dos("a", "one\r\ntwo\r\n");
  CHECK(dos.line_count() == 2);
  CHECK(dos.line(1) == "one");
  CHECK(dos.line(2) == "two");
  CHECK(dos.line(3) == "");
  const SourceText empty("a", "");
  CHECK(empty.line_count() == 1);
  CHECK(empty.line(1) == "");
}

TEST_CASE("bytes and columns turn into each other, columns counting characters") {
  const SourceText text("a", "ab\nµΩ²x\n");
  CHECK(text.place(0) == std::pair<std::uint32_t, std::uint32_t>{1, 1});
  CHECK(text.place(2) == std::pair<std::uint32_t, std::uint32_t>{1, 3});
  CHECK(text.place(3) == std::pair<std::uint32_t, std::uint32_t>{2, 1});
  CHECK(text.place(5) == std::pair<std::uint32_t, std::uint32_t>{2, 2});
  CHECK(text.place(9) == std::pair<std::uint32_t, std::uint32_t>{2, 4});
  CHECK(text.place(1000) == std::pair<std::uint32_t, std::uint32_t>{3, 1});
  CHECK(text.offset(2, 4) == 9);
  CHECK(text.offset(2, 99) == 10);
  CHECK(text.offset(99, 1) == text.text().size());
  for (std::size_t at : {0U, 1U, 2U, 3U, 5U, 7U, 9U, 10U}) {
    const auto [line, column] = text.place(at);
    CHECK(text.offset(line, column) == at);
  }
}

TEST_CASE("a place is printed as file, line and column, or as built in code") {
  CHECK(span_at("abc", 1, 2, 3).place() == "hut.toml:1:2");
  CHECK(Span{}.place() == "(built in code)");
  CHECK_FALSE(Span{}.known());
  CHECK_FALSE(span_of(nullptr, 0, 3).known());
  const auto span = span_of(text_of("one\ntwo three\n"), 8, 13);
  CHECK(span.place() == "hut.toml:2:5");
  CHECK(span.end_column == 10);
}

TEST_CASE("a problem shows its line, a caret, what was expected and found, and the mend") {
  const Problem problem{"wrong-unit",
                        "length in [[run]] \"router feed\"",
                        span_at("[[run]]\nlength = \"12 V\"\n", 2, 10, 16),
                        "a length such as \"12 ft\"",
                        "\"12 V\" is a voltage",
                        "write a length",
                        {},
                        ""};
  CHECK(render(problem) ==
        "hut.toml:2:10: length in [[run]] \"router feed\"\n"
        "    2 | length = \"12 V\"\n"
        "      |          ^^^^^^\n"
        "  expected: a length such as \"12 ft\"\n"
        "  found:    \"12 V\" is a voltage\n"
        "  to mend:  write a length\n");
}

TEST_CASE("a second place is shown with its own line") {
  const auto source = text_of("a = 1\nb = 2\na = 3\n");
  const Problem problem{"duplicate", "\"a\" is written twice", {source, 3, 1, 3, 2}, "", "",
                        "",          {source, 1, 1, 1, 2},     "first written here"};
  CHECK(render(problem) ==
        "hut.toml:3:1: \"a\" is written twice\n"
        "    3 | a = 3\n"
        "      | ^\n"
        "  first written here, at hut.toml:1:1\n"
        "    1 | a = 1\n"
        "      | ^\n");
}

TEST_CASE("a problem without a place is one plain sentence") {
  CHECK(render(Problem{"x", "no runs at all", {}, "", "", "", {}, ""}) == "no runs at all\n");
}

TEST_CASE("several problems are counted at the end") {
  const Problem one{"x", "first", {}, "", "", "", {}, ""};
  CHECK(render(std::vector<Problem>{one}) == "first\n\n1 problem.\n");
  CHECK(render(std::vector<Problem>{one, one}) == "first\n\nfirst\n\n2 problems.\n");
}

TEST_CASE("the caret stands under the place: tabs, wide and combining characters") {
  // A tab reaches the next multiple of four; columns count characters.
  auto [line, caret] = shown(span_at("\tx = 1", 1, 2, 3));
  CHECK(line == "    x = 1");
  CHECK(caret == "    ^");
  std::tie(line, caret) = shown(span_at("a\tx", 1, 3, 4));
  CHECK(line == "a   x");
  CHECK(caret == "    ^");
  std::tie(line, caret) = shown(span_at("µΩ²x", 1, 4, 5));
  CHECK(caret == "   ^");
  std::tie(line, caret) = shown(span_at("湖x", 1, 2, 3));  // one wide character
  CHECK(caret == "  ^");
  std::tie(line, caret) = shown(span_at("湖x", 1, 1, 2));
  CHECK(caret == "^^");
  std::tie(line, caret) = shown(span_at("e\u0301x", 1, 3, 4));  // a combining accent
  CHECK(caret == " ^");
}

TEST_CASE("a caret is never missing: empty lines, places past the end, empty spans") {
  CHECK(shown(span_at("", 1, 1, 1)).second == "^");
  CHECK(shown(span_at("abc", 1, 4, 4)).second == "   ^");
  CHECK(shown(span_at("abc", 1, 99, 99)).second == "   ^");
  CHECK(shown(span_at("abc", 1, 2, 2)).second == " ^");
  CHECK(shown(span_at("abc", 1, 3, 2)).second == "  ^");  // an end before its beginning
}

TEST_CASE("a span over several lines is underlined to the end of its first") {
  const Span span{text_of("abcdef\nghi\n"), 1, 3, 2, 2};
  CHECK(shown(span).second == "  ^^^^");
}

TEST_CASE("long lines are shortened around the place") {
  std::string text(500, '.');
  text.replace(250, 5, "HERE!");
  const auto [line, caret] = shown(span_at(text, 1, 251, 256));
  CHECK(line.substr(0, 3) == "…");
  CHECK(line.substr(line.size() - 3) == "…");
  // Count characters: one column each here, but the two dots take three bytes.
  CHECK(line.size() - 4 == 88);
  const auto at = line.find("HERE!") - 2;  // bytes to columns
  CHECK(caret == std::string(at, ' ') + "^^^^^");

  const auto [first, first_caret] = shown(span_at(text, 1, 1, 3));
  CHECK(first.front() == '.');
  CHECK(first_caret == "^^");
  const auto [last, last_caret] = shown(span_at(text, 1, 500, 501));
  CHECK(last.back() == '.');
  CHECK(last_caret == std::string(87, ' ') + "^");
  const auto [whole, whole_caret] = shown(span_at(text, 1, 1, 501));
  CHECK(whole_caret == std::string(87, '^'));
}

TEST_CASE("broken bytes and terminal controls are made visible") {
  const auto [line, caret] = shown(span_at("a\x1b[31mb\xff c", 1, 10, 11));
  CHECK(line == "a\\x1b[31mb\uFFFD c");
  CHECK(caret == "            ^");
  const Problem problem{"x", "key \"a\x07\u202Eb\"", {}, "", "", "", {}, ""};
  CHECK(render(problem) == "key \"a\\x07\\u202eb\"\n");
}

TEST_CASE("InputError carries its problems and says them") {
  const Problem one{"a", "first", {}, "", "", "", {}, ""};
  const Problem two{"b", "second", {}, "", "", "", {}, ""};
  try {
    throw InputError({one, two});
  } catch (const Error& error) {
    CHECK(std::string(error.what()) == "first\n\nsecond\n\n2 problems.\n");
    const auto* input = dynamic_cast<const InputError*>(&error);
    REQUIRE(input != nullptr);
    REQUIRE(input->problems().size() == 2);
    CHECK(input->problems()[1].code == "b");
  }
}

TEST_CASE("any bytes at any place render without harm") {
  std::uint32_t state = 1;
  const auto next = [&state] { return state = state * 1664525U + 1013904223U; };
  for (int n = 0; n < 3000; ++n) {
    std::string text;
    const auto length = (next() >> 8) % 200;
    for (std::uint32_t i = 0; i < length; ++i) {
      const auto pick = (next() >> 8) % 6;
      if (pick == 0)
        text += '\n';
      else if (pick == 1)
        text += '\t';
      else if (pick == 2)
        text += "湖";
      else
        text += static_cast<char>(next() >> 16);
    }
    const Span span{text_of(text), 1 + (next() >> 8) % 5, 1 + (next() >> 8) % 210,
                    1 + (next() >> 8) % 5, (next() >> 8) % 210};
    const auto rendered = render(Problem{"x", text, span, text, "", "", span, "there"});
    CHECK(rendered.find('^') != std::string::npos);
  }
}
