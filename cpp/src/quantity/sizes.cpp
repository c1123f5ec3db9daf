#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include "quantity/number.hpp"
#include "quantity/text.hpp"
#include "quantity/units.hpp"

namespace nightbus {

using namespace quantity_detail;

namespace {

constexpr std::string_view expected =
    "a conductor size such as \"18 AWG\", \"4/0 AWG\", \"2.5 mm²\", \"12 SAE\" or \"250 kcmil\"";

Parsed<ConductorSize> refuse(std::string_view text, std::string seen, std::string mend) {
  return {std::nullopt,
          {std::string(expected), std::move(seen), std::move(mend), 0, text.size(), "size"}};
}

std::optional<SizeSystem> system_of(std::string_view word) {
  const auto key = lower(unit_key(word));
  if (key == "awg") return SizeSystem::awg;
  if (key == "sae") return SizeSystem::sae;
  if (key == "mm2" || key == "sqmm") return SizeSystem::metric;
  if (key == "kcmil" || key == "mcm") return SizeSystem::kcmil;
  return std::nullopt;
}

/// "12", "4/0", "0000" as a gauge; nullopt when it is none of these.
std::optional<int> gauge_of(std::string_view digits) {
  if (digits.empty() || digits.size() > 4) return std::nullopt;
  if (digits.size() == 3 && digits.substr(1) == "/0" && digits[0] >= '1' && digits[0] <= '9') {
    return 1 - (digits[0] - '0');
  }
  if (!std::all_of(digits.begin(), digits.end(), is_digit)) return std::nullopt;
  if (digits.find_first_not_of('0') == std::string_view::npos) {
    return 1 - static_cast<int>(digits.size());
  }
  if (digits[0] == '0') return std::nullopt;
  return std::stoi(std::string(digits));
}

std::string_view trim(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

struct Pieces {
  std::string_view number;
  std::string_view word;
};

/// "18 AWG" and "AWG 18" alike.
Pieces take_apart(std::string_view text) {
  constexpr std::string_view numeric = "0123456789./,+-";
  if (!text.empty() && numeric.find(text.front()) != std::string_view::npos) {
    const auto end = std::min(text.find_first_not_of(numeric), text.size());
    return {text.substr(0, end), trim(text.substr(end))};
  }
  const auto at = std::min(text.find_first_of("0123456789"), text.size());
  return {trim(text.substr(at)), trim(text.substr(0, at))};
}

Parsed<ConductorSize> read_gauge(std::string_view text, SizeSystem system,
                                 std::string_view number) {
  const auto name = system == SizeSystem::awg ? "AWG" : "SAE";
  const auto gauge = gauge_of(number);
  if (!gauge) {
    return refuse(
        text, fmt::format("{}: {} is not a gauge", quoted(text), quoted(number)),
        fmt::format("gauges are whole numbers or 1/0 to 4/0, as in \"12 {0}\" or \"2/0 {0}\"",
                    name));
  }
  if (*gauge < -3 || *gauge > 40) {
    return refuse(text, fmt::format("{}: no such gauge", quoted(text)),
                  fmt::format("gauges run from 4/0 {0} (thick) to 40 {0} (thin)", name));
  }
  return {ConductorSize{system, static_cast<double>(*gauge)}, {}};
}

Parsed<ConductorSize> read_number(std::string_view text, SizeSystem system,
                                  std::string_view number) {
  const auto unit = system == SizeSystem::metric ? Dimension::area : Dimension::number;
  const auto value = parse_quantity(number, unit);
  if (!value) return refuse(text, value.problem.seen, value.problem.mend);
  const double most = system == SizeSystem::metric ? 2500.0 : 5000.0;
  if (!(*value > 0.0) || *value > most) {
    return refuse(text, fmt::format("{}: no such size", quoted(text)),
                  fmt::format("give a size above 0 and up to {} {}", most,
                              system == SizeSystem::metric ? "mm²" : "kcmil"));
  }
  return {ConductorSize{system, *value}, {}};
}

}  // namespace

Parsed<ConductorSize> parse_size(std::string_view original) {
  const auto plain = make_plain(original);
  const auto text = trim(plain.text);
  if (text.empty()) return refuse(original, "an empty text", "write a number and its system");
  const auto pieces = take_apart(text);
  if (pieces.number.empty()) {
    return refuse(original, fmt::format("{}: no number", quoted(original)),
                  "write \"12 AWG\" or \"2.5 mm²\"");
  }
  const auto word = lower(pieces.word);
  if (const auto system = system_of(pieces.word)) {
    const bool gauge = *system == SizeSystem::awg || *system == SizeSystem::sae;
    return gauge ? read_gauge(original, *system, pieces.number)
                 : read_number(original, *system, pieces.number);
  }
  if (word.empty()) {
    return refuse(original, fmt::format("{}: a size without its system", quoted(original)),
                  fmt::format("write \"{0} AWG\" or \"{0} mm²\"; they are very different wires",
                              pieces.number.substr(0, 12)));
  }
  if (word == "ga" || word == "ga." || word == "gauge" || word == "g" || word == "#") {
    return refuse(
        original, fmt::format("{}: \"{}\" names no system", quoted(original), word),
        fmt::format("write \"{0} AWG\", or \"{0} SAE\" for vehicle cable, which has less copper",
                    pieces.number.substr(0, 12)));
  }
  if (word == "mm" || word == "m2" || word == "cm2") {
    return refuse(original,
                  fmt::format("{}: {} is not how conductor sizes are named", quoted(original),
                              quoted(pieces.word)),
                  fmt::format("did you mean \"{} mm²\"?", pieces.number.substr(0, 12)));
  }
  const auto near = near_misses(word, {"awg", "sae", "mm2", "kcmil", "mcm"}, 1);
  const bool awg = !near.empty() && near.front() == "awg";
  const bool sae = !near.empty() && near.front() == "sae";
  const std::string spelling = near.empty()            ? ""
                               : awg                   ? "AWG"
                               : sae                   ? "SAE"
                               : near.front() == "mm2" ? "mm²"
                                                       : "kcmil";
  return refuse(original,
                fmt::format("{}: unknown size system {}", quoted(original), quoted(pieces.word)),
                near.empty() ? "the systems are AWG, SAE, mm² and kcmil"
                             : fmt::format("did you mean \"{}\"?", spelling));
}

std::string print_size(const ConductorSize& size) {
  switch (size.system) {
    case SizeSystem::metric:
      return print_decimal(size.number, 0) + " mm²";
    case SizeSystem::kcmil:
      return print_decimal(size.number, 0) + " kcmil";
    case SizeSystem::awg:
    case SizeSystem::sae:
      break;
  }
  const auto name = size.system == SizeSystem::awg ? "AWG" : "SAE";
  if (size.number <= 0.0) return fmt::format("{:.0f}/0 {}", 1.0 - size.number, name);
  return fmt::format("{:.0f} {}", size.number, name);
}

double nominal_area_mm2(const ConductorSize& size) {
  switch (size.system) {
    case SizeSystem::metric:
      return size.number;
    case SizeSystem::kcmil:
      return size.number * 1000.0 * (std::numbers::pi / 4.0 * 0.0254 * 0.0254);
    case SizeSystem::awg: {
      // d = 0.127 mm · 92^((36 - n)/39), ASTM B258: 36 AWG is 0.0050 in, 4/0 AWG 0.4600 in.
      const double diameter_mm = 0.127 * std::pow(92.0, (36.0 - size.number) / 39.0);
      return std::numbers::pi / 4.0 * diameter_mm * diameter_mm;
    }
    case SizeSystem::sae:
      break;
  }
  throw std::invalid_argument("SAE sizes follow no formula: their area stands in the catalogue");
}

}  // namespace nightbus
