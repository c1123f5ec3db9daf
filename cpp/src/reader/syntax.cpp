#include "reader/syntax.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <optional>

#include "nightbus/fields.hpp"
#include "nightbus/quantity.hpp"
#include "reader/line_scan.hpp"

namespace nightbus::reader_detail {

namespace {

using Source = std::shared_ptr<const SourceText>;

/// Everything the questions below may look at.
struct Scene {
  const Source& source;
  const SourceText& text;
  const Stumble& stumble;
  std::uint32_t line;
  std::string_view words;  ///< of that line
  LineParts parts;

  std::string_view value() const {
    return words.substr(parts.value_begin, parts.value_end - parts.value_begin);
  }
  Span span(std::size_t begin, std::size_t end) const {
    const auto start = source->offset(line, 1);
    return span_of(source, start + begin, start + end);
  }
  bool said(std::string_view piece) const { return stumble.said.find(piece) != std::string::npos; }
};

using Answer = std::optional<Diagnosis>;

Diagnosis answer(const Scene& scene, std::string code, std::string what, Span where,
                 std::string expected, std::string mend) {
  return {Problem{std::move(code),
                  std::move(what),
                  std::move(where),
                  std::move(expected),
                  "",
                  std::move(mend),
                  {},
                  ""},
          scene.line, scene.line};
}

std::string cut(std::string_view text) {
  if (text.size() <= 60) return std::string(text);
  std::size_t end = 60;
  while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) --end;
  return std::string(text.substr(0, end)) + "…";
}

// ---- One question per slip; the first that fits answers -----------------------------------------

/// Line of the earlier `key = …` in the same table, 0 when there is none.
std::uint32_t earlier_key(const Scene& scene) {
  for (auto line = scene.line - 1; line > 0; --line) {
    const auto parts = scan_line(scene.text.line(line));
    if (parts.heading) return 0;
    if (parts.equals && parts.key == scene.parts.key) return line;
  }
  return 0;
}

std::uint32_t earlier_heading(const Scene& scene) {
  const auto name = heading_name(scene.words);
  for (auto line = scene.line - 1; line > 0; --line) {
    const auto words = scene.text.line(line);
    const auto parts = scan_line(words);
    if (parts.heading && heading_name(words) == name) return line;
    if (!parts.heading && parts.equals && parts.key == name) return line;
  }
  return 0;
}

Answer written_twice(const Scene& scene) {
  if (!scene.said("redefine") && !scene.said("cannot insert")) return {};
  const auto& parts = scene.parts;
  if (parts.heading) {
    const auto name = heading_name(scene.words);
    const auto first = earlier_heading(scene);
    const bool listed = trimmed(scene.words).starts_with("[[");
    std::string mend = fmt::format("keep one [{}] and put all its keys there", name);
    for (const auto& type : record_types()) {
      if (type.key == name && type.many) mend = fmt::format("write [[{}]] each time", name);
      if (type.key == name && !type.many && listed)
        mend = fmt::format("there is one of it: write [{}]", name);
    }
    auto found =
        answer(scene, "duplicate-table", fmt::format("the heading \"{}\" is written twice", name),
               scene.span(parts.key_begin, parts.key_end), "", mend);
    if (first != 0) {
      const auto words = scene.text.line(first);
      const auto start = scene.source->offset(first, 1);
      found.problem.other = span_of(scene.source, start, start + words.size());
      found.problem.other_label = "first written here";
    }
    return found;
  }
  const auto first = earlier_key(scene);
  auto found =
      answer(scene, "duplicate-key", fmt::format("the key \"{}\" is written twice", cut(parts.key)),
             scene.span(parts.key_begin, parts.key_end), "", "keep one of the two");
  if (first != 0) {
    const auto other = scan_line(scene.text.line(first));
    const auto start = scene.source->offset(first, 1);
    found.problem.other = span_of(scene.source, start + other.key_begin, start + other.key_end);
    found.problem.other_label = "first written here";
  } else {
    // Twice inside one pair of braces: both stand on this line, so point at the second.
    const auto column = scene.stumble.column;
    found.problem.what = "a key is written twice between the same braces";
    found.problem.where = {scene.source, scene.line, column, scene.line, column + 1};
  }
  return found;
}

Answer not_utf8(const Scene& scene) {
  if (!scene.said("utf-8") && !scene.said("UTF-8")) return {};
  const auto column = scene.stumble.column;
  return answer(scene, "not-utf8", "bytes that are not UTF-8 text",
                {scene.source, scene.line, column, scene.line, column + 1}, "",
                "save the file as UTF-8");
}

Answer control_character(const Scene& scene) {
  for (std::size_t i = 0; i < scene.words.size(); ++i) {
    const auto byte = static_cast<unsigned char>(scene.words[i]);
    if ((byte < 0x20 && byte != '\t') || byte == 0x7F) {
      return answer(scene, "control-character", "a control character that cannot be seen",
                    scene.span(i, i + 1), "", "delete it");
    }
  }
  return {};
}

Answer curly_quotes(const Scene& scene) {
  for (std::string_view mark : {"\u201C", "\u201D", "\u201E", "\u2018", "\u00AB", "\u00BB"}) {
    const auto at = scene.words.find(mark);
    if (at == std::string_view::npos || scene.said("string")) continue;
    if (at < scene.parts.value_begin) continue;
    return answer(scene, "wrong-quotes", "typographic quotes do not hold a text",
                  scene.span(at, at + mark.size()), "", "use plain quotes: \"…\"");
  }
  return {};
}

/// A text in three quotes swallows all that follows; the parser notices at the end of the file.
Answer long_text_left_open(const Scene& scene) {
  for (auto line = scene.text.line_count(); line > 0; --line) {
    const auto words = scene.text.line(line);
    for (std::string_view mark : {"\"\"\"", "'''"}) {
      const auto at = words.rfind(mark);
      if (at == std::string_view::npos) continue;
      const auto start = scene.source->offset(line, 1);
      auto found = answer(scene, "open-text", "this text is not closed",
                          span_of(scene.source, start + at, start + words.size()), "",
                          fmt::format("put {} at its end", mark));
      found.line = found.last_line = line;
      return found;
    }
  }
  return {};
}

Answer text_left_open(const Scene& scene) {
  if (!scene.said("string")) return {};
  if (scene.said("escape") || scene.said("hex digit") || scene.said("U+")) {
    const auto at = scene.words.find('\\', scene.parts.value_begin);
    if (at != std::string_view::npos) {
      return answer(scene, "bad-escape", "a backslash in a text must be written twice",
                    scene.span(at, std::min(at + 2, scene.words.size())), "",
                    "write \\\\, or put the text in single quotes");
    }
  }
  if (scene.said("end-of-file")) return long_text_left_open(scene);
  const auto open = open_quote(scene.words, 0);
  if (open == std::string_view::npos) return {};
  return answer(scene, "open-text", "this text is not closed", scene.span(open, scene.words.size()),
                "", fmt::format("put a {} at its end", scene.words[open]));
}

Answer broken_heading(const Scene& scene) {
  if (!scene.parts.heading || scene.parts.equals) return {};
  const auto name = heading_name(scene.words);
  std::string expected = "[site], or [[load]] for things of which there are many";
  std::string mend;
  std::vector<std::string> keys;
  for (const auto& type : record_types()) keys.push_back(type.key);
  const auto near = near_misses(name, keys, 1);
  if (!near.empty()) {
    const bool many = record_type(near.front()).many;
    mend = "write " + std::string(many ? "[[" : "[") + near.front() + (many ? "]]" : "]");
  }
  return answer(scene, "broken-heading", "this heading cannot be read",
                scene.span(scene.parts.key_begin, scene.parts.key_end), expected, mend);
}

Answer no_equals(const Scene& scene) {
  if (scene.parts.equals || scene.parts.heading || scene.parts.key.empty()) return {};
  const auto words = scene.words;
  const auto colon = words.find(':');
  const auto begin = scene.parts.key_begin;
  const auto key_end = std::min(words.find_first_of(" \t:\"'", begin), words.size());
  const auto key = words.substr(begin, key_end - begin);
  if (colon != std::string_view::npos && colon <= key_end + 1) {
    return answer(scene, "no-equals", fmt::format("a colon after \"{}\"", cut(key)),
                  scene.span(colon, colon + 1), "", fmt::format("write {} = …", cut(key)));
  }
  return answer(scene, "no-equals", "this line has no \"=\"",
                scene.span(begin, scene.parts.key_end),
                "key = value, or a heading such as [[load]]",
                key.size() < trimmed(words).size() ? fmt::format("write {} = …", cut(key)) : "");
}

Answer key_with_spaces(const Scene& scene) {
  const auto& key = scene.parts.key;
  if (!scene.parts.equals || !scene.said("expected '='") ||
      key.find_first_of(" \t") == std::string::npos) {
    return {};
  }
  std::string joined = key;
  std::replace(joined.begin(), joined.end(), ' ', '_');
  return answer(scene, "key-with-space", fmt::format("a key cannot hold a space: \"{}\"", cut(key)),
                scene.span(scene.parts.key_begin, scene.parts.key_end), "",
                fmt::format("did you mean \"{}\"?", cut(joined)));
}

Answer no_value(const Scene& scene) {
  if (!scene.parts.equals || !scene.value().empty()) return {};
  if (scene.parts.key.empty()) {
    return answer(scene, "no-key", "no key before \"=\"",
                  scene.span(*scene.parts.equals, *scene.parts.equals + 1), "key = value", "");
  }
  return answer(scene, "no-value", fmt::format("no value after \"{} =\"", cut(scene.parts.key)),
                scene.span(*scene.parts.equals, *scene.parts.equals + 1), "",
                "write a value, or delete the line to take the default");
}

Answer no_key(const Scene& scene) {
  if (!scene.parts.equals || !scene.parts.key.empty()) return {};
  return answer(scene, "no-key", "no key before \"=\"",
                scene.span(*scene.parts.equals, *scene.parts.equals + 1), "key = value", "");
}

Answer comma_in_number(const Scene& scene) {
  const auto value = scene.value();
  const auto comma = value.find(',');
  const bool digits = !value.empty() && comma != std::string_view::npos && comma > 0 &&
                      value.find_first_not_of("0123456789,.+-") == std::string_view::npos;
  if (!digits) return {};
  std::string pointed(value);
  std::replace(pointed.begin(), pointed.end(), ',', '.');
  return answer(scene, "decimal-comma", fmt::format("\"{}\" has a comma in a number", cut(value)),
                scene.span(scene.parts.value_begin, scene.parts.value_end), "",
                fmt::format("write {}", cut(pointed)));
}

Answer odd_word(const Scene& scene) {
  const auto value = scene.value();
  struct Pair {
    std::string_view written;
    std::string_view meant;
  };
  constexpr std::array<Pair, 12> pairs{{{"True", "true"},
                                        {"TRUE", "true"},
                                        {"yes", "true"},
                                        {"Yes", "true"},
                                        {"on", "true"},
                                        {"YES", "true"},
                                        {"False", "false"},
                                        {"FALSE", "false"},
                                        {"no", "false"},
                                        {"No", "false"},
                                        {"off", "false"},
                                        {"NO", "false"}}};
  for (const auto& [written, meant] : pairs) {
    if (value == written) {
      return answer(scene, "unquoted-text", fmt::format("\"{}\" is not a value", written),
                    scene.span(scene.parts.value_begin, scene.parts.value_end), "true or false",
                    fmt::format("write {}", meant));
    }
  }
  return {};
}

Answer unquoted_text(const Scene& scene) {
  const auto value = scene.value();
  if (!scene.parts.equals || value.empty()) return {};
  constexpr std::string_view marks = "\"'[]{}=,";
  if (value.find_first_of(marks) != std::string_view::npos) return {};
  const bool lettered = std::any_of(value.begin(), value.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '%' || c == ' ' ||
           (static_cast<unsigned char>(c) >= 0x80);
  });
  const bool number = !lettered;
  if (number) {
    return answer(scene, "bad-number", fmt::format("\"{}\" is not a number in TOML", cut(value)),
                  scene.span(scene.parts.value_begin, scene.parts.value_end),
                  "digits with a point inside, such as 0.5 or 12",
                  value.starts_with(".") ? fmt::format("write 0{}", cut(value)) : "");
  }
  const bool unit = value.front() >= '0' && value.front() <= '9';
  return answer(scene, "unquoted-text",
                unit ? "a value with a unit must stand in quotes" : "a text must stand in quotes",
                scene.span(scene.parts.value_begin, scene.parts.value_end), "",
                fmt::format("write {} = \"{}\"", cut(scene.parts.key), cut(value)));
}

Answer open_braces(const Scene& scene) {
  if (!scene.said("inline table")) return {};
  const auto open = scene.words.find('{');
  const auto from = open == std::string_view::npos ? scene.parts.value_begin : open;
  const auto close = scene.words.rfind('}');
  if (scene.said("dangling comma")) {
    const auto comma = scene.words.rfind(',', close);
    return answer(scene, "open-braces", "a comma before the closing brace",
                  scene.span(comma, comma + 1), "", "delete the comma");
  }
  if (close == std::string_view::npos) {
    return answer(scene, "open-braces", "braces must be closed on the same line",
                  scene.span(from, scene.words.size()), "{ key = value, key = value }",
                  "join the lines, and put a } at the end");
  }
  return answer(
      scene, "open-braces", "this cannot be read between braces",
      {scene.source, scene.line, scene.stumble.column, scene.line, scene.stumble.column + 1},
      "{ key = value, key = value }", "");
}

/// The list was opened above; the parser only noticed here.
Answer open_list(const Scene& scene) {
  if (!scene.said("array")) return {};
  auto line = scene.line;
  while (line > 0) {
    const auto words = scene.text.line(line);
    const auto parts = scan_line(words);
    if (parts.equals && words.substr(parts.value_begin).starts_with("[")) {
      const auto start = scene.source->offset(line, 1);
      Diagnosis found;
      found.line = line;
      found.last_line = scene.parts.equals || scene.parts.heading ? scene.line - 1 : scene.line;
      found.last_line = std::max(found.last_line, line);
      found.problem.code = "open-list";
      found.problem.what = fmt::format(
          "the list of \"{}\" is not closed, or has no comma between two values", cut(parts.key));
      found.problem.where =
          span_of(scene.source, start + parts.value_begin, start + parts.value_end);
      found.problem.expected = "[value, value]";
      found.problem.mend = "put a comma between the values and a ] at the end";
      return found;
    }
    --line;
  }
  return {};
}

Answer more_on_line(const Scene& scene) {
  if (!scene.said("comment or whitespace") && !scene.said("value-terminator")) return {};
  const auto column = scene.stumble.column;
  const auto begin = scene.source->offset(scene.line, column) - scene.source->offset(scene.line, 1);
  const auto end = std::max(begin + 1, scene.parts.value_end);
  return answer(scene, "rest-of-line", "the line goes on after its value",
                scene.span(begin, std::min(end, std::max(begin, scene.words.size()))),
                "one key on each line", "put what follows on a line of its own, or a # before it");
}

Diagnosis plain(const Scene& scene) {
  const auto column = std::max<std::uint32_t>(scene.stumble.column, 1);
  return answer(scene, "syntax", "this line is not TOML",
                {scene.source, scene.line, column, scene.line, column + 1},
                "key = value, or a heading such as [[load]]", "");
}

}  // namespace

Diagnosis diagnose(const Source& source, const SourceText& text, const Stumble& stumble) {
  auto line =
      std::clamp<std::uint32_t>(stumble.line, 1, std::max<std::uint32_t>(text.line_count(), 1));
  while (line > 1 && trimmed(text.line(line)).empty()) --line;
  const auto words = text.line(line);
  const Scene scene{source, text, stumble, line, words, scan_line(words)};
  for (const auto question :
       {written_twice, not_utf8, control_character, curly_quotes, open_list, open_braces,
        text_left_open, broken_heading, no_equals, no_key, no_value, key_with_spaces,
        comma_in_number, odd_word, unquoted_text, more_on_line}) {
    if (auto found = question(scene)) return *found;
  }
  return plain(scene);
}

}  // namespace nightbus::reader_detail
