#include "scenario/measured_words.hpp"

#include <fmt/format.h>
#include <cmath>

namespace nightbus {

std::string_view suspect_kind_name(SuspectKind kind) {
  switch (kind) {
    case SuspectKind::joint:
      return "joint";
    case SuspectKind::run:
      return "run";
    case SuspectKind::load:
      break;
  }
  return "load";
}

namespace measured_detail {

namespace {

std::string words(const Suspect& s) {
  const auto ohm = [](double value) { return show_quantity(value, Dimension::resistance); };
  switch (s.kind) {
    case SuspectKind::joint:
      return fmt::format("{} more than planned at a joint of run \"{}\" (95 %: {} to {})",
                         ohm(s.estimate), s.subject, ohm(s.low), ohm(s.high));
    case SuspectKind::run:
      return fmt::format(
          "run \"{}\" {} than drawn: {:+.0f} % resistance (95 %: {:+.0f} to {:+.0f} %)", s.subject,
          s.estimate > 0.0 ? "longer or thinner" : "shorter or thicker", 100.0 * s.estimate,
          100.0 * s.low, 100.0 * s.high);
    case SuspectKind::load:
      break;
  }
  return fmt::format("\"{}\" draws {:.0f} % {} than planned (95 %: {:+.0f} to {:+.0f} %)",
                     s.subject, 100.0 * std::abs(s.estimate), s.estimate > 0.0 ? "more" : "less",
                     100.0 * s.low, 100.0 * s.high);
}

std::string words(const Explanation& explanation) {
  std::string text;
  for (const Suspect& suspect : explanation.suspects) {
    text += (text.empty() ? "" : ", and ") + words(suspect);
  }
  return text;
}

std::string place(ReadingKind kind, const std::string& at) {
  switch (kind) {
    case ReadingKind::volts:
      return fmt::format("volts at \"{}\"", at);
    case ReadingKind::drop:
      return fmt::format("the drop of run \"{}\", out and back", at);
    case ReadingKind::amps:
      break;
  }
  return fmt::format("amps through \"{}\"", at);
}

// The reading that lies furthest from the plan, by its meter.
Finding furthest(const Measured& measured, const std::vector<Reading>& readings,
                 const std::string& case_name) {
  std::size_t worst = 0;
  double most = -1.0;
  for (std::size_t k = 0; k < readings.size(); ++k) {
    const double off = std::abs(readings[k].value - measured.planned[k]) / readings[k].sigma;
    if (off > most) {
      most = off;
      worst = k;
    }
  }
  const Reading& reading = readings[worst];
  Finding finding = make_finding("measured-differs", "reading", reading.at);
  finding.value = reading.value;
  finding.limit = measured.planned[worst];
  finding.dimension = reading.kind == ReadingKind::amps ? Dimension::current : Dimension::voltage;
  finding.case_name = case_name;
  finding.where = reading.where;
  return finding;
}

}  // namespace

void put_into_words(Measured& measured, const std::vector<Reading>& readings,
                    const std::string& case_name) {
  const MeasuredOptions& assumed = measured.assumed;
  measured.assumptions.push_back(fmt::format(
      "A healthy system may differ from the plan by {:.2g} V at a bank, {:.2g} % in each draw and "
      "{:.2g} % in each conductor (standard deviations; no source, ours).",
      assumed.bank_sigma_v, 100.0 * assumed.load_spread, 100.0 * assumed.run_spread));
  measured.assumptions.push_back(fmt::format(
      "The plan is doubted when a healthy system would read so in less than {:.2g} % of cases.",
      100.0 * assumed.level));
  std::vector<std::string>& say = measured.sentences;
  if (measured.status != SolveStatus::solved) {
    say.push_back(
        fmt::format("The plan itself has no operating point in case \"{}\": nothing to "
                    "compare the readings with.",
                    case_name));
    return;
  }
  if (measured.healthy) {
    say.push_back(fmt::format(
        "As planned: {} readings differ no more than meters and ordinary spread explain "
        "(chi-square {:.1f}, by chance in {:.0f} % of healthy systems). This is no proof of health "
        "where nothing was read.",
        readings.size(), measured.chi_square, 100.0 * measured.probability));
  } else {
    say.push_back(fmt::format(
        "Not as planned: the readings differ by more than meters and ordinary spread explain "
        "(chi-square {:.1f} of {} readings, by chance in {} healthy systems).",
        measured.chi_square, readings.size(),
        measured.probability < 1e-6 ? "fewer than one in a million"
                                    : fmt::format("{:.2g} % of", 100.0 * measured.probability)));
    for (std::size_t k = 0; k < measured.alike; ++k) {
      say.push_back(fmt::format("{}: {}.",
                                k == 0 ? "Best explanation" : "As good by these readings",
                                words(measured.explanations[k])));
    }
    if (!measured.explained) {
      say.push_back(
          "No single difference and no pair explains the readings well: look for a wrong reading, "
          "another case, or more than two faults.");
    }
    if (measured.next) {
      say.push_back(fmt::format(
          "Read {} next: {} if the first is true, {} if its best rival is.",
          place(measured.next->kind, measured.next->at),
          show_quantity(
              measured.next->first,
              measured.next->kind == ReadingKind::amps ? Dimension::current : Dimension::voltage,
              4),
          show_quantity(
              measured.next->second,
              measured.next->kind == ReadingKind::amps ? Dimension::current : Dimension::voltage,
              4)));
    } else if (measured.alike > 1) {
      say.push_back(
          "No single reading between points would part these: read millivolts across each joint "
          "of the run itself.");
    }
    Finding finding = furthest(measured, readings, case_name);
    if (!measured.explanations.empty()) {
      finding.detail = "Best explanation: " + words(measured.explanations.front()) + ".";
    }
    measured.findings.push_back(std::move(finding));
  }
  if (!measured.unseen.empty()) {
    std::string names;
    for (const std::string& name : measured.unseen) {
      names += (names.empty() ? "\"" : ", \"") + name + "\"";
    }
    say.push_back(fmt::format("These readings say nothing about {}.", names));
  }
}

}  // namespace measured_detail

}  // namespace nightbus
