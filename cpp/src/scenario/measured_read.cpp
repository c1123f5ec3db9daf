// A table of readings: header kind,at,value,accuracy; every problem of the table at once.

#include <fmt/format.h>
#include <array>
#include <cmath>
#include <fstream>
#include <iterator>
#include <memory>
#include <sstream>

#include "nightbus/scenario_measured.hpp"

namespace nightbus {

namespace {

constexpr std::array<std::string_view, 4> header{"kind", "at", "value", "accuracy"};

struct Cell {
  std::string text;
  std::size_t begin = 0, end = 0;  // bytes of the whole text
};

std::string_view trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(" \t\r");
  if (first == std::string_view::npos) {
    return {};
  }
  return text.substr(first, text.find_last_not_of(" \t\r") - first + 1);
}

// Quotes keep a comma inside a name.
std::vector<Cell> cells_of(std::string_view line, std::size_t offset) {
  std::vector<Cell> cells;
  std::size_t begin = 0;
  bool quoted = false;
  for (std::size_t k = 0; k <= line.size(); ++k) {
    if (k < line.size() && line[k] == '"') {
      quoted = !quoted;
    }
    if (k < line.size() && (quoted || line[k] != ',')) {
      continue;
    }
    std::string_view text = trimmed(line.substr(begin, k - begin));
    const std::size_t at =
        text.empty() ? begin : static_cast<std::size_t>(text.data() - line.data());
    Cell cell{{}, offset + at, offset + at + text.size()};
    if (text.size() >= 2 && text.front() == '"' && text.back() == '"') {
      text = text.substr(1, text.size() - 2);
    }
    cell.text = std::string(text);
    cells.push_back(std::move(cell));
    begin = k + 1;
  }
  return cells;
}

// One step of the last place of "84.20 mV", in the inside unit.
double step_of(std::string_view text, Dimension dimension) {
  const std::size_t last = text.find_last_of("0123456789");
  std::string unit_only;
  std::size_t places = 0;
  const std::size_t point = text.find('.');
  if (point != std::string_view::npos && point < last) {
    places = last - point;
  }
  unit_only = fmt::format("1{}", text.substr(last + 1));
  const Parsed<double> one = parse_quantity(unit_only, dimension, {}, Range{0.0, 1e9});
  return one ? *one * std::pow(10.0, -static_cast<double>(places)) : 0.0;
}

// "0.5 % + 2 digits", "1 mV", "0.5 %"
std::optional<double> sigma_of(std::string_view text, std::string_view value_text, double value,
                               Dimension dimension) {
  double sum = 0.0;
  while (!text.empty()) {
    const std::size_t plus = text.find('+');
    const std::string_view part = trimmed(text.substr(0, plus));
    text = plus == std::string_view::npos ? std::string_view{} : text.substr(plus + 1);
    const std::size_t unit = part.find("digit");
    if (unit != std::string_view::npos) {
      const Parsed<double> count =
          parse_quantity(trimmed(part.substr(0, unit)), Dimension::number, {}, Range{0.0, 1000.0});
      if (!count) {
        return std::nullopt;
      }
      sum += *count * step_of(value_text, dimension);
    } else if (part.find('%') != std::string_view::npos) {
      const Parsed<double> ratio = parse_quantity(part, Dimension::ratio, {}, Range{0.0, 1.0});
      if (!ratio) {
        return std::nullopt;
      }
      sum += *ratio * std::abs(value);
    } else {
      const Parsed<double> fixed = parse_quantity(part, dimension, {}, Range{0.0, 1000.0});
      if (!fixed) {
        return std::nullopt;
      }
      sum += *fixed;
    }
  }
  return sum > 0.0 ? std::optional(sum) : std::nullopt;
}

class Table {
 public:
  explicit Table(const SourceText& text) : text_(std::make_shared<const SourceText>(text)) {}

  std::vector<Reading> read() {
    bool headed = false;
    for (std::uint32_t number = 1; number <= text_->line_count(); ++number) {
      const std::string_view line = text_->line(number);
      const std::string_view content = trimmed(line);
      if (content.empty() || content.front() == '#') {
        continue;
      }
      const std::vector<Cell> cells = cells_of(line, text_->offset(number, 1));
      if (!headed) {
        headed = true;
        check_header(cells);
      } else {
        row(cells);
      }
    }
    if (readings_.empty() && problems_.empty()) {
      problem({"", 0, 0}, "no-readings", "the table holds no reading", "kind,at,value,accuracy",
              "nothing below the header", "write one line for each reading");
    }
    if (!problems_.empty()) {
      throw InputError(std::move(problems_));
    }
    return std::move(readings_);
  }

 private:
  void problem(const Cell& cell, std::string code, std::string what, std::string expected,
               std::string seen, std::string mend) {
    Problem made;
    made.code = std::move(code);
    made.what = std::move(what);
    made.where = span_of(text_, cell.begin, cell.end);
    made.expected = std::move(expected);
    made.seen = std::move(seen);
    made.mend = std::move(mend);
    problems_.push_back(std::move(made));
  }

  void check_header(const std::vector<Cell>& cells) {
    for (std::size_t k = 0; k < header.size(); ++k) {
      const std::string seen = k < cells.size() ? cells[k].text : "";
      if (seen != header[k]) {
        problem(k < cells.size() ? cells[k] : cells.back(), "readings-header",
                fmt::format("column {} of the readings should be \"{}\"", k + 1, header[k]),
                "the header kind,at,value,accuracy", fmt::format("\"{}\"", seen), "");
      }
    }
  }

  void row(const std::vector<Cell>& cells) {
    if (cells.size() != header.size()) {
      problem({"", cells.front().begin, cells.back().end}, "readings-columns",
              "a reading has four columns", "kind,at,value,accuracy",
              fmt::format("{} columns", cells.size()), "put a name that has a comma into quotes");
      return;
    }
    Reading reading;
    reading.at = cells[1].text;
    reading.where = span_of(text_, cells[1].begin, cells[1].end);
    bool good = false;
    for (const ReadingKind kind : {ReadingKind::volts, ReadingKind::drop, ReadingKind::amps}) {
      if (cells[0].text == reading_kind_name(kind)) {
        reading.kind = kind;
        good = true;
      }
    }
    if (!good) {
      problem(cells[0], "readings-kind", "unknown kind of reading", "volts, drop or amps",
              fmt::format("\"{}\"", cells[0].text), "");
      return;
    }
    const Dimension dimension =
        reading.kind == ReadingKind::amps ? Dimension::current : Dimension::voltage;
    const Parsed<double> value = parse_quantity(cells[2].text, dimension, {}, Range{-1e4, 1e4});
    if (!value) {
      problem(cells[2], std::string(value.problem.code), "the value cannot be read",
              value.problem.expected, value.problem.seen, value.problem.mend);
      return;
    }
    reading.value = *value;
    const std::optional<double> sigma =
        sigma_of(cells[3].text, cells[2].text, reading.value, dimension);
    if (!sigma) {
      problem(cells[3], "readings-accuracy", "the accuracy cannot be read",
              "such as \"0.5 % + 2 digits\" or \"20 mV\", more than nothing",
              fmt::format("\"{}\"", cells[3].text), "it stands in the meter's data sheet");
      return;
    }
    reading.sigma = *sigma;
    readings_.push_back(std::move(reading));
  }

  std::shared_ptr<const SourceText> text_;
  std::vector<Reading> readings_;
  std::vector<Problem> problems_;
};

}  // namespace

std::string_view reading_kind_name(ReadingKind kind) {
  switch (kind) {
    case ReadingKind::volts:
      return "volts";
    case ReadingKind::drop:
      return "drop";
    case ReadingKind::amps:
      break;
  }
  return "amps";
}

double meter_sigma(double value, double ratio, double digits, double step) {
  return ratio * std::abs(value) + digits * step;
}

std::vector<Reading> parse_readings(const SourceText& text) {
  return Table(text).read();
}

std::vector<Reading> read_readings(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  if (!file) {
    Problem missing;
    missing.code = "readings-file";
    missing.what = fmt::format("cannot open \"{}\"", path);
    throw InputError({missing});
  }
  std::ostringstream text;
  text << file.rdbuf();
  return parse_readings(SourceText(path, text.str()));
}

}  // namespace nightbus
