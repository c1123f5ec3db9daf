/// Does the bank last the night, and does it fill again?

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "scenario/checks.hpp"

namespace nightbus::scenario_detail {

namespace {

constexpr const char* month_names[] = {"January",   "February", "March",    "April",
                                       "May",       "June",     "July",     "August",
                                       "September", "October",  "November", "December"};

std::string month_name(const MonthPlan& month) {
  return month_names[static_cast<std::size_t>(std::clamp(month.month, 1, 12) - 1)];
}

/// A charger that starts when the bank is low stands behind the sun.
bool has_stand_by(const System& system) {
  return std::any_of(system.chargers.begin(), system.chargers.end(),
                     [](const Charger& each) { return each.start_below.has_value(); });
}

void check_nights(const CheckInput& in, const EnergyPlan& energy, std::vector<Finding>& findings) {
  const Bank& bank = in.system.banks.front();
  const MonthPlan* lowest = &energy.months.front();
  const MonthPlan* darkest = nullptr;
  for (const MonthPlan& month : energy.months) {
    if (month.charge_sunrise < lowest->charge_sunrise) {
      lowest = &month;
    }
    if (month.days_to_dark && *month.days_to_dark * 24.0 < month.night_h &&
        (!darkest || *month.days_to_dark < *darkest->days_to_dark)) {
      darkest = &month;
    }
  }
  Question deep("deep-discharge", "bank", bank.name, Question::Must::reach, Dimension::ratio);
  deep.look(lowest->charge_sunrise, bank.reserve, month_name(*lowest));
  findings.push_back(deep.answer(bank.written.where, "the reserve of the bank",
                                 fmt::format("At sunrise; the night takes {}.",
                                             show_quantity(lowest->night_ah, Dimension::charge))));
  if (darkest) {
    Finding finding = make_finding("night-empties-bank", "bank", bank.name);
    finding.value = darkest->charge_sunset;
    finding.dimension = Dimension::ratio;
    finding.limit = 0.0;
    finding.case_name = month_name(*darkest);
    finding.detail = fmt::format(
        "The first device that matters drops {:.1f} h after sunset, "
        "{:.1f} h before sunrise.",
        24.0 * *darkest->days_to_dark, darkest->night_h - 24.0 * *darkest->days_to_dark);
    finding.where = bank.written.where;
    findings.push_back(std::move(finding));
  }
}

/// A vehicle that turns is judged by the mean over its headings; what it gets where it stands worst
/// is told beside it.
std::string worst_heading(const EnergyPlan& energy) {
  const MonthPlan& hardest = energy.months[energy.hardest];
  if (!hardest.sun_worst_wh) return {};
  int short_months = 0;
  for (const MonthPlan& month : energy.months) {
    const double worst = month.sun_worst_wh.value_or(month.sun_wh);
    short_months += worst + month.charger_wh < month.load_wh ? 1 : 0;
  }
  return fmt::format(
      " The sun is the mean over all headings; turned by {:.0f}°, where it stands worst, the "
      "vehicle "
      "gets {} a day, and {} of 12 months fall short.",
      *hardest.worst_heading_deg, show_quantity(*hardest.sun_worst_wh, Dimension::energy),
      short_months);
}

void check_balance(const CheckInput& in, const EnergyPlan& energy, std::vector<Finding>& findings) {
  const Bank& bank = in.system.banks.front();
  const MonthPlan& hardest = energy.months[energy.hardest];
  Question question("never-full", "bank", bank.name, Question::Must::reach, Dimension::energy);
  question.look(hardest.sun_wh + hardest.charger_wh, hardest.load_wh, month_name(hardest));
  Finding finding = question.answer(bank.written.where, "energy balance of a mean day");
  int short_months = 0;
  for (const MonthPlan& month : energy.months) {
    short_months += month.surplus_wh() < 0.0 ? 1 : 0;
  }
  if (question.failed()) {
    finding.detail = fmt::format("Short in {} of 12 months.", short_months);
    if (has_stand_by(in.system)) {
      finding.severity = Severity::notice;
      finding.detail += " A charger that starts when the bank is low must make up for it.";
    }
  } else {
    finding.detail = fmt::format("The hardest month; surplus {}.",
                                 show_quantity(hardest.surplus_wh(), Dimension::energy));
  }
  finding.detail += worst_heading(energy);
  findings.push_back(std::move(finding));
}

void check_sun_input(const CheckInput& in, const EnergyPlan& energy,
                     std::vector<Finding>& findings) {
  static_cast<void>(energy);
  const Site& site = in.system.site;
  if (!in.system.arrays.empty() && site.peak_sun_hours_wh_per_m2.empty() &&
      site.clearness.empty()) {
    Finding finding = make_finding("missing-unchecked", "site", site.name);
    finding.detail =
        "Neither peak sun hours nor clearness are given, so every day is taken as "
        "clear. Real months bring less sun.";
    finding.where = site.written.where;
    findings.push_back(std::move(finding));
  }
}

}  // namespace

void check_energy(const CheckInput& in, const EnergyPlan& energy, std::vector<Finding>& findings) {
  if (!energy.done) {
    Finding finding = make_finding("missing-unchecked", "site", in.system.site.name);
    finding.detail = fmt::format("Day, night and sun were not worked out: {}.", energy.why_not);
    finding.where = in.system.site.written.where;
    findings.push_back(std::move(finding));
    return;
  }
  check_nights(in, energy, findings);
  check_balance(in, energy, findings);
  check_sun_input(in, energy, findings);
  constexpr double rounding = 1e-6;
  if (energy.ledger.relative_gap() > rounding) {
    Finding finding = make_finding("energy-balance", "site", in.system.site.name);
    finding.value = std::abs(energy.ledger.gap_wh());
    finding.limit = 0.0;
    finding.dimension = Dimension::energy;
    findings.push_back(std::move(finding));
  }
}

}  // namespace nightbus::scenario_detail
