/// Names become points, points become nodes.

#include <fmt/format.h>

#include "network/system_impl.hpp"

namespace nightbus {

std::vector<Case> cases_of(const System& system) {
  std::vector<Case> cases = system.cases.empty() ? default_cases() : system.cases;
  if (system.chargers.empty() && system.arrays.empty()) {
    return cases;
  }
  // The cables of a charger see their most while the bank is far from full: without such a case the
  // current limit of the charger would never show.
  for (const Case& each : cases) {
    if (each.bank == BankState::charging && each.charge && *each.charge < 0.9) {
      return cases;
    }
  }
  Case bulk;
  bulk.name = "bulk charging, hot";
  bulk.note = "every charger at its limit into a low bank, little else drawing";
  bulk.bank = BankState::charging;
  bulk.demand = Demand::rest;
  bulk.ambient = Ambient::hot;
  bulk.charge = 0.5;
  cases.push_back(std::move(bulk));
  return cases;
}

namespace compile_detail {

Finding assumed(std::string_view kind, std::string_view subject, double value, Dimension dimension,
                std::string detail, const Span& where) {
  Finding finding = make_finding("missing-safe", kind, subject);
  finding.value = value;
  finding.dimension = dimension;
  finding.detail = std::move(detail);
  finding.rule = "common practice, no source";
  finding.where = where;
  return finding;
}

namespace {

struct PointMaker {
  Layout& layout;
  std::vector<Problem>& problems;
  std::uint32_t next_node = 0;

  NodeId node() { return NodeId{next_node++}; }

  void add(PointKind kind, std::size_t index, const std::string& name, const Written& written,
           bool isolated_output = false) {
    PointNodes point;
    point.name = name;
    point.kind = kind;
    point.index = index;
    point.positive = node();
    point.negative = node();
    point.out_positive = point.positive;
    point.out_negative = point.negative;
    if (kind == PointKind::converter) {
      point.out_positive = node();
      if (isolated_output) {
        point.out_negative = node();
      }
    }
    const auto [place, fresh] = layout.by_name.emplace(name, layout.points.size());
    if (!fresh) {
      Problem problem;
      problem.code = "duplicate-name";
      problem.what = fmt::format("the name \"{}\" is used twice", name);
      problem.where = written.where;
      problem.mend = "give every point its own name";
      problems.push_back(std::move(problem));
    }
    layout.of_kind[static_cast<std::size_t>(kind)].push_back(layout.points.size());
    layout.points.push_back(std::move(point));
  }
};

std::optional<std::size_t> look_up(const Layout& layout, std::string_view name) {
  const auto found = layout.by_name.find(name);
  return found == layout.by_name.end() ? std::nullopt : std::optional(found->second);
}

std::size_t end_of(const Layout& layout, std::string_view name, std::string_view owner,
                   std::string_view key, const Written& written, std::vector<Problem>& problems) {
  if (const auto found = look_up(layout, name)) {
    return *found;
  }
  Problem problem;
  problem.code = "unknown-name";
  problem.what = fmt::format("{}: {} = \"{}\" is not a point of the system", owner, key, name);
  const auto place = written.places.find(std::string(key));
  problem.where = place != written.places.end() ? place->second : written.where;
  problem.expected = "the name of a bank, bus, load, fan, converter, PoE link, charger or array";
  problem.seen = fmt::format("\"{}\"", name);
  std::vector<std::string> names;
  for (const PointNodes& point : layout.points) {
    names.push_back(point.name);
  }
  const auto near = near_misses(name, names);
  if (!near.empty()) {
    problem.mend = fmt::format("did you mean \"{}\"?", near.front());
  }
  problems.push_back(std::move(problem));
  return 0;
}

}  // namespace

std::shared_ptr<const Layout> make_layout(const System& system, const Catalogue& catalogue) {
  auto layout = std::make_shared<Layout>(system, catalogue);
  layout->of_kind.resize(static_cast<std::size_t>(PointKind::array) + 1);
  std::vector<Problem> problems;
  PointMaker maker{*layout, problems};
  const auto add_all = [&](PointKind kind, const auto& records) {
    for (std::size_t k = 0; k < records.size(); ++k) {
      maker.add(kind, k, records[k].name, records[k].written);
    }
  };
  add_all(PointKind::bank, system.banks);
  add_all(PointKind::bus, system.buses);
  add_all(PointKind::load, system.loads);
  add_all(PointKind::fan, system.fans);
  for (std::size_t k = 0; k < system.converters.size(); ++k) {
    const Converter& converter = system.converters[k];
    maker.add(PointKind::converter, k, converter.name, converter.written, converter.isolated);
  }
  add_all(PointKind::poe_link, system.poe_links);
  add_all(PointKind::charger, system.chargers);
  add_all(PointKind::array, system.arrays);

  for (const Run& run : system.runs) {
    const std::string owner = fmt::format("run \"{}\"", run.name);
    RunEnds ends;
    ends.from = end_of(*layout, run.from, owner, "from", run.written, problems);
    ends.to = end_of(*layout, run.to, owner, "to", run.written, problems);
    if (!run.return_to.empty()) {
      ends.return_to = end_of(*layout, run.return_to, owner, "return_to", run.written, problems);
    }
    layout->ends.push_back(ends);
  }
  for (const PoeLink& link : system.poe_links) {
    end_of(*layout, link.from, fmt::format("PoE link \"{}\"", link.name), "from", link.written,
           problems);
  }
  if (!problems.empty()) {
    throw InputError(std::move(problems));
  }
  layout->node_count = maker.next_node;
  find_domains(*layout);
  return layout;
}

}  // namespace compile_detail

}  // namespace nightbus
