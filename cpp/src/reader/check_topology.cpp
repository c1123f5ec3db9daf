/// What feeds what.

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "reader/check.hpp"
#include "reader/labels.hpp"
#include "reader/points.hpp"

namespace nightbus::reader_detail {

namespace {

std::string run_label(const Run& run) {
  return fmt::format("run \"{}\"", run.name);
}

bool consumes(PointKind kind) {
  return kind == PointKind::load || kind == PointKind::fan || kind == PointKind::poe_link;
}

bool gives_only(PointKind kind) {
  return kind == PointKind::charger || kind == PointKind::array;
}

/// How many runs leave and reach each point, by its place in Points::all().
struct Ends {
  explicit Ends(const System& system, const Points& points)
      : leaving(points.all().size()), reaching(leaving), laid(leaving) {
    const auto position = [&points](const std::string& name) {
      return static_cast<std::size_t>(points.find(name) - points.all().data());
    };
    for (const auto& run : system.runs) {
      ++leaving[position(run.from)];
      ++reaching[position(run.to)];
      if (run.spare) {
        ++laid[position(run.from)];
        ++laid[position(run.to)];
      }
    }
    for (const auto& link : system.poe_links) ++leaving[position(link.from)];
  }
  std::vector<int> leaving;
  std::vector<int> reaching;
  std::vector<int> laid;  ///< spare runs among them
};

}  // namespace

void check_bank_present(const Check& check) {
  if (!check.system.banks.empty()) return;
  check.report("no-bank", "there is no bank", Check::place(check.system.site.written),
               "[[bank]] with name, chemistry, voltage and capacity",
               "everything hangs on one: describe it");
}

void check_run_ends(const Check& check) {
  const Points points(check.system);
  std::vector<bool> bank_gives(check.system.banks.size(), false);
  for (const auto& run : check.system.runs) {
    const auto* from = points.find(run.from);
    if (from->kind == PointKind::bank) bank_gives[from->index] = true;
  }
  for (const auto& run : check.system.runs) {
    const auto* from = points.find(run.from);
    const auto* to = points.find(run.to);
    const auto label = run_label(run);
    const auto from_place = Check::place(run.written, "from");
    const auto to_place = Check::place(run.written, "to");
    if (from == to) {
      check.report("wrong-end", fmt::format("{} begins and ends at {}", label, to->label()),
                   to_place, "two different points");
    } else if (from->kind == PointKind::poe_link || to->kind == PointKind::poe_link) {
      const bool at_from = from->kind == PointKind::poe_link;
      check.report("wrong-end",
                   fmt::format("{}: {} hangs on its port and needs no run", label,
                               (at_from ? from : to)->label()),
                   at_from ? from_place : to_place, "",
                   "delete the run; the link's own \"from\" names the converter");
    } else if (consumes(from->kind)) {
      check.report("wrong-end",
                   fmt::format("{} begins at {}, which gives no power", label, from->label()),
                   from_place, "from = the source side, to = the load side",
                   consumes(to->kind) ? "" : "swap from and to");
    } else if (gives_only(to->kind)) {
      check.report("wrong-end",
                   fmt::format("{} ends at {}, which takes no power", label, to->label()), to_place,
                   "from = the source side, to = the load side", "swap from and to");
    } else if (to->kind == PointKind::bank && from->kind == PointKind::bus &&
               !bank_gives[to->index]) {
      check.report("wrong-end",
                   fmt::format("{} ends at {}, and no run begins there", label, to->label()),
                   to_place, "from = the source side, to = the load side", "swap from and to");
    }
  }
}

void check_fed(const Check& check) {
  const Points points(check.system);
  const Ends ends(check.system, points);
  const auto& all = points.all();
  for (std::size_t i = 0; i < all.size(); ++i) {
    const auto& point = all[i];
    const auto where = Check::place(*point.written);
    const bool reached = ends.reaching[i] > 0;
    switch (point.kind) {
      case PointKind::load:
      case PointKind::fan:
      case PointKind::converter:
        if (!reached) {
          check.report("not-fed", fmt::format("no run leads to {}", point.label()), where, "",
                       "add feed = { from = \"…\", length = \"…\" }, or a [[run]] to it");
        }
        break;
      case PointKind::charger:
      case PointKind::array:
        if (ends.leaving[i] == 0) {
          check.report("feeds-nothing", fmt::format("no run leads from {}", point.label()), where,
                       "", "add feed = { to = \"…\", length = \"…\" }, or a [[run]] from it");
        }
        break;
      case PointKind::bank:
        if (ends.leaving[i] + ends.reaching[i] == 0) {
          check.report("feeds-nothing", fmt::format("no run leads from {}", point.label()), where,
                       "", "add a [[run]] from it");
        }
        break;
      case PointKind::bus:
      case PointKind::poe_link:
        break;
    }
  }
}

void check_dead_ends(const Check& check) {
  const Points points(check.system);
  const Ends ends(check.system, points);
  const auto& all = points.all();
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (all[i].kind != PointKind::bus) continue;
    const int runs = ends.leaving[i] + ends.reaching[i];
    if (runs >= 2 || ends.laid[i] > 0) continue;
    const auto where = Check::place(*all[i].written);
    if (runs == 0) {
      check.report("not-fed", fmt::format("nothing is joined to {}", all[i].label()), where, "",
                   "join it with a run, or delete it");
      continue;
    }
    const auto run = std::find_if(
        check.system.runs.begin(), check.system.runs.end(),
        [&](const Run& one) { return one.from == all[i].name || one.to == all[i].name; });
    auto& problem = check.report(
        "dead-end", fmt::format("{} leads to {} and no further", run_label(*run), all[i].label()),
        Check::place(run->written, run->to == all[i].name ? "to" : "from"), "",
        "join something there, or mark the run spare = true");
    problem.other = where;
    problem.other_label = "the bus";
  }
}

void check_reachable(const Check& check) {
  const Points points(check.system);
  const Groups groups(check.system, points);
  const Ends ends(check.system, points);
  std::vector<bool> live(points.node_count(), false);
  for (const auto& point : points.all()) {
    if (point.kind == PointKind::bank || gives_only(point.kind)) live[groups.of(point.node)] = true;
  }
  for (bool changed = true; changed;) {
    changed = false;
    for (const auto& point : points.all()) {
      if (point.kind != PointKind::converter) continue;
      const auto in = groups.of(point.node);
      const auto out = groups.of(point.output);
      if (live[in] && !live[out]) live[out] = changed = true;
    }
  }
  const auto& all = points.all();
  for (std::size_t i = 0; i < all.size(); ++i) {
    const auto& point = all[i];
    if (live[groups.of(point.node)] || point.kind == PointKind::bus) continue;
    const bool has_run = ends.reaching[i] > 0 || point.kind == PointKind::poe_link;
    if (has_run && !check.system.banks.empty()) {
      check.report("unreachable", fmt::format("{} is not joined to any source", point.label()),
                   Check::place(*point.written), "",
                   "follow its feed back: somewhere a run to the bank is missing");
    }
  }
}

void check_converter_sides(const Check& check) {
  const Points points(check.system);
  const Groups groups(check.system, points);
  const Ends ends(check.system, points);
  const auto& all = points.all();
  for (std::size_t i = 0; i < all.size(); ++i) {
    const auto& point = all[i];
    if (point.kind != PointKind::converter) continue;
    const auto where = Check::place(*point.written);
    if (ends.leaving[i] == 0) {
      check.report("feeds-nothing", fmt::format("nothing hangs on the output of {}", point.label()),
                   where, "", "add a [[run]] or a [[poe_link]] from it");
    } else if (groups.of(point.node) == groups.of(point.output)) {
      check.report("bridged",
                   fmt::format("the input and the output of {} are joined by runs", point.label()),
                   where, "two separate sides", "remove the run that goes round it");
    }
  }
}

}  // namespace nightbus::reader_detail
