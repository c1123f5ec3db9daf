#include <fmt/format.h>

#include <optional>

#include "reader/check.hpp"
#include "reader/labels.hpp"

namespace nightbus::reader_detail {

namespace {

/// Number of a type of the standard; 0 for passive.
int type_number(PoeType type) {
  return type == PoeType::passive ? 0 : static_cast<int>(type) + 1;
}

template <class Find>
auto found_or_null(Find find) -> decltype(&find()) {
  try {
    return &find();
  } catch (const LookupError&) {
    return nullptr;
  }
}

}  // namespace

void check_poe(const Check& check) {
  const auto& links = check.system.poe_links;
  for (std::size_t i = 0; i < links.size(); ++i) {
    const auto& link = links[i];
    const auto label = label_of(record_type("poe_link"), &link, i);
    if (check.damage.has(link.written, "type") || check.damage.has(link.written, "pairs") ||
        check.damage.has(link.written, "class"))
      continue;
    const int number = type_number(link.type);
    if (link.pairs != 2 && link.pairs != 4) {
      check.report("poe-pairs", fmt::format("{}: {} pairs cannot be powered", label, link.pairs),
                   Check::place(link.written, "pairs"), "2 or 4");
      continue;
    }
    if (number == 0) {
      if (link.power_class) {
        check.report("poe-class", fmt::format("{}: passive power knows no classes", label),
                     Check::place(link.written, "class"), "", "delete the class");
      }
      continue;
    }
    const auto* type =
        found_or_null([&]() -> const PoeTypeData& { return check.catalogue.poe_type(number); });
    if (type != nullptr && (link.pairs < type->pairs_low || link.pairs > type->pairs_high)) {
      check.report(
          "poe-pairs",
          fmt::format("{}: type {} does not power {} pairs", label, number, link.pairs),
          Check::place(link.written, link.written.places.count("pairs") != 0 ? "pairs" : "type"),
          type->pairs_low == type->pairs_high
              ? fmt::format("pairs = {}", type->pairs_low)
              : fmt::format("pairs = {} or {}", type->pairs_low, type->pairs_high));
    }
    if (!link.power_class) continue;
    const auto* power = found_or_null(
        [&]() -> const PoeClassData& { return check.catalogue.poe_class(*link.power_class); });
    if (power == nullptr) continue;
    if (power->type > number) {
      check.report(
          "poe-class",
          fmt::format("{}: type {} cannot power class {}", label, number, *link.power_class),
          Check::place(link.written, "class"),
          fmt::format("type {} or higher for class {}", power->type, *link.power_class),
          fmt::format("write type = \"type {}\"", power->type));
    } else if (power->pairs > link.pairs) {
      check.report("poe-class",
                   fmt::format("{}: class {} needs {} powered pairs", label, *link.power_class,
                               power->pairs),
                   Check::place(link.written, "class"), "",
                   fmt::format("write pairs = {}", power->pairs));
    }
  }
}

void check_poe_voltages(const Check& check) {
  for (const auto& link : check.system.poe_links) {
    const int number = type_number(link.type);
    if (number == 0 || check.damage.has(link.written, "type")) continue;
    const Converter* port = nullptr;
    for (const auto& converter : check.system.converters) {
      if (converter.name == link.from) port = &converter;
    }
    const auto* type =
        found_or_null([&]() -> const PoeTypeData& { return check.catalogue.poe_type(number); });
    if (port == nullptr || type == nullptr) continue;
    // A little below the standard is a finding of the plan; a 24 V output is another kind of thing.
    if (port->output_v >= type->device_v.low && port->output_v <= type->source_v.high) continue;
    auto& problem = check.report(
        "poe-voltage",
        fmt::format("PoE link \"{}\" hangs on {}, which no port of type {} gives", link.name,
                    show_quantity(port->output_v, Dimension::voltage), number),
        Check::place(link.written, "from"),
        fmt::format("{} to {} at the port", show_quantity(type->source_v.low, Dimension::voltage),
                    show_quantity(type->source_v.high, Dimension::voltage)),
        "hang it on an injector of about 54 V, or write type = \"passive\"");
    problem.other = Check::place(port->written, "output");
    problem.other_label = "the port's voltage";
  }
}

}  // namespace nightbus::reader_detail
