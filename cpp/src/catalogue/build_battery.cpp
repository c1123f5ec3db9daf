// Files of kind "battery": one chemistry each. Voltages are brought to one cell.

#include <fmt/format.h>

#include <algorithm>

#include "catalogue/owner.hpp"

namespace nightbus::catalogue_detail {

namespace {

void read_open_circuit(Table& table, Owner& owner, BatteryChemistry& battery) {
  const auto state = table.need("charge state");
  const double cells = table.options.number("cells").value_or(1.0);
  if (!(cells >= 1.0)) table.options.wrong("cells", "not at least 1");
  if (!state) return;
  const auto take = [&](std::string_view name, Curve& curve) {
    const auto column = table.find(name);
    if (!column) return;
    if (!owner.claim(fmt::format("open circuit {}", name),
                     fmt::format("the open-circuit voltage ({})", name), table)) {
      return;
    }
    curve = read_points(table, *state, Dimension::ratio, *column, Dimension::voltage, 1.0 / cells);
  };
  take("mean", battery.ocv_mean);
  take("discharge", battery.ocv_discharge);
  take("charge", battery.ocv_charge);
}

/// Divides a curve by its value at 25 °C.
void relative_to_25(Curve& curve) {
  const double at_25 = curve.at(25.0);
  if (at_25 == 0) return;
  for (auto& point : curve.points) point.y /= at_25;
}

void read_temperature(Table& table, Owner& owner, BatteryChemistry& battery) {
  const auto temperature = table.need("temperature");
  if (!temperature) return;
  const auto claim = [&](std::string_view what) {
    return owner.claim(std::string(what), fmt::format("the {} by temperature", what), table);
  };
  if (const auto column = table.find("capacity"); column && claim("capacity")) {
    battery.capacity_ratio =
        read_points(table, *temperature, Dimension::temperature, *column, Dimension::ratio, 1.0);
  }
  if (const auto column = table.find("size factor"); column && claim("capacity")) {
    for (std::size_t row = 0; row < table.rows(); ++row) {
      if (!table.positive(row, column, Dimension::ratio)) return;  // its inverse is taken
    }
    auto curve =
        read_points(table, *temperature, Dimension::temperature, *column, Dimension::ratio, 1.0);
    for (auto& point : curve.points) point.y = 1.0 / point.y;
    battery.capacity_ratio = std::move(curve);
  }
  if (const auto column = table.find("resistance"); column && claim("resistance")) {
    battery.resistance_ratio = read_points(table, *temperature, Dimension::temperature, *column,
                                           Dimension::resistance, 1.0);
    relative_to_25(battery.resistance_ratio);
  }
}

void read_charge_efficiency(Table& table, Owner& owner, BatteryChemistry& battery) {
  const auto state = table.need("charge state");
  const auto efficiency = table.need("efficiency");
  if (!state || !efficiency) return;
  if (!owner.claim("charge efficiency", "the charge efficiency", table)) return;
  battery.charge_efficiency =
      read_points(table, *state, Dimension::ratio, *efficiency, Dimension::ratio, 1.0);
}

}  // namespace

void build_battery(Owner& owner, Catalogue::Data& data) {
  BatteryChemistry battery;
  auto& record = owner.head.record;
  battery.name = owner.head.name;
  battery.purpose = owner.head.purpose;
  battery.aliases = record.texts("aliases").value_or(std::vector<std::string>{});
  const auto nominal = record.quantity("nominal_cell", Dimension::voltage);
  const auto cells = record.number("cells_per_12v");
  if (!nominal || !cells || *nominal <= 0 || *cells < 1) {
    report(*owner.problems, "missing-key",
           fmt::format("chemistry \"{}\" does not say its cell", battery.name), record.where(),
           "nominal_cell = \"3.2 V\" and cells_per_12v = 4");
  }
  battery.nominal_cell_v = nominal.value_or(0.0);
  battery.cells_per_12v = static_cast<int>(cells.value_or(0.0));
  battery.tables = owner.pedigrees();
  for (auto& table : owner.tables) {
    const auto& holds = table.holds();
    if (holds == "open circuit") {
      read_open_circuit(table, owner, battery);
    } else if (holds == "temperature") {
      read_temperature(table, owner, battery);
    } else if (holds == "charge efficiency") {
      read_charge_efficiency(table, owner, battery);
    } else if (holds == "guides") {
      read_guides(table, owner, battery.guides);
    } else if (holds == "evidence") {
      read_evidence(table);
    } else {
      unknown_holds(table,
                    {"open circuit", "temperature", "charge efficiency", "guides", "evidence"},
                    *owner.problems);
      continue;
    }
    table.finish();
  }
  data.chemistries.push_back(std::move(battery));
}

}  // namespace nightbus::catalogue_detail
