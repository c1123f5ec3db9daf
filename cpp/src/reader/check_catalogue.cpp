/// Names that only the catalogue knows: rule sets, families, chemistries, forms, cables, sizes.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <string>
#include <vector>

#include "reader/check.hpp"
#include "reader/each_record.hpp"

namespace nightbus::reader_detail {

namespace {

struct Shelf {
  std::string what;                              ///< as in Field::refers_to
  std::vector<std::string> names;                ///< for near misses
  std::function<void(const std::string&)> find;  ///< throws LookupError
};

std::vector<Shelf> shelves(const Catalogue& catalogue) {
  std::vector<Shelf> list;
  const auto add = [&list](std::string what, auto find) -> std::vector<std::string>& {
    list.push_back({std::move(what), {}, find});
    return list.back().names;
  };
  {
    auto& names =
        add("rule set", [&catalogue](const std::string& name) { (void)catalogue.rule_set(name); });
    for (const auto& rules : catalogue.rule_sets()) names.push_back(rules.name());
  }
  {
    auto& names = add("conductor family", [&catalogue](const std::string& name) {
      (void)catalogue.conductor_family(name);
    });
    for (const auto& family : catalogue.conductor_families()) names.push_back(family.name);
  }
  {
    auto& names = add("chemistry",
                      [&catalogue](const std::string& name) { (void)catalogue.chemistry(name); });
    for (const auto& chemistry : catalogue.chemistries()) names.push_back(chemistry.name);
  }
  {
    auto& names =
        add("material", [&catalogue](const std::string& name) { (void)catalogue.material(name); });
    for (const auto& material : catalogue.materials()) names.push_back(material.name);
  }
  {
    auto& names = add("overcurrent form", [&catalogue](const std::string& name) {
      (void)catalogue.overcurrent_form(name);
    });
    for (const auto& form : catalogue.overcurrent_forms()) names.push_back(form.name);
  }
  {
    auto& names = add("PoE cable",
                      [&catalogue](const std::string& name) { (void)catalogue.poe_cable(name); });
    for (const auto& cable : catalogue.poe_cables()) names.push_back(cable.name);
  }
  return list;
}

void check_name(const Check& check, const Seen& seen, const Field& field, const Shelf& shelf,
                const std::string& name) {
  try {
    shelf.find(name);
  } catch (const LookupError&) {
    check.report("unknown-entry",
                 fmt::format("{}: \"{}\" names \"{}\", which the catalogue does not hold",
                             seen.label, field.key, name),
                 Check::place(seen.written, field.key),
                 fmt::format("one of the catalogue's: {}", any_of(shelf.names, 20)),
                 advice_for(name, shelf.names));
  }
}

void check_size(const Check& check, const Written& written, const std::string& label,
                const std::string& key, const ConductorSize& size, const std::string& family) {
  if (check.damage.has(written, key) || check.damage.has(written, "family")) return;
  try {
    (void)check.catalogue.conductor(size, family);
  } catch (const LookupError&) {
    std::vector<std::string> near;
    try {
      const auto& shelf = family.empty() ? check.catalogue.usual_family(size.system)
                                         : check.catalogue.conductor_family(family);
      // Neighbours by the number that names the size: "3 mm²" stands between 2.5 and 4.
      auto sizes = shelf.conductors;
      std::sort(sizes.begin(), sizes.end(), [&size](const Conductor& a, const Conductor& b) {
        return std::fabs(a.size.number - size.number) < std::fabs(b.size.number - size.number);
      });
      for (std::size_t i = 0; i < std::min<std::size_t>(2, sizes.size()); ++i)
        near.push_back(print_size(sizes[i].size));
    } catch (const LookupError&) {
      return;  // an unknown family is reported by itself
    }
    check.report(
        "unknown-size",
        fmt::format("{}: there is no {} conductor in the catalogue", label, print_size(size)),
        Check::place(written, key), "",
        near.empty() ? "" : fmt::format("its neighbours are {}", any_of(near)));
  }
}

}  // namespace

void check_catalogue_references(const Check& check) {
  const auto known = shelves(check.catalogue);
  each_record(check.system, [&](const Seen& seen) {
    for (const auto& field : seen.type.fields) {
      const auto shelf = std::find_if(known.begin(), known.end(), [&field](const Shelf& one) {
        return one.what == field.refers_to;
      });
      if (shelf == known.end() || check.damage.has(seen.written, field.key)) continue;
      const auto value = field.get(seen.record);
      if (const auto* name = std::get_if<std::string>(&value)) {
        if (!name->empty() || field.required) check_name(check, seen, field, *shelf, *name);
      } else if (const auto* names = std::get_if<std::vector<std::string>>(&value)) {
        for (const auto& one : *names) check_name(check, seen, field, *shelf, one);
      }
    }
  });
}

void check_conductor_sizes(const Check& check) {
  const auto& system = check.system;
  for (std::size_t i = 0; i < system.runs.size(); ++i) {
    const auto& run = system.runs[i];
    const auto label = label_of(record_type("run"), &run, i);
    if (run.size) check_size(check, run.written, label, "size", *run.size, run.family);
    if (run.return_size)
      check_size(check, run.written, label, "return_size", *run.return_size, run.family);
  }
  for (const auto& size : system.rules.stock)
    check_size(check, system.rules.written, "rules", "stock", size, {});
  for (std::size_t i = 0; i < system.prices.size(); ++i) {
    const auto& price = system.prices[i];
    check_size(check, price.written, fmt::format("price {}", i + 1), "size", price.size, {});
  }
}

}  // namespace nightbus::reader_detail
