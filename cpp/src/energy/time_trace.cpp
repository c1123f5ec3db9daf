// Measured watts on an even grid, with the gaps told; and the mean of any draw.

#include <algorithm>
#include <cmath>

#include "nightbus/energy_time.hpp"
#include "nightbus/source.hpp"

namespace nightbus {

namespace {

constexpr double day_s = 86400.0;

bool in_windows(const std::vector<DayWindow>& windows, const LocalClock& clock, double t) {
  return std::any_of(windows.begin(), windows.end(),
                     [&](const DayWindow& w) { return w.holds(clock, t); });
}

/// Share of a week that lies inside any of the windows, by minutes.
double window_share(const std::vector<DayWindow>& windows) {
  if (windows.empty()) return 1.0;
  const LocalClock utc;
  int inside = 0;
  for (int minute = 0; minute < 10080; ++minute) {
    if (in_windows(windows, utc, minute * 60.0 + 30.0)) ++inside;
  }
  return inside / 10080.0;
}

struct Mean {
  double night_share, fan_w;

  double operator()(const SteadyDraw& d) const { return d.power_w; }
  double operator()(const WindowDraw& d) const {
    const double share = window_share(d.windows);
    return share * d.on_w + (1.0 - share) * d.off_w;
  }
  double operator()(const DutyDraw& d) const {
    const double share = window_share(d.windows) * std::clamp(d.on_s / d.period_s, 0.0, 1.0);
    return share * d.on_w + (1.0 - share) * d.off_w;
  }
  double operator()(const DayNightDraw& d) const {
    const double inside = night_share * d.night_w + (1.0 - night_share) * d.day_w;
    const double share = window_share(d.windows);
    return share * inside + (1.0 - share) * d.off_w;
  }
  double operator()(const FanDraw&) const { return fan_w; }
  double operator()(const HeaterDraw& d) const { return d.off_w; }
  double operator()(const TraceDraw& d) const {
    double sum = 0.0;
    for (const double w : d.power_w) sum += w;
    return d.power_w.empty() ? d.outside_w : sum / static_cast<double>(d.power_w.size());
  }
  double operator()(const BurstDraw& d) const {
    const double share = d.mean_length_s / (d.mean_gap_s + d.mean_length_s);
    return share * d.burst_w + (1.0 - share) * d.idle_w;
  }
};

void check_stamps(const std::vector<double>& stamp_s, const std::vector<double>& power_w) {
  if (stamp_s.size() != power_w.size() || stamp_s.empty()) {
    throw Error("a trace needs as many watts as time stamps, and at least one");
  }
  for (std::size_t k = 0; k < stamp_s.size(); ++k) {
    const std::string row = std::to_string(k + 1);
    if (!std::isfinite(stamp_s[k])) throw Error("row " + row + " of the trace has no time");
    if (k > 0 && stamp_s[k] == stamp_s[k - 1]) {
      throw Error("row " + row + " of the trace repeats the time of the row before");
    }
    if (k > 0 && stamp_s[k] < stamp_s[k - 1]) {
      throw Error("row " + row + " of the trace goes back in time");
    }
    if (power_w[k] < 0.0) throw Error("row " + row + " of the trace has negative watts");
  }
}

}  // namespace

double mean_draw_w(const Draw& draw, double night_share, double fan_w) {
  return std::visit(Mean{night_share, fan_w}, draw);
}

TraceResult even_trace(const std::vector<double>& stamp_s, const std::vector<double>& power_w,
                       double step_s, double longest_fill_s) {
  check_stamps(stamp_s, power_w);
  if (!(step_s > 0.0)) throw Error("the step of a trace must be above 0 s");
  // A row without a number is a missing row.
  std::vector<double> times;
  std::vector<double> watts;
  for (std::size_t k = 0; k < stamp_s.size(); ++k) {
    if (!std::isfinite(power_w[k])) continue;
    times.push_back(stamp_s[k]);
    watts.push_back(power_w[k]);
  }
  if (times.empty()) throw Error("the trace holds no number at all");

  TraceResult out;
  out.draw.start_s = stamp_s.front();
  out.draw.step_s = step_s;
  const double span = stamp_s.back() - stamp_s.front();
  const auto count = static_cast<std::size_t>(std::floor(span / step_s + 1e-9)) + 1;
  std::vector<char> missing(count, 0);
  out.draw.power_w.assign(count, 0.0);
  const double longest = std::max(longest_fill_s, step_s);

  std::size_t row = 0;
  std::size_t noted = static_cast<std::size_t>(-1);
  for (std::size_t k = 0; k < count; ++k) {
    const double t = out.draw.start_s + static_cast<double>(k) * step_s;
    while (row + 1 < times.size() && times[row + 1] <= t + 1e-9 * step_s) ++row;
    const bool before_first = times[row] > t + 1e-9 * step_s;
    const double next = row + 1 < times.size() ? times[row + 1] : stamp_s.back();
    const bool gap = before_first || (next - times[row] > longest && t > times[row]);
    if (!gap) {
      out.draw.power_w[k] = watts[row];
      continue;
    }
    missing[k] = 1;
    out.gaps.missing_s += step_s;
    if (noted != row) ++out.gaps.gaps;
    noted = row;
    out.gaps.longest_s = std::max(out.gaps.longest_s, before_first ? next - t : next - times[row]);
  }

  double all = 0.0;
  std::size_t known = 0;
  for (std::size_t k = 0; k < count; ++k) {
    if (missing[k]) continue;
    all += out.draw.power_w[k];
    ++known;
  }
  const double mean = known > 0 ? all / static_cast<double>(known) : 0.0;
  const auto per_day = static_cast<std::size_t>(std::max(1.0, std::round(day_s / step_s)));
  for (std::size_t k = 0; k < count; ++k) {
    if (!missing[k]) continue;
    double sum = 0.0;
    std::size_t found = 0;
    for (std::size_t j = k % per_day; j < count; j += per_day) {
      if (missing[j]) continue;
      sum += out.draw.power_w[j];
      ++found;
    }
    out.draw.power_w[k] = found > 0 ? sum / static_cast<double>(found) : mean;
  }
  return out;
}

}  // namespace nightbus
