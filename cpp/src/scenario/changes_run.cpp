/// Changes of one run: what the file gives for it, its device, its way, its surroundings.

#include <fmt/format.h>

#include <algorithm>

#include "scenario/changes.hpp"

namespace nightbus::changes_detail {

namespace {

constexpr double nearest_m = 0.1;   // no run is shorter than what joins two studs
constexpr double coolest_c = 20.0;  // air that nobody promises to keep cooler

std::string metres(double length_m) {
  return show_quantity(length_m, Dimension::length, 4);
}

std::string quoted(const std::string& name) {
  return "\"" + name + "\"";
}

}  // namespace

void free_given(Run& run) {
  run.size.reset();
  run.return_size.reset();
  run.fuse_a.reset();
  run.fuse_form.clear();
}

bool has_given(const Run& run) {
  return run.size || run.fuse_a || !run.fuse_form.empty();
}

std::optional<Change> chosen_anew(const Run& given, const RunPlan& after) {
  const auto device = [](const std::string& form, double rating_a) {
    return fmt::format("a {:g} A {}", rating_a, form.empty() ? "device" : form);
  };
  std::string take, instead;
  const auto add = [](std::string& text, const std::string& part) {
    text += (text.empty() ? "" : " and ") + part;
  };
  Change change;
  change.kind = ChangeKind::choose_anew;
  change.run = given.name;
  const bool other_form =
      !given.fuse_form.empty() && after.device && after.device->form != given.fuse_form;
  const bool other_rating = given.fuse_a && after.device && after.device->rating_a != *given.fuse_a;
  if (other_form || other_rating) {
    change.amount = after.device->rating_a;
    change.from = given.fuse_a.value_or(0.0);
    change.dimension = Dimension::current;
    add(take, device(after.device->form, after.device->rating_a));
    add(instead, given.fuse_a ? device(given.fuse_form, *given.fuse_a) : "a " + given.fuse_form);
  }
  if (given.size && after.size != *given.size) {
    change.amount = after.area_mm2;
    change.from = 0.0;  // filled in by who knows the conductor that was given
    change.dimension = Dimension::area;
    add(take, print_size(after.size));
    add(instead, print_size(*given.size));
  }
  if (take.empty()) return std::nullopt;
  change.words = fmt::format("take {} in run {} instead of {}", take, quoted(given.name), instead);
  return change;
}

void add_device(const System& system, const Catalogue& catalogue, std::size_t run,
                const WiringPlan& plan, std::vector<Attempt>& all) {
  const Run& described = system.runs[run];
  const std::string name = described.name;
  const std::vector<std::string>& allowed = system.rules.fuse_forms;
  for (const OvercurrentForm& form : catalogue.overcurrent_forms()) {
    if (allowed.empty() || std::find(allowed.begin(), allowed.end(), form.name) != allowed.end()) {
      continue;
    }
    Attempt attempt;
    attempt.kind = ChangeKind::other_form;
    attempt.subject = form.name;
    attempt.amounts = {0.0};
    attempt.make = [form = form.name](System& changed, double) {
      changed.rules.fuse_forms.push_back(form);
    };
    attempt.words = [form = form.name](double&, const WiringPlan&) {
      return fmt::format("allow the form {} as well", form);
    };
    all.push_back(std::move(attempt));
  }
  const auto& within_m = plan.runs[run].need.within_m;
  if (!within_m || described.fuse_distance_m <= *within_m) return;
  Attempt nearer;
  nearer.kind = ChangeKind::nearer_device;
  nearer.subject = name;
  nearer.from = described.fuse_distance_m;
  nearer.dimension = Dimension::length;
  nearer.amounts = {*within_m};
  nearer.make = [run](System& changed, double amount) {
    changed.runs[run].fuse_distance_m = amount;
  };
  nearer.words = [name, from = described.fuse_distance_m](double& amount, const WiringPlan&) {
    return fmt::format("move the device of run {} {} nearer to its source: {} to {}", quoted(name),
                       metres(from - amount), metres(from), metres(amount));
  };
  all.push_back(std::move(nearer));
  if (described.sheathed) return;
  Attempt sheath;
  sheath.kind = ChangeKind::sheath;
  sheath.subject = name;
  sheath.amounts = {1.0};
  sheath.make = [run](System& changed, double) { changed.runs[run].sheathed = true; };
  sheath.words = [name](double&, const WiringPlan&) {
    return fmt::format("sheathe run {} from its source to its device", quoted(name));
  };
  all.push_back(std::move(sheath));
}

void add_route(const System& system, std::size_t run, std::vector<Attempt>& all) {
  const Run& described = system.runs[run];
  if (described.length_m <= nearest_m) return;
  Attempt attempt;
  attempt.kind = ChangeKind::shorten;
  attempt.subject = described.name;
  attempt.from = described.length_m;
  attempt.dimension = Dimension::length;
  attempt.extreme = nearest_m;
  attempt.grain = 0.01;
  attempt.make = [run, from = described.length_m](System& changed, double amount) {
    Run& shorter = changed.runs[run];
    if (shorter.return_length_m) *shorter.return_length_m *= amount / from;
    shorter.length_m = amount;
  };
  attempt.words = [name = described.name, from = described.length_m](double& amount,
                                                                     const WiringPlan&) {
    return fmt::format("bring the ends of run {} {} nearer: {} to {}", quoted(name),
                       metres(from - amount), metres(from), metres(amount));
  };
  all.push_back(std::move(attempt));
}

void add_surroundings(const System& system, std::size_t run, const WiringPlan& plan,
                      std::vector<Attempt>& all) {
  const Run& described = system.runs[run];
  const std::string name = described.name;
  const double class_c = described.insulation_c.value_or(system.rules.insulation_c);
  Attempt better;
  better.kind = ChangeKind::insulation;
  better.subject = name;
  better.from = class_c;
  better.dimension = Dimension::temperature;
  // Classes that some rule set of the catalogue has a column for.
  for (const double c : {75.0, 80.0, 90.0, 105.0, 125.0, 200.0}) {
    if (c > class_c) better.amounts.push_back(c);
  }
  better.make = [run](System& changed, double amount) { changed.runs[run].insulation_c = amount; };
  better.words = [name, class_c](double& amount, const WiringPlan&) {
    return fmt::format("take insulation of class {:g} °C in run {} instead of {:g} °C", amount,
                       quoted(name), class_c);
  };
  if (!better.amounts.empty()) all.push_back(std::move(better));

  if (described.bundle > 2) {
    Attempt loose;
    loose.kind = ChangeKind::unbundle;
    loose.subject = name;
    loose.from = described.bundle;
    for (int n = described.bundle - 1; n >= 2; --n) loose.amounts.push_back(n);
    loose.make = [run](System& changed, double amount) {
      changed.runs[run].bundle = static_cast<int>(amount);
    };
    loose.words = [name, from = described.bundle](double& amount, const WiringPlan&) {
      return fmt::format("lay run {} with at most {:g} loaded conductors together instead of {}",
                         quoted(name), amount, from);
    };
    all.push_back(std::move(loose));
  }

  double air_c = described.ambient_c.value_or(coolest_c);
  double device_c = air_c;
  for (const CaseResult& result : plan.cases) {
    air_c = std::max(air_c, result.inputs.run_ambient_c[run]);
  }
  device_c = described.fuse_ambient_c.value_or(air_c);
  const double warmest_c = std::max(air_c, device_c);
  if (warmest_c <= coolest_c) return;
  Attempt cooler;
  cooler.kind = ChangeKind::cooler;
  cooler.subject = name;
  cooler.from = warmest_c;
  cooler.dimension = Dimension::temperature;
  cooler.extreme = coolest_c;
  cooler.grain = 0.5;
  cooler.make = [run, air_c, device_c](System& changed, double amount) {
    changed.runs[run].ambient_c = std::min(air_c, amount);
    changed.runs[run].fuse_ambient_c = std::min(device_c, amount);
  };
  cooler.words = [name, warmest_c](double& amount, const WiringPlan&) {
    return fmt::format("keep the air along run {} and at its device at {:g} °C at most, not {:g}",
                       quoted(name), amount, warmest_c);
  };
  all.push_back(std::move(cooler));
}

}  // namespace nightbus::changes_detail
